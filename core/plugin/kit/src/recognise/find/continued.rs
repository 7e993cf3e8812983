//! Rows without headers that go on with a table of the sheet before.

use std::collections::BTreeSet;

use super::super::grid::Sheet;
use super::Found;
use crate::sheet::Cell;

/// The rows of a sheet without headers that goes on with the last table of the sheet before it.
pub(in crate::recognise) fn continued(sheet: &Sheet, before: &[Found]) -> Option<Found> {
    // One that is read for a tendon alone goes on with nothing.
    let last = before.last().filter(|last| last.owner.is_none())?;
    let says = |text: &str| {
        let lower = text.to_lowercase();
        lower.contains("cont") || lower.contains("(2)") || lower.contains("(3)")
    };
    let title = sheet.rows.first().is_some_and(|row| {
        row.own().count() == 1
            && row.own().all(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if says(text)))
    });
    if !title && !says(&sheet.name) {
        return None;
    }
    let from = usize::from(title);
    let known: BTreeSet<u32> = last.assignment.columns.iter().map(|column| column.index).collect();
    let fits = sheet.rows[from..]
        .iter()
        .filter(|row| row.cells.keys().all(|column| known.contains(column)));
    if fits.count() * 10 < sheet.rows.len().saturating_sub(from) * 9 || sheet.rows.len() <= from {
        return None;
    }
    Some(Found {
        caption: None,
        headers: from..from + 1,
        units: last.units.clone(),
        body: from..sheet.rows.len(),
        repeated: BTreeSet::new(),
        assignment: last.assignment.clone(),
        owner: None,
        only: None,
        by_others: false,
    })
}
