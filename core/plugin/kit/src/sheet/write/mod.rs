//! From a schedule to rows of cells.

mod cells;
mod find;
mod rows;

use restrand_model::quantity::System;
use restrand_model::route::{Names, Route};
use restrand_model::schedule::Schedule;
use restrand_model::sheet::{self, Column, Sheet};

use crate::content::{Change, Content};
use crate::plugin::Loss;
use cells::Layout;
pub use find::{CellAt, Cells};

/// A cell to be written.
#[derive(Debug, Clone, PartialEq)]
pub enum OutCell {
    /// Nothing.
    Empty,
    /// A number in the column's unit.
    Number(f64),
    /// A text.
    Text(String),
    /// True or false.
    Flag(bool),
}

/// A cell whose value was changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// The position of the row below the headers.
    pub row: usize,
    /// The position of the column.
    pub column: usize,
    /// What stood there, and why it was changed.
    pub note: String,
}

/// A sheet to be written.
#[derive(Debug)]
pub struct SheetOut {
    /// The sheet of the layout.
    pub sheet: &'static Sheet,
    /// The headers in order: links, fields, further values.
    pub headers: Vec<String>,
    /// The column of the layout for each header; none for further values.
    pub columns: Vec<Option<&'static Column>>,
    /// The rows, each as long as the headers.
    pub rows: Vec<Vec<OutCell>>,
    /// The record of each row.
    pub routes: Vec<Route>,
    /// The cells that were changed, in the order of the changes.
    pub marks: Vec<Mark>,
}

/// The sheets of a schedule in the order of the layout, and what rows and columns could not carry.
///
/// A value is written as the text by which it was given, where that says the very same under its new header.
/// A sheet without a row is given if every workbook has it.
#[must_use]
pub fn sheets(content: &Content<'_>, system: System) -> (Vec<SheetOut>, Vec<Loss>) {
    sheets_of(content, system, Numbers::Cells)
}

/// The same for files in which numbers are texts: what a column's decimal mark is must be told by all of them alike.
#[must_use]
pub fn sheets_of_texts(content: &Content<'_>, system: System) -> (Vec<SheetOut>, Vec<Loss>) {
    sheets_of(content, system, Numbers::Texts)
}

/// What numbers are in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Numbers {
    /// Cells of their own kind, beside which a text is read by itself.
    Cells,
    /// Texts as any other, with points as decimal marks.
    Texts,
}

fn sheets_of(
    content: &Content<'_>,
    system: System,
    numbers: Numbers,
) -> (Vec<SheetOut>, Vec<Loss>) {
    let mut losses = Vec::new();
    let names = Names::of(content.schedule);
    let layout = Layout::new(content, system, true, numbers, &names);
    let is_wanted = |sheet: &Sheet| sheet::ALWAYS.contains(&sheet.name);
    let mut sheets = lay_out(content.schedule, &layout, &is_wanted, &mut losses);
    mark(&mut sheets, content, &names, &mut losses);
    (sheets, losses)
}

/// Every sheet that people can fill, whether or not the schedule has rows for it, with one unit of `system` in
/// each header; and what rows and columns could not carry.
#[must_use]
pub fn sheets_to_fill(content: &Content<'_>, system: System) -> (Vec<SheetOut>, Vec<Loss>) {
    let mut losses = Vec::new();
    let names = Names::of(content.schedule);
    let layout = Layout::new(content, system, false, Numbers::Cells, &names);
    let is_wanted = |sheet: &Sheet| !sheet.targets.is_empty();
    let sheets = lay_out(content.schedule, &layout, &is_wanted, &mut losses);
    (sheets, losses)
}

fn lay_out(
    schedule: &Schedule,
    layout: &Layout<'_>,
    is_wanted: &dyn Fn(&Sheet) -> bool,
    losses: &mut Vec<Loss>,
) -> Vec<SheetOut> {
    sheet::SHEETS
        .iter()
        .filter_map(|sheet| {
            let rows = rows::rows_of(schedule, sheet, losses);
            (!rows.is_empty() || is_wanted(sheet)).then(|| layout.lay_out(sheet, &rows, losses))
        })
        .collect()
}

/// Marks what was changed; a change without a cell of its own is told, so that nobody looks for it in vain.
fn mark(sheets: &mut [SheetOut], content: &Content<'_>, names: &Names, losses: &mut Vec<Loss>) {
    if content.changes.is_empty() {
        return;
    }
    let cells = Cells::of(sheets);
    let found: Vec<_> = content.changes.iter().map(|change| cells.find(&change.route)).collect();
    for (change, found) in content.changes.iter().zip(found) {
        match found {
            Some(CellAt { sheet, row, column: Some(column) }) => {
                sheets[sheet].marks.push(Mark { row, column, note: note(change) });
            }
            _ => losses.push(Loss {
                route: names.show(&change.route, content.schedule),
                value: note(change),
                why: "it has no cell that could be marked".to_owned(),
            }),
        }
    }
}

fn note(change: &Change) -> String {
    let before = change.before.as_deref().unwrap_or("nothing");
    format!("Before: {before}\nWhy: {}", change.why)
}
