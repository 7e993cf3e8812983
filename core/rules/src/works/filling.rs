//! What a tendon takes up, and what a bag of cement gives.

use restrand_mechanics::filling::{Grout, GroutMix, grout_by_densities};

use super::CEMENT;
use crate::context::{Context, TendonAt};
use crate::filler::inside;

/// What a tendon takes up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inside {
    /// Filler that stays in the tendon, L.
    pub net_l: f64,
    /// Filler in each metre of the duct, L.
    pub free_l_per_m: f64,
}

/// The inside of a tendon.
///
/// # Errors
/// The field without which it is not known.
pub fn inside(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Inside, &'static str> {
    let inside::Inside { net_l, free_l_per_m, .. } = inside::of(context, at)?;
    Ok(Inside { net_l, free_l_per_m })
}

/// Density of water.
const WATER_KG_PER_M3: f64 = 1000.0;

/// What a bag of cement gives, mixed with water alone; nothing for a ratio or a bag that is none.
#[must_use]
pub fn neat_grout(context: &Context<'_>, water_cement_ratio: f64, bag_kg: f64) -> Option<Grout> {
    grout_by_densities(&GroutMix {
        water_cement_ratio,
        cement_density_kg_per_m3: context.limit(CEMENT).value,
        water_density_kg_per_m3: WATER_KG_PER_M3,
        bag_kg,
    })
    .ok()
}
