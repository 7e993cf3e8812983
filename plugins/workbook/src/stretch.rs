//! Rows that travel together from the reader of a sheet to their taker.

use restrand_kit::sheet::Cell;

/// Cells that travel together: enough that handing over costs nothing beside the reading.
const CELLS: usize = 4096;

/// Rows with their cells, and cells that could not be read, in the order of the sheet.
#[derive(Default)]
pub(crate) struct Stretch<'c> {
    /// The cells of all rows, with their columns.
    pub(crate) cells: Vec<(u32, Cell<'c>)>,
    steps: Vec<Step<'c>>,
}

enum Step<'c> {
    /// A row with this number is complete; its cells end before this one.
    Row(u32, usize),
    Lost(Lost<'c>),
}

/// A cell that is not kept.
pub(crate) struct Lost<'c> {
    pub(crate) cell: Cell<'c>,
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
pub(crate) enum Item<'s, 'c> {
    Row(u32, &'s [(u32, Cell<'c>)]),
    Lost(&'s Lost<'c>),
}

impl<'c> Stretch<'c> {
    /// Ends the row to which the cells since the last one belong.
    pub(crate) fn end_row(&mut self, number: u32) {
        self.steps.push(Step::Row(number, self.cells.len()));
    }

    pub(crate) fn lose(&mut self, lost: Lost<'c>) {
        self.steps.push(Step::Lost(lost));
    }

    /// Whether it is time to hand it on.
    pub(crate) const fn is_full(&self) -> bool {
        self.cells.len() >= CELLS
    }

    pub(crate) fn items(&self) -> impl Iterator<Item = Item<'_, 'c>> {
        let mut begin = 0;
        self.steps.iter().map(move |step| match step {
            Step::Row(number, end) => {
                Item::Row(*number, &self.cells[std::mem::replace(&mut begin, *end)..*end])
            }
            Step::Lost(lost) => Item::Lost(lost),
        })
    }

    /// Makes it empty, to be filled again.
    pub(crate) fn clear(&mut self) {
        self.cells.clear();
        self.steps.clear();
    }
}
