//! What tendons do to a continuous beam, and what is lost when one of them is out.
//!
//! On a statically indeterminate bridge a tendon makes reactions, and with them secondary moments that go when it goes:
//! `ΔP/A ± ΔP e/Z` alone is wrong there, and at a pier even its sign can be.
//! It knows no limit of stress or force, and no stiffness that nobody stated.
//! Authority: the theory of slender beams on rigid supports.
//!
//! # Signs
//! - Stations grow to the right (up-station).
//! - Bending moments are positive where they stretch the bottom (sagging).
//! - Eccentricity is positive where the tendon is below the centroid; so a primary moment `-H e` is then negative (hogging).
//! - Axial force is positive where it presses the section; stress is positive in tension.
//! - Loads are positive downward, reactions upward, couples clockwise: a clockwise couple raises the moment to its right.

mod beam;
mod effects;
mod load;
mod out;
mod piece;
mod tendon;
mod tridiagonal;

pub use beam::{Beam, BeamData, Stiffness};
pub use effects::{Cut, LoadEffects, Side, Supports, TendonAt, TendonEffects};
pub use load::Load;
pub use out::{Out, Place, Section, StressChange, TendonPart, TendonsOut, tendons_out};
pub use tendon::{AxialPoint, PrimaryAt, Run, Tendon, equivalent_loads, primary};
