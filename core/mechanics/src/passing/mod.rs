//! Whether replaceable parts can leave past permanent ones.
//!
//! All comparisons are of diameters, all gaps are radial.
//! It knows no least gap: which gap is asked is the rulebook's, and [`allowance_split`] only sorts a gap against it.
//! Authority: geometry; a nominal gap of 1 mm is known to fail on site, so the worst of tolerance, ovality and seam counts.

mod allowance;
mod body;
mod bore;
mod flare;
mod pinch;

pub use allowance::{CONTACT_MM, Passage, allowance_split};
pub use body::{ABUTTING_MM, Body, worst_outer_mm};
pub use bore::{Bore, worst_bore_mm};
pub use flare::{FLARE_WITHIN_MM, flare};
pub use pinch::{Exit, Pinch, tightest, tightest_of_each};
