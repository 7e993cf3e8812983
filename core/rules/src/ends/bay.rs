//! The room that a bay gives behind and beside an anchorage that looks into it.

use restrand_model::schedule::EndName;

use super::axis::EndAxis;
use crate::context::{Context, EndAt, TendonAt};
use crate::ways::extent_at_m;

/// What a bay gives at an end; a distance is absent where the bay does not state what it follows from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BayRoom {
    /// The bay, by its position in the schedule's list.
    pub bay: usize,
    /// From the bearing plate to the far end of the bay, along the axis, mm.
    pub behind_mm: Option<f64>,
    /// Above, below, left and right of the axis where it leaves the plate, mm.
    at_plate_mm: [Option<f64>; 4],
    /// How much each of these grows for a length along the axis; negative where the axis nears that side.
    growth: [f64; 4],
}

impl BayRoom {
    /// The room of the bay on which the face of an end looks; nothing where no bay is listed there.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn of(
        context: &Context<'_>,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
    ) -> Result<Option<Self>, &'static str> {
        let place = end.end.place.as_ref().ok_or("end.place")?;
        let face = end.end.face.ok_or("end.face")?;
        let point = match end.name {
            EndName::A => at.tendon.points.first(),
            EndName::B => at.tendon.points.last(),
        };
        let lateral_m = point.and_then(|point| point.lateral_m);
        let ways = context.ways();
        let Some(index) = ways.bay_at(place.key(), face, lateral_m)? else { return Ok(None) };
        let bay = &ways.bays[index];
        let axis = EndAxis::of(context, at, end)?;
        let point = point.ok_or("tendon.points")?;
        let station_m = point.station_m.ok_or("tendon_point.station_m")?;
        // Along the bridge, up and to the left, for a length along the axis.
        let (pitch, turn) = (axis.rear_pitch_rad, axis.rear_turn_rad);
        let (level, up, left) = (pitch.cos() * turn.cos(), pitch.sin(), pitch.cos() * turn.sin());
        let [from_m, to_m] = extent_at_m(context, bay, lateral_m.unwrap_or(0.0));
        let level_m = match end.name {
            EndName::A => from_m.map(|from_m| station_m - from_m),
            EndName::B => to_m.map(|to_m| to_m - station_m),
        };
        let behind_mm = level_m
            .filter(|level_m| *level_m > 0.0 && level > 0.0)
            .map(|level_m| level_m * 1000.0 / level);
        let upright = match (bay.floor_elevation_m, point.elevation_m, bay.floor_slope) {
            // Under a floor that slopes, up and down change along the bay.
            (Some(floor_m), Some(z_m), None | Some(0.0)) => {
                let ceiling_m = bay.height_mm.map(|height_mm| floor_m + height_mm / 1000.0);
                [ceiling_m.map(|ceiling_m| ceiling_m - z_m), Some(z_m - floor_m)]
            }
            _ => [None; 2],
        };
        let across = match (bay.middle_lateral_m, bay.width_mm, lateral_m) {
            (Some(middle_m), Some(width_mm), Some(y_m)) => {
                let half_m = width_mm / 1000.0 / 2.0;
                [Some(middle_m + half_m - y_m), Some(y_m - (middle_m - half_m))]
            }
            _ => [None; 2],
        };
        let at_plate_mm = [upright[0], upright[1], across[0], across[1]]
            .map(|clear_m| clear_m.map(|clear_m| clear_m * 1000.0));
        Ok(Some(Self { bay: index, behind_mm, at_plate_mm, growth: [-up, up, -left, left] }))
    }

    /// Above, below, left and right of the axis, mm: the least over a length behind the plate.
    #[must_use]
    pub fn sides_mm(&self, run_mm: f64) -> [Option<f64>; 4] {
        std::array::from_fn(|side| {
            self.at_plate_mm[side].map(|at_mm| at_mm + (self.growth[side] * run_mm).min(0.0))
        })
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::reflect::{Date, Link};
    use restrand_model::schedule::{
        Bay, End, Ends, FaceName, Place, Project, Schedule, Tendon, TendonPoint,
    };

    use super::*;
    use crate::book::Rulebook;

    /// A tendon from the bay before A to the bay behind B, falling and drifting to the left.
    fn schedule(slopes: [f64; 2]) -> Schedule {
        let point = |station_m: f64| TendonPoint {
            station_m: Some(station_m),
            lateral_m: Some(1.0 + slopes[0] * (station_m - 100.0)),
            elevation_m: Some(50.0 + slopes[1] * (station_m - 100.0)),
            ..TendonPoint::default()
        };
        let end = |place: &str, face| {
            Some(Box::new(End { place: Some(Link::to(place)), face: Some(face), ..End::default() }))
        };
        let place = |id: &str, station_m| Place {
            id: Some(id.into()),
            station_m: Some(station_m),
            ..Place::default()
        };
        let bay = |from_m, to_m| Bay {
            from_m: Some(from_m),
            to_m: Some(to_m),
            width_mm: Some(5000.0),
            height_mm: Some(3000.0),
            middle_lateral_m: Some(0.25),
            floor_elevation_m: Some(48.5),
            ..Bay::default()
        };
        Schedule {
            project: Some(Box::new(Project {
                alignment_straight: Some(true),
                ..Project::default()
            })),
            places: vec![place("A", 100.0), place("B", 110.0)],
            bays: vec![
                Bay { to_place: Some(Link::to("A")), ..bay(97.5, 100.0) },
                Bay { from_place: Some(Link::to("B")), ..bay(110.0, 113.0) },
            ],
            tendons: vec![Tendon {
                points: vec![point(100.0), point(110.0)],
                ends: Some(Box::new(Ends {
                    a: end("A", FaceName::Down),
                    b: end("B", FaceName::Up),
                    ..Ends::default()
                })),
                ..Tendon::default()
            }],
            ..Schedule::default()
        }
    }

    /// The closed forms against a walk along the axis in steps of a millimetre, to the end of the bay.
    #[test]
    fn the_room_is_what_a_walk_along_the_axis_meets() {
        const STEP_MM: f64 = 1.0;
        for slopes in [[0.0, 0.0], [0.1, 0.05], [-0.08, 0.03], [0.06, -0.1], [-0.02, -0.04]] {
            let (schedule, book) = (schedule(slopes), Rulebook::default());
            let day = Date::new(2031, 5, 7).unwrap();
            let context = Context::new(&schedule, &[], &[], &book, day);
            let at = context.tendons().next().unwrap();
            for (end, bay) in at.ends().zip(&schedule.bays) {
                let given = BayRoom::of(&context, &at, &end).unwrap().unwrap();
                let behind_mm = given.behind_mm.unwrap();
                let axis = EndAxis::of(&context, &at, &end).unwrap();
                let (from_m, to_m) = (bay.from_m.unwrap(), bay.to_m.unwrap());
                let (mut along_mm, mut least_mm) = (0.0, [f64::INFINITY; 4]);
                // On a straight bridge stations are x, and laterals y.
                loop {
                    let point = axis.point(along_mm);
                    if !(from_m..=to_m).contains(&point.x_m) {
                        break;
                    }
                    let sides_m =
                        [51.5 - point.z_m, point.z_m - 48.5, 2.75 - point.y_m, point.y_m + 2.25];
                    for (least_mm, side_m) in least_mm.iter_mut().zip(sides_m) {
                        *least_mm = least_mm.min(side_m * 1000.0);
                    }
                    along_mm += STEP_MM;
                }
                assert!(
                    (behind_mm - along_mm).abs() <= STEP_MM,
                    "{slopes:?} {behind_mm} {along_mm}"
                );
                for (side_mm, least_mm) in given.sides_mm(behind_mm).into_iter().zip(least_mm) {
                    let side_mm = side_mm.unwrap();
                    assert!((side_mm - least_mm).abs() <= 0.2, "{slopes:?} {side_mm} {least_mm}");
                }
            }
        }
    }
}
