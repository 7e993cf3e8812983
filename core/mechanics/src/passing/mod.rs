//! Whether replaceable parts can leave past permanent ones.
//!
//! All comparisons are of diameters, all gaps are radial.
//! It knows no least gap: which gap is asked is the rulebook's, and [`allowance_split`] only sorts a gap against it.
//! Straight and bent pieces in a deviator's form, rods in bent pipes and pipes in guide pipes turn in one plane through the bore's axis;
//! round bodies in round bores touch first in that plane, so the plane figure is exact.
//! Authority: geometry; a nominal gap of 1 mm is known to fail on site, so the worst of tolerance, ovality and seam counts.

mod allowance;
mod bent;
mod body;
mod bore;
mod elbow;
mod flare;
mod flared_bore;
mod guide;
mod pinch;
mod tilt;

pub use allowance::{CONTACT_MM, Passage, allowance_split};
pub use bent::{
    BentPassage, BentPiece, LEAST_TRAVEL_STEPS, MOST_BEND_RAD, MOST_NODES, Outside, Search, Swing,
    bend_rise_mm, bent_gap_at_least_mm, bent_passage, longest_legs_mm,
};
pub use body::{ABUTTING_MM, Body, worst_outer_mm};
pub use bore::{Bore, worst_bore_mm};
pub use elbow::{BentPipe, RodLength, longest_rod};
pub use flare::Flare;
pub use flared_bore::{FLARE_WITHIN_MM, MOST_CONES, flare};
pub use guide::{GuideGap, Pivot, guide_gap, guide_play_rad, guide_tilt_rad};
pub use pinch::{Exit, Pinch, tightest, tightest_of_each};
pub use tilt::{greatest_tilt_rad, throat_for_tilt_mm, tilted_gap_mm};
