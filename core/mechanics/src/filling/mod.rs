//! Filling the tendon: how much, of what, how fast, and where it goes in, out and off.
//!
//! Only the inside of the tendon is filled. The annulus between a replaceable and a permanent skin has its own function,
//! because a filler that gets there bonds the tendon to the structure.
//! It knows no least ratio, no greatest pressure and no practice of spacing: those are the caller's.
//! Authority: geometry and mass balance.

mod annulus;
mod cap;
mod grout;
mod head;
mod pace;
mod profile;
mod vents;
mod volume;

pub use annulus::{Annulus, annulus_litres};
pub use cap::{Cap, CapPlate, cap_litres};
pub use grout::{Bags, Grout, GroutMix, MOST_BAGS, bags, grout_by_densities, litres_by_density};
pub use head::{STANDARD_GRAVITY_M_PER_S2, head_kpa};
pub use pace::{filling_minutes, front_speed_m_per_min, pump_rate_l_per_min, travel_minutes};
pub use profile::{Extreme, ExtremeKind, ProfilePoint, extremes, inlet_extreme};
pub use vents::{Fitting, FittingKind, Fittings, fittings};
pub use volume::{Hollow, TendonFill, TendonInside, free_litres_per_m, hollow_litres, tendon_fill};
