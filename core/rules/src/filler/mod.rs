//! Rules on fillers and filling.

pub(crate) mod kind_not_allowed;
pub(crate) mod pressure_or_rate;
pub(crate) mod time_to_fill;
pub(crate) mod vent_missing;
pub(crate) mod volume_mismatch;

pub(crate) mod inside;
