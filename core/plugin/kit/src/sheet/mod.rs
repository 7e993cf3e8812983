//! The schedule's own layout as rows of cells, for every format made of sheets.

/// What stands between the items of a list in one cell.
const LIST_MARK: &str = "; ";

mod cell;
mod read;
mod write;

pub use cell::Cell;
pub use read::{HeaderSearch, SheetReader};
pub use write::{OutCell, SheetOut, sheets};
