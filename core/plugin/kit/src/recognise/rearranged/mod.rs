//! Sheets on which a record is no row and no column: a card for each tendon, a list with a row for each property.
//!
//! What they state is put into rows, so that it is read as any other table is; each cell is told at the place where it
//! stands in the file.

mod cards;
mod moved;
mod properties;

use super::grid::{GridCell, GridRow, Sheet, Spread};
use crate::sheet::Cell;

pub(super) use moved::Moved;

/// Takes out of a sheet what is arranged in another way; gives it as sheets of rows.
pub(super) fn take_out(sheet: &mut Sheet) -> Vec<Sheet> {
    match properties::take_out(sheet) {
        Some(list) => vec![list],
        None => cards::take_out(sheet),
    }
}

/// A sheet of rows that is being put together of cells that stand elsewhere.
struct Rows {
    sheet: Sheet,
}

impl Rows {
    fn new(of: &Sheet, arranged: String) -> Self {
        let mut sheet = Sheet::new(&of.part, &of.name, of.grid);
        sheet.arranged = Some(arranged);
        Self { sheet }
    }

    /// Puts a cell into a row and column, which stands elsewhere in the file.
    fn put(&mut self, row: u32, column: u32, cell: GridCell, stands: (u32, u32)) {
        let at = self.sheet.rows.binary_search_by_key(&row, |row| row.number);
        let at = at.unwrap_or_else(|at| {
            self.sheet.rows.insert(at, GridRow { number: row, ..GridRow::default() });
            at
        });
        self.sheet.rows[at].cells.insert(column, GridCell { spread: Spread::Own, ..cell });
        self.sheet.moved.insert((row, column), stands);
        // The texts of a record are told apart by their columns, and here many stand in one.
        self.sheet.paired.insert(column);
    }

    /// The sheet, if it says anything.
    fn sheet(self) -> Option<Sheet> {
        (!self.sheet.rows.is_empty()).then_some(self.sheet)
    }
}

/// A cell that holds this text instead.
fn with_text(cell: &GridCell, text: String) -> GridCell {
    GridCell { cell: Cell::Text(text.into()), ..cell.clone() }
}
