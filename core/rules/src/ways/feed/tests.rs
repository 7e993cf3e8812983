//! Rods through doors between rooms laid out by hand: where a search is made, in which rooms.

use restrand_model::reflect::Link;
use restrand_model::schedule::Bay;

use super::*;

const ROD_MM: f64 = 125.0;

/// A bay from one station to another.
fn bay([from_m, to_m]: [f64; 2]) -> Bay {
    Bay {
        from_m: Some(from_m),
        to_m: Some(to_m),
        height_mm: Some(2400.0),
        width_mm: Some(3000.0),
        middle_lateral_m: Some(1.0),
        ..Bay::default()
    }
}

/// An opening of this width and height in a slab of 250 mm.
fn hatch(width_mm: f64, height_mm: f64) -> Opening {
    Opening {
        plane: Some(OpeningPlane::Floor),
        width_mm: Some(width_mm),
        height_mm: Some(height_mm),
        depth_mm: Some(250.0),
        clear_before_mm: Some(2300.0),
        ..Opening::default()
    }
}

/// What is said of a door from outside into the bay.
fn with<T>(bay: &Bay, opening: &Opening, ask: impl FnOnce(&Ways<'_>, &Door) -> T) -> T {
    let ways = Ways {
        bays: std::slice::from_ref(bay),
        openings: std::slice::from_ref(opening),
        extents_m: vec![[bay.from_m, bay.to_m]],
        ..Ways::default()
    };
    ask(&ways, &Door { opening: 0, rooms: [Room::Outside, Room::Bay(0)] })
}

fn fed(bay: &Bay, opening: &Opening, diameter_mm: f64) -> Result<Option<LongestFed>, NoBody> {
    with(bay, opening, |ways, door| longest_fed(&mut Fed::default(), ways, door, diameter_mm))
}

/// The search itself: height, room ahead and length on the side of the bay.
fn searched(slot: &Slot, [height_mm, ahead_mm, length_mm]: [f64; 3], other: &FeedRoom) -> [f64; 2] {
    let inside = FeedRoom { height_mm, ahead_mm, length_mm };
    let found = longest_through_slot(slot, ROD_MM, &inside, other).unwrap().unwrap();
    [found.longest_mm, found.tilt_rad]
}

const FIELD: FeedRoom = FeedRoom { height_mm: OPEN_MM, ahead_mm: OPEN_MM, length_mm: OPEN_MM };

#[track_caller]
fn is_askew(found: LongestFed, section: FeedSection, slot: Slot, [longest_mm, tilt_rad]: [f64; 2]) {
    assert_eq!(found.longest_mm, longest_mm);
    assert_eq!(found.askew, Some(Askew { section, slot, tilt_rad }));
}

#[test]
fn a_rod_lies_towards_the_further_end_of_the_bay() {
    // From its middle to the end there are 3 m, and half of the opening behind it.
    let opening = Opening { station_m: Some(11.0), ..hatch(300.0, 1200.0) };
    let found = fed(&bay([10.0, 14.0]), &opening, ROD_MM).unwrap().unwrap();
    let slot = Slot { opening_mm: 1200.0, thickness_mm: 250.0 };
    let expected = searched(&slot, [2300.0, 3600.0, 4000.0], &FIELD);
    is_askew(found, FeedSection::Along, slot, expected);
    assert_eq!((found.straight_mm, found.clear_mm), (2300.0, [2300.0, OPEN_MM]));
    // As near to the other end it is the same.
    let mirrored = Opening { station_m: Some(13.0), ..hatch(300.0, 1200.0) };
    assert_eq!(fed(&bay([10.0, 14.0]), &mirrored, ROD_MM), Ok(Some(found)));
    // Nobody knows where it is: half of the bay is ahead.
    let found = fed(&bay([10.0, 14.0]), &hatch(300.0, 1200.0), ROD_MM).unwrap().unwrap();
    let expected = searched(&slot, [2300.0, 2600.0, 4000.0], &FIELD);
    is_askew(found, FeedSection::Along, slot, expected);
}

#[test]
fn a_rod_goes_across_the_bridge_where_that_is_longer() {
    // The bay reaches from 0.5 m to the right to 2.5 m to the left: 2.2 m are ahead of an opening 0.3 m to the left.
    let opening = Opening { station_m: Some(10.5), lateral_m: Some(0.3), ..hatch(1000.0, 300.0) };
    let found = fed(&bay([10.0, 11.0]), &opening, ROD_MM).unwrap().unwrap();
    let slot = Slot { opening_mm: 1000.0, thickness_mm: 250.0 };
    let expected = searched(&slot, [2300.0, 2700.0, 3000.0], &FIELD);
    is_askew(found, FeedSection::Across, slot, expected);
    // And 2.4 m of one 1.9 m to the left.
    let opening = Opening { lateral_m: Some(1.9), ..opening };
    let found = fed(&bay([10.0, 11.0]), &opening, ROD_MM).unwrap().unwrap();
    is_askew(found, FeedSection::Across, slot, searched(&slot, [2300.0, 2900.0, 3000.0], &FIELD));
    // Where the middle of the bay is not stated, half of it is ahead.
    let somewhere = Bay { middle_lateral_m: None, ..bay([10.0, 11.0]) };
    let found = fed(&somewhere, &opening, ROD_MM).unwrap().unwrap();
    is_askew(found, FeedSection::Across, slot, searched(&slot, [2300.0, 2000.0, 3000.0], &FIELD));
}

#[test]
fn a_rod_is_hung_as_long_as_the_lower_room_and_no_thicker_than_the_hatch() {
    let low = Opening { clear_beyond_mm: Some(1800.0), ..hatch(300.0, 1200.0) };
    let found = fed(&bay([10.0, 14.0]), &low, ROD_MM).unwrap().unwrap();
    assert_eq!((found.straight_mm, found.clear_mm), (1800.0, [2300.0, 1800.0]));
    let surely = |opening: &Opening, diameter_mm| {
        with(&bay([10.0, 14.0]), opening, |ways, door| surely_fed_mm(ways, door, diameter_mm))
    };
    assert_eq!(surely(&low, 300.0), 1800.0);
    assert_eq!(surely(&low, 300.1), 0.0);
    assert!(fed(&bay([10.0, 14.0]), &low, 300.0).unwrap().is_some());
    assert!(fed(&bay([10.0, 14.0]), &low, 300.1).unwrap().is_none());
    assert_eq!(surely(&Opening { plane: None, ..low.clone() }, ROD_MM), 0.0);
    assert_eq!(surely(&Opening { width_mm: None, ..low.clone() }, ROD_MM), 0.0);
    let round = Opening {
        width_mm: None,
        height_mm: None,
        diameter_mm: Some(600.0),
        station_m: Some(11.0),
        ..hatch(1.0, 1.0)
    };
    assert_eq!(surely(&round, 600.0), 2300.0);
    let slot = Slot { opening_mm: 600.0, thickness_mm: 250.0 };
    let found = fed(&bay([10.0, 14.0]), &round, ROD_MM).unwrap().unwrap();
    is_askew(found, FeedSection::Along, slot, searched(&slot, [2300.0, 3300.0, 4000.0], &FIELD));
}

/// An opening in a diaphragm of 400 mm, with 5 m in line outside.
fn wall() -> Opening {
    Opening {
        plane: Some(OpeningPlane::Wall),
        place: Some(Link::to("D")),
        clear_before_mm: Some(5000.0),
        clear_beyond_mm: Some(6000.0),
        depth_mm: Some(400.0),
        ..hatch(900.0, 2000.0)
    }
}

#[test]
fn through_a_wall_a_rod_goes_in_line_or_is_turned_in_plan() {
    // In line there are 5 m outside, and inside no more than the bay is long.
    let room = bay([10.0, 14.0]);
    let slot = Slot { opening_mm: 900.0, thickness_mm: 400.0 };
    let outside = FeedRoom { height_mm: 5000.0, ahead_mm: 50_450.0, length_mm: OPEN_MM };
    // Half of the bay's width and half of the opening are ahead.
    let expected = searched(&slot, [4000.0, 1950.0, 3000.0], &outside);
    let found = fed(&room, &wall(), ROD_MM).unwrap().unwrap();
    assert_eq!((found.straight_mm, found.clear_mm), (4000.0, [5000.0, 4000.0]));
    assert!(expected[0] > 4000.0, "{expected:?}");
    is_askew(found, FeedSection::Plan, slot, expected);
    let turned = with(&room, &wall(), |ways, door| turned_mm(ways, door, ROD_MM));
    assert_eq!(turned, Some(expected[0]));
    assert_eq!(with(&room, &wall(), |ways, door| surely_fed_mm(ways, door, ROD_MM)), 4000.0);
    assert_eq!(stated_in_line_mm(&wall()), Some(5000.0));
    // What is stated binds where it is less than the bay.
    let shorter = Opening { clear_beyond_mm: Some(3500.0), ..wall() };
    assert_eq!(fed(&room, &shorter, ROD_MM).unwrap().unwrap().clear_mm, [5000.0, 3500.0]);
    // Nothing is stated of the room inside, and the opening is in no diaphragm.
    let unknown = Opening { clear_beyond_mm: None, place: None, ..wall() };
    assert_eq!(fed(&room, &unknown, ROD_MM), Err("opening.clear_beyond_mm"));
    // A wall of which the depth is not known is passed straight.
    let straight = fed(&room, &Opening { depth_mm: None, ..wall() }, ROD_MM).unwrap().unwrap();
    assert_eq!((straight.longest_mm, straight.askew), (4000.0, None));
}

#[test]
fn under_a_sling_a_slab_is_lower() {
    let opening = Opening { station_m: Some(11.0), ..hatch(300.0, 1200.0) };
    let tilted = |sling_mm| {
        with(&bay([10.0, 14.0]), &opening, |ways, door| {
            tilted_mm(ways, door, &opening, ROD_MM, sling_mm)
        })
    };
    let slot = Slot { opening_mm: 1200.0, thickness_mm: 250.0 };
    let expected = searched(&slot, [2000.0, 3600.0, 4000.0], &FIELD);
    assert_eq!(tilted(300.0), Some(expected[0]));
    assert_eq!((tilted(2300.0), tilted(2400.0)), (None, None));
}

#[test]
fn askew_is_told_only_where_it_is_longer() {
    let slot = Slot { opening_mm: 900.0, thickness_mm: 400.0 };
    let or = |longest_mm| {
        let slanted = Slanted { longest_mm, tilt_rad: 0.5 };
        LongestFed::straight(1000.0, [1000.0, 1200.0]).or(FeedSection::Along, slot, Some(slanted))
    };
    assert_eq!(or(1000.0), LongestFed::straight(1000.0, [1000.0, 1200.0]));
    let askew = Some(Askew { section: FeedSection::Along, slot, tilt_rad: 0.5 });
    let longer =
        LongestFed { longest_mm: 1000.5, straight_mm: 1000.0, clear_mm: [1000.0, 1200.0], askew };
    assert_eq!(or(1000.5), longer);
}
