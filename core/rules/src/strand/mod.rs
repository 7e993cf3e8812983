//! Rules on strands.

pub(crate) mod area_mismatch;
pub(crate) mod count_mismatch;
pub(crate) mod exceeds_capacity;
pub(crate) mod grade_mismatch;
pub(crate) mod mass_mismatch;
pub(crate) mod modulus_unusual;
pub(crate) mod series_mixed;

mod table;
