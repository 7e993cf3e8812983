//! The ways through a bridge: bays joined by openings, with the outside as one more room.
//!
//! What leads where is found once; how wide a way is depends on what is carried, and is asked for each body.
//! It knows no limit and no finding.

mod block;
mod body;
mod feed;
pub(crate) mod outline;
mod people;
mod stretches;

use std::collections::{BinaryHeap, HashMap};

pub use block::Block;
pub use body::{Body, NoBody, Passing, Spares, clear_mm};
pub use feed::{Askew, Fed, FeedSection, LongestFed, longest_fed, longest_fed_mm, surely_fed_mm};
pub use people::{Side, is_round, lacking_for_people_mm, sides, spare_for_people_mm};

use restrand_model::reflect::Link;
use restrand_model::route::Route;
use restrand_model::schedule::{Bay, FaceName, Opening};

use self::stretches::Stretches;
use crate::context::{Context, EndAt, TendonAt};

/// A room: outside, or a bay by its position in the schedule's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Room {
    /// Outside the bridge.
    Outside,
    /// A bay.
    Bay(usize),
}

/// An opening that joins two rooms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Door {
    /// Its position in the schedule's list of openings.
    pub opening: usize,
    /// The rooms on its two sides, in the order in which the opening states them.
    pub rooms: [Room; 2],
}

/// Why an opening is no door.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoDoor {
    /// It names no bay at all.
    Nowhere,
    /// It leads from a bay to the same.
    ToItself,
    /// It names a bay that is not listed.
    Dangling,
}

/// All ways of a schedule.
#[derive(Debug, Clone, Default)]
pub struct Ways<'a> {
    /// The bays.
    pub bays: &'a [Bay],
    /// The openings.
    pub openings: &'a [Opening],
    /// Openings that join two rooms.
    pub doors: Vec<Door>,
    /// Openings that do not, with why.
    pub no_doors: Vec<(usize, NoDoor)>,
    /// By room, the doors of it; the outside comes first.
    of_room: Vec<Vec<usize>>,
    /// By place, the bays up-station and down-station of it.
    at_place: HashMap<&'a str, [Vec<usize>; 2]>,
    /// By bay, where it begins and ends, m.
    extents_m: Vec<[Option<f64>; 2]>,
    /// Which bay lies over a station.
    stretches: Stretches,
}

/// How a room is reached from outside by the way that leaves most to spare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// What the tightest door on the way leaves, mm; negative where the body does not pass it.
    pub spare_mm: f64,
    /// The door that leaves least.
    pub binds: usize,
    /// The last door on the way.
    pub by: usize,
    /// The room before it.
    pub from: Room,
}

const fn index(room: Room) -> usize {
    match room {
        Room::Outside => 0,
        Room::Bay(bay) => bay + 1,
    }
}

impl<'a> Ways<'a> {
    /// The ways of a schedule.
    #[must_use]
    pub fn of(context: &Context<'a>) -> Self {
        let schedule = context.schedule;
        let mut doors = Vec::new();
        let mut no_doors = Vec::new();
        for (opening, record) in schedule.openings.iter().enumerate() {
            let room = |link: Option<&Link<Bay>>| match link {
                None => Ok(Room::Outside),
                Some(link) => {
                    context.position("bays", link.key()).map(Room::Bay).ok_or(NoDoor::Dangling)
                }
            };
            match (room(record.from_bay.as_ref()), room(record.to_bay.as_ref())) {
                (Err(why), _) | (_, Err(why)) => no_doors.push((opening, why)),
                (Ok(Room::Outside), Ok(Room::Outside)) => {
                    no_doors.push((opening, NoDoor::Nowhere));
                }
                (Ok(one), Ok(other)) if one == other => {
                    no_doors.push((opening, NoDoor::ToItself));
                }
                (Ok(one), Ok(other)) => doors.push(Door { opening, rooms: [one, other] }),
            }
        }
        let mut of_room = vec![Vec::new(); schedule.bays.len() + 1];
        for (position, door) in doors.iter().enumerate() {
            for room in door.rooms {
                of_room[index(room)].push(position);
            }
        }
        let mut at_place: HashMap<&str, [Vec<usize>; 2]> = HashMap::new();
        for (position, bay) in schedule.bays.iter().enumerate() {
            // A second one of a name is told as such; references go to the first.
            let is_second = bay.id.as_deref().and_then(|id| context.position("bays", id))
                != Some(position)
                && bay.id.is_some();
            if is_second {
                continue;
            }
            for (side, place) in [&bay.from_place, &bay.to_place].into_iter().enumerate() {
                if let Some(place) = place {
                    at_place.entry(place.key()).or_default()[side].push(position);
                }
            }
        }
        let (bays, openings) = (&schedule.bays, &schedule.openings);
        let extents_m: Vec<_> = bays.iter().map(|bay| extent_m(context, bay)).collect();
        let known = extents_m.iter().enumerate();
        let stretches = Stretches::of(known.filter_map(|(bay, own)| Some((bay, in_order(*own)?))));
        Self { bays, openings, doors, no_doors, of_room, at_place, extents_m, stretches }
    }

    /// The doors that there would be if an opening to a bay that is not listed led to this one, each with where that
    /// bay is named.
    #[must_use]
    pub fn doors_if(&self, bay: usize) -> Vec<(Door, Route)> {
        let mut doors = Vec::new();
        for (opening, why) in &self.no_doors {
            if *why != NoDoor::Dangling {
                continue;
            }
            let record = &self.openings[*opening];
            let room = |link: &Option<Link<Bay>>| match link {
                None => Some(Room::Outside),
                Some(link) => {
                    let listed = |bay: &Bay| bay.id.as_deref() == Some(link.key());
                    self.bays.iter().position(listed).map(Room::Bay)
                }
            };
            let route = Route::to("openings", *opening);
            let door = match (room(&record.from_bay), room(&record.to_bay)) {
                (Some(room), None) => ([room, Room::Bay(bay)], route.field("to_bay")),
                (None, Some(room)) => ([Room::Bay(bay), room], route.field("from_bay")),
                _ => continue,
            };
            doors.push((Door { opening: *opening, rooms: door.0 }, door.1));
        }
        doors
    }

    /// Where openings name a bay that is not listed, and through which a body would pass if it were this one: from a
    /// room that the body reaches.
    #[must_use]
    pub fn would_pass(
        &self,
        bay: usize,
        reached: &[Result<Option<Reach>, NoBody>],
        mut passes: impl FnMut(&Door) -> bool,
    ) -> Vec<Route> {
        let is_reached = |room: &Room| match room {
            Room::Outside => true,
            Room::Bay(other) => {
                *other != bay && matches!(reached[*other], Ok(Some(reach)) if reach.spare_mm >= 0.0)
            }
        };
        let doors = self.doors_if(bay).into_iter();
        let doors = doors.filter(|(door, _)| door.rooms.iter().any(is_reached));
        doors.filter(|(door, _)| passes(door)).map(|(_, route)| route).collect()
    }

    /// The same ways, with other sizes of the bays.
    #[must_use]
    pub fn with_bays<'b>(&'b self, bays: &'b [Bay]) -> Ways<'b> {
        let own: Ways<'b> = self.clone();
        Ways { bays, ..own }
    }

    /// From which station to which a bay goes in its middle, m, the lower first; nothing where an end of it is not known.
    #[must_use]
    pub fn stations_m(&self, bay: usize) -> Option<[f64; 2]> {
        in_order(self.extents_m[bay])
    }

    /// The first bay in which a station lies.
    #[must_use]
    pub fn bay_over(&self, station_m: f64) -> Option<usize> {
        self.stretches.over(station_m)
    }

    /// Whether the schedule says anything of bays and openings.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.bays.is_empty() && self.openings.is_empty()
    }

    /// The bay on which a face of a place looks, at a lateral position: behind an anchorage there, or beside a deviator.
    ///
    /// # Errors
    /// The field without which nobody knows which of several bays it is.
    pub fn bay_at(
        &self,
        place: &str,
        face: FaceName,
        lateral_m: Option<f64>,
    ) -> Result<Option<usize>, NoBody> {
        let side = match face {
            FaceName::Up => 0,
            FaceName::Down => 1,
        };
        let bays: &[usize] = self.at_place.get(place).map_or(&[], |sides| &sides[side]);
        match bays {
            [] => Ok(None),
            [bay] => Ok(Some(*bay)),
            // Boxes or cells side by side.
            several => {
                let lateral_m = lateral_m.ok_or("tendon_point.lateral_m")?;
                let holds = |bay: &&usize| {
                    let bay = &self.bays[**bay];
                    let (middle_m, width_mm) = (bay.middle_lateral_m?, bay.width_mm?);
                    Some((lateral_m - middle_m).abs() * 2000.0 <= width_mm)
                };
                let mut known = several.iter().filter(|bay| holds(bay) == Some(true));
                match (known.next(), known.next()) {
                    (Some(bay), None) => Ok(Some(*bay)),
                    _ => Err("bay.middle_lateral_m"),
                }
            }
        }
    }

    /// The bay in which a place stands that is no end of one: a saddle on the slab, a blister at a web.
    #[must_use]
    pub fn bay_around(&self, context: &Context<'_>, place: &str) -> Option<usize> {
        let station_m =
            context.schedule.places.get(context.position("places", place)?)?.station_m?;
        // A bay that ends before it begins, which is told as such, would reach over half the bridge.
        self.extents_m.iter().position(|extent_m| match *extent_m {
            [Some(from_m), Some(to_m)] => (from_m..=to_m).contains(&station_m),
            _ => false,
        })
    }

    /// For each bay, the way from outside whose tightest door leaves the most to spare; nothing where none leads there.
    ///
    /// An error names the field of a door that nobody knows enough of, and by which a body might pass that passes
    /// nowhere else.
    #[must_use]
    pub fn best(
        &self,
        spare_mm: impl Fn(usize, &Door) -> Result<f64, NoBody>,
    ) -> Vec<Result<Option<Reach>, NoBody>> {
        let doors = self.doors.iter().enumerate();
        let spares: Vec<_> = doors.map(|(position, door)| spare_mm(position, door)).collect();
        let known: Vec<Option<f64>> = spares.iter().map(|spare| spare.ok()).collect();
        let reached = self.widest_by(&known);
        let Some(field) = spares.iter().find_map(|spare| spare.err()) else {
            return reached.into_iter().map(Ok).collect();
        };
        let hoped: Vec<Option<f64>> =
            spares.iter().map(|spare| Some(spare.unwrap_or(f64::MAX))).collect();
        let passes = |reach: &Option<Reach>| reach.is_some_and(|reach| reach.spare_mm >= 0.0);
        let known_and_hoped = reached.into_iter().zip(self.widest_by(&hoped));
        known_and_hoped
            .map(|(known, hoped)| match !passes(&known) && passes(&hoped) {
                true => Err(field),
                false => Ok(known),
            })
            .collect()
    }

    /// For each bay, the way from outside whose tightest door leaves the most to spare; nothing where no way leads there.
    ///
    /// `spare_mm` says what a door leaves; a door of which that is not known is not on any way.
    #[must_use]
    pub fn widest(&self, spare_mm: impl Fn(&Door) -> Option<f64>) -> Vec<Option<Reach>> {
        self.widest_by(&self.doors.iter().map(spare_mm).collect::<Vec<_>>())
    }

    /// The same, from what each door leaves, in the order of the doors.
    #[must_use]
    pub fn widest_by(&self, spares: &[Option<f64>]) -> Vec<Option<Reach>> {
        let mut reached: Vec<Option<Reach>> = vec![None; self.of_room.len()];
        let mut done = vec![false; self.of_room.len()];
        let mut next = BinaryHeap::from([Next { spare_mm: f64::INFINITY, room: Room::Outside }]);
        while let Some(Next { spare_mm: so_far_mm, room }) = next.pop() {
            if std::mem::replace(&mut done[index(room)], true) {
                continue;
            }
            let bound = reached[index(room)].map(|reach| reach.binds);
            for door in &self.of_room[index(room)] {
                let Some(own_mm) = spares[*door] else { continue };
                let [one, other] = self.doors[*door].rooms;
                let beyond = if one == room { other } else { one };
                if done[index(beyond)] {
                    continue;
                }
                let spare_mm = so_far_mm.min(own_mm);
                let known = &mut reached[index(beyond)];
                if known.is_none_or(|known| spare_mm > known.spare_mm) {
                    let binds = bound.filter(|_| own_mm > so_far_mm).unwrap_or(*door);
                    *known = Some(Reach { spare_mm, binds, by: *door, from: room });
                    next.push(Next { spare_mm, room: beyond });
                }
            }
        }
        reached.drain(1..).collect()
    }

    /// The openings on the way to a bay, from outside.
    #[must_use]
    pub fn chain(&self, reached: &[Option<Reach>], bay: usize) -> Vec<usize> {
        let mut doors = Vec::new();
        let mut room = Room::Bay(bay);
        while let Room::Bay(at) = room {
            let Some(reach) = reached.get(at).copied().flatten() else { return Vec::new() };
            doors.push(self.doors[reach.by].opening);
            room = reach.from;
            if doors.len() > self.doors.len() {
                return Vec::new();
            }
        }
        doors.reverse();
        doors
    }

    /// The bay behind an end of a tendon, or around its anchorage where that stands in one.
    ///
    /// # Errors
    /// The field without which that is not known.
    pub fn behind(
        &self,
        context: &Context<'_>,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
    ) -> Result<Option<usize>, NoBody> {
        crate::access::bay_behind(context, self, at, end)
    }

    /// How people call an opening.
    #[must_use]
    pub fn call(&self, opening: usize) -> String {
        match self.openings[opening].id.as_deref() {
            Some(id) => id.to_owned(),
            None => format!("opening #{}", opening + 1),
        }
    }

    /// How people call a bay.
    #[must_use]
    pub fn call_bay(&self, bay: usize) -> String {
        match self.bays[bay].id.as_deref() {
            Some(id) => id.to_owned(),
            None => format!("bay #{}", bay + 1),
        }
    }

    /// The clear length of a bay along the bridge, mm.
    #[must_use]
    pub fn length_mm(&self, context: &Context<'_>, bay: usize) -> Option<f64> {
        let bay = &self.bays[bay];
        let [from_m, to_m] = extent_m(context, bay);
        Some(((to_m? - from_m?) * 1000.0).abs())
    }
}

/// From where to where a bay goes, m, the lower first; nothing where an end of it is not known.
fn in_order(extent_m: [Option<f64>; 2]) -> Option<[f64; 2]> {
    let [from_m, to_m] = [extent_m[0]?, extent_m[1]?];
    Some([from_m.min(to_m), from_m.max(to_m)])
}

/// Where a bay begins and ends in its middle, m: as stated, or at the faces of its places.
#[must_use]
pub fn extent_m(context: &Context<'_>, bay: &Bay) -> [Option<f64>; 2] {
    extent_at_m(context, bay, bay.middle_lateral_m.unwrap_or(0.0))
}

/// Where a bay begins and ends at a lateral position, m: as stated, or at the faces of its places, which may be skew.
#[must_use]
pub fn extent_at_m(context: &Context<'_>, bay: &Bay, lateral_m: f64) -> [Option<f64>; 2] {
    let face = |link: &Option<Link<restrand_model::schedule::Place>>, up: bool| {
        let place = context.place(link.as_ref())?;
        let [down_m, up_m] = crate::tendon_path::extent_m(place.record, lateral_m)?;
        Some(if up { up_m } else { down_m })
    };
    [
        bay.from_m.or_else(|| face(&bay.from_place, true)),
        bay.to_m.or_else(|| face(&bay.to_place, false)),
    ]
}

/// A room to be looked at next, the widest first.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Next {
    spare_mm: f64,
    room: Room,
}

impl Eq for Next {}

impl Ord for Next {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.spare_mm.total_cmp(&other.spare_mm).then(other.room.cmp(&self.room))
    }
}

impl PartialOrd for Next {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
