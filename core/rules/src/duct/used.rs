//! The ducts of a tendon.

use restrand_model::reflect::Link;
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial};

use crate::context::TendonAt;

/// A duct as a tendon names it, and where: over the free length, then for each run, each kind of duct once.
pub(super) fn named<'a>(at: &TendonAt<'a>) -> Vec<(&'a Link<Duct>, Route)> {
    let runs = at.route.field("duct_runs");
    let stated = at.tendon.duct.iter().map(|link| (link, at.route.field("duct"))).chain(
        at.tendon.duct_runs.iter().enumerate().filter_map(|(index, run)| {
            run.duct.as_ref().map(|link| (link, runs.item(index).field("duct")))
        }),
    );
    let mut seen: Vec<(&Link<Duct>, Route)> = Vec::new();
    for (link, route) in stated {
        if !seen.iter().any(|(other, _)| other.key() == link.key()) {
            seen.push((link, route));
        }
    }
    seen
}

/// Whether it is a smooth pipe of a polymer.
pub(super) fn is_polymer(duct: &Duct) -> bool {
    matches!(duct.material, Some(DuctMaterial::Polyethylene | DuctMaterial::Polypropylene))
}

/// The name of a duct of the schedule.
pub(super) fn name(duct: &Duct) -> &str {
    duct.id.as_deref().unwrap_or("without a name")
}
