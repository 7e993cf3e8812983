//! Rules on parts: split, bond, passing.

pub(crate) mod bonded_inaccessibly;
pub(crate) mod cannot_pass;
pub(crate) mod permanence_missing;
pub(crate) mod permanence_unexpected;
