//! The parts of a sheet, and the tables of each.

use std::collections::BTreeSet;

use super::find::{self, Found};
use super::grid::Sheet;
use super::hidden::hidden;
use super::mapping::{Mapping, TableMapping};
use super::notes::UnitNotes;
use super::{Looked, apart, general, pairs, profiles, rearranged, views};
use crate::sheet::Cell;

/// Looks for the tables of a sheet, as it stands, side by side or sideways; gives its parts.
pub(super) fn look(sheet: Sheet, before: Option<&Looked>, mapping: &Mapping) -> Vec<Looked> {
    let mapped: Vec<&TableMapping> = mapping.of(&sheet.name).collect();
    if !mapped.iter().any(|table| table.headers.is_some()) {
        return look_for(sheet, before, Vec::new());
    }
    // Where a mapping places headers that are found without it, everything else is found as well.
    let own = look_for(sheet.clone(), before, Vec::new());
    if mapped.iter().all(|table| is_found(&own, table)) {
        return own;
    }
    look_for(sheet, before, mapped)
}

/// Whether a table is found where a mapping places it, and holds what the mapping says.
fn is_found(looked: &[Looked], table: &TableMapping) -> bool {
    let Some(headers) = table.headers else { return true };
    let list = super::mapping::list_of(table.record.as_deref().unwrap_or("tendon"));
    looked.iter().any(|one| {
        one.found.iter().any(|found| {
            let numbers = [found.headers.start, found.headers.end - 1];
            numbers.map(|at| one.sheet.rows[at].number + 1) == headers
                && Some(found.assignment.list) == list
        })
    })
}

fn look_for(mut sheet: Sheet, before: Option<&Looked>, mapped: Vec<&TableMapping>) -> Vec<Looked> {
    let mut hidden = hidden(&sheet);
    // What a sheet explains itself goes before what others do.
    sheet.legend.extend(super::legend::of(&sheet).meanings);
    let is_placed = mapped.iter().any(|table| table.headers.is_some());
    let profiles = if is_placed { Vec::new() } else { profiles::take_out(&mut sheet) };
    let general = if mapped.is_empty() { general::take_out(&mut sheet) } else { None };
    let rearranged = rearranged(&mut sheet, &mapped);
    pairs::split(&mut sheet);
    let apart = if mapped.is_empty() { apart::split(&mut sheet) } else { Vec::new() };
    let mut looked = Vec::new();
    for part in views::beside(sheet) {
        looked.extend(look_at(part, before, &mapped));
    }
    for part in apart.into_iter().chain(rearranged) {
        looked.extend(look_at(part, None, &[]));
    }
    looked.extend(profiles);
    let has_tables = looked.iter().any(|one| !one.found.is_empty()) || general.is_some();
    looked.extend(general);
    // What is noted beside a table speaks of the others of its sheet too.
    let mut all = UnitNotes::default();
    looked.iter().for_each(|one| all.join(&one.notes));
    for one in &mut looked {
        one.notes.join(&all);
        one.hidden = hidden.take();
        one.is_part = has_tables;
    }
    looked
}

/// Takes out of a sheet what is arranged in another way, unless a mapping places headers that this has not.
fn rearranged(sheet: &mut Sheet, mapped: &[&TableMapping]) -> Vec<Sheet> {
    let mut placed = mapped.iter().filter_map(|table| table.headers).peekable();
    if placed.peek().is_none() {
        return rearranged::take_out(sheet);
    }
    let mut rest = sheet.clone();
    let parts = rearranged::take_out(&mut rest);
    let heads: Vec<u32> =
        parts.iter().filter_map(|part| Some(part.rows.first()?.number + 1)).collect();
    if placed.any(|[first, _]| heads.contains(&first)) {
        *sheet = rest;
        return parts;
    }
    Vec::new()
}

/// Looks for the tables of a part of a sheet.
fn look_at(sheet: Sheet, before: Option<&Looked>, mapped: &[&TableMapping]) -> Vec<Looked> {
    let mut sheet = sheet;
    let mut found = find::tables(&sheet, mapped);
    let (mut sideways, mut keyless) = views::sideways(&sheet, &outside(&sheet, &found));
    if found.is_empty() {
        let turned = sheet.turned();
        let whole = find::tables(&turned, &[]);
        let stated = |found: &[Found]| -> usize {
            let columns = found.iter().flat_map(|one| &one.assignment.columns);
            columns.filter(|column| column.target.is_some()).count()
        };
        let in_blocks: usize = sideways.iter().map(|one| stated(&one.found)).sum();
        if sideways.len() < 2 && stated(&whole) > in_blocks {
            sideways.clear();
            keyless.clear();
            (sheet, found) = (turned, whole);
        }
    }
    if found.is_empty()
        && sideways.is_empty()
        && let Some(before) = before
        && let Some(more) = find::continued(&sheet, &before.found)
    {
        found.push(more);
    }
    if found.is_empty() && sideways.is_empty() {
        found = find::by_headers(&sheet);
    }
    let mut outside_rows = outside(&sheet, &found);
    keyless.extend(find::keyless(&sheet, &outside_rows));
    let mut parts = Vec::new();
    for views::Sideways { sheet, found, rows } in sideways {
        outside_rows.retain(|row| !rows.contains(row));
        let (outside, notes) = (outside(&sheet, &found), UnitNotes::default());
        parts.push(Looked::new(sheet, found, notes, outside));
    }
    let mut notes = UnitNotes::default();
    // A note may also stand below the last row of a table, where it looks like a part of it.
    for row in &sheet.rows {
        let own: Vec<_> = row.own().collect();
        for (_, cell) in own.iter().filter(|_| outside_rows.contains(&row.number) || own.len() <= 2)
        {
            if let Cell::Text(text) = &cell.cell {
                notes.read(text);
            }
        }
    }
    parts.insert(0, Looked { keyless, ..Looked::new(sheet, found, notes, outside_rows) });
    parts
}

/// Numbers of the rows outside all tables.
fn outside(sheet: &Sheet, found: &[Found]) -> BTreeSet<u32> {
    let inside =
        |at: usize| found.iter().any(|table| table.headers.start <= at && at < table.body.end);
    let rows = sheet.rows.iter().enumerate();
    rows.filter(|(at, _)| !inside(*at)).map(|(_, row)| row.number).collect()
}
