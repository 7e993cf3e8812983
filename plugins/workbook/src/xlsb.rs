//! Workbooks of binary parts, cell by cell.

use std::collections::BTreeSet;

use calamine::{Reader as _, SheetType, SheetVisible, Xlsb, XlsbError};
use restrand_kit::archive::source;
use restrand_kit::sheet::Cell;
use restrand_kit::{LoadError, Part};

use crate::Cells;
use crate::cells;
use crate::looks;
use crate::reading::{COLUMNS, ROWS, Reading, SheetReading};
use crate::refusal::{Refusal, guarded};
use crate::xlsx::MAX_SHEETS;

/// Reads the sheets of the layout into frames.
pub(crate) fn load(
    part: &dyn Part,
    reading: &mut Reading<'_>,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    let mut workbook = guarded(|| Xlsb::new(source(part)))
        .map_err(|panicked| refusal.damaged(panicked))?
        .map_err(|error| match error {
            XlsbError::Password => refusal.encrypted(),
            error => refusal.damaged(error),
        })?;
    let sheets = workbook.sheets_metadata();
    if sheets.len() > MAX_SHEETS {
        return Err(refusal.damaged("it lists more than 10,000 sheets"));
    }
    let names: Vec<(String, bool)> = sheets
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .map(|sheet| (sheet.name.clone(), sheet.visible != SheetVisible::Visible))
        .collect();
    for (name, _) in &names {
        if let Some(sheet) = reading.sheet(name)? {
            let is_foreign = sheet.is_foreign();
            let formulas = if is_foreign { BTreeSet::new() } else { formulas(&mut workbook, name) };
            let read = read(&mut workbook, name, formulas, sheet, reading, refusal);
            reading.settle(name, is_foreign, read)?;
        }
    }
    for sheet in reading.waiting() {
        sheet.hidden = names.iter().any(|(name, hidden)| *hidden && *name == sheet.name);
        looks::of_xlsb(part, sheet);
    }
    Ok(reading.finish()?)
}

/// The cells of each sheet that hold formulas.
pub(crate) fn calculated(part: &dyn Part, refusal: &Refusal<'_>) -> Result<Cells, LoadError> {
    let mut workbook = guarded(|| Xlsb::new(source(part)))
        .map_err(|panicked| refusal.damaged(panicked))?
        .map_err(|error| refusal.damaged(error))?;
    let sheets = workbook.sheets_metadata();
    let names: Vec<String> = sheets
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .map(|sheet| sheet.name.clone())
        .collect();
    let cells = |name: String| {
        let places = formulas(&mut workbook, &name);
        (name, places.into_iter().collect())
    };
    Ok(names.into_iter().map(cells).collect())
}

/// The places of the formulas.
///
/// The reader of values leaves out formulas whose result is an error, and an error is no absence; so each
/// formula without a value holds an error.
fn formulas<RS: std::io::Read + std::io::Seek>(
    workbook: &mut Xlsb<RS>,
    name: &str,
) -> BTreeSet<(u32, u32)> {
    let mut places = BTreeSet::new();
    // What is wrong with the sheet itself is for the reading of its values to say.
    let Ok(Ok(mut cells)) = guarded(|| workbook.worksheet_cells_reader(name)) else {
        return places;
    };
    let mut unread = 0;
    loop {
        match guarded(|| cells.next_formula()) {
            Ok(Ok(Some(cell))) => {
                let (row, column) = cell.get_position();
                if row < ROWS && column < COLUMNS {
                    places.insert((row, column));
                }
            }
            Ok(Ok(None) | Err(XlsbError::Io(_))) => return places,
            // The record of a formula that is not understood was read as a whole, so the next one follows.
            Ok(Err(_)) | Err(_) => {
                unread += 1;
                if unread > 100_000 {
                    return places;
                }
            }
        }
    }
}

fn read<'c, RS: std::io::Read + std::io::Seek>(
    workbook: &'c mut Xlsb<RS>,
    name: &str,
    mut formulas: BTreeSet<(u32, u32)>,
    mut sheet: SheetReading<'c>,
    reading: &mut Reading<'_>,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    let mut cells = guarded(|| workbook.worksheet_cells_reader(name))
        .map_err(|panicked| refusal.sheet(name, panicked))?
        .map_err(|error| refusal.sheet(name, error))?;
    let mut give = |place: (u32, u32), cell: Cell<'c>, sheet: &mut SheetReading<'c>| {
        sheet.cell(reading, place.0, place.1, cell)
    };
    loop {
        let next = guarded(|| cells.next_cell())
            .map_err(|panicked| refusal.sheet(name, panicked))?
            .map_err(|error| refusal.sheet(name, error))?;
        let place = next.as_ref().map(calamine::Cell::get_position);
        while let Some(first) = formulas.first().copied()
            && place.is_none_or(|place| first < place)
        {
            formulas.remove(&first);
            give(first, Cell::Error("that its formula gives".into()), &mut sheet)?;
        }
        let (Some(next), Some(place)) = (next, place) else { break };
        formulas.remove(&place);
        if let Some(cell) = cells::of_ref(next.get_value().clone()) {
            give(place, cell, &mut sheet)?;
        }
        if sheet.is_over() {
            return Ok(());
        }
    }
    Ok(sheet.end(reading)?)
}
