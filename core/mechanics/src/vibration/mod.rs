//! Free lengths of external tendons: first frequency and sag.
//!
//! It knows no limit on free length and no frequency of a bridge; which ratio is asked is the rulebook's.
//! Authority: the taut string, and its series for bending stiffness.

mod frequency;
mod sag;

pub use frequency::{
    ClampedFrequency, LEAST_TAUTNESS, clamped_frequency_hz, frequency_hz, tautness,
};
pub use sag::{GRAVITY_M_PER_S2, sag_mm};
