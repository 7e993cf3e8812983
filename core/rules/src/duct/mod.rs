//! Rules on ducts.

pub(crate) mod area_ratio_low;
pub(crate) mod dimensions_inconsistent;
