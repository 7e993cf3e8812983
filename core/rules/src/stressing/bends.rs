//! Forces on both sides of each bend of a tendon, for what hangs on a deviation force.

use restrand_mechanics::friction::{StressDiagram, force_kn};

use super::jacked;
use super::recomputed::{Reading, Recomputed};
use crate::context::{Context, TendonAt};
use crate::tendon_path::LaidTendon;

/// When a force is in the tendon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum When {
    /// At the full jacking force.
    Jacked,
    /// Once the wedges are seated.
    Seated,
}

/// Forces at the bends of a tendon at one time.
pub(crate) struct BendForces {
    /// When they are in the tendon.
    pub(crate) when: When,
    /// At each bend, on its side towards end a and towards end b, kN.
    pub(crate) sides_kn: Vec<[f64; 2]>,
}

/// The forces at the bends of a tendon from what its stressing states; an error is the field that is absent.
///
/// Where both ends are seated at once, either order may be the one: both are given.
pub(crate) fn of(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
) -> Result<Vec<BendForces>, &'static str> {
    let tendon = Recomputed::of(context, at, Reading::AsStated)?;
    let jacking_kn = jacked::jacking(at, &tendon.steel)?.force_kn;
    let mut forces = vec![sides(&tendon, laid, &tendon.before_seating(jacking_kn)?, When::Jacked)?];
    for stress in tendon.seated(jacking_kn)? {
        forces.push(sides(&tendon, laid, &stress, When::Seated)?);
    }
    Ok(forces)
}

fn sides(
    tendon: &Recomputed<'_>,
    laid: &LaidTendon,
    stress: &StressDiagram,
    when: When,
) -> Result<BendForces, &'static str> {
    const POINTS: &str = "tendon.points";
    let force = |mpa: f64| force_kn(mpa, tendon.steel.area_mm2).map_err(|_| POINTS);
    let mut reached_m = 0.0;
    let mut sides_kn = Vec::with_capacity(laid.path.bends.len());
    for (leg, bend) in laid.path.legs.iter().zip(&laid.path.bends) {
        let enters_m = reached_m + leg.straight_m;
        reached_m = enters_m + bend.arc_m;
        // A bare corner is one place with two sides.
        let before = stress.at(enters_m.min(tendon.length_m())).map_err(|_| POINTS)?;
        let after = stress.at(reached_m.min(tendon.length_m())).map_err(|_| POINTS)?;
        sides_kn.push([force(before.towards_a_mpa)?, force(after.towards_b_mpa)?]);
    }
    Ok(BendForces { when, sides_kn })
}
