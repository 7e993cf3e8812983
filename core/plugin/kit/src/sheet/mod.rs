//! The schedule's own layout as rows of cells, for every format made of sheets.

pub(crate) mod cell;
mod further;
mod list;
pub(crate) mod marks;
pub(crate) mod read;
mod stated;
pub(crate) mod unread;
mod write;

pub use cell::{Cell, spells};
pub use further::COMPUTED;
pub use list::list_text;
pub use marks::plain_number;
pub use read::{ForeignSheet, HeaderSearch, Searched, SheetReader, is_headed, known_headers};
pub use stated::tendons_stated;
pub use write::{CellAt, Cells, Mark, OutCell, SheetOut, sheets, sheets_of_texts, sheets_to_fill};
