//! The jack: pressure on its gauge, strokes, and the tails that it grips.
//!
//! It knows no jack and no limit: piston, calibration, stroke and need of tail come with the jack.
//! Authority: hydrostatics and plain lengths.

mod gauge;
mod strokes;
mod tails;

pub use gauge::{
    CalibrationPoint, force_by_area_kn, force_by_calibration_kn, pressure_by_area_mpa,
    pressure_by_calibration_mpa,
};
pub use strokes::{MOST_STROKES, strokes};
pub use tails::{StrandLength, strand_length_m, tail_after_mm, tail_spare_mm};
