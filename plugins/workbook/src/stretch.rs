//! Rows that travel together from the reader of a sheet to their taker.

use std::borrow::Cow;

use restrand_kit::LoadError;
use restrand_kit::sheet::Cell;

use crate::threads::More;

/// Cells of the first stretch of a sheet, so that its taker has soon what to do.
const FIRST: usize = 512;
/// Cells of its later ones: enough that handing over costs nothing beside the reading.
const MOST: usize = 4096;

/// Rows with their cells, and cells that could not be read, in the order of the sheet.
///
/// It borrows nothing from the reader, which goes on with other sheets.
#[derive(Default)]
pub(crate) struct Stretch {
    /// The cells of all rows.
    cells: Vec<Packed>,
    /// The texts of the cells, one behind the other: a text of its own for each cell would be taken from one
    /// thread's memory and given back in another.
    texts: String,
    steps: Vec<Step>,
}

/// A cell with its column, whose text stands with the others. It is small, as a sheet may have millions.
enum Packed {
    Number(u32, f64),
    /// With the bytes of the text.
    Text(u32, usize),
    Other(u32, Box<Cell<'static>>),
}

/// It is small, as there is one for each row.
enum Step {
    /// A row with this number is complete; its cells end before this one.
    Row(u32, usize),
    Lost(Box<Lost>),
}

/// A cell that is not kept, as a person would read it.
pub(crate) struct Lost {
    pub(crate) shown: String,
    pub(crate) why: Why,
}

/// Why a cell is not kept.
pub(crate) enum Why {
    /// It could not be read, and nobody knows where it stands but below this row.
    Unread(Option<u32>),
    /// It is the first of so many in this row that stand where no cell can.
    OutOfPlace(u32, usize),
}

/// What a stretch holds, one by one.
pub(crate) enum Item<'s> {
    Row(u32, &'s [(u32, Cell<'s>)]),
    Lost(&'s Lost),
}

impl Stretch {
    /// Takes a cell in this column into the row.
    #[inline]
    pub(crate) fn push(&mut self, column: u32, cell: Cell<'_>) {
        let packed = match cell {
            Cell::Number(number) => Packed::Number(column, number),
            Cell::Text(text) => {
                self.texts.push_str(&text);
                Packed::Text(column, text.len())
            }
            other => Packed::Other(column, Box::new(other.into_owned())),
        };
        self.cells.push(packed);
    }

    /// Ends the row to which the cells since the last one belong.
    pub(crate) fn end_row(&mut self, number: u32) {
        self.steps.push(Step::Row(number, self.cells.len()));
    }

    pub(crate) fn lose(&mut self, cell: &Cell<'_>, why: Why) {
        self.steps.push(Step::Lost(Box::new(Lost { shown: cell.shown(), why })));
    }

    /// Whether it is time to hand it on, if so many were handed on before.
    pub(crate) fn is_full(&self, before: usize) -> bool {
        self.cells.len() >= FIRST.saturating_mul(before + 1).min(MOST)
    }

    /// Gives what it holds, one by one, as long as more is wanted, and is empty then.
    pub(crate) fn each(
        &mut self,
        mut give: impl FnMut(Item<'_>) -> Result<More, LoadError>,
    ) -> Result<More, LoadError> {
        let mut texts = self.texts.as_str();
        let mut cells = self.cells.drain(..);
        let mut before = 0;
        let mut row = Vec::new();
        for step in self.steps.drain(..) {
            let more = match &step {
                Step::Row(number, end) => {
                    row.clear();
                    row.extend(cells.by_ref().take(end - before).map(|packed| match packed {
                        Packed::Number(column, number) => (column, Cell::Number(number)),
                        Packed::Other(column, cell) => (column, *cell),
                        Packed::Text(column, length) => {
                            let (text, rest) = texts.split_at(length);
                            texts = rest;
                            (column, Cell::Text(Cow::Borrowed(text)))
                        }
                    }));
                    before = *end;
                    give(Item::Row(*number, &row))?
                }
                Step::Lost(lost) => give(Item::Lost(lost))?,
            };
            if !more {
                return Ok(false);
            }
        }
        drop(cells);
        self.texts.clear();
        Ok(true)
    }
}
