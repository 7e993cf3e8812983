//! Bodies through doors, in numbers worked out by hand.

use super::*;

/// Level, as long as it is, with a sling of 200 mm.
const LEVEL: Attitude = Attitude { along: Edge::Length, up: Edge::Height, sling_mm: 200.0 };
/// On its end, under the same sling.
const UPRIGHT: Attitude = Attitude { along: Edge::Width, up: Edge::Length, sling_mm: 200.0 };

fn body(attitudes: &[Attitude]) -> Body {
    Body { size_mm: [1500.0, 400.0, 300.0], attitudes: attitudes.to_vec(), sloped_mm: None }
}

fn bay(height_mm: f64) -> Bay {
    Bay {
        from_m: Some(10.0),
        to_m: Some(14.0),
        height_mm: Some(height_mm),
        width_mm: Some(500.0),
        ..Bay::default()
    }
}

fn opening(plane: OpeningPlane, width_mm: f64, height_mm: f64) -> Opening {
    Opening {
        plane: Some(plane),
        width_mm: Some(width_mm),
        height_mm: Some(height_mm),
        ..Opening::default()
    }
}

fn through(body: &Body, opening: &Opening, bays: &[Bay], rooms: [Room; 2]) -> Passing {
    let ways = Ways {
        bays,
        openings: std::slice::from_ref(opening),
        extents_m: bays.iter().map(|bay| [bay.from_m, bay.to_m]).collect(),
        ..Ways::default()
    };
    body.passing(&ways, &Door { opening: 0, rooms }).unwrap()
}

fn into_bay(body: &Body, opening: &Opening) -> Passing {
    through(body, opening, &[bay(2000.0)], [Room::Outside, Room::Bay(0)])
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} {expected}");
}

#[test]
fn a_body_is_too_long_for_a_room_in_which_it_neither_lies_nor_stands() {
    // Aslant in 1200 by 500 mm lie 1300 mm.
    let too_long = |body: &Body, height_mm| body.too_long_mm(Some(1200.0), &bay(height_mm));
    let both = body(&[LEVEL, UPRIGHT]);
    assert_eq!(too_long(&both, 1699.0), Some(200.0));
    assert_eq!(too_long(&both, 1700.0), None);
    assert_eq!(too_long(&body(&[LEVEL]), 5000.0), Some(200.0));
    let unknown = Bay { height_mm: None, ..bay(1.0) };
    assert_eq!(both.too_long_mm(Some(1200.0), &unknown), Some(200.0));
    let fits = Body { size_mm: [1300.0, 400.0, 300.0], ..body(&[LEVEL]) };
    assert_eq!(too_long(&fits, 5000.0), None);
    assert_eq!(both.too_long_mm(None, &bay(1.0)), None);
}

#[test]
fn through_a_wall_the_tightest_direction_counts() {
    let hole = Opening { sill_mm: Some(550.0), ..opening(OpeningPlane::Wall, 700.0, 1250.0) };
    // 400 mm wide, and 300 mm high under a sling of 200.
    let passing = into_bay(&body(&[LEVEL]), &hole);
    near(passing.spares.width_mm, 300.0);
    near(passing.spares.height_mm.unwrap(), 750.0);
    near(passing.spares.lift_mm.unwrap(), 950.0);
    assert_eq!((passing.spares.above_mm, passing.spares.in_line_mm), (None, None));
    near(passing.spare_mm, 300.0);
    assert_eq!((passing.outline_mm, passing.sling_mm), ([400.0, 300.0], 200.0));
    assert!(!passing.is_upright && !passing.is_turned);
    // Upright it is 300 mm wide, 1500 mm high, and too high.
    let passing = into_bay(&body(&[UPRIGHT]), &hole);
    near(passing.spares.width_mm, 400.0);
    near(passing.spares.height_mm.unwrap(), -450.0);
    near(passing.spares.lift_mm.unwrap(), -250.0);
    near(passing.spare_mm, -450.0);
    assert_eq!((passing.outline_mm, passing.is_upright), ([300.0, 1500.0], true));
    // Of both the better one, whichever is first.
    for attitudes in [[LEVEL, UPRIGHT], [UPRIGHT, LEVEL]] {
        near(into_bay(&body(&attitudes), &hole).spare_mm, 300.0);
    }
    // In line there are 1450 mm for 1500; nobody knows the wall's depth, so that it is not turned.
    let short =
        Opening { clear_before_mm: Some(1450.0), clear_beyond_mm: Some(1600.0), ..hole.clone() };
    let passing = into_bay(&body(&[LEVEL]), &short);
    near(passing.spares.in_line_mm.unwrap(), -50.0);
    near(passing.spare_mm, -50.0);
    // In 1500 mm it goes straight in.
    let just = Opening { clear_before_mm: Some(1500.0), depth_mm: Some(200.0), ..short };
    let passing = into_bay(&body(&[LEVEL]), &just);
    near(passing.spares.in_line_mm.unwrap(), 0.0);
    assert!(!passing.is_turned);
}

#[test]
fn too_long_for_the_room_in_line_it_is_turned_in_plan() {
    let hole = Opening {
        clear_before_mm: Some(9000.0),
        clear_beyond_mm: Some(1450.0),
        depth_mm: Some(100.0),
        sill_mm: Some(0.0),
        ..opening(OpeningPlane::Wall, 1400.0, 1250.0)
    };
    let wide = Bay { width_mm: Some(6000.0), ..bay(2000.0) };
    let rooms = [Room::Outside, Room::Bay(0)];
    let passing = through(&body(&[LEVEL]), &hole, std::slice::from_ref(&wide), rooms);
    let ways = Ways {
        bays: std::slice::from_ref(&wide),
        openings: std::slice::from_ref(&hole),
        extents_m: vec![[wide.from_m, wide.to_m]],
        ..Ways::default()
    };
    // As wide as it lies: 400 mm.
    let longest_mm = turned_mm(&ways, &Door { opening: 0, rooms }, 400.0).unwrap();
    assert!(longest_mm > 1500.0, "{longest_mm}");
    near(passing.spares.in_line_mm.unwrap(), longest_mm - 1500.0);
    assert!(passing.is_turned);
}

#[test]
fn through_a_floor_it_hangs_between_the_rooms() {
    let passes =
        Opening { clear_beyond_mm: Some(1850.0), ..opening(OpeningPlane::Floor, 500.0, 620.0) };
    // 300 by 400 mm in 500 by 620; 2000 mm above for 1700 with the sling, 1850 below for 1500.
    let passing = into_bay(&body(&[UPRIGHT]), &passes);
    near(passing.spare_mm, 200.0);
    near(passing.spares.above_mm.unwrap(), 300.0);
    near(passing.spares.in_line_mm.unwrap(), 350.0);
    assert_eq!(passing.outline_mm, [300.0, 400.0]);
    assert!(passing.is_upright && !passing.is_turned);
    assert_eq!((passing.spares.width_mm, passing.spares.height_mm), (200.0, None));
    // What is stated above binds before the bay's height.
    let low = Opening { clear_before_mm: Some(1750.0), ..passes.clone() };
    near(into_bay(&body(&[UPRIGHT]), &low).spare_mm, 50.0);
    // Through a roof neither the room above nor that below binds.
    let roof = Opening { plane: Some(OpeningPlane::Roof), ..low };
    let passing = into_bay(&body(&[UPRIGHT]), &roof);
    assert_eq!((passing.spares.above_mm, passing.spares.in_line_mm), (None, None));
    near(passing.spare_mm, 200.0);
    // The longer side lies along the longer side of the opening; both are short.
    let narrow = opening(OpeningPlane::Floor, 350.0, 280.0);
    let passing = into_bay(&body(&[UPRIGHT]), &narrow);
    assert_eq!(passing.outline_mm, [400.0, 300.0]);
    assert_eq!((passing.spares.width_mm, passing.spares.height_mm), (-50.0, Some(-20.0)));
    let square = opening(OpeningPlane::Floor, 280.0, 280.0);
    let passing = into_bay(&body(&[UPRIGHT]), &square);
    assert_eq!(passing.outline_mm, [300.0, 400.0]);
    assert_eq!((passing.spares.width_mm, passing.spares.height_mm), (-20.0, Some(-120.0)));
}

#[test]
fn at_a_slope_it_goes_under_a_low_ceiling() {
    let hatch = Opening {
        depth_mm: Some(250.0),
        station_m: Some(11.0),
        ..opening(OpeningPlane::Floor, 500.0, 1200.0)
    };
    let low = [bay(1500.0)];
    let rooms = [Room::Outside, Room::Bay(0)];
    let level_only = through(&body(&[UPRIGHT]), &hatch, &low, rooms);
    near(level_only.spare_mm, -200.0);
    let any = Body { sloped_mm: Some(200.0), ..body(&[UPRIGHT]) };
    let passing = through(&any, &hatch, &low, rooms);
    let ways = Ways {
        bays: &low,
        openings: std::slice::from_ref(&hatch),
        extents_m: vec![[low[0].from_m, low[0].to_m]],
        ..Ways::default()
    };
    let longest_mm = tilted_mm(&ways, &Door { opening: 0, rooms }, &hatch, 400.0, 200.0).unwrap();
    near(passing.spare_mm, longest_mm - 1500.0);
    near(passing.spares.width_mm, longest_mm - 1500.0);
    assert!(passing.is_turned && passing.outline_mm == [400.0; 2] && passing.spare_mm > 0.0);
    // Under a high one it stands.
    assert!(!into_bay(&any, &hatch).is_turned);
}

#[test]
fn a_ceiling_is_the_lower_one_over_the_floor_of_the_first_bay() {
    let bay = |height_mm, floor_m, slope, from_m| Bay {
        height_mm: Some(height_mm),
        floor_elevation_m: Some(floor_m),
        floor_slope: slope,
        from_m: Some(from_m),
        ..Bay::default()
    };
    let ceiling = |bays: &[Bay], rooms| {
        let hole = Opening { station_m: Some(20.0), ..opening(OpeningPlane::Wall, 700.0, 1250.0) };
        let ways = Ways { bays, openings: std::slice::from_ref(&hole), ..Ways::default() };
        ceiling_mm(&ways, &Door { opening: 0, rooms }).unwrap()
    };
    // At 20 m the first floor lies at 10.2 m and the second at 10.25 m.
    let mut bays = [bay(2000.0, 10.0, Some(0.02), 10.0), bay(1850.0, 10.3, Some(-0.01), 15.0)];
    let both = [Room::Bay(0), Room::Bay(1)];
    near(ceiling(&bays, both), 1900.0);
    near(ceiling(&bays, [Room::Bay(1), Room::Bay(0)]), 1850.0);
    near(ceiling(&bays, [Room::Outside, Room::Bay(1)]), 1850.0);
    bays[1] = bay(1850.0, 10.3, None, 15.0);
    near(ceiling(&bays, both), 1950.0);
    bays[1].floor_elevation_m = None;
    near(ceiling(&bays, both), 1850.0);
    bays[0].height_mm = Some(1700.0);
    near(ceiling(&bays, both), 1700.0);
}

#[test]
fn an_opening_is_as_clear_as_its_shape() {
    let hole = opening(OpeningPlane::Wall, 700.0, 1250.0);
    assert_eq!(clear_mm(&hole), Ok(([700.0, 1250.0], false)));
    let round = Opening { diameter_mm: Some(600.0), width_mm: None, ..hole.clone() };
    assert_eq!(clear_mm(&round), Ok(([600.0; 2], true)));
    let by_width = Opening { shape: Some(OpeningShape::Circle), ..hole };
    assert_eq!(clear_mm(&by_width), Ok(([700.0; 2], true)));
    assert_eq!(clear_mm(&Opening::default()), Err("opening.width_mm"));
}
