//! Bays as clear rooms, and how near a leg comes to their concrete and to what is in the way in them.

use restrand_mechanics::path::{Alignment, Leg, crossing};
use restrand_model::route::Route;
use restrand_model::schedule::Bay;

use crate::beyond::short_of;
use crate::context::Context;
use crate::duct_lengths::DuctOnLeg;
use crate::tendon_path::LaidTendon;
use crate::ways::{Block, extent_m, outline};

/// What of a room is near.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Floor,
    Ceiling,
    Left,
    Right,
    /// An edge of a section that is no rectangle.
    Outline,
    /// An obstacle, by its position in the bay.
    Obstacle(usize),
}

/// Where a tendon comes nearest to concrete.
pub(super) struct Near {
    pub(super) leg: usize,
    pub(super) station_m: f64,
    /// From the duct's surface; negative where it runs into it.
    pub(super) gap_mm: f64,
    pub(super) side: Side,
    pub(super) what: String,
    pub(super) bay: String,
    pub(super) room: Route,
}

/// A bay with the stations between which its clear section is known.
struct Room<'a> {
    bay: &'a Bay,
    index: usize,
    from_m: f64,
    to_m: f64,
}

/// The rooms in order of station.
pub(super) struct Rooms<'a> {
    rooms: Vec<Room<'a>>,
    /// The furthest end of this room and all before it, to know where looking back may stop.
    reach_m: Vec<f64>,
}

impl<'a> Rooms<'a> {
    pub(super) fn of(context: &Context<'a>) -> Self {
        let mut rooms: Vec<_> = context
            .schedule
            .bays
            .iter()
            .enumerate()
            .filter_map(|(index, bay)| {
                let [from_m, to_m] = extent_m(context, bay);
                Some(Room { bay, index, from_m: from_m?, to_m: to_m? })
            })
            .collect();
        rooms.sort_by(|one, other| one.from_m.total_cmp(&other.from_m));
        let mut furthest = f64::NEG_INFINITY;
        let reach_m = rooms
            .iter()
            .map(|room| {
                furthest = furthest.max(room.to_m);
                furthest
            })
            .collect();
        Self { rooms, reach_m }
    }

    /// The rooms that a stretch of stations runs through.
    fn over(&self, from_m: f64, to_m: f64) -> impl Iterator<Item = &Room<'a>> {
        let end = self.rooms.partition_point(|room| room.from_m < to_m);
        let begin = self.reach_m[..end].partition_point(|reach_m| *reach_m <= from_m);
        self.rooms[begin..end].iter().filter(move |room| room.to_m > from_m)
    }

    /// The nearest that a tendon comes to concrete or an obstacle; an error is the field without which it is not known.
    ///
    /// Where that is nearer than `clear_mm`, it is told whatever else is not known.
    pub(super) fn nearest(
        &self,
        context: &Context<'_>,
        laid: &LaidTendon,
        ducts: &[DuctOnLeg<f64>],
        clear_mm: f64,
    ) -> Result<Near, &'static str> {
        let alignment = context.alignment().map_err(|none| none.field())?;
        let mut least: Option<Near> = None;
        let mut unknown = None;
        for duct in ducts {
            let (leg, radius_mm) = (&laid.path.legs[duct.leg], duct.width / 2.0);
            let [from_m, to_m] = duct.stations_m;
            let mut through: Vec<(&Room<'_>, Near)> = Vec::new();
            let mut blind: Vec<&Room<'_>> = Vec::new();
            for room in self.over(from_m, to_m) {
                let stretch = [from_m.max(room.from_m), to_m.min(room.to_m)];
                let nearest = room.nearest(alignment, leg, stretch);
                unknown = unknown.or(nearest.unknown);
                match nearest.found {
                    Some((station_m, distance_m, side)) => {
                        let gap_mm = distance_m * 1000.0 - radius_mm;
                        through.push((room, room.near(duct.leg, station_m, gap_mm, side)));
                    }
                    None => blind.push(room),
                }
            }
            // A tendon whose axis is not in this room may run in one beside it of which nothing is known.
            through.retain(|(room, near)| {
                near.gap_mm + radius_mm >= 0.0 || !blind.iter().any(|beside| beside.is_beside(room))
            });
            // Where cells lie beside each other, the tendon runs in the one that leaves it most.
            for (position, (room, near)) in through.iter().enumerate() {
                let is_beside = through.iter().enumerate().any(|(other, (beside, more))| {
                    other != position
                        && beside.is_beside(room)
                        && (more.gap_mm, position) > (near.gap_mm, other)
                });
                if !is_beside && least.as_ref().is_none_or(|so_far| near.gap_mm < so_far.gap_mm) {
                    least = Some(room.near(duct.leg, near.station_m, near.gap_mm, near.side));
                }
            }
        }
        // What is too near is told, whatever else is not known; what is clear is shown only where all is.
        match (least, unknown) {
            (Some(near), None) => Ok(near),
            (Some(near), Some(_)) if short_of(near.gap_mm, clear_mm) => Ok(near),
            (_, Some(field)) => Err(field),
            (None, None) => Err("schedule.bays"),
        }
    }
}

/// Places of a leg at which it is looked at first; between them the nearest is searched for.
const PLACES: u32 = 8;
/// Steps of that search: each takes off a quarter.
const STEPS: u32 = 60;

/// What is known of how near a leg comes to a room's concrete and to what is in its way.
struct Nearest {
    /// Where on the leg it is nearest, how near in the cross-section there, m, and to what.
    found: Option<(f64, f64, Side)>,
    /// A field without which something is not known.
    unknown: Option<&'static str>,
}

impl Room<'_> {
    /// Whether both lie at the same stations.
    fn is_beside(&self, other: &Room<'_>) -> bool {
        self.from_m < other.to_m && other.from_m < self.to_m
    }

    fn near(&self, leg: usize, station_m: f64, gap_mm: f64, side: Side) -> Near {
        let route = Route::to("bays", self.index);
        let (what, room) = match side {
            Side::Floor => ("the floor".to_owned(), route),
            Side::Ceiling => ("the ceiling".to_owned(), route),
            Side::Left => ("the left wall".to_owned(), route),
            Side::Right => ("the right wall".to_owned(), route),
            Side::Outline => ("the concrete".to_owned(), route),
            Side::Obstacle(index) => {
                let name = self.bay.obstacles[index].name.as_deref();
                (name.unwrap_or("an obstacle").to_owned(), route.field("obstacles").item(index))
            }
        };
        let bay = self.bay.id.as_deref().unwrap_or("without a name").to_owned();
        Near { leg, station_m, gap_mm, side, what, bay, room }
    }

    /// How near a leg comes to the section, and to each obstacle.
    fn nearest(&self, alignment: &Alignment, leg: &Leg, [from_m, to_m]: [f64; 2]) -> Nearest {
        let at = |station_m: f64| {
            crossing(alignment, leg.from, leg.to, station_m)
                .map(|crossed| [crossed.lateral_m, crossed.elevation_m])
                .map_err(|_| "tendon.points")
        };
        let to_section = || {
            let section = Section::of(self.bay, self.from_m)?;
            least(from_m, to_m, |station_m| Ok(section.distance(station_m, at(station_m)?)))
        };
        let mut best = match to_section() {
            Ok(best) => best,
            Err(field) => return Nearest { found: None, unknown: Some(field) },
        };
        let mut unknown = None;
        for (index, obstacle) in self.bay.obstacles.iter().enumerate() {
            let to_block = || {
                let block = Block::of(obstacle)?;
                let stretch = [from_m.max(block.stations_m[0]), to_m.min(block.stations_m[1])];
                if stretch[0] > stretch[1] {
                    return Ok(None);
                }
                let side = Side::Obstacle(index);
                let distance = |station_m| Ok((block.distance(at(station_m)?), side));
                least(stretch[0], stretch[1], distance).map(Some)
            };
            match to_block() {
                Ok(Some(near)) if near.1 < best.1 => best = near,
                Ok(_) => {}
                Err(field) => unknown = Some(field),
            }
        }
        Nearest { found: Some(best), unknown }
    }
}

/// The station at which a distance is least, the distance, and to what.
///
/// Between walls the distance of a straight leg is least at an end; beside an obstacle, and on a curve, in between.
fn least(
    from_m: f64,
    to_m: f64,
    distance: impl Fn(f64) -> Result<(f64, Side), &'static str>,
) -> Result<(f64, f64, Side), &'static str> {
    let place = |index: u32| from_m + (to_m - from_m) * f64::from(index) / f64::from(PLACES);
    let mut best = (0, f64::INFINITY);
    for index in 0..=PLACES {
        let (distance_m, _) = distance(place(index))?;
        if distance_m < best.1 {
            best = (index, distance_m);
        }
    }
    let mut low_m = place(best.0.saturating_sub(1));
    let mut high_m = place((best.0 + 1).min(PLACES));
    let mut at_m = place(best.0);
    if best.0 > 0 && best.0 < PLACES {
        for _ in 0..STEPS {
            let middle_m = f64::midpoint(low_m, high_m);
            let (one_m, other_m) =
                (f64::midpoint(low_m, middle_m), f64::midpoint(middle_m, high_m));
            if distance(one_m)?.0 < distance(other_m)?.0 {
                high_m = other_m;
            } else {
                low_m = one_m;
            }
        }
        let middle_m = f64::midpoint(low_m, high_m);
        if distance(middle_m)?.0 < best.1 {
            at_m = middle_m;
        }
    }
    let (distance_m, side) = distance(at_m)?;
    Ok((at_m, distance_m, side))
}

/// The clear section of a bay.
enum Section {
    Rectangle {
        right_m: f64,
        left_m: f64,
        floor_m: f64,
        slope: f64,
        from_m: f64,
        height_m: f64,
    },
    /// Corners as lateral and elevation.
    Outline(Vec<[f64; 2]>),
}

impl Section {
    fn of(bay: &Bay, from_m: f64) -> Result<Self, &'static str> {
        if !bay.outline.is_empty() {
            return outline::corners(bay).map(Self::Outline);
        }
        let half_m = bay.width_mm.ok_or("bay.width_mm")? / 1000.0 / 2.0;
        let middle_m = bay.middle_lateral_m.ok_or("bay.middle_lateral_m")?;
        Ok(Self::Rectangle {
            right_m: middle_m - half_m,
            left_m: middle_m + half_m,
            floor_m: bay.floor_elevation_m.ok_or("bay.floor_elevation_m")?,
            slope: bay.floor_slope.ok_or("bay.floor_slope")?,
            from_m,
            height_m: bay.height_mm.ok_or("bay.height_mm")? / 1000.0,
        })
    }

    /// From a point to the nearest side, negative outside, m.
    fn distance(&self, station_m: f64, [lateral_m, elevation_m]: [f64; 2]) -> (f64, Side) {
        match self {
            Self::Rectangle { right_m, left_m, floor_m, slope, from_m, height_m } => {
                let floor_m = floor_m + slope * (station_m - from_m);
                [
                    (elevation_m - floor_m, Side::Floor),
                    (floor_m + height_m - elevation_m, Side::Ceiling),
                    (left_m - lateral_m, Side::Left),
                    (lateral_m - right_m, Side::Right),
                ]
                .into_iter()
                .fold((f64::INFINITY, Side::Floor), |least, side| {
                    if side.0 < least.0 { side } else { least }
                })
            }
            Self::Outline(corners) => {
                (to_outline(corners, [lateral_m, elevation_m]), Side::Outline)
            }
        }
    }
}

/// From a point to the nearest edge of a polygon, negative outside, m.
fn to_outline(corners: &[[f64; 2]], [y, z]: [f64; 2]) -> f64 {
    let mut is_inside = false;
    let mut least_m = f64::INFINITY;
    for (index, [y1, z1]) in corners.iter().enumerate() {
        let [y2, z2] = corners[(index + 1) % corners.len()];
        if (*z1 > z) != (z2 > z) && y < y1 + (z - z1) / (z2 - z1) * (y2 - y1) {
            is_inside = !is_inside;
        }
        let (along_y, along_z) = (y2 - y1, z2 - z1);
        let square = along_y * along_y + along_z * along_z;
        let share = if square > 0.0 {
            (((y - y1) * along_y + (z - z1) * along_z) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        least_m = least_m.min((y - y1 - share * along_y).hypot(z - z1 - share * along_z));
    }
    if is_inside { least_m } else { -least_m }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(bay: &Bay, from_m: f64, to_m: f64) -> Room<'_> {
        Room { bay, index: 0, from_m, to_m }
    }

    #[test]
    fn a_stretch_runs_through_the_rooms_that_it_shares_more_than_a_face_with() {
        let bay = Bay::default();
        let bounds = [[0.0, 10.0], [5.0, 30.0], [10.0, 20.0], [20.0, 25.0]];
        let rooms: Vec<_> = bounds.map(|[from_m, to_m]| room(&bay, from_m, to_m)).into();
        let rooms = Rooms { rooms, reach_m: vec![10.0, 30.0, 30.0, 30.0] };
        let over = |from_m, to_m| {
            rooms.over(from_m, to_m).map(|room| [room.from_m, room.to_m]).collect::<Vec<_>>()
        };
        assert_eq!(over(0.0, 5.0), bounds[..1]);
        assert_eq!(over(10.0, 20.0), bounds[1..3]);
        assert_eq!(over(9.0, 20.5), bounds);
        assert_eq!(over(25.0, 40.0), bounds[1..2]);
        assert!(over(30.0, 40.0).is_empty() && over(-5.0, 0.0).is_empty());
        assert!(rooms.rooms[1].is_beside(&rooms.rooms[2]));
        assert!(rooms.rooms[0].is_beside(&rooms.rooms[1]));
        // They meet at a face alone.
        assert!(!rooms.rooms[0].is_beside(&rooms.rooms[2]));
        assert!(!rooms.rooms[2].is_beside(&rooms.rooms[0]));
        assert!(!rooms.rooms[0].is_beside(&rooms.rooms[3]));
    }

    #[test]
    fn the_least_distance_is_found_at_an_end_and_in_between() {
        let nearest = |from_m: f64, to_m: f64, at_m: f64| {
            let distance = |station_m: f64| Ok(((station_m - at_m).abs() + 1.0, Side::Floor));
            let (station_m, distance_m, side) = least(from_m, to_m, distance).unwrap();
            assert_eq!(side, Side::Floor);
            [station_m, distance_m]
        };
        for [from_m, to_m, at_m, station_m] in [
            [100.0, 110.0, 103.37, 103.37],
            [100.0, 110.0, 101.2, 101.2],
            [100.0, 110.0, 108.6, 108.6],
            [110.0, 100.0, 103.37, 103.37],
            [100.0, 110.0, 100.0, 100.0],
            [100.0, 110.0, 120.0, 110.0],
            [100.0, 110.0, 90.0, 100.0],
        ] {
            let [found_m, distance_m] = nearest(from_m, to_m, at_m);
            assert!((found_m - station_m).abs() < 1e-6, "{found_m} {station_m}");
            assert!((distance_m - (station_m - at_m).abs() - 1.0).abs() < 1e-6, "{distance_m}");
        }
        // Level all along: the first place.
        assert_eq!(least(0.0, 8.0, |_| Ok((2.0, Side::Left))), Ok((0.0, 2.0, Side::Left)));
        // At a place that is looked at, and flat beside it, it stays there.
        let notched = |at_m: f64| Ok((if at_m == 3.0 { 0.5 } else { 1.0 }, Side::Right));
        assert_eq!(least(0.0, 8.0, notched), Ok((3.0, 0.5, Side::Right)));
    }

    #[test]
    fn the_nearest_edge_of_a_leaning_section_counts_and_is_negative_outside() {
        // Both webs lean by 3 in 4, so that a metre along the level is 0.8 m square to them.
        let leaning = [[1.0, 2.0], [5.0, 2.0], [8.0, 6.0], [4.0, 6.0]];
        let backward: Vec<_> = leaning.iter().copied().rev().collect();
        // A corner that stands twice has no edge of its own.
        let twice = [&leaning[..1], &leaning].concat();
        for (point, distance_m) in [
            ([4.0, 3.0], 1.0),
            ([5.0, 4.0], 1.2),
            ([3.0, 4.0], 0.4),
            ([5.5, 5.5], 0.5),
            // Beside the webs, below and above.
            ([2.0, 4.0], -0.4),
            ([7.0, 4.0], -0.4),
            ([4.0, 1.5], -0.5),
            ([5.0, 7.0], -1.0),
            // Square to the web, though the ceiling begins nearer along the level.
            ([1.0, 6.0], -2.4),
            // Nearest are the corners.
            ([0.0, 0.0], -5.0_f64.sqrt()),
            ([9.0, 8.0], -5.0_f64.sqrt()),
        ] {
            for corners in [&leaning[..], &backward, &twice] {
                let found_m = to_outline(corners, point);
                assert!((found_m - distance_m).abs() < 1e-12, "{point:?} {found_m} {distance_m}");
            }
        }
    }
}
