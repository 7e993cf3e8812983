//! Workbooks of the old binary format.
//!
//! The reader takes the whole workbook into memory; [`crate::compound`] has seen to it that it can.

use calamine::{Reader as _, SheetType, Xls, XlsError};
use restrand_kit::archive::source;
use restrand_kit::recognise::Merged;
use restrand_kit::{LoadError, Part};

use crate::reading::Reading;
use crate::refusal::{Refusal, guarded};
use crate::{cells, looks};

/// Reads the sheets of the layout into frames.
pub(crate) fn load(
    part: &dyn Part,
    reading: &mut Reading<'_>,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    let mut workbook = guarded(|| Xls::new(source(part)))
        .map_err(|panicked| refusal.damaged(panicked))?
        .map_err(|error| match error {
            XlsError::Password => refusal.encrypted(),
            error => refusal.damaged(error),
        })?;
    let names: Vec<String> = workbook
        .sheets_metadata()
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .map(|sheet| sheet.name.clone())
        .collect();
    for name in names {
        let Some(mut sheet) = reading.sheet(&name)? else { continue };
        let range = guarded(|| workbook.worksheet_range(&name))
            .map_err(|panicked| refusal.sheet(&name, panicked))
            .and_then(|range| range.map_err(|error| refusal.sheet(&name, error)));
        let range = match range {
            Ok(range) => range,
            Err(error) => {
                reading.settle(&name, sheet.is_foreign(), Err(error))?;
                continue;
            }
        };
        // Rows and columns of a range count from its first cell.
        let Some((top, left)) = range.start() else {
            sheet.end(reading)?;
            continue;
        };
        'rows: for (row, cells) in (top..).zip(range.rows()) {
            for (column, value) in (left..).zip(cells) {
                if let Some(cell) = cells::of_data(value) {
                    sheet.cell(reading, row, column, cell)?;
                    if sheet.is_over() {
                        break 'rows;
                    }
                }
            }
        }
        if let Ok(merged) = workbook.merge_cells_by_sheet_name(&name) {
            for merged in merged {
                sheet.merge(Merged { first: merged.start, last: merged.end });
            }
        }
        if !sheet.is_over() {
            sheet.end(reading)?;
        }
    }
    looks::of_xls(part, reading.waiting());
    Ok(reading.finish()?)
}
