//! Rules on the document itself: what was read, what is missing, what contradicts.

pub(crate) mod dangling_reference;
pub(crate) mod duplicate_mark;
pub(crate) mod missing_field;
pub(crate) mod nothing_to_check;
pub(crate) mod unknown_column;
pub(crate) mod unreadable_file;
pub(crate) mod unreadable_value;

mod walk;
