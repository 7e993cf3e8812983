//! Which ends of a tendon are jacked, and to which force.

use restrand_model::route::Route;
use restrand_model::schedule::{EndName, StressingFrom, Tendon};

use super::steel::Steel;
use crate::context::TendonAt;

/// The ends that are jacked, in their order.
pub(crate) const fn ends(from: StressingFrom) -> &'static [EndName] {
    match from {
        StressingFrom::A => &[EndName::A],
        StressingFrom::B => &[EndName::B],
        StressingFrom::Both | StressingFrom::AThenB => &[EndName::A, EndName::B],
        StressingFrom::BThenA => &[EndName::B, EndName::A],
    }
}

/// The ends that are jacked as a tendon states it.
pub(crate) fn ends_of(tendon: &Tendon) -> Result<&'static [EndName], &'static str> {
    let stressing = tendon.stressing.as_deref().ok_or("tendon.stressing")?;
    stressing.from.map(ends).ok_or("stressing.from")
}

/// A force that the schedule states, and where.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct StatedForce {
    /// The force, kN.
    pub(crate) force_kn: f64,
    /// Where it stands.
    pub(crate) route: Route,
    /// What it is, as a clause with the tendon as its subject: `is jacked to`.
    pub(crate) verb: &'static str,
}

/// The jacking force as stated: as a force, else as a share of the tensile strength.
pub(crate) fn jacking(at: &TendonAt<'_>, steel: &Steel<'_>) -> Result<StatedForce, &'static str> {
    const ABSENT: &str = "stressing.jacking_force_kn";
    let stressing = at.tendon.stressing.as_deref().ok_or("tendon.stressing")?;
    let route = at.route.field("stressing");
    let verb = "is jacked to";
    if let Some(force_kn) = stressing.jacking_force_kn {
        return Ok(StatedForce { force_kn, route: route.field("jacking_force_kn"), verb });
    }
    let share = stressing.jacking_share.ok_or(ABSENT)?;
    let stress_mpa = share * steel.strength()?.fpu_mpa;
    let force_kn =
        restrand_mechanics::friction::force_kn(stress_mpa, steel.area_mm2).map_err(|_| ABSENT)?;
    Ok(StatedForce { force_kn, route: route.field("jacking_share"), verb })
}

/// The values on which the jacking force rests: those that are absent too, as they count once they are stated.
pub(crate) fn rests_on(at: &TendonAt<'_>, steel: &Steel<'_>) -> [Route; 3] {
    let stressing = at.route.field("stressing");
    let [force, share] = ["jacking_force_kn", "jacking_share"].map(|name| stressing.field(name));
    [force, share, steel.strand.route.field("fpu_mpa")]
}

/// The greatest force in the table of steps.
pub(crate) fn greatest_step(at: &TendonAt<'_>) -> Option<StatedForce> {
    let steps = at.route.field("stressing_steps");
    let forces = at.tendon.stressing_steps.iter().enumerate().filter_map(|(index, step)| {
        let route = steps.item(index).field("force_kn");
        Some(StatedForce { force_kn: step.force_kn?, route, verb: "has a step of its table at" })
    });
    forces.reduce(greater)
}

/// The greatest force that was measured.
pub(crate) fn greatest_measured(at: &TendonAt<'_>) -> Option<StatedForce> {
    let list = at.route.field("measurements");
    let forces = at.tendon.measurements.iter().enumerate().filter_map(|(index, measured)| {
        let route = list.item(index).field("force_kn");
        Some(StatedForce { force_kn: measured.force_kn?, route, verb: "was measured at" })
    });
    forces.reduce(greater)
}

/// The greater of two forces, the first of equal ones.
pub(crate) fn greater(one: StatedForce, other: StatedForce) -> StatedForce {
    if other.force_kn > one.force_kn { other } else { one }
}
