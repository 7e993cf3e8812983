//! The tables of a sheet: as it stands, side by side, or sideways.

use std::collections::BTreeSet;

use super::find::{self, Found};
use super::grid::Sheet;
use super::hidden;
use super::mapping::{Mapping, TableMapping};
use super::notes::UnitNotes;
use super::views;

/// A sheet with what was found in it.
pub(super) struct Looked {
    pub(super) sheet: Sheet,
    pub(super) found: Vec<Found>,
    pub(super) notes: UnitNotes,
    /// Numbers of the rows outside all tables.
    pub(super) outside: BTreeSet<u32>,
    /// What of the sheet is hidden, as a clause; said with its first part.
    pub(super) hidden: Option<String>,
}

/// Looks for the tables of a sheet, as it stands, side by side or sideways; gives its parts.
pub(super) fn look(sheet: Sheet, before: Option<&Looked>, mapping: &Mapping) -> Vec<Looked> {
    let mut hidden = hidden::hidden(&sheet);
    let mapped: Vec<&TableMapping> = mapping.of(&sheet.name).collect();
    let mut looked = Vec::new();
    for part in views::beside(sheet) {
        looked.extend(look_at(part, before, &mapped));
    }
    // What is noted beside a table speaks of the others of its sheet too.
    let mut all = UnitNotes::default();
    looked.iter().for_each(|one| all.join(&one.notes));
    for one in &mut looked {
        one.notes.join(&all);
        one.hidden = hidden.take();
    }
    looked
}

/// Looks for the tables of a part of a sheet.
fn look_at(sheet: Sheet, before: Option<&Looked>, mapped: &[&TableMapping]) -> Vec<Looked> {
    let mut sheet = sheet;
    let mut found = find::tables(&sheet, mapped);
    let mut sideways = views::sideways(&sheet, &outside(&sheet, &found));
    if found.is_empty() {
        let turned = sheet.turned();
        let whole = find::tables(&turned, &[]);
        if sideways.len() < 2 && !whole.is_empty() {
            sideways.clear();
            (sheet, found) = (turned, whole);
        }
    }
    if found.is_empty()
        && sideways.is_empty()
        && let Some(before) = before
        && let Some(more) = find::continued(&sheet, &before.found)
    {
        found.push(more);
    }
    if found.is_empty() && sideways.is_empty() {
        found = find::by_headers(&sheet);
    }
    let mut outside_rows = outside(&sheet, &found);
    let mut parts = Vec::new();
    for views::Sideways { sheet, found, rows } in sideways {
        outside_rows.retain(|row| !rows.contains(row));
        let (outside, notes) = (outside(&sheet, &found), UnitNotes::default());
        parts.push(Looked { sheet, found, notes, outside, hidden: None });
    }
    let mut notes = UnitNotes::default();
    // A note may also stand below the last row of a table, where it looks like a part of it.
    for row in &sheet.rows {
        let own: Vec<_> = row.own().collect();
        for (_, cell) in own.iter().filter(|_| outside_rows.contains(&row.number) || own.len() <= 2)
        {
            if let crate::sheet::Cell::Text(text) = &cell.cell {
                notes.read(text);
            }
        }
    }
    parts.insert(0, Looked { sheet, found, notes, outside: outside_rows, hidden: None });
    parts
}

/// Numbers of the rows outside all tables.
fn outside(sheet: &Sheet, found: &[Found]) -> BTreeSet<u32> {
    let inside =
        |at: usize| found.iter().any(|table| table.headers.start <= at && at < table.body.end);
    let rows = sheet.rows.iter().enumerate();
    rows.filter(|(at, _)| !inside(*at)).map(|(_, row)| row.number).collect()
}
