//! The longest rod that is fed through a door: a piece of the tendon, or a stick of duct.

use std::collections::HashMap;

use foldhash::fast::RandomState;
use restrand_mechanics::way::{self, FeedRoom, Slot, longest_through_slot, straight_feed_mm};
use restrand_model::schedule::{Opening, OpeningPlane};

use super::body::{NoBody, shape};
use super::{Door, Room, Ways};

/// Room outside of which nothing is stated, mm: more than any piece is long.
const OPEN_MM: f64 = 100_000.0;

/// Searches that were made: doors of a bridge are often alike, and so are the rooms on both sides.
#[derive(Debug, Default)]
pub struct Fed {
    found: HashMap<[u64; 9], Option<Option<Slanted>>, RandomState>,
}

/// The longest rod that goes through a slot, and how.
#[derive(Debug, Clone, Copy)]
struct Slanted {
    longest_mm: f64,
    tilt_rad: f64,
}

/// How the longest rod goes through a door.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LongestFed {
    /// The longest rod, mm.
    pub longest_mm: f64,
    /// The longest that goes straight: in line with an opening in a wall, hung through one in a floor or a roof, mm.
    pub straight_mm: f64,
    /// Clear lengths in line with the opening: on both sides of a wall as the opening names its rooms, or in the bay and
    /// on the other side of its floor or roof, mm.
    pub clear_mm: [f64; 2],
    /// How it goes askew; nothing where straight is as good.
    pub askew: Option<Askew>,
}

/// A rod that goes askew through an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Askew {
    /// In which section.
    pub section: FeedSection,
    /// The opening in that section.
    pub slot: Slot,
    /// φ: the flattest angle to wall, floor or roof at which it goes through, rad.
    pub tilt_rad: f64,
}

/// The section in which a rod is fed askew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeedSection {
    /// Through a wall, seen from above.
    Plan,
    /// Through a floor or a roof, along the bridge.
    Along,
    /// Through a floor or a roof, across the bridge.
    Across,
}

impl LongestFed {
    const fn straight(straight_mm: f64, clear_mm: [f64; 2]) -> Self {
        Self { longest_mm: straight_mm, straight_mm, clear_mm, askew: None }
    }

    /// The longer one of this and what goes askew.
    fn or(self, section: FeedSection, slot: Slot, slanted: Option<Slanted>) -> Self {
        match slanted {
            Some(Slanted { longest_mm, tilt_rad }) if longest_mm > self.longest_mm => {
                let askew = Some(Askew { section, slot, tilt_rad });
                Self { longest_mm, askew, ..self }
            }
            _ => self,
        }
    }
}

impl Fed {
    /// The longest through a slot; nothing where the rooms are none, and within where nothing passes.
    fn longest(
        &mut self,
        slot: &Slot,
        diameter_mm: f64,
        one: &FeedRoom,
        other: &FeedRoom,
    ) -> Option<Option<Slanted>> {
        let room = |room: &FeedRoom| [room.height_mm, room.ahead_mm, room.length_mm];
        let [[a, b, c], [d, e, f]] = [room(one), room(other)];
        let key = [slot.opening_mm, slot.thickness_mm, diameter_mm, a, b, c, d, e, f];
        *self.found.entry(key.map(f64::to_bits)).or_insert_with(|| {
            let fed = longest_through_slot(slot, diameter_mm, one, other).ok()?;
            Some(fed.map(|fed| Slanted { longest_mm: fed.longest_mm, tilt_rad: fed.tilt_rad }))
        })
    }
}

/// The longest rod of this diameter that goes through a door, mm; nothing where it is too thick for it.
///
/// # Errors
/// The field without which it is not known.
pub fn longest_fed_mm(
    fed: &mut Fed,
    ways: &Ways<'_>,
    door: &Door,
    diameter_mm: f64,
) -> Result<Option<f64>, NoBody> {
    let fed = longest_fed(fed, ways, door, diameter_mm)?;
    Ok(fed.map(|fed| fed.longest_mm))
}

/// How the longest rod of this diameter goes through a door; nothing where it is too thick for it.
///
/// Through a wall it is fed straight, as long as the shorter of the rooms in line with the opening, or askew in plan.
/// Through a floor or a roof it is fed askew, along the bridge or across it, or hung.
///
/// # Errors
/// The field without which it is not known.
pub fn longest_fed(
    fed: &mut Fed,
    ways: &Ways<'_>,
    door: &Door,
    diameter_mm: f64,
) -> Result<Option<LongestFed>, NoBody> {
    let opening = &ways.openings[door.opening];
    let shape = shape(opening)?;
    match opening.plane.ok_or("opening.plane")? {
        OpeningPlane::Wall => {
            let rooms = [0, 1].map(|side| in_line_mm(ways, door, side));
            let [one_mm, other_mm] = rooms;
            let (one_mm, other_mm) = (one_mm?, other_mm?);
            let straight = straight_feed_mm(&shape, diameter_mm, one_mm, other_mm)
                .map_err(|_| "opening.clear_before_mm")?;
            Ok(straight.map(|straight_mm| {
                let in_line_mm = [one_mm, other_mm];
                let straight = LongestFed::straight(straight_mm, in_line_mm);
                let askew = in_plan(fed, ways, door, opening, &shape, diameter_mm, in_line_mm);
                askew.map_or(straight, |(slot, slanted)| {
                    straight.or(FeedSection::Plan, slot, Some(slanted))
                })
            }))
        }
        OpeningPlane::Floor | OpeningPlane::Roof => {
            let slab = Slab::of(ways, door, opening, diameter_mm)?;
            slab.longest(fed, ways, opening, &shape)
        }
    }
}

/// A length that surely goes through a door, mm, without a search for the longest: straight through a wall, hung
/// through a floor or a roof; 0 where none is known of.
#[must_use]
pub fn surely_fed_mm(ways: &Ways<'_>, door: &Door, diameter_mm: f64) -> f64 {
    let opening = &ways.openings[door.opening];
    let Ok(shape) = shape(opening) else { return 0.0 };
    let surely = match opening.plane {
        Some(OpeningPlane::Wall) => [0, 1]
            .map(|side| in_line_mm(ways, door, side).ok())
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

/// The clear length that is stated in line with a wall opening, on the side with less, mm.
pub(super) fn stated_in_line_mm(opening: &Opening) -> Option<f64> {
    [opening.clear_before_mm, opening.clear_beyond_mm].into_iter().flatten().reduce(f64::min)
}

/// The clear length on a side of a wall opening, in line with it, as far as it is known, mm: what is stated binds, and so
/// does the bay.
fn clear_in_line_mm(ways: &Ways<'_>, door: &Door, side: usize) -> Option<f64> {
    let opening = &ways.openings[door.opening];
    let stated_mm = [opening.clear_before_mm, opening.clear_beyond_mm][side];
    match door.rooms[side] {
        Room::Outside => Some(stated_mm.unwrap_or(OPEN_MM)),
        Room::Bay(bay) => {
            // Through the diaphragm of a place one looks along the bridge, over the whole bay.
            let along_mm = opening.place.as_ref().and_then(|_| {
                let [from_m, to_m] = ways.extents_m[bay];
                Some(((to_m? - from_m?) * 1000.0).abs())
            });
            along_mm.into_iter().chain(stated_mm).reduce(f64::min)
        }
    }
}

fn in_line_mm(ways: &Ways<'_>, door: &Door, side: usize) -> Result<f64, NoBody> {
    clear_in_line_mm(ways, door, side)
        .ok_or(["opening.clear_before_mm", "opening.clear_beyond_mm"][side])
}

/// The longest rod that is fed through a wall askew in plan, where width of rooms and depth of wall are known.
fn in_plan(
    fed: &mut Fed,
    ways: &Ways<'_>,
    door: &Door,
    opening: &Opening,
    shape: &way::Opening,
    diameter_mm: f64,
    in_line_mm: [f64; 2],
) -> Option<(Slot, Slanted)> {
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
    let slanted = fed.longest(&slot, diameter_mm, &room(0)?, &room(1)?)??;
    Some((slot, slanted))
}

/// The longest rod of this diameter that is turned through a wall in plan, mm; nothing where it is too thick, or the
/// rooms are not known.
pub(super) fn turned_mm(ways: &Ways<'_>, door: &Door, diameter_mm: f64) -> Option<f64> {
    let opening = &ways.openings[door.opening];
    let shape = shape(opening).ok()?;
    let in_line_mm = [clear_in_line_mm(ways, door, 0)?, clear_in_line_mm(ways, door, 1)?];
    let fed = &mut Fed::default();
    let (_, slanted) = in_plan(fed, ways, door, opening, &shape, diameter_mm, in_line_mm)?;
    Some(slanted.longest_mm)
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
    Some(slab.longest(&mut Fed::default(), ways, opening, &shape).ok()??.longest_mm)
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

    /// The longest rod that is fed along the bridge, across it, or upright, hung.
    fn longest(
        &self,
        fed: &mut Fed,
        ways: &Ways<'_>,
        opening: &Opening,
        shape: &way::Opening,
    ) -> Result<Option<LongestFed>, NoBody> {
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
        let upright = LongestFed::straight(self.upright_mm(), [self.height_mm, self.below_mm]);
        let (slot, slanted) = self.slanted(fed, along_mm, ahead_mm, length_mm)?;
        let mut longest = upright.or(FeedSection::Along, slot, slanted);
        if let Some(width_mm) = record.width_mm {
            let side = |sign: f64| Some(record.middle_lateral_m? + sign * width_mm / 1000.0 / 2.0);
            let ahead_mm = ahead(opening.lateral_m, [side(-1.0), side(1.0)], width_mm);
            let (slot, slanted) = self.slanted(fed, across_mm, ahead_mm, width_mm)?;
            longest = longest.or(FeedSection::Across, slot, slanted);
        }
        Ok(Some(longest))
    }

    /// The longest rod that goes through hung.
    const fn upright_mm(&self) -> f64 {
        self.height_mm.min(self.below_mm)
    }

    /// The longest rod that is fed at a slope in one direction.
    fn slanted(
        &self,
        fed: &mut Fed,
        opening_mm: f64,
        ahead_mm: f64,
        length_mm: f64,
    ) -> Result<(Slot, Option<Slanted>), NoBody> {
        let inside = FeedRoom {
            height_mm: self.height_mm,
            // From the opening's edge behind the rod.
            ahead_mm: (ahead_mm + opening_mm / 2.0).clamp(opening_mm, length_mm.max(opening_mm)),
            length_mm: length_mm.max(opening_mm),
        };
        let outside = FeedRoom { height_mm: self.below_mm, ahead_mm: OPEN_MM, length_mm: OPEN_MM };
        let slot = Slot { opening_mm, thickness_mm: self.thickness_mm };
        let slanted = fed
            .longest(&slot, self.diameter_mm, &inside, &outside)
            .ok_or("opening.clear_beyond_mm")?;
        Ok((slot, slanted))
    }
}

#[cfg(test)]
mod tests;
