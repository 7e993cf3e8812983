//! Rules on removal space.

pub(crate) mod missing;
pub(crate) mod stub;
