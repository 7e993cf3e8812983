//! One sheet of the schedule.

use std::collections::HashMap;

use restrand_kit::Loss;
use restrand_kit::sheet::{OutCell, SheetOut};
use restrand_model::sheet::Column;
use rust_xlsxwriter::{Worksheet, XlsxError};

use super::book::{Book, Filling};
use super::header::{Meaning, lines, note};
use super::look::ColumnLook;
use super::{TOO_LONG, fits, shortened};
use crate::reading::{COLUMNS, ROWS};
use crate::template;

/// Points of a line of text.
const LINE: f64 = 15.0;

/// Makes a sheet of the schedule, and says what it could not carry.
pub(super) fn make(book: &Book<'_>, out: &SheetOut) -> Result<(Worksheet, Vec<Loss>), XlsxError> {
    let mut worksheet = Worksheet::new();
    let mut losses = Vec::new();
    worksheet.set_name(out.sheet.name)?;
    worksheet.set_freeze_panes(1, keys(out))?;
    book.page.set_up(&mut worksheet, 0);
    headers(book, &mut worksheet, out, &mut losses)?;
    rows(book, &mut worksheet, out, &mut losses)?;
    if let Filling::Rows { rows, system } = book.filling {
        template::compute(&mut worksheet, book.out, out, system, rows, &book.look)?;
    }
    Ok((worksheet, losses))
}

/// The columns that stay in sight: those that name the owner, and the record's own name behind them.
fn keys(out: &SheetOut) -> u16 {
    let links = out.columns.iter().take_while(|c| matches!(c, Some(Column::Link { .. }))).count();
    let is_key = matches!(
        out.columns.get(links),
        Some(Some(Column::Value { path, .. })) if out.sheet.record.key.is_some_and(|key| *path == [key])
    );
    u16::try_from(links + usize::from(is_key)).unwrap_or(0)
}

fn headers(
    book: &Book<'_>,
    worksheet: &mut Worksheet,
    out: &SheetOut,
    losses: &mut Vec<Loss>,
) -> Result<(), XlsxError> {
    let columns = out.headers.len().min(COLUMNS as usize);
    let mut deepest = 1;
    for (column, header) in (0_u16..).zip(&out.headers[..columns]) {
        let width = width(out, usize::from(column));
        worksheet.set_column_width(column, f64::from(width))?;
        deepest = deepest.max(lines(header, usize::from(width.saturating_sub(2)).max(1)));
        if fits(header) {
            worksheet.write_string_with_format(0, column, header, &book.look.header)?;
        } else {
            losses.push(Loss {
                route: format!("{}: the header of column {}", out.sheet.name, column + 1),
                value: shortened(header),
                why: TOO_LONG.to_owned(),
            });
        }
        if let Some(of_layout) = out.columns[usize::from(column)] {
            worksheet.insert_note(0, column, &Meaning::of(of_layout, header).note())?;
        }
        book.lists.add(worksheet, out, column)?;
    }
    let deepest = u32::try_from(deepest.min(6)).unwrap_or(1);
    worksheet.set_row_height(0, LINE * f64::from(deepest))?;
    Ok(())
}

fn rows(
    book: &Book<'_>,
    worksheet: &mut Worksheet,
    out: &SheetOut,
    losses: &mut Vec<Loss>,
) -> Result<(), XlsxError> {
    let columns = out.headers.len().min(COLUMNS as usize);
    let looks: Vec<_> = (0..columns)
        .map(|column| ColumnLook::of(out.rows.iter().filter_map(|cells| cells.get(column))))
        .collect();
    let marks: HashMap<(usize, usize), &str> =
        out.marks.iter().map(|mark| ((mark.row, mark.column), mark.note.as_str())).collect();
    for (index, cells) in out.rows.iter().enumerate() {
        let Some(row) = u32::try_from(index + 1).ok().filter(|row| *row < ROWS) else {
            losses.push(Loss {
                route: book.route(&out.routes[index], ""),
                value: "a row".to_owned(),
                why: format!("a sheet has no more than {ROWS} rows"),
            });
            continue;
        };
        for (column, cell) in cells.iter().enumerate() {
            let lost = |value: String, why: String| Loss {
                route: book.route(&out.routes[index], &below(out, column)),
                value,
                why,
            };
            let Some(place) = u16::try_from(column).ok().filter(|_| column < columns) else {
                if *cell != OutCell::Empty {
                    let why = format!("a sheet has no more than {COLUMNS} columns");
                    let loss = lost(shown(cell), why);
                    losses.push(loss);
                }
                continue;
            };
            if let OutCell::Text(text) = cell
                && !fits(text)
            {
                let loss = lost(shortened(text), TOO_LONG.to_owned());
                losses.push(loss);
                continue;
            }
            let mark = marks.get(&(index, column));
            one(worksheet, (row, place), cell, &looks[column], mark.is_some())?;
            if let Some(mark) = mark {
                worksheet.insert_note(row, place, &note(mark))?;
            }
        }
    }
    Ok(())
}

/// Writes one cell.
fn one(
    worksheet: &mut Worksheet,
    (row, column): (u32, u16),
    cell: &OutCell,
    look: &ColumnLook,
    is_changed: bool,
) -> Result<(), XlsxError> {
    let format = if is_changed { Some(&look.changed) } else { look.plain.as_ref() };
    match (cell, format) {
        (OutCell::Empty, Some(format)) if is_changed => worksheet.write_blank(row, column, format),
        (OutCell::Empty, _) => return Ok(()),
        (OutCell::Number(number), Some(format)) => {
            worksheet.write_number_with_format(row, column, *number, format)
        }
        (OutCell::Number(number), None) => worksheet.write_number(row, column, *number),
        (OutCell::Flag(flag), Some(format)) => {
            worksheet.write_boolean_with_format(row, column, *flag, format)
        }
        (OutCell::Flag(flag), None) => worksheet.write_boolean(row, column, *flag),
        (OutCell::Text(text), _) if text.starts_with(['=', '+', '-', '@']) => {
            let format = if is_changed { &look.changed_quoted } else { &look.quoted };
            worksheet.write_string_with_format(row, column, text, format)
        }
        (OutCell::Text(text), Some(format)) => {
            worksheet.write_string_with_format(row, column, text, format)
        }
        (OutCell::Text(text), None) => worksheet.write_string(row, column, text),
    }?;
    Ok(())
}

/// The way from the record of a row to the value in a column.
fn below(out: &SheetOut, column: usize) -> String {
    match out.columns[column] {
        Some(Column::Value { path, .. }) => path.join("."),
        Some(Column::Link { header }) => (*header).to_owned(),
        None => format!("extra.{}", out.headers[column]),
    }
}

fn shown(cell: &OutCell) -> String {
    match cell {
        OutCell::Empty => String::new(),
        OutCell::Number(number) => restrand_model::quantity::shortest(*number),
        OutCell::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        OutCell::Text(text) if text.len() > 80 => shortened(text),
        OutCell::Text(text) => text.clone(),
    }
}

/// A width, in letters, at which header and first rows can be read.
fn width(out: &SheetOut, column: usize) -> u16 {
    /// Rows that are looked at.
    const ROWS: usize = 200;
    let letters = |text: &str| text.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    let widest = out
        .rows
        .iter()
        .take(ROWS)
        .filter_map(|cells| cells.get(column))
        .map(|cell| match cell {
            OutCell::Text(text) => letters(text),
            OutCell::Number(_) => 10,
            OutCell::Empty | OutCell::Flag(_) => 0,
        })
        .max()
        .unwrap_or(0);
    // A long header may take two lines.
    let header = letters(&out.headers[column]);
    let header = if header > 16 { header.div_ceil(2).max(16) } else { header };
    u16::try_from(widest.max(header).clamp(8, 40) + 2).unwrap_or(12)
}
