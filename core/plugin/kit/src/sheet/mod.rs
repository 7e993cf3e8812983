//! The schedule's own layout as rows of cells, for every format made of sheets.

mod cell;
mod read;
mod write;

pub use cell::{Cell, nearest};
pub use read::{HeaderSearch, SheetReader};
pub use write::{OutCell, SheetOut, sheets};
