//! Tables whose rows are ends of tendons that are named with them: `T1A` and `T1B`, where other tables have `T1`.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::super::assign::{Assignment, Candidate};
use super::super::captioned;
use super::super::grid::{GridCell, Sheet, second};
use super::super::groups::{Marks, names_tendons};
use super::super::header::HeaderText;
use super::headers::{is_unit_row, units_of};
use super::{Found, candidates, caption};
use crate::sheet::Cell;

/// Rows at least: one end alone may be a tendon that is called so.
const LEAST: usize = 2;

/// A tendon and one of its ends, by a name that is made of both: `T1A`, `T1-B`, `T1 end A`.
fn parted(text: &str) -> Option<(&str, &'static str)> {
    let text = text.trim();
    let (base, end) = match text.strip_suffix(['A', 'a']) {
        Some(base) => (base, "A"),
        None => (text.strip_suffix(['B', 'b'])?, "B"),
    };
    let base = base.trim_end_matches([' ', '-', '–', '/', '.', '@', ',']);
    let base =
        ["end", "End", "END"].iter().find_map(|word| base.strip_suffix(word)).unwrap_or(base);
    let base = base.trim_end_matches([' ', '-', '–', '/', ',']);
    base.chars().any(|letter| letter.is_ascii_digit()).then_some((base, end))
}

/// Whether these names are all of ends, those of most tendons of both.
fn are_ends<'t>(names: impl Iterator<Item = &'t str>) -> bool {
    let mut ends: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    let mut count = 0;
    for name in names {
        let Some((base, end)) = parted(name) else { return false };
        ends.entry(base).or_default().insert(end);
        count += 1;
    }
    let both = ends.values().filter(|ends| ends.len() == 2).count();
    count >= LEAST && both * 2 >= ends.len()
}

/// The column that names the tendons of a table, with the names.
fn named<'s>(sheet: &'s Sheet, found: &Found) -> Option<(u32, Vec<&'s str>)> {
    let columns = &found.assignment.columns;
    let index = columns.iter().find(|column| names_tendons(column.target))?.index;
    let rows = sheet.rows[found.body.clone()].iter();
    Some((index, rows.filter_map(|row| row.text(index)).collect()))
}

/// Whether the rows of a table may be ends of tendons that another has.
pub(in crate::recognise) fn may_be_of_ends(sheet: &Sheet, found: &Found) -> bool {
    found.assignment.list == "Tendons"
        && !found.assignment.per_end
        && named(sheet, found).is_some_and(|(_, names)| are_ends(names.into_iter()))
}

/// Takes the tables of a sheet whose rows are ends of these tendons; `outside` are the rows of no table.
pub(in crate::recognise) fn take(
    sheet: &mut Sheet,
    found: &mut Vec<Found>,
    outside: &mut BTreeSet<u32>,
    marks: &Marks,
) {
    if sheet.grid.is_turned() {
        return;
    }
    for table in found.iter_mut() {
        if !may_be_of_ends(sheet, table) {
            continue;
        }
        let Some((index, names)) = named(sheet, table) else { continue };
        if names_ends(&names, marks) && states_ends(&table.assignment, index) {
            let (headers, body) = (table.headers.clone(), table.body.clone());
            *table = table_of(sheet, headers, body, index, table.caption.clone());
        }
    }
    let mut at = 0;
    while at + LEAST < sheet.rows.len() {
        let Some((headers, body, index)) = block(sheet, at, outside, marks) else {
            at += 1;
            continue;
        };
        at = body.end;
        let caption = caption(sheet, headers.start.saturating_sub(3), headers.start);
        let table = table_of(sheet, headers.clone(), body.clone(), index, caption);
        sheet.rows[headers.start..body.end].iter().for_each(|row| _ = outside.remove(&row.number));
        found.push(table);
    }
    found.sort_by_key(|table| table.headers.start);
}

/// Whether all names are those of tendons that tables have, with the letter of an end; none of a tendon itself.
fn names_ends(names: &[&str], marks: &Marks) -> bool {
    names
        .iter()
        .all(|name| !marks.has(name) && parted(name).is_some_and(|(base, _)| marks.has(base)))
}

/// Whether the columns beside that of the names state what an end has, and nothing that a tendon has: rows with
/// strands, forces, lengths or stations of their own are tendons that are called so.
fn states_ends(assignment: &Assignment, names: u32) -> bool {
    let targets = assignment.columns.iter().filter(|one| one.index != names);
    let lists: Vec<_> = targets.filter_map(|one| one.target).map(|target| target.list()).collect();
    !lists.is_empty() && lists.iter().all(|list| *list == Some("Ends"))
}

/// The headers, the rows and the column of names of such a table that begins there.
fn block(
    sheet: &Sheet,
    at: usize,
    outside: &BTreeSet<u32>,
    marks: &Marks,
) -> Option<(Range<usize>, Range<usize>, u32)> {
    let rows = &sheet.rows;
    let is_free = |at: usize| rows.get(at).is_some_and(|row| outside.contains(&row.number));
    let row = rows.get(at).filter(|_| is_free(at))?;
    let is_text = row.own().all(|(_, cell)| matches!(cell.cell, Cell::Text(_)));
    let (index, _) = row.own().next().filter(|_| is_text && row.own().count() >= 2)?;
    let first = at + 1 + usize::from(rows.get(at + 1).is_some_and(is_unit_row));
    let is_end = |at: usize| {
        let name = rows[at].text(index).and_then(parted);
        is_free(at) && name.is_some_and(|(base, _)| marks.has(base))
    };
    let end = (first..rows.len())
        .find(|at| !is_end(*at) || rows[*at].number != rows[*at - 1].number + 1)
        .unwrap_or(rows.len());
    let body = first..end.max(first);
    let names: Vec<&str> = rows[body.clone()].iter().filter_map(|row| row.text(index)).collect();
    if !are_ends(names.iter().copied()) || !names_ends(&names, marks) {
        return None;
    }
    let headers = at..at + 1;
    let units = units_of(rows.get(headers.end).filter(|row| is_unit_row(row)));
    let mut columns = candidates(sheet, headers.clone(), &units, body.clone());
    captioned::name(&mut columns, caption(sheet, at.saturating_sub(3), at).as_deref());
    states_ends(&Assignment::of("Tendons", &columns), index).then_some((headers, body, index))
}

/// The table as one with a row for each end, the name parted into that of the tendon and that of the end.
fn table_of(
    sheet: &mut Sheet,
    headers: Range<usize>,
    body: Range<usize>,
    index: u32,
    caption: Option<String>,
) -> Found {
    let last = headers.end - 1;
    for at in [last].into_iter().chain(body.clone()) {
        let Some(cell) = sheet.rows[at].cells.get(&index).cloned() else { continue };
        let parts = match &cell.cell {
            _ if at == last => Some((None, "End")),
            Cell::Text(text) => parted(text).map(|(base, end)| (Some(base.to_owned()), end)),
            _ => None,
        };
        let Some((base, end)) = parts else { continue };
        let text = |text: String| GridCell { cell: Cell::Text(text.into()), ..cell.clone() };
        let cells = &mut sheet.rows[at].cells;
        cells.insert(second(index), text(end.to_owned()));
        if let Some(base) = base {
            cells.insert(index, text(base));
        }
    }
    sheet.paired.insert(index);
    sheet.paired.insert(second(index));
    let units = units_of(sheet.rows.get(headers.end).filter(|row| is_unit_row(row)));
    let mut columns: Vec<Candidate<'_>> = candidates(sheet, headers.clone(), &units, body.clone());
    for column in columns.iter_mut().filter(|column| column.index == index) {
        let given = column.header.given.clone();
        column.header = HeaderText { given, ..HeaderText::read(&["Tendon"]) };
    }
    captioned::name(&mut columns, caption.as_deref());
    let assignment = Assignment::of("Tendons", &columns);
    Found {
        caption,
        headers,
        units,
        body,
        repeated: BTreeSet::new(),
        assignment,
        owner: None,
        only: None,
        by_others: true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_of_an_end_is_that_of_its_tendon_with_a_letter() {
        for (text, base, end) in [
            ("T1A", "T1", "A"),
            ("T1-B", "T1", "B"),
            ("T12 / A", "T12", "A"),
            ("T1 end B", "T1", "B"),
            ("101L-A", "101L", "A"),
        ] {
            assert_eq!(parted(text), Some((base, end)), "{text}");
        }
        for text in ["T1", "Pier A", "A", "T1C", ""] {
            assert_eq!(parted(text), None, "{text}");
        }
        assert!(are_ends(["T1A", "T1B", "T2A"].into_iter()));
        assert!(!are_ends(["T1A", "T2A", "T3A"].into_iter()), "they may be called so");
    }
}
