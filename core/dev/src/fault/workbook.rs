//! The faulty edition as a workbook, and where its faults show in it.

use std::io::Cursor;

use calamine::{Data, Range, Reader, Xlsx};
use restrand_kit::Content;
use restrand_kit::sheet::{OutCell, SheetOut, sheets};
use restrand_model::reading::Provenance;
use restrand_model::schedule::Schedule;
use restrand_model::sheet::{self, Header};

use super::place::{self, Spot};
use super::{Fault, FaultError, Plant};
use crate::output::system;

pub(super) fn planted(schedule: &Schedule, faults: &[Fault]) -> Result<Vec<u8>, FaultError> {
    let provenance = Provenance::default();
    let content = Content::new(schedule, &provenance);
    let (mut sheets, _) = sheets(&content, system(schedule));
    for fault in faults {
        plant(&mut sheets, fault).ok_or(FaultError::Nowhere(fault.number))?;
    }
    let (bytes, losses) = restrand_workbook::write_sheets(&content, &sheets)?;
    match losses.first() {
        None => Ok(bytes),
        Some(loss) => Err(FaultError::Lost(loss.route.clone())),
    }
}

fn plant(sheets: &mut [SheetOut], fault: &Fault) -> Option<()> {
    if matches!(fault.plant, Plant::Edit(_)) {
        return Some(());
    }
    let spot = place::spot(fault.way)?;
    let out = sheets.iter_mut().find(|out| std::ptr::eq(out.sheet, spot.sheet))?;
    let position = |column: usize| {
        let wanted = &sheet::columns_of(spot.sheet)[column];
        out.columns.iter().position(|column| *column == Some(wanted))
    };
    let keys = spot
        .row
        .iter()
        .map(|(column, key)| Some((position(*column)?, *key)))
        .collect::<Option<Vec<_>>>()?;
    let column = position(spot.column)?;
    let row = out.rows.iter().position(|cells| {
        keys.iter()
            .all(|(column, key)| matches!(&cells[*column], OutCell::Text(text) if text == key))
    })?;
    match fault.plant {
        Plant::Edit(_) => {}
        Plant::Text(text) => out.rows[row][column] = OutCell::Text(text.to_owned()),
        Plant::Column { header, value } => {
            out.headers.push(header.to_owned());
            out.columns.push(None);
            for cells in &mut out.rows {
                cells.push(OutCell::Text(value.to_owned()));
            }
        }
        Plant::Twice => {
            let copy = out.rows[row].clone();
            out.rows.insert(row + 1, copy);
            let route = out.routes[row].clone();
            out.routes.insert(row + 1, route);
        }
    }
    Some(())
}

/// Where a fault shows.
#[derive(Debug)]
pub struct Shown {
    /// The fault.
    pub fault: &'static Fault,
    /// The name of the sheet.
    pub sheet: &'static str,
    /// The cell, as `C7`.
    pub cell: String,
    /// The route of the value or the record.
    pub route: String,
}

/// Where the faults show in the faulty workbook: looked for in what was written.
///
/// # Errors
/// The workbook cannot be read, or a cell is not where its row and header say.
pub fn shown(workbook: &[u8]) -> Result<Vec<Shown>, FaultError> {
    let mut reader: Xlsx<_> = Xlsx::new(Cursor::new(workbook))?;
    let schedule = super::schedule();
    super::faults()
        .iter()
        .map(|fault| {
            let nowhere = || FaultError::Nowhere(fault.number);
            let spot = place::spot(fault.way).ok_or_else(nowhere)?;
            let range = reader.worksheet_range(spot.sheet.name)?;
            let (row, column) =
                find(&range, &spot, fault.plant).ok_or(FaultError::NoCell(fault.number))?;
            let route = match fault.plant {
                Plant::Edit(_) | Plant::Text(_) => {
                    place::shown(&schedule, fault.way).ok_or_else(nowhere)?
                }
                Plant::Column { header, .. } => format!("{}: {header}", spot.sheet.name),
                Plant::Twice => second(&schedule, fault).ok_or_else(nowhere)?,
            };
            Ok(Shown {
                fault,
                sheet: spot.sheet.name,
                cell: format!("{}{}", letters(column), row + 1),
                route,
            })
        })
        .collect()
}

/// The route of the second of two records of one name: by position, as the name means both.
fn second(schedule: &Schedule, fault: &Fault) -> Option<String> {
    let route = place::route(schedule, fault.way)?;
    let [super::Way::In(list, _)] = fault.way else { return None };
    let first = route.steps().iter().find_map(|step| match step {
        restrand_model::route::Step::Item(index) => Some(*index),
        restrand_model::route::Step::Field(_) => None,
    })?;
    // Positions are shown from one.
    Some(format!("{list}[#{}]", first + 2))
}

/// Row and column from zero.
fn find(range: &Range<Data>, spot: &Spot, plant: Plant) -> Option<(u32, u32)> {
    let (first_row, first_column) = range.start()?;
    let columns = sheet::headers_of(spot.sheet);
    let text = |data: &Data| match data {
        Data::String(text) => Some(text.clone()),
        _ => None,
    };
    let means = |data: &Data, wanted: usize| {
        text(data).is_some_and(|text| columns.find(Header::read(&text).label) == Some(wanted))
    };
    // The headers: the first row in which every column of the spot is found.
    let (header_row, headers) = range.rows().enumerate().find_map(|(row, cells)| {
        let position = |wanted: usize| cells.iter().position(|data| means(data, wanted));
        let keys: Option<Vec<_>> =
            spot.row.iter().map(|(column, key)| Some((position(*column)?, *key))).collect();
        let column = match plant {
            Plant::Column { header, .. } => {
                cells.iter().position(|data| text(data).as_deref() == Some(header))?
            }
            _ => position(spot.column)?,
        };
        Some((row, (keys?, column)))
    })?;
    let (keys, column) = headers;
    let mut rows = range.rows().enumerate().skip(header_row + 1).filter(|(_, cells)| {
        keys.iter().all(|(column, key)| text(&cells[*column]).as_deref() == Some(*key))
    });
    let row = match plant {
        Plant::Column { .. } => header_row,
        Plant::Twice => rows.nth(1)?.0,
        _ => rows.next()?.0,
    };
    let at = |first: u32, index: usize| Some(first + u32::try_from(index).ok()?);
    Some((at(first_row, row)?, at(first_column, column)?))
}

/// The letters of a column, from zero: `A`, `Z`, `AA`.
fn letters(column: u32) -> String {
    let mut letters = String::new();
    let mut left = column + 1;
    while left > 0 {
        let digit = (left - 1) % 26;
        letters.insert(0, char::from_u32(u32::from(b'A') + digit).unwrap_or('?'));
        left = (left - 1) / 26;
    }
    letters
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn columns_have_the_letters_of_a_spreadsheet() {
        for (column, expected) in [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")] {
            assert_eq!(letters(column), expected);
        }
    }
}
