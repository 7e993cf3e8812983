//! The schedule's own layout as rows of cells, for every format made of sheets.

mod cell;
mod list;
mod read;
mod write;

pub use cell::Cell;
pub use list::list_text;
pub use read::{ForeignSheet, HeaderSearch, SheetReader};
pub use write::{OutCell, SheetOut, sheets};
