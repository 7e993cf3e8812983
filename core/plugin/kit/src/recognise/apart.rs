//! Tables that stand side by side in some rows of a sheet, parted by blank columns.

use super::find;
use super::grid::{GridRow, Sheet, standing};
use super::header::HeaderText;
use super::vocabulary::Vocabulary;
use crate::sheet::Cell;

/// How much a word of the trade must explain of a header.
const KNOWN: f64 = 0.9;
/// Rows of headers of one sheet that are looked at.
const MOST_HEADERS: usize = 200;
/// Columns of a table at least.
const LEAST: usize = 2;

/// Some columns of some rows, both ends included.
#[derive(Clone, Copy)]
struct Block {
    columns: (u32, u32),
    rows: (u32, u32),
}

/// Takes the tables out of a sheet that stand to the right of another, beside blank columns; gives each as a sheet.
///
/// Blank columns may as well lie within one table. A block is one of its own where it has a caption of its own, or
/// where its rows end earlier or later than those to the left.
pub(super) fn split(sheet: &mut Sheet) -> Vec<Sheet> {
    let mut taken = Vec::new();
    // Without a gap between its cells a row has nothing beside it.
    let headers: Vec<u32> = sheet
        .rows
        .iter()
        .filter(|row| segments(row).len() > 1 && find::is_header_like(row))
        .map(|row| row.number)
        .take(MOST_HEADERS)
        .collect();
    for header in headers {
        while let Some(block) = rightmost(sheet, header) {
            taken.push(
                sheet.cut(block.columns.0..block.columns.1 + 1, block.rows.0..block.rows.1 + 1),
            );
        }
    }
    taken
}

/// The columns of a row that stand side by side, first and last of each.
fn segments(row: &GridRow) -> Vec<(u32, u32)> {
    let mut segments: Vec<(u32, u32)> = Vec::new();
    for (column, cell) in &row.cells {
        if cell.cell.is_blank() || standing(*column) != *column {
            continue;
        }
        match segments.last_mut() {
            Some(last) if *column - last.1 == 1 => last.1 = *column,
            _ => segments.push((*column, *column)),
        }
    }
    segments
}

/// The last block beside others in a row of headers, if it is one of its own.
fn rightmost(sheet: &Sheet, header: u32) -> Option<Block> {
    let row = sheet.row(header)?;
    let mut segments = segments(row);
    let right = segments.pop()?;
    let left = segments.last()?;
    let caption_row = header;
    let (header, right) = match below_caption(sheet, header, right) {
        Some(lower) => lower,
        None => (header, right),
    };
    let wide = |segment: &(u32, u32)| {
        usize::try_from(segment.1 - segment.0 + 1).is_ok_and(|wide| wide >= LEAST)
    };
    if !wide(&right) || !wide(left) {
        return None;
    }
    let last_of = |columns: (u32, u32)| last_row(sheet, header, columns);
    let (end, left_end) = (last_of(right)?, last_row(sheet, caption_row, (0, left.1))?);
    if end == header {
        return None;
    }
    // Whatever stands between the two makes them one.
    let is_parted = sheet
        .rows
        .iter()
        .filter(|row| (header..=end.min(left_end)).contains(&row.number))
        .all(|row| row.cells.range(left.1 + 1..right.0).all(|(_, cell)| cell.cell.is_blank()));
    let caption = match caption_row < header {
        true => Some(caption_row),
        false => caption(sheet, header, right, *left),
    };
    if !is_parted || (caption.is_none() && end == left_end) {
        return None;
    }
    // Without a caption, what fills fewer rows may be remarks; their first column has gaps.
    if caption.is_none() && !is_dense(sheet, header, end, right.0) {
        return None;
    }
    Some(Block { columns: (right.0, u32::MAX - 1), rows: (caption.unwrap_or(header), end) })
}

/// The headers of a block whose caption stands beside the headers to its left: their row and columns.
fn below_caption(sheet: &Sheet, header: u32, right: (u32, u32)) -> Option<(u32, (u32, u32))> {
    if right.0 != right.1 {
        return None;
    }
    let row = sheet.row(header + 1)?;
    let mut last = right.0;
    for (column, cell) in
        row.cells.range(right.0..).take_while(|(column, _)| standing(**column) == **column)
    {
        if *column > last + 1 || !matches!(cell.cell, Cell::Text(_)) {
            return None;
        }
        last = *column;
    }
    let begins = row.cells.contains_key(&right.0) && last > right.0;
    let is_known = |column: u32| {
        let words =
            row.text(column).map(|text| HeaderText::read(&[text]).words).unwrap_or_default();
        Vocabulary::get().find(&words).first().is_some_and(|(_, score)| *score >= KNOWN)
    };
    (begins && (right.0..=last).any(is_known)).then_some((row.number, (right.0, last)))
}

/// The last row below headers in which these columns hold anything, before they hold nothing.
fn last_row(sheet: &Sheet, header: u32, columns: (u32, u32)) -> Option<u32> {
    let mut last = header;
    for row in sheet.rows.iter().filter(|row| row.number > header) {
        let speaks = speaks(row, columns);
        if !speaks || row.number != last + 1 {
            break;
        }
        last = row.number;
    }
    Some(last)
}

fn speaks(row: &GridRow, columns: (u32, u32)) -> bool {
    row.cells.range(columns.0..=columns.1).any(|(_, cell)| !cell.cell.is_blank())
}

/// Whether the first column of a block is filled in all its rows.
fn is_dense(sheet: &Sheet, header: u32, end: u32, column: u32) -> bool {
    let rows = sheet.rows.iter().filter(|row| (header..=end).contains(&row.number));
    rows.clone().count() > 1
        && rows.clone().all(|row| row.cells.get(&column).is_some_and(|cell| !cell.cell.is_blank()))
}

/// The row of a caption right above a block, which is not that of the block to its left.
fn caption(sheet: &Sheet, header: u32, right: (u32, u32), left: (u32, u32)) -> Option<u32> {
    let row = sheet.rows.iter().rev().find(|row| row.number < header)?;
    if header - row.number > 2 {
        return None;
    }
    let texts: Vec<u32> = row
        .own()
        .filter(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if !text.trim().is_empty()))
        .map(|(column, _)| column)
        .collect();
    let over = |columns: (u32, u32)| {
        texts.iter().filter(|column| (columns.0..=columns.1).contains(column)).count()
    };
    // A second row of headers groups more than one column.
    (over(right) == 1 && over((0, left.1)) <= 1 && texts.contains(&right.0)).then_some(row.number)
}
