//! Rows that look as headers do, and what stands in them.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::recognise::assign::Candidate;
use crate::recognise::grid::{GridRow, Sheet, Spread};
use crate::recognise::habits;
use crate::recognise::header::{HeaderText, Scope, is_unit};
use crate::recognise::vocabulary::{DELETED, Vocabulary};
use crate::recognise::words::{sorted, words};
use crate::sheet::Cell;

/// The texts of a row, by which headers are known again.
pub(super) fn header_key(row: &GridRow) -> Vec<String> {
    row.own()
        .map(|(_, cell)| match &cell.cell {
            Cell::Text(text) => sorted(words(text)).join(" "),
            _ => String::new(),
        })
        .collect()
}

/// Whether a row looks as headers do: words of the trade, and no numbers.
pub(in crate::recognise) fn is_header_like(row: &GridRow) -> bool {
    let (mut texts, mut known) = (0_usize, 0_usize);
    for (_, cell) in row.own() {
        match &cell.cell {
            Cell::Text(text) => {
                if text.len() > 120 {
                    return false;
                }
                texts += 1;
                let header = HeaderText::read(&[text.trim()]);
                let is_end = header.scope.is_some() && header.words.is_empty();
                known += usize::from(is_end || is_field(text));
            }
            // Marks of the ends may stand in headers as bare numbers.
            Cell::Number(_) | Cell::Flag(_) | Cell::Date(_) | Cell::Moment(..) | Cell::Time(_) => {
                return false;
            }
            Cell::Error(_) | Cell::Uncalculated(_) => return false,
        }
    }
    known >= 2 && known * 5 >= texts * 2
}

/// Whether people call a field so.
pub(in crate::recognise) fn is_field(text: &str) -> bool {
    let is_known = |wanted: &[String]| {
        Vocabulary::get().find(wanted).first().is_some_and(|(_, score)| *score >= 0.85)
    };
    is_known(&HeaderText::read(&[text.trim()]).words) || is_known(&sorted(words(text)))
}

/// Whether a row can stand above headers and group them.
pub(super) fn is_group_row(row: &GridRow) -> bool {
    row.own().count() >= 1
        && row.own().all(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if text.len() <= 40))
        && (row.own().count() >= 2 || row.cells.values().any(|cell| cell.spread == Spread::Across))
}

/// Whether a row can be the lower part of headers.
pub(super) fn is_lower_header(row: &GridRow, above: &GridRow) -> bool {
    row.number == above.number + 1
        && row.cells.values().all(|cell| {
            matches!(&cell.cell, Cell::Text(text)
                if !text.trim().starts_with(|c: char| c.is_ascii_digit()) && text.len() <= 60)
        })
        && !row.cells.values().any(|cell| {
            matches!(&cell.cell, Cell::Text(text) if DELETED.contains(&text.trim().to_lowercase().as_str()))
        })
}

/// The units in a row, by column.
pub(super) fn units_of(row: Option<&GridRow>) -> Vec<(u32, String)> {
    let Some(row) = row else { return Vec::new() };
    let bare = |text: &str| text.trim_matches(['(', ')', '[', ']', ' ']).to_owned();
    row.cells.keys().filter_map(|column| Some((*column, bare(row.text(*column)?)))).collect()
}

/// The columns under headers, with the values of some rows.
pub(super) fn candidates(
    sheet: &Sheet,
    headers: Range<usize>,
    sample: Range<usize>,
) -> Vec<Candidate<'_>> {
    let rows = &sheet.rows;
    let mut columns: Vec<Candidate<'_>> = header_texts(&rows[headers])
        .into_iter()
        .map(|(index, parts)| {
            let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
            let values = rows[sample.clone()]
                .iter()
                .filter(|row| row.cells.len() > 1)
                .filter_map(|row| row.cells.get(&index))
                .map(|cell| &cell.cell)
                .filter(|cell| {
                    !(cell.is_blank() || habits::is_ditto(cell) || habits::is_pending(cell))
                })
                .collect();
            Candidate { index, header: HeaderText::read(&parts), values }
        })
        .collect();
    pair_ends(&mut columns);
    columns
}

/// Under `Begin Sta.` and `End Sta.` the second speaks of the other end, though `end` alone says neither.
fn pair_ends(columns: &mut [Candidate<'_>]) {
    let begun: Vec<Vec<String>> = columns
        .iter()
        .filter(|column| column.header.scope == Some(Scope::A))
        .map(|column| column.header.words.clone())
        .collect();
    for column in columns.iter_mut().filter(|column| column.header.scope.is_none()) {
        let rest: Vec<String> =
            column.header.words.iter().filter(|word| *word != "end").cloned().collect();
        if rest.len() < column.header.words.len() && begun.contains(&rest) {
            column.header.scope = Some(Scope::B);
            column.header.words = rest;
        }
    }
}

/// Whether a row below headers holds units and nothing else.
pub(super) fn is_unit_row(row: &GridRow) -> bool {
    let mut count = 0;
    for cell in row.cells.values() {
        let Cell::Text(text) = &cell.cell else { return false };
        let text = text.trim().trim_matches(['(', ')', '[', ']', ' ']);
        if !is_unit(text) && !text.is_empty() {
            return false;
        }
        count += 1;
    }
    count >= 2
}

/// The texts above each other of each column that has a header.
///
/// In a file without merged cells a group stands only in its first column; it holds for the columns to its right
/// that have a header below and nothing beside it.
fn header_texts(rows: &[GridRow]) -> Vec<(u32, Vec<String>)> {
    let columns: BTreeSet<u32> = rows.iter().flat_map(|row| row.cells.keys().copied()).collect();
    let Some((lowest, upper)) = rows.split_last() else { return Vec::new() };
    let has_lower = |level: usize, column: u32| {
        upper[level + 1..].iter().chain([lowest]).any(|row| row.text(column).is_some())
    };
    let is_merged =
        rows.iter().any(|row| row.cells.values().any(|cell| cell.spread == Spread::Across));
    let mut found = Vec::new();
    for column in columns {
        let mut parts = Vec::new();
        for (level, row) in upper.iter().enumerate() {
            if let Some(text) = row.text(column) {
                parts.push(text.to_owned());
            } else if !is_merged && has_lower(level, column) {
                let left = row.cells.range(..column).next_back();
                if let Some((group, _)) = left
                    && has_lower(level, *group)
                    && let Some(text) = row.text(*group)
                {
                    parts.push(text.to_owned());
                }
            }
        }
        parts.extend(lowest.text(column).map(str::to_owned));
        if !parts.is_empty() {
            found.push((column, parts));
        }
    }
    found
}
