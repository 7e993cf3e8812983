//! Tables that are no part of the schedule.

use restrand_kit::sheet::CellAt;
use restrand_kit::{Loss, SideCell, SideTable};
use restrand_model::quantity::shortest;
use restrand_model::route::Route;
use restrand_model::value::Value;
use rust_xlsxwriter::utility::row_col_to_cell;
use rust_xlsxwriter::{Worksheet, XlsxError};

use super::look::Look;
use super::{TOO_LONG, fits, shortened};
use crate::reading::{COLUMNS, ROWS};

/// The row of the headers: below what the table is, and a free row.
pub(super) const HEADER_ROW: u32 = 2;
/// Links that a sheet can have are fewer than its rows.
const MOST_LINKS: usize = 60_000;

/// Writes a table; `leads` gives the sheet and the cell to which a route leads.
pub(super) fn write_table(
    worksheet: &mut Worksheet,
    table: &SideTable,
    look: &Look,
    leads: &dyn Fn(&Route) -> Option<(&'static str, CellAt)>,
    losses: &mut Vec<Loss>,
) -> Result<(), XlsxError> {
    worksheet.set_name(&table.name)?;
    worksheet.set_freeze_panes(HEADER_ROW + 1, 0)?;
    worksheet.write_string_with_format(0, 0, &table.about, &look.title)?;
    let mut lose = |row: u64, value: String, why: String| {
        let route = format!("{}: row {row}", table.name);
        losses.push(Loss { route, value, why });
    };
    for (column, header) in (0_u16..).zip(&table.headers) {
        worksheet.write_string_with_format(HEADER_ROW, column, header, &look.header)?;
        worksheet.set_column_width(column, width(table, usize::from(column)))?;
    }
    let mut links = 0;
    for (index, cells) in table.rows.iter().enumerate() {
        let number = index as u64 + u64::from(HEADER_ROW) + 2;
        let Some(row) = u32::try_from(number - 1).ok().filter(|row| *row < ROWS) else {
            lose(number, "a row".to_owned(), format!("a sheet has no more than {ROWS} rows"));
            continue;
        };
        for (column, cell) in (0_u16..).zip(cells).take(COLUMNS as usize) {
            let text = text(cell);
            if !fits(&text) {
                lose(number, shortened(&text), TOO_LONG.to_owned());
                continue;
            }
            let target = cell.leads_to.as_ref().filter(|_| links < MOST_LINKS).and_then(leads);
            match (&cell.value, target) {
                (None, None) => {}
                (_, Some((sheet, at))) => {
                    links += 1;
                    let place = place(at);
                    let shown = if text.is_empty() { format!("{sheet}!{place}") } else { text };
                    let link = format!("internal:'{sheet}'!{place}");
                    worksheet.write_url_with_options(
                        row,
                        column,
                        link.as_str(),
                        shown,
                        "",
                        Some(&look.link),
                    )?;
                }
                (Some(Value::Number(number)), None) => {
                    worksheet.write_number(row, column, *number)?;
                }
                (Some(Value::Flag(flag)), None) => {
                    worksheet.write_boolean(row, column, *flag)?;
                }
                (Some(_), None) => {
                    worksheet.write_string_with_format(row, column, &text, &look.wrapped)?;
                }
            }
        }
    }
    Ok(())
}

/// The name of a cell, or of the first cell of a row.
fn place(at: CellAt) -> String {
    let row = u32::try_from(at.row + 1).unwrap_or(ROWS - 1).min(ROWS - 1);
    let column = u16::try_from(at.column.unwrap_or(0)).unwrap_or(0);
    row_col_to_cell(row, column)
}

fn text(cell: &SideCell) -> String {
    match &cell.value {
        None => String::new(),
        Some(Value::Number(number)) => shortest(*number),
        Some(Value::Flag(flag)) => if *flag { "yes" } else { "no" }.to_owned(),
        Some(value) => value.to_string(),
    }
}

fn width(table: &SideTable, column: usize) -> f64 {
    let letters = |text: &str| text.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    let cells =
        table.rows.iter().filter_map(|row| row.get(column)).map(|cell| letters(&text(cell)));
    let widest = cells.max().unwrap_or(0).max(letters(&table.headers[column]));
    u32::try_from(widest.clamp(8, 60) + 2).map_or(12.0, f64::from)
}
