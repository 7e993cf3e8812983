//! The schedule's own layout as rows of cells, for every format made of sheets.

mod cell;
mod list;
mod marks;
mod read;
mod write;

pub use cell::Cell;
pub use list::list_text;
pub use marks::plain_number;
pub use read::{ForeignSheet, HeaderSearch, SheetReader, is_headed, known_headers};
pub use write::{OutCell, SheetOut, sheets};
