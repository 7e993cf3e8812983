//! Parts of a sheet that hold tables of their own: side by side, or written sideways above and below others.

use std::collections::BTreeSet;

use super::find::{self, Found};
use super::grid::{GridRow, Sheet, standing};
use super::sections;
use crate::sheet::Cell;

/// Rows of a table that is written sideways.
const LEAST_ROWS: usize = 3;

/// The parts of a sheet that stand side by side, each with a table; one part where there is nothing of the kind.
pub(super) fn beside(sheet: Sheet) -> Vec<Sheet> {
    let Some(first) = sheet.rows.iter().find(|row| find::is_header_like(row)) else {
        return vec![sheet];
    };
    let used: BTreeSet<u32> = sheet
        .rows
        .iter()
        .filter(|row| row.number >= first.number)
        .flat_map(|row| row.own().map(|(column, _)| standing(column)).collect::<Vec<_>>())
        .collect();
    let mut starts: Vec<u32> = used
        .iter()
        .zip(used.iter().skip(1))
        .filter(|(one, next)| **next - **one > 1)
        .map(|(_, next)| *next)
        .collect();
    starts.extend(repeated(first));
    starts.sort_unstable();
    starts.dedup();
    if starts.is_empty() {
        return vec![sheet];
    }
    let mut bounds = vec![0];
    bounds.extend(starts);
    bounds.push(u32::MAX);
    let parts: Vec<Sheet> =
        bounds.windows(2).map(|bounds| sheet.of_columns(bounds[0]..bounds[1])).collect();
    // A gap between columns may as well be one table's.
    if parts.iter().all(|part| !find::tables(part, &[]).is_empty()) { parts } else { vec![sheet] }
}

/// Where a row of headers begins anew, if it does nothing but come again.
fn repeated(row: &GridRow) -> Vec<u32> {
    let texts: Vec<(u32, &str)> = row
        .own()
        .filter(|(column, _)| standing(*column) == *column)
        .filter_map(|(column, _)| Some((column, row.text(column)?)))
        .collect();
    let Some((_, first)) = texts.first() else { return Vec::new() };
    let starts: Vec<usize> =
        (1..texts.len()).filter(|at| texts[*at].1.eq_ignore_ascii_case(first)).collect();
    let Some(width) = starts.first().copied() else { return Vec::new() };
    let is_period = width >= 2
        && texts.len().is_multiple_of(width)
        && (width..texts.len()).all(|at| texts[at].1.eq_ignore_ascii_case(texts[at - width].1));
    if is_period { starts.iter().map(|at| texts[*at].0).collect() } else { Vec::new() }
}

/// A table that is written sideways in some rows of a sheet.
pub(super) struct Sideways {
    /// The rows, turned.
    pub(super) sheet: Sheet,
    pub(super) found: Vec<Found>,
    /// The numbers of the rows in the sheet, that of the caption among them.
    pub(super) rows: BTreeSet<u32>,
}

/// The tables that are written sideways in those rows of a sheet that belong to no other; and those that are not read, as
/// no row names their tendons.
pub(super) fn sideways(
    sheet: &Sheet,
    outside: &BTreeSet<u32>,
) -> (Vec<Sideways>, Vec<find::Keyless>) {
    let count = |row: &GridRow| row.own().filter(|(_, cell)| !cell.cell.is_blank()).count();
    let rows: Vec<&GridRow> =
        sheet.rows.iter().filter(|row| outside.contains(&row.number)).collect();
    let mut blocks: Vec<Vec<u32>> = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let goes_on =
            |block: &&mut Vec<u32>| block.last().is_some_and(|last| row.number - last == 1);
        // The heading of a section stands alone between rows with values.
        let heads = count(row) == 1
            && rows
                .get(at + 1)
                .is_some_and(|next| next.number == row.number + 1 && count(next) >= 2);
        match blocks.last_mut().filter(goes_on) {
            Some(block) if count(row) >= 2 || heads => block.push(row.number),
            _ if count(row) >= 2 => blocks.push(vec![row.number]),
            _ => {}
        }
    }
    let (mut all, mut keyless) = (Vec::new(), Vec::new());
    for block in joined(sheet, blocks).into_iter().filter(|block| block.len() >= LEAST_ROWS) {
        let mut rows: BTreeSet<u32> = block.into_iter().collect();
        let turned = turned(sheet, &rows);
        let mut found = find::tables(&turned, &[]);
        if found.is_empty() {
            let all = turned.rows.iter().map(|row| row.number).collect();
            keyless.extend(find::keyless(&turned, &all));
            continue;
        }
        if let (Some(first), Some(table)) = (rows.first(), found.first_mut()) {
            let above = caption(sheet, *first);
            table.caption = above.as_ref().map(|(_, text)| text.clone());
            rows.extend(above.map(|(row, _)| row));
        }
        all.push(Sideways { sheet: turned, found, rows });
    }
    (all, keyless)
}

/// Blocks of rows, those joined that a blank row parts and of which the lower is no table by itself.
fn joined(sheet: &Sheet, blocks: Vec<Vec<u32>>) -> Vec<Vec<u32>> {
    /// Blank rows within one table at most.
    const BLANK: u32 = 2;
    let mut joined: Vec<Vec<u32>> = Vec::new();
    for block in blocks {
        let first = block.first().copied().unwrap_or_default();
        let is_below = joined.last().is_some_and(|above: &Vec<u32>| {
            above.len() >= LEAST_ROWS && above.last().is_some_and(|last| first - last <= BLANK + 1)
        });
        let is_table =
            || !find::tables(&turned(sheet, &block.iter().copied().collect()), &[]).is_empty();
        if is_below && !is_table() {
            if let Some(above) = joined.last_mut() {
                above.extend(block);
            }
        } else {
            joined.push(block);
        }
    }
    joined
}

/// Some rows of a sheet as columns, without the headings of their sections.
fn turned(sheet: &Sheet, rows: &BTreeSet<u32>) -> Sheet {
    let mut block = sheet.of_rows(rows);
    sections::take_out(&mut block);
    block.turned()
}

/// The text of its own right above a row, with its row.
fn caption(sheet: &Sheet, below: u32) -> Option<(u32, String)> {
    let row = sheet.rows.iter().rev().find(|row| row.number < below)?;
    let mut own = row.own();
    match (own.next(), own.next()) {
        (Some((_, cell)), None) if below - row.number <= 2 => match &cell.cell {
            Cell::Text(text) => Some((row.number, text.trim().to_owned())),
            _ => None,
        },
        _ => None,
    }
}
