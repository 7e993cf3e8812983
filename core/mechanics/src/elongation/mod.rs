//! Elongation: what theory gives, what is read at the jack, and how the two compare.
//!
//! It knows no tolerance: whether a deviation is too much is for the caller to say.
//! Authority: Hooke's law on the stress along the tendon, from [`friction`](crate::friction).

mod baseline;
mod ends;
mod lots;
mod measured;
mod stretch;
mod terms;

pub use baseline::{Readings, above_baseline_mm, whole_from_readings_mm};
pub use ends::{ElongationByEnd, elongation_by_end};
pub use lots::{Lot, corrected_for_lots_mm};
pub use measured::{Band, Deviation, band, deviation};
pub use stretch::{Bar, bar_stretch_mm, stretch_mm};
pub use terms::{Elongation, Terms, elongation};
