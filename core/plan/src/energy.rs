//! The energy for which restraints, clamps and covers are laid out: one value, wherever a plan tells it.

use restrand_mechanics::removal::release_energy_kj;
use restrand_rules::works::{self, Along};

use crate::tendon::{Known, Lacks};

/// The most that the tendon in place can set free: as if its greatest force were in it all along.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Design {
    pub(crate) kj: f64,
    pub(crate) force_kn: f64,
    pub(crate) length_m: f64,
    /// Whether the forces along it are known, so that the greatest of them counts; else it is what the jack gave.
    pub(crate) is_by_forces: bool,
}

/// The energy for which restraints are laid out, or every field without which it is not known.
pub(crate) fn design(known: &Known<'_, '_>) -> Result<Design, Lacks> {
    let length_m = known.along.as_ref().map(Along::length_m);
    match known.stressed() {
        Ok(stressed) => {
            let force_kn = stressed.greatest_kn();
            let kj =
                release_energy_kj(force_kn, stressed.length_m, stressed.area_mm2, stressed.e_mpa)
                    .map_err(|_| vec!["tendon.points"])?;
            let length_m = length_m.unwrap_or(stressed.length_m);
            Ok(Design { kj, force_kn, length_m, is_by_forces: true })
        }
        Err(_) => {
            let length_m = length_m.map_err(|field| vec![*field])?;
            let jacking = works::jacking(known.context, known.at).map_err(|field| vec![field])?;
            let kj = release_energy_kj(jacking.force_kn, length_m, jacking.area_mm2, jacking.e_mpa)
                .map_err(|_| vec!["tendon.points"])?;
            Ok(Design { kj, force_kn: jacking.force_kn, length_m, is_by_forces: false })
        }
    }
}
