//! Live tendons beside a tendon: those that must not be nicked while it is worked on.

use restrand_mechanics::room::nearest;
use restrand_model::schedule::{Situation, Status};

use super::worst_duct_mm;
use crate::context::{Context, TendonAt};
use crate::duct_lengths::{Bound, DuctOnLeg};

/// A live tendon beside another one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Its position in the schedule.
    pub tendon: usize,
    /// Least distance of the two ducts' surfaces, both at worst tolerance, mm; negative where they overlap.
    pub gap_mm: f64,
    /// Whether it may be more: it is not stated where each duct of one of the two lies, and the widest of them counts.
    pub may_be_more: bool,
    /// Station at which they are nearest, m.
    pub station_m: f64,
}

/// The external tendons in use whose ducts run beside that of a tendon, the nearest first, and those of which that is
/// not known.
///
/// # Errors
/// The field of the tendon itself without which nothing is known.
pub fn beside(
    context: &Context<'_>,
    at: &TendonAt<'_>,
) -> Result<(Vec<Beside>, Vec<usize>), &'static str> {
    let own = Line::of(context, at)?;
    let mut near = Vec::new();
    let mut unknown = Vec::new();
    let others = context
        .tendons()
        .filter(|other| other.position != at.position)
        .filter(|other| matches!(other.tendon.status, None | Some(Status::InUse)))
        .filter(|other| other.tendon.situation != Some(Situation::Internal));
    for other in others {
        // One that runs in another stretch of the bridge is not beside it, whatever its duct.
        if extent_m(context, &other).is_ok_and(|other_m| !own.runs_along(other_m)) {
            continue;
        }
        match Line::of(context, &other) {
            Ok(line) => near.extend(own.nearest(&line, other.position)),
            Err(_) => unknown.push(other.position),
        }
    }
    near.sort_by(|one, other| one.gap_mm.total_cmp(&other.gap_mm));
    // Of those that are as near the one at the lowest station is told, whatever the digits of the stations.
    let alike = near.iter().take_while(|other| other.gap_mm <= near[0].gap_mm + ALIKE_MM);
    let lowest =
        alike.enumerate().min_by(|(_, one), (_, other)| one.station_m.total_cmp(&other.station_m));
    if let Some((lowest, _)) = lowest {
        near[..=lowest].rotate_right(1);
    }
    Ok((near, unknown))
}

/// What rounding of stations leaves between gaps that are meant to be alike, mm.
const ALIKE_MM: f64 = 0.1;

/// Least and greatest x of the corners of a tendon, m.
fn extent_m(context: &Context<'_>, at: &TendonAt<'_>) -> Result<[f64; 2], &'static str> {
    let legs = &context.path(at).map_err(|none| none.field())?.path.legs;
    let xs = || legs.iter().flat_map(|leg| [leg.from.x_m, leg.to.x_m]);
    Ok([xs().fold(f64::INFINITY, f64::min), xs().fold(f64::NEG_INFINITY, f64::max)])
}

/// A tendon by its duct on each leg.
struct Line {
    ducts: Vec<DuctOnLeg<f64>>,
    /// Whether each duct is known to lie there; else the widest of those that may counts.
    is_sure: bool,
    /// Least and greatest x of the corners, m.
    extent_m: [f64; 2],
}

impl Line {
    fn of(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Self, &'static str> {
        let extent_m = extent_m(context, at)?;
        let (ducts, is_sure) = match context.duct_on_legs(at, worst_duct_mm) {
            Ok(ducts) => (ducts, true),
            // Where each of its ducts lies may be all that is not known, and may make no difference.
            Err(field) => {
                let bounded = |bound| context.bounded_on_legs(at, worst_duct_mm, bound);
                let widest = bounded(Bound::Widest).map_err(|_| field)?;
                let is_sure = bounded(Bound::Narrowest).is_ok_and(|narrowest| narrowest == widest);
                (widest, is_sure)
            }
        };
        Ok(Self { ducts, is_sure, extent_m })
    }

    /// Whether it runs in the same stretch of the bridge as one of this extent.
    fn runs_along(&self, [from_m, to_m]: [f64; 2]) -> bool {
        self.extent_m[0] < to_m && from_m < self.extent_m[1]
    }

    /// Where another one is nearest.
    fn nearest(&self, other: &Self, tendon: usize) -> Option<Beside> {
        let mut least: Option<Beside> = None;
        for duct in &self.ducts {
            let cylinder = duct.cylinder();
            for other_duct in &other.ducts {
                let Ok(found) = nearest(&cylinder, &other_duct.cylinder()) else { continue };
                if least.is_some_and(|least| least.gap_mm <= found.gap_mm + ALIKE_MM) {
                    continue;
                }
                let [from_m, to_m] = duct.stations_m;
                let share = found.along_one_mm / (duct.length_m * 1000.0);
                least = Some(Beside {
                    tendon,
                    gap_mm: found.gap_mm,
                    may_be_more: !(self.is_sure && other.is_sure),
                    station_m: from_m + (to_m - from_m) * share,
                });
            }
        }
        least
    }
}
