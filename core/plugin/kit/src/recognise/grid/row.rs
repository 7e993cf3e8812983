//! Rows and their cells.

use std::collections::BTreeMap;

use restrand_model::quantity::Unit;

use crate::sheet::Cell;

/// What the look of a cell says of its value.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Look {
    /// The unit that the number format writes behind the number.
    pub unit: Option<&'static Unit>,
    /// Whether the number format shows the number in hundredths, so that 0.75 is shown as 75 %.
    pub per_cent: bool,
    /// Whether the text is struck through.
    pub struck: bool,
}

/// A cell of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct GridCell {
    /// What it holds.
    pub cell: Cell<'static>,
    /// What its look says.
    pub look: Look,
    /// Whether it is filled from the first of the merged cells it belongs to.
    pub(in crate::recognise) spread: Spread,
    /// The heading of the section of a sideways table in which it is a header.
    pub(in crate::recognise) section: Option<String>,
}

/// From where a cell that is merged with others has its value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::recognise) enum Spread {
    /// It is its own.
    Own,
    /// From above.
    Down,
    /// From the left, or from above and the left.
    Across,
}

/// A row of a sheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GridRow {
    /// Its number, from zero.
    pub number: u32,
    /// Its cells that say something, by column.
    pub cells: BTreeMap<u32, GridCell>,
}

impl GridRow {
    /// The text of a row that holds nothing else.
    pub(in crate::recognise) fn lone_text(&self) -> Option<&str> {
        let mut own = self.own().filter(|(_, cell)| !cell.cell.is_blank());
        match (own.next(), own.next()) {
            (Some((_, cell)), None) => match &cell.cell {
                Cell::Text(text) => Some(text.trim()),
                _ => None,
            },
            _ => None,
        }
    }

    /// The cells that are not filled from merged ones to their left.
    pub(in crate::recognise) fn own(&self) -> impl Iterator<Item = (u32, &GridCell)> {
        self.cells
            .iter()
            .filter(|(_, cell)| cell.spread == Spread::Own)
            .map(|(column, cell)| (*column, cell))
    }

    /// The text in a column, if it holds one.
    pub(in crate::recognise) fn text(&self, column: u32) -> Option<&str> {
        match &self.cells.get(&column)?.cell {
            Cell::Text(text) => Some(text.trim()),
            _ => None,
        }
    }
}
