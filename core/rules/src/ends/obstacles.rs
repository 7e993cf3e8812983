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
    let behind_m = context.room(at, end).behind()?.mm / 1000.0;
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

#[cfg(test)]
mod tests {
    use restrand_model::reflect::{Date, Link};
    use restrand_model::schedule::{
        Bay, BayObstacle, End, Ends, FaceName, Place, Project, RemovalSpace, Schedule, Tendon,
        TendonPoint,
    };

    use super::*;
    use crate::book::Rulebook;
    use crate::ends::{Frame, clear_behind};

    /// An even spread of numbers below one, the same in every run.
    struct Spread(u64);

    impl Spread {
        fn next(&mut self, low: f64, high: f64) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            low + (high - low) * ((self.0 >> 33) as f64 / f64::from(1_u32 << 31))
        }
    }

    const BEHIND_MM: f64 = 3000.0;

    fn schedule(rise_m: f64, obstacle: BayObstacle) -> Schedule {
        let point = |station_m: f64, elevation_m: f64| TendonPoint {
            station_m: Some(station_m),
            lateral_m: Some(1.0),
            elevation_m: Some(elevation_m),
            ..TendonPoint::default()
        };
        let end = End {
            place: Some(Link::to("P")),
            face: Some(FaceName::Up),
            removal_space: Some(Box::new(RemovalSpace {
                behind_mm: Some(BEHIND_MM),
                ..RemovalSpace::default()
            })),
            ..End::default()
        };
        Schedule {
            project: Some(Box::new(Project {
                alignment_straight: Some(true),
                ..Project::default()
            })),
            places: vec![Place { id: Some("P".into()), ..Place::default() }],
            bays: vec![Bay {
                from_place: Some(Link::to("P")),
                obstacles: vec![obstacle],
                ..Bay::default()
            }],
            tendons: vec![Tendon {
                points: vec![point(100.0, 50.0 - rise_m), point(110.0, 50.0)],
                ends: Some(Box::new(Ends { b: Some(Box::new(end)), ..Ends::default() })),
                ..Tendon::default()
            }],
            ..Schedule::default()
        }
    }

    /// Where a disc on the axis that is pushed back meets the box first, by places all over the box.
    fn tried_mm(rise_m: f64, block: &Block, radius_mm: f64) -> f64 {
        const STEPS: u32 = 24;
        let slope = (rise_m / 10.0).atan();
        let ahead = restrand_mechanics::path::Direction { x: slope.cos(), y: 0.0, z: slope.sin() };
        let frame = Frame::along(ahead).unwrap();
        let mut least_mm = BEHIND_MM;
        let between = |[low, high]: [f64; 2], step: u32| {
            low + (high - low) * f64::from(step) / f64::from(STEPS)
        };
        for i in 0..=STEPS {
            for j in 0..=STEPS {
                for k in 0..=STEPS {
                    let place = restrand_mechanics::path::Direction {
                        x: between(block.stations_m, i) - 110.0,
                        y: between(block.laterals_m, j) - 1.0,
                        z: between(block.elevations_m, k) - 50.0,
                    };
                    let [along, up, left] = frame.own(place).map(|m| m * 1000.0);
                    if along > 0.0 && up.hypot(left) < radius_mm {
                        least_mm = least_mm.min(along);
                    }
                }
            }
        }
        least_mm
    }

    #[test]
    fn an_obstacle_of_the_bay_ends_the_room_where_trying_meets_it() {
        let mut spread = Spread(11);
        let book = Rulebook::default();
        let mut met = 0;
        for _ in 0..200 {
            let (rise_m, radius_mm) = (spread.next(-2.0, 2.0), spread.next(60.0, 300.0));
            let from_m = spread.next(109.0, 113.0);
            let obstacle = BayObstacle {
                from_m: Some(from_m),
                to_m: Some(from_m + spread.next(0.1, 6.0)),
                lateral_from_m: Some(spread.next(0.2, 1.2)),
                lateral_to_m: Some(spread.next(1.2, 1.8)),
                elevation_from_m: Some(50.0 + spread.next(-0.9, 0.3)),
                elevation_to_m: Some(50.0 + spread.next(0.3, 0.9)),
                ..BayObstacle::default()
            };
            let block = Block::of(&obstacle).unwrap();
            let schedule = schedule(rise_m, obstacle);
            let context = Context::new(&schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
            let at = context.tendons().next().unwrap();
            let end = at.ends().next().unwrap();
            let clear_mm = clear_behind(&context, &at, &end, radius_mm).unwrap().clear_mm;
            let tried_mm = tried_mm(rise_m, &block, radius_mm);
            // Slices are boxed, so that an obstacle is never taken for smaller than it is; and trying misses the very
            // corner that is met first by a step.
            let slices_mm = 1000.0 * 4.0 / f64::from(SLICES) * (1.0 + rise_m.abs() / 10.0);
            assert!(clear_mm <= tried_mm + 1e-6, "{clear_mm} {tried_mm}");
            if tried_mm < BEHIND_MM {
                met += 1;
                let longest_mm = 1000.0 * (block.stations_m[1] - block.stations_m[0]) / 24.0;
                let slack_mm = slices_mm + longest_mm + 1000.0 * 1.8 / 24.0;
                assert!(tried_mm - clear_mm < slack_mm, "{clear_mm} {tried_mm} {slack_mm}");
            }
        }
        assert!(met > 50, "{met}");
    }

    #[test]
    fn a_level_obstacle_on_a_level_axis_is_met_at_its_face() {
        let obstacle = BayObstacle {
            from_m: Some(111.0),
            to_m: Some(111.5),
            lateral_from_m: Some(0.5),
            lateral_to_m: Some(1.5),
            elevation_from_m: Some(50.2),
            elevation_to_m: Some(50.4),
            ..BayObstacle::default()
        };
        let schedule = schedule(0.0, obstacle);
        let book = Rulebook::default();
        let context = Context::new(&schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
        let at = context.tendons().next().unwrap();
        let end = at.ends().next().unwrap();
        let clear_mm = |radius_mm| clear_behind(&context, &at, &end, radius_mm).unwrap().clear_mm;
        assert!((clear_mm(200.1) - 1000.0).abs() < 1e-6);
        assert_eq!(clear_mm(199.9), BEHIND_MM);
    }
}
