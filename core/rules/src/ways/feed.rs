//! The longest rod that is fed through a door: a piece of the tendon, or a stick of duct.

use std::collections::HashMap;

use restrand_mechanics::way::{self, FeedRoom, Slot, longest_through_slot, straight_feed_mm};
use restrand_model::schedule::{Opening, OpeningPlane};

use super::body::{NoBody, shape};
use super::{Door, Room, Ways};
use crate::context::Context;

/// Room outside of which nothing is stated, mm: more than any piece is long.
const OPEN_MM: f64 = 100_000.0;

/// Searches that were made: doors of a bridge are often alike, and so are the rooms on both sides.
#[derive(Debug, Default)]
pub struct Fed {
    found: HashMap<[u64; 9], Option<Option<f64>>>,
}

impl Fed {
    /// The longest through a slot, mm; nothing where the rooms are none, and within where nothing passes.
    fn longest_mm(
        &mut self,
        slot: &Slot,
        diameter_mm: f64,
        one: &FeedRoom,
        other: &FeedRoom,
    ) -> Option<Option<f64>> {
        let room = |room: &FeedRoom| [room.height_mm, room.ahead_mm, room.length_mm];
        let [[a, b, c], [d, e, f]] = [room(one), room(other)];
        let key = [slot.opening_mm, slot.thickness_mm, diameter_mm, a, b, c, d, e, f];
        *self.found.entry(key.map(f64::to_bits)).or_insert_with(|| {
            let fed = longest_through_slot(slot, diameter_mm, one, other).ok()?;
            Some(fed.map(|fed| fed.longest_mm))
        })
    }
}

/// The longest rod of this diameter that goes through a door, mm; nothing where it is too thick for it.
///
/// Through a wall it is fed straight, as long as the shorter of the rooms in line with the opening, or askew in plan.
/// Through a floor or a roof it is fed askew, along the bridge or across it, or hung.
///
/// # Errors
/// The field without which it is not known.
pub fn longest_fed_mm(
    fed: &mut Fed,
    context: &Context<'_>,
    ways: &Ways<'_>,
    door: &Door,
    diameter_mm: f64,
) -> Result<Option<f64>, NoBody> {
    let opening = &ways.openings[door.opening];
    let shape = shape(opening)?;
    match opening.plane.ok_or("opening.plane")? {
        OpeningPlane::Wall => {
            let rooms = [0, 1].map(|side| in_line_mm(context, ways, door, opening, side));
            let [one_mm, other_mm] = rooms;
            let (one_mm, other_mm) = (one_mm?, other_mm?);
            let straight = straight_feed_mm(&shape, diameter_mm, one_mm, other_mm)
                .map_err(|_| "opening.clear_before_mm")?;
            Ok(straight.map(|straight_mm| {
                let in_line_mm = [one_mm, other_mm];
                let askew = in_plan_mm(fed, ways, door, opening, &shape, diameter_mm, in_line_mm);
                askew.map_or(straight_mm, |askew_mm| straight_mm.max(askew_mm))
            }))
        }
        OpeningPlane::Floor | OpeningPlane::Roof => {
            let slab = Slab::of(ways, door, opening, diameter_mm)?;
            slab.askew_mm(fed, ways, opening, &shape)
        }
    }
}

/// A length that surely goes through a door, mm, without a search for the longest: straight through a wall, hung
/// through a floor or a roof; 0 where none is known of.
#[must_use]
pub fn surely_fed_mm(context: &Context<'_>, ways: &Ways<'_>, door: &Door, diameter_mm: f64) -> f64 {
    let opening = &ways.openings[door.opening];
    let Ok(shape) = shape(opening) else { return 0.0 };
    let surely = match opening.plane {
        Some(OpeningPlane::Wall) => [0, 1]
            .map(|side| in_line_mm(context, ways, door, opening, side).ok())
            .into_iter()
            .collect::<Option<Vec<f64>>>()
            .and_then(|rooms| straight_feed_mm(&shape, diameter_mm, rooms[0], rooms[1]).ok()?),
        Some(OpeningPlane::Floor | OpeningPlane::Roof) => {
            Slab::of(ways, door, opening, diameter_mm)
                .ok()
                .filter(|_| diameter_mm <= narrower_mm(&shape))
                .map(|slab| slab.upright_mm())
        }
        None => None,
    };
    surely.unwrap_or(0.0)
}

/// The smaller of an opening's clear sizes.
const fn narrower_mm(shape: &way::Opening) -> f64 {
    match *shape {
        way::Opening::Rectangle { width_mm, height_mm } => width_mm.min(height_mm),
        way::Opening::Round { diameter_mm } => diameter_mm,
    }
}

/// The clear length on a side of a wall opening, in line with it.
fn in_line_mm(
    context: &Context<'_>,
    ways: &Ways<'_>,
    door: &Door,
    opening: &Opening,
    side: usize,
) -> Result<f64, NoBody> {
    let stated_mm = [opening.clear_before_mm, opening.clear_beyond_mm][side];
    let field = ["opening.clear_before_mm", "opening.clear_beyond_mm"][side];
    match door.rooms[side] {
        Room::Outside => Ok(stated_mm.unwrap_or(OPEN_MM)),
        Room::Bay(bay) => {
            // Through the diaphragm of a place one looks along the bridge, over the whole bay.
            let along_mm = opening.place.as_ref().and_then(|_| ways.length_mm(context, bay));
            along_mm.into_iter().chain(stated_mm).reduce(f64::max).ok_or(field)
        }
    }
}

/// The longest rod that is fed through a wall askew in plan, where width of rooms and depth of wall are known.
fn in_plan_mm(
    fed: &mut Fed,
    ways: &Ways<'_>,
    door: &Door,
    opening: &Opening,
    shape: &way::Opening,
    diameter_mm: f64,
    in_line_mm: [f64; 2],
) -> Option<f64> {
    let opening_mm = match *shape {
        way::Opening::Rectangle { width_mm, .. } => width_mm,
        way::Opening::Round { diameter_mm } => diameter_mm,
    };
    let room = |side: usize| {
        let across_mm = match door.rooms[side] {
            Room::Outside => OPEN_MM,
            Room::Bay(bay) => ways.bays[bay].width_mm?,
        };
        // The opening may stand in the middle of the wall: half of the room is ahead.
        let ahead_mm = f64::midpoint(across_mm, opening_mm).max(opening_mm);
        Some(FeedRoom {
            height_mm: in_line_mm[side],
            ahead_mm,
            length_mm: across_mm.max(opening_mm),
        })
    };
    let slot = Slot { opening_mm, thickness_mm: opening.depth_mm? };
    fed.longest_mm(&slot, diameter_mm, &room(0)?, &room(1)?)?
}

/// The longest rod of this diameter that goes through a floor or a roof at a slope, hung from a sling of this height,
/// mm; nothing where it is too thick, or the rooms are not known.
pub(super) fn tilted_mm(
    ways: &Ways<'_>,
    door: &Door,
    opening: &Opening,
    diameter_mm: f64,
    sling_mm: f64,
) -> Option<f64> {
    let shape = shape(opening).ok()?;
    let mut slab = Slab::of(ways, door, opening, diameter_mm).ok()?;
    slab.height_mm -= sling_mm;
    if slab.height_mm <= 0.0 {
        return None;
    }
    slab.askew_mm(&mut Fed::default(), ways, opening, &shape).ok()?
}

/// A slab with the rooms above and below it, and the rod.
struct Slab {
    bay: usize,
    height_mm: f64,
    below_mm: f64,
    thickness_mm: f64,
    diameter_mm: f64,
}

impl Slab {
    /// The slab in which a door is.
    fn of(
        ways: &Ways<'_>,
        door: &Door,
        opening: &Opening,
        diameter_mm: f64,
    ) -> Result<Self, NoBody> {
        let bay = door.rooms.iter().find_map(|room| match room {
            Room::Bay(bay) => Some(*bay),
            Room::Outside => None,
        });
        let bay = bay.ok_or("opening.to_bay")?;
        let height_mm = ways.bays[bay]
            .height_mm
            .into_iter()
            .chain(opening.clear_before_mm)
            .reduce(f64::min)
            .ok_or("bay.height_mm")?;
        Ok(Self {
            bay,
            height_mm,
            below_mm: opening.clear_beyond_mm.unwrap_or(OPEN_MM),
            thickness_mm: opening.depth_mm.ok_or("opening.depth_mm")?,
            diameter_mm,
        })
    }

    /// The longest rod that is fed along the bridge, across it, or upright.
    fn askew_mm(
        &self,
        fed: &mut Fed,
        ways: &Ways<'_>,
        opening: &Opening,
        shape: &way::Opening,
    ) -> Result<Option<f64>, NoBody> {
        // In a floor the width is across the bridge, the height along it.
        let [across_mm, along_mm] = match *shape {
            way::Opening::Rectangle { width_mm, height_mm } => [width_mm, height_mm],
            way::Opening::Round { diameter_mm } => [diameter_mm; 2],
        };
        if self.diameter_mm > narrower_mm(shape) {
            return Ok(None);
        }
        let record = &ways.bays[self.bay];
        let [from_m, to_m] = ways.extents_m[self.bay];
        let length_mm = from_m.zip(to_m).map(|(from_m, to_m)| ((to_m - from_m) * 1000.0).abs());
        let length_mm = length_mm.ok_or("bay.from_m")?;
        // The rod lies towards the end of the bay that is further away.
        let ahead = |at_m: Option<f64>, ends_m: [Option<f64>; 2], room_mm: f64| match (at_m, ends_m)
        {
            (Some(at_m), [Some(from_m), Some(to_m)]) => (at_m - from_m).max(to_m - at_m) * 1000.0,
            _ => room_mm / 2.0,
        };
        let ahead_mm = ahead(opening.station_m, [from_m, to_m], length_mm);
        let mut longest_mm = self.longest_mm(fed, along_mm, ahead_mm, length_mm)?;
        if let Some(width_mm) = record.width_mm {
            let side = |sign: f64| Some(record.middle_lateral_m? + sign * width_mm / 1000.0 / 2.0);
            let ahead_mm = ahead(opening.lateral_m, [side(-1.0), side(1.0)], width_mm);
            longest_mm = longest_mm.max(self.longest_mm(fed, across_mm, ahead_mm, width_mm)?);
        }
        Ok(Some(longest_mm))
    }

    /// The longest rod that goes through hung.
    const fn upright_mm(&self) -> f64 {
        self.height_mm.min(self.below_mm)
    }

    /// The longest rod that is fed in one direction, or goes through upright, hung.
    fn longest_mm(
        &self,
        fed: &mut Fed,
        opening_mm: f64,
        ahead_mm: f64,
        length_mm: f64,
    ) -> Result<f64, NoBody> {
        let inside = FeedRoom {
            height_mm: self.height_mm,
            // From the opening's edge behind the rod.
            ahead_mm: (ahead_mm + opening_mm / 2.0).clamp(opening_mm, length_mm.max(opening_mm)),
            length_mm: length_mm.max(opening_mm),
        };
        let outside = FeedRoom { height_mm: self.below_mm, ahead_mm: OPEN_MM, length_mm: OPEN_MM };
        let slot = Slot { opening_mm, thickness_mm: self.thickness_mm };
        let longest = fed
            .longest_mm(&slot, self.diameter_mm, &inside, &outside)
            .ok_or("opening.clear_beyond_mm")?;
        let upright_mm = self.upright_mm();
        Ok(longest.map_or(upright_mm, |longest_mm| longest_mm.max(upright_mm)))
    }
}
