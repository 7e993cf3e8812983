//! Rules on the document itself: what was read, what is missing, what contradicts.

pub(crate) mod code_undeclared;
pub(crate) mod dangling_reference;
pub(crate) mod duplicate_mark;
pub(crate) mod missing_field;
pub(crate) mod nothing_to_check;
pub(crate) mod quantity_mismatch;
pub(crate) mod reserved_incomplete;
pub(crate) mod twin_mismatch;
pub(crate) mod unit_conflict;
pub(crate) mod unknown_column;
pub(crate) mod unreadable_file;
pub(crate) mod unreadable_value;

mod walk;
