//! Stressing: forces, friction, set, elongations, jacks, order.

pub(crate) mod anchorage_stress_high;
pub(crate) mod bends;
pub(crate) mod beyond_calibration;
mod calibration;
pub(crate) mod calibration_old;
pub(crate) mod elongation_mismatch;
pub(crate) mod elongation_out_of_tolerance;
pub(crate) mod end_role_conflict;
pub(crate) mod force_mismatch;
pub(crate) mod friction_unusual;
pub(crate) mod gauge_mismatch;
pub(crate) mod jack_too_weak;
pub(crate) mod jacked;
pub(crate) mod jacking_stress_high;
pub(crate) mod order_lopsided;
pub(crate) mod recomputed;
pub(crate) mod service_stress_high;
pub(crate) mod set_unusual;
mod share;
pub(crate) mod steel;
pub(crate) mod target_missing;
pub(crate) mod tendon_stress_high;
