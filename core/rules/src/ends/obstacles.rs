//! What stands in the way behind an end: as the end states it, and as its bay does.

use restrand_model::route::Route;
use restrand_model::schedule::{EndName, EndObstacle};

use super::axis::EndAxis;
use crate::context::{Context, EndAt, TendonAt};
use crate::ways::Block;

/// A box in the anchorage's own axes: from the lower to the higher end along, up and to the left, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnBox {
    /// Along the axis, positive rearward.
    pub along_mm: [f64; 2],
    /// Upward from the axis.
    pub up_mm: [f64; 2],
    /// To the left of the axis.
    pub left_mm: [f64; 2],
}

impl OwnBox {
    /// How far it stands from the axis, mm; 0 where it lies across it.
    #[must_use]
    pub fn aside_mm(&self) -> f64 {
        let away = |[low, high]: [f64; 2]| low.max(-high).max(0.0);
        away(self.up_mm).hypot(away(self.left_mm))
    }

    /// Where it ends the room for what is as wide as this radius, mm; nothing where it is not in the way.
    #[must_use]
    pub fn ends_room_mm(&self, radius_mm: f64) -> Option<f64> {
        // What lies wholly on the span side of the face is not in this room.
        (self.aside_mm() < radius_mm && self.along_mm[1] > 0.0).then(|| self.along_mm[0].max(0.0))
    }
}

/// Something in the way behind an end.
#[derive(Debug, Clone, PartialEq)]
pub struct Obstacle {
    /// How people call it.
    pub name: String,
    /// Where it is stated.
    pub route: Route,
    /// The boxes of which it is made: one, or slices of what the axis does not run along.
    pub boxes: Vec<OwnBox>,
}

impl Obstacle {
    /// Where it ends the room for what is as wide as this radius, mm; nothing where it is not in the way.
    #[must_use]
    pub fn ends_room_mm(&self, radius_mm: f64) -> Option<f64> {
        self.boxes.iter().filter_map(|one| one.ends_room_mm(radius_mm)).reduce(f64::min)
    }
}

/// What is in the way behind an end.
///
/// # Errors
/// The field without which it is not known.
pub(crate) fn of(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Vec<Obstacle>, &'static str> {
    let list = end.route.field("obstacles");
    let mut found = Vec::new();
    for (index, stated) in end.end.obstacles.iter().enumerate() {
        let route = list.item(index);
        found.push(Obstacle {
            name: call(stated.name.as_deref()),
            route,
            boxes: vec![own(stated)?],
        });
    }
    of_bay(context, at, end, &mut found)?;
    Ok(found)
}

fn call(name: Option<&str>) -> String {
    name.unwrap_or("an obstacle").to_owned()
}

/// An obstacle of the end; what is not stated of its sides may reach across the axis.
fn own(obstacle: &EndObstacle) -> Result<OwnBox, &'static str> {
    let (Some(from_mm), Some(to_mm)) = (obstacle.from_mm, obstacle.to_mm) else {
        return Err("end_obstacle.from_mm");
    };
    let range = |low: Option<f64>, high: Option<f64>| {
        let (low, high) = (low.unwrap_or(f64::NEG_INFINITY), high.unwrap_or(f64::INFINITY));
        [low.min(high), low.max(high)]
    };
    Ok(OwnBox {
        along_mm: [from_mm.min(to_mm), from_mm.max(to_mm)],
        up_mm: range(obstacle.underside_mm, obstacle.top_mm),
        left_mm: range(obstacle.right_side_mm, obstacle.left_side_mm),
    })
}

/// Further along the bridge than the room itself, m: a jack that is tilted takes as much more.
const BESIDE_M: f64 = 0.5;

/// Slices along the bridge in which an obstacle of a bay is taken: each is boxed along the anchorage's own axes, which
/// adds its length times the slope of the axis.
const SLICES: u32 = 32;

/// What the bay behind an end states to be in the way, as far as it stands beside the room there.
fn of_bay(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    found: &mut Vec<Obstacle>,
) -> Result<(), &'static str> {
    if context.schedule.bays.iter().all(|bay| bay.obstacles.is_empty()) {
        return Ok(());
    }
    let (Some(place), Some(face)) = (end.end.place.as_ref(), end.end.face) else {
        return Err("end.place");
    };
    let point = match end.name {
        EndName::A => at.tendon.points.first(),
        EndName::B => at.tendon.points.last(),
    };
    let point = point.ok_or("tendon.points")?;
    let Some(bay) = context.ways().bay_at(place.key(), face, point.lateral_m)? else {
        // That no bay is listed there is told by the rule on ways.
        return Ok(());
    };
    let obstacles = &context.schedule.bays[bay].obstacles;
    if obstacles.is_empty() {
        return Ok(());
    }
    let behind_mm = end.end.removal_space.as_deref().and_then(|space| space.behind_mm);
    let behind_m = behind_mm.ok_or("removal_space.behind_mm")? / 1000.0;
    let station_m = point.station_m.ok_or("tendon_point.station_m")?;
    let stretch_m = match end.name {
        EndName::A => [station_m - behind_m - BESIDE_M, station_m + BESIDE_M],
        EndName::B => [station_m - BESIDE_M, station_m + behind_m + BESIDE_M],
    };
    let list = Route::to("bays", bay).field("obstacles");
    for (index, obstacle) in obstacles.iter().enumerate() {
        let block = Block::of(obstacle)?;
        let [from_m, to_m] =
            [0, 1].map(|end| block.stations_m[end].clamp(stretch_m[0], stretch_m[1]));
        if block.stations_m[0] > stretch_m[1] || block.stations_m[1] < stretch_m[0] {
            continue;
        }
        let axis = EndAxis::of(context, at, end)?;
        let boxes = (0..SLICES)
            .map(|slice| {
                let station_m =
                    |step: u32| from_m + (to_m - from_m) * f64::from(step) / f64::from(SLICES);
                boxed(context, &axis, &block, [station_m(slice), station_m(slice + 1)])
            })
            .collect::<Result<_, _>>()?;
        let name = call(obstacle.name.as_deref());
        found.push(Obstacle { name, route: list.item(index), boxes });
    }
    Ok(())
}

/// The box, along the anchorage's own axes, round a slice of a block.
fn boxed(
    context: &Context<'_>,
    axis: &EndAxis,
    block: &Block,
    stations_m: [f64; 2],
) -> Result<OwnBox, &'static str> {
    let alignment = context.alignment().map_err(|none| none.field())?;
    let mut ranges = [[f64::INFINITY, f64::NEG_INFINITY]; 3];
    for station_m in stations_m {
        for lateral_m in block.laterals_m {
            for elevation_m in block.elevations_m {
                let corner = alignment
                    .point(station_m, lateral_m, elevation_m)
                    .map_err(|_| "bay_obstacle.from_m")?;
                for (range, own_mm) in ranges.iter_mut().zip(axis.own_mm(corner)) {
                    *range = [range[0].min(own_mm), range[1].max(own_mm)];
                }
            }
        }
    }
    let [along_mm, up_mm, left_mm] = ranges;
    Ok(OwnBox { along_mm, up_mm, left_mm })
}
