//! Live tendons beside a tendon: those that must not be nicked while it is worked on.

use restrand_mechanics::path::Point;
use restrand_mechanics::room::{Cylinder, nearest};
use restrand_model::schedule::{Situation, Status};

use crate::context::{Context, TendonAt};

/// A live tendon beside another one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Its position in the schedule.
    pub tendon: usize,
    /// Least distance of the two ducts' surfaces, mm; negative where they overlap.
    pub gap_mm: f64,
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
        match Line::of(context, &other) {
            Ok(line) => near.extend(own.nearest(&line, other.position)),
            Err(_) => unknown.push(other.position),
        }
    }
    near.sort_by(|one, other| one.gap_mm.total_cmp(&other.gap_mm));
    Ok((near, unknown))
}

/// A tendon as cylinders in space, one for each stretch of a leg with one kind of duct.
struct Line {
    stretches: Vec<Stretch>,
    /// Least and greatest x of the corners, m.
    extent_m: [f64; 2],
}

struct Stretch {
    cylinder: Cylinder,
    stations_m: [f64; 2],
    length_mm: f64,
}

impl Line {
    fn of(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Self, &'static str> {
        let legs = &context.path(at).map_err(|none| none.field())?.path.legs;
        let lengths = context.duct_lengths(at.tendon)?;
        let mut stretches = Vec::new();
        for (leg, pair) in legs.iter().zip(at.tendon.points.windows(2)) {
            let station_m = |index: usize| pair[index].station_m.ok_or("tendon_point.station_m");
            let (from_m, to_m) = (station_m(0)?, station_m(1)?);
            for length in &lengths {
                let stations_m = [length.stations_m[0].max(from_m), length.stations_m[1].min(to_m)];
                if stations_m[0] >= stations_m[1] {
                    continue;
                }
                let outer_mm = length.duct.record.outer_mm.ok_or("duct.outer_mm")?;
                let point_mm = |station_m: f64| {
                    let share = (station_m - from_m) / (to_m - from_m);
                    let between = |one: f64, other: f64| (one + (other - one) * share) * 1000.0;
                    let (from, to): (Point, Point) = (leg.from, leg.to);
                    [
                        between(from.x_m, to.x_m),
                        between(from.y_m, to.y_m),
                        between(from.z_m, to.z_m),
                    ]
                };
                let [from_mm, to_mm] = stations_m.map(point_mm);
                let share = (stations_m[1] - stations_m[0]) / (to_m - from_m);
                stretches.push(Stretch {
                    cylinder: Cylinder { from_mm, to_mm, radius_mm: outer_mm / 2.0 },
                    stations_m,
                    length_mm: leg.length_m * share * 1000.0,
                });
            }
        }
        let xs = || legs.iter().flat_map(|leg| [leg.from.x_m, leg.to.x_m]);
        let extent_m = [xs().fold(f64::INFINITY, f64::min), xs().fold(f64::NEG_INFINITY, f64::max)];
        Ok(Self { stretches, extent_m })
    }

    /// Where another one is nearest, if both run in the same stretch of the bridge.
    fn nearest(&self, other: &Self, tendon: usize) -> Option<Beside> {
        let overlap = |one: [f64; 2], other: [f64; 2]| one[0] < other[1] && other[0] < one[1];
        if !overlap(self.extent_m, other.extent_m) {
            return None;
        }
        let mut least: Option<Beside> = None;
        for stretch in &self.stretches {
            for other_stretch in &other.stretches {
                let Ok(found) = nearest(&stretch.cylinder, &other_stretch.cylinder) else {
                    continue;
                };
                if least.is_some_and(|least| least.gap_mm <= found.gap_mm) {
                    continue;
                }
                let [from_m, to_m] = stretch.stations_m;
                let share = found.along_one_mm / stretch.length_mm;
                least = Some(Beside {
                    tendon,
                    gap_mm: found.gap_mm,
                    station_m: from_m + (to_m - from_m) * share,
                });
            }
        }
        least
    }
}
