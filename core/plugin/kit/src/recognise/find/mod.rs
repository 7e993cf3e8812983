//! The tables of a sheet: where their headers stand, and which rows belong to them.

mod continued;
mod headers;
pub(super) mod keyed;
mod keyless;
mod mapped;

use std::collections::BTreeSet;
use std::ops::Range;

use super::assign::{Assignment, Candidate};
use super::captioned;
use super::extent;
use super::fit::SAMPLE;
use super::grid::Sheet;
use super::habits;
use super::header::HeaderText;
use super::labels;
use super::mapping::TableMapping;
use crate::sheet::Cell;
pub(super) use continued::continued;
use headers::{
    header_key, header_texts, is_band, is_group_row, is_lower_header, is_title, is_unit_row,
    units_of,
};
pub(super) use headers::{is_field, is_header_like};
pub(super) use keyless::{Keyless, keyless};
use mapped::mapped_tables;
pub(super) use mapped::settle_rows;

/// Rows of one header, the units below it not counted.
const HEADER_ROWS: usize = 3;
/// Tables of one sheet.
const MOST_TABLES: usize = 200;

/// A table of a sheet; rows are positions among the rows that say something.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) caption: Option<String>,
    /// The rows of its headers.
    pub(super) headers: Range<usize>,
    /// The units in a row below the headers, by column.
    pub(super) units: Vec<(u32, String)>,
    /// The rows below.
    pub(super) body: Range<usize>,
    /// Rows in the body in which the headers come again.
    pub(super) repeated: BTreeSet<usize>,
    pub(super) assignment: Assignment,
    /// The tendon to which its rows belong, where no column says it.
    pub(super) owner: Option<Box<str>>,
    /// The numbers of the only rows that give records, where others are for other tendons.
    pub(super) only: Option<BTreeSet<u32>>,
    /// Whether it is found by what other tables say.
    pub(super) by_others: bool,
}

/// What must speak for a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Trust {
    /// Headers, and values that fit them.
    Values,
    /// Headers alone, of which hardly one is unknown.
    Headers,
}

/// Columns that headers must name at least which nothing else speaks for.
const LEAST_NAMED: usize = 3;

/// Looks for the tables of a sheet whose merged cells are filled; the mapping may say where headers stand.
pub(super) fn tables(sheet: &Sheet, mapped: &[&TableMapping]) -> Vec<Found> {
    let found = mapped_tables(sheet, mapped);
    if found.is_empty() { search(sheet, Trust::Values) } else { found }
}

/// Looks for tables none of whose values may fit, as their headers leave no doubt: what cannot be read is then said of
/// each value.
pub(super) fn by_headers(sheet: &Sheet) -> Vec<Found> {
    search(sheet, Trust::Headers)
}

fn search(sheet: &Sheet, trust: Trust) -> Vec<Found> {
    let rows = &sheet.rows;
    let mut found: Vec<Found> = Vec::new();
    let mut from = 0;
    let mut at = 0;
    while at < rows.len() && found.len() < MOST_TABLES {
        if !is_header_like(&rows[at]) || is_title(&rows[at]) {
            at += 1;
            continue;
        }
        let caption = caption(sheet, from, at);
        match best_at(sheet, trust, from, at, caption.as_deref()) {
            Some(mut table) => {
                let first = header_key(&rows[table.headers.start]);
                let last = header_key(&rows[table.headers.end - 1]);
                let mut end = table.body.start;
                while end < rows.len() {
                    if is_header_like(&rows[end]) {
                        let key = header_key(&rows[end]);
                        if key != first && key != last {
                            break;
                        }
                        table.repeated.insert(end);
                    }
                    end += 1;
                }
                let body_end = if end < rows.len() {
                    above_caption(sheet, end).max(table.body.start)
                } else {
                    end
                };
                let body_end = extent::end(rows, table.body.start..body_end);
                end = end.min(body_end.max(at + 1));
                table.body.end = body_end;
                from = body_end;
                at = end;
                found.extend(without_labels(sheet, table));
            }
            None => at += 1,
        }
    }
    found
}

/// A table without the rows in its body that begin with names of fields, in as many pieces as they leave of it.
fn without_labels(sheet: &Sheet, table: Found) -> Vec<Found> {
    let mut pieces = Vec::new();
    let mut rest = Some(table);
    while let Some(mut piece) = rest.take() {
        if let Some(labels) = labels::below(sheet, &piece.body, &piece.assignment) {
            let goes_on = labels::goes_on_at(sheet, &piece, &labels);
            if let Some(from) = goes_on {
                let body = from..piece.body.end;
                rest =
                    Some(Found { caption: None, headers: from..from + 1, body, ..piece.clone() });
            }
            piece.body.end = labels.start;
        }
        pieces.push(piece);
    }
    pieces
}

fn is_text(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Text(_))
}

/// The caption above headers: the last text of its own above them.
fn caption(sheet: &Sheet, from: usize, at: usize) -> Option<String> {
    (from..at).rev().take(3).find_map(|row| {
        let row = &sheet.rows[row];
        let mut own = row.own();
        let (first, second) = (own.next(), own.next());
        match (first, second) {
            (Some((_, cell)), None) => match &cell.cell {
                Cell::Text(text) if text.len() <= 120 => Some(text.trim().to_owned()),
                _ => None,
            },
            _ => None,
        }
    })
}

/// The best table whose headers hold this row.
fn best_at(
    sheet: &Sheet,
    trust: Trust,
    from: usize,
    at: usize,
    caption: Option<&str>,
) -> Option<Found> {
    let mut best: Option<Found> = None;
    let context = format!("{} {}", sheet.name, caption.unwrap_or_default());
    for headers in header_rows(sheet, from, at) {
        let Some(one) = one(sheet, trust, headers, caption, &context) else { continue };
        if best.as_ref().is_none_or(|best| one.assignment.score > best.assignment.score + 1e-9) {
            best = Some(one);
        }
    }
    best
}

/// The rows that may be headers together, this one among them.
fn header_rows(sheet: &Sheet, from: usize, at: usize) -> Vec<Range<usize>> {
    let rows = &sheet.rows;
    let mut all = Vec::new();
    for above in 0..HEADER_ROWS {
        let Some(first) = at.checked_sub(above).filter(|first| *first >= from) else { break };
        if above > 0
            && (!is_group_row(&rows[first]) || rows[first + 1].number - rows[first].number > 1)
        {
            break;
        }
        for below in 0..HEADER_ROWS - above {
            let end = at + below + 1;
            if end > rows.len() {
                break;
            }
            if below > 0 && !is_lower_header(&rows[end - 1], &rows[end - 2]) {
                break;
            }
            all.push(first..end);
        }
    }
    all
}

/// What stands under some headers, before anything is known of it.
struct Table<'s> {
    headers: Range<usize>,
    units: Vec<(u32, String)>,
    /// Where its rows begin.
    body: usize,
    columns: Vec<Candidate<'s>>,
    /// Whether further headers stand right below.
    goes_on: bool,
}

fn table_at<'s>(sheet: &'s Sheet, headers: Range<usize>, caption: Option<&str>) -> Table<'s> {
    let rows = &sheet.rows;
    let units_row = rows.get(headers.end).filter(|row| is_unit_row(row));
    let units = units_of(units_row);
    let body = headers.end + usize::from(units_row.is_some());
    let sample_end = rows.len().min(body + SAMPLE);
    let sample_end = (body..sample_end).find(|at| is_header_like(&rows[*at])).unwrap_or(sample_end);
    // Right above further headers stand no headers of a table, but a part of those.
    let goes_on = sample_end == body
        && rows.get(body).is_some_and(|row| row.number == rows[body - 1].number + 1)
        && rows.get(body).is_some_and(is_header_like);
    let sample_end = extent::end(rows, body..sample_end);
    let mut columns = candidates(sheet, headers.clone(), &units, body..sample_end);
    captioned::name(&mut columns, caption);
    Table { headers, units, body, columns, goes_on }
}

fn one(
    sheet: &Sheet,
    trust: Trust,
    headers: Range<usize>,
    caption: Option<&str>,
    context: &str,
) -> Option<Found> {
    let Table { headers, units, body, mut columns, goes_on } = table_at(sheet, headers, caption);
    if goes_on && trust == Trust::Values {
        return None;
    }
    if trust == Trust::Headers {
        columns.iter_mut().for_each(|column| column.values.clear());
    }
    let assignment = Assignment::best(&columns, context, &sheet.named)?;
    let named = assignment.columns.iter().filter(|column| column.target.is_some()).count();
    if trust == Trust::Headers && (named < LEAST_NAMED || named * 5 < columns.len() * 4) {
        return None;
    }
    Some(Found {
        caption: caption.map(str::to_owned),
        headers,
        units,
        body: body..body,
        repeated: BTreeSet::new(),
        assignment,
        owner: None,
        only: None,
        by_others: false,
    })
}

/// The columns under headers, with the values of some rows.
fn candidates<'s>(
    sheet: &'s Sheet,
    headers: Range<usize>,
    units: &[(u32, String)],
    sample: Range<usize>,
) -> Vec<Candidate<'s>> {
    let rows = &sheet.rows;
    let mut columns: Vec<Candidate<'_>> = header_texts(&rows[headers])
        .into_iter()
        .map(|(index, parts)| {
            let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
            let values = rows[sample.clone()]
                .iter()
                .filter(|row| row.cells.len() > 1 && !super::habits::begins_with_sums(row))
                .filter_map(|row| row.cells.get(&index))
                .map(|cell| sheet.meant(&cell.cell))
                .filter(|cell| {
                    !(cell.is_blank() || habits::is_ditto(cell) || habits::is_pending(cell))
                })
                .collect();
            let below =
                units.iter().find(|(column, _)| *column == index).map(|(_, unit)| unit.clone());
            let header = HeaderText::read(&parts);
            let is_hidden = !sheet.grid.is_turned() && sheet.hidden_columns.contains(&index);
            Candidate { index, header, below, values, is_hidden }
        })
        .collect();
    super::ordered::name_ends(&mut columns);
    super::opposites::name_ends(&mut columns);
    super::placed::name_ends(&mut columns, &sheet.quarters);
    if sheet.grid.is_turned() {
        captioned::name_corner(&mut columns);
    }
    columns
}

/// The row at which the table above headers ends: what stands right above them is their caption.
fn above_caption(sheet: &Sheet, headers: usize) -> usize {
    let rows = &sheet.rows;
    let mut end = headers;
    // What groups the headers belongs to them.
    while end > 0 && headers - end < HEADER_ROWS && is_band(&rows[end - 1], &rows[end]) {
        end -= 1;
    }
    let headers = end;
    while end > 0
        && rows[headers].number - rows[end - 1].number <= 3
        && rows[end - 1].own().count() <= 2
        && rows[end - 1].own().all(|(_, cell)| is_text(&cell.cell))
    {
        end -= 1;
    }
    end
}
