//! Rules on strands.

pub(crate) mod area_mismatch;
pub(crate) mod exceeds_capacity;
