//! Whatever numbers come in, the room at an anchorage is finite numbers or a misfit.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::room::{
    Cylinder, Envelope, JackLengths, Side, cap_room_mm, jack_room, nearest, wall_gap_mm,
    wall_gap_tilted_mm,
};

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..1000.0,
        2 => -1000.0..1000.0,
        2 => -2.0..2.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12)],
        1 => ANY,
    ]
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![Just(Side::Up), Just(Side::Down), Just(Side::Left), Just(Side::Right)]
}

proptest! {
    #[test]
    fn jack_and_cap_room_are_finite_or_a_misfit(values in prop::array::uniform7(number())) {
        let [head_rear_mm, tail_mm, elongation_at_jack_mm, tail_grown_mm, retracted_mm, stroke_mm, hand_room_mm] = values;
        let lengths = JackLengths { head_rear_mm, tail_mm, elongation_at_jack_mm, tail_grown_mm, retracted_mm, stroke_mm, hand_room_mm };
        if let Ok(room) = jack_room(&lengths) {
            prop_assert!(room.need_mm.is_finite() && room.need_mm > 0.0);
            prop_assert!(room.threading_mm.is_finite() && room.stressing_mm.is_finite() && room.taking_off_mm.is_finite());
        }
        if let Ok(room) = cap_room_mm(values[0], values[1], values[2], values[3]) {
            prop_assert!(room.is_finite() && room > 0.0);
        }
    }

    #[test]
    fn gaps_beside_the_axis_are_finite_or_a_misfit(
        radius_mm in number(), hose_mm in number(), hose_side in side(), side in side(), values in prop::array::uniform4(number()),
    ) {
        let envelope = Envelope { radius_mm, hose_mm, hose_side };
        let [wall, tilt, from, to] = values;
        for gap in [wall_gap_mm(&envelope, side, wall), wall_gap_tilted_mm(&envelope, side, wall, tilt, from, to)].into_iter().flatten() {
            prop_assert!(gap.is_finite());
        }
    }

    #[test]
    fn two_cylinders_are_a_finite_distance_apart_or_a_misfit(
        places in prop::array::uniform4(prop::array::uniform3(number())), radii in prop::array::uniform2(number()),
    ) {
        let one = Cylinder { from_mm: places[0], to_mm: places[1], radius_mm: radii[0] };
        let other = Cylinder { from_mm: places[2], to_mm: places[3], radius_mm: radii[1] };
        if let Ok(place) = nearest(&one, &other) {
            prop_assert!(place.axes_mm.is_finite() && place.axes_mm >= 0.0 && place.gap_mm.is_finite());
            prop_assert!(place.along_one_mm.is_finite() && place.along_other_mm.is_finite());
        }
    }
}

#[test]
fn bad_numbers_are_refused() {
    let lengths = JackLengths {
        head_rear_mm: 125.0,
        tail_mm: 1000.0,
        elongation_at_jack_mm: 269.0,
        tail_grown_mm: 263.0,
        retracted_mm: 900.0,
        stroke_mm: 200.0,
        hand_room_mm: 300.0,
    };
    let jack = Envelope { radius_mm: 225.0, hose_mm: 50.0, hose_side: Side::Up };
    let cylinder = Cylinder { from_mm: [0.0; 3], to_mm: [900.0, 0.0, 0.0], radius_mm: 225.0 };
    for bad in [f64::NAN, f64::NEG_INFINITY, 1e300] {
        assert!(wall_gap_mm(&jack, Side::Up, bad).is_err());
        assert!(wall_gap_tilted_mm(&jack, Side::Up, bad, 0.1, 0.0, 900.0).is_err());
        assert!(wall_gap_tilted_mm(&jack, Side::Up, 300.0, bad, 0.0, 900.0).is_err());
        assert!(wall_gap_tilted_mm(&jack, Side::Up, 300.0, 0.1, bad, 900.0).is_err());
        assert!(nearest(&Cylinder { from_mm: [0.0, bad, 0.0], ..cylinder }, &cylinder).is_err());
        assert!(nearest(&cylinder, &Cylinder { to_mm: [0.0, 0.0, bad], ..cylinder }).is_err());
    }
    for bad in [f64::NAN, f64::INFINITY, -2000.0] {
        for lengths in [
            JackLengths { head_rear_mm: bad, ..lengths },
            JackLengths { tail_mm: bad, ..lengths },
            JackLengths { elongation_at_jack_mm: bad, ..lengths },
            JackLengths { tail_grown_mm: bad, ..lengths },
            JackLengths { tail_grown_mm: 269.5, ..lengths },
            JackLengths { retracted_mm: bad, ..lengths },
            JackLengths { stroke_mm: bad, ..lengths },
            JackLengths { hand_room_mm: bad, ..lengths },
        ] {
            assert!(jack_room(&lengths).is_err());
        }
        assert!(cap_room_mm(bad, 190.0, 115.0, 150.0).is_err());
        assert!(cap_room_mm(0.0, bad, 115.0, 150.0).is_err());
        assert!(cap_room_mm(0.0, 190.0, bad, 150.0).is_err());
        assert!(cap_room_mm(0.0, 190.0, 115.0, bad).is_err());
        assert!(wall_gap_mm(&Envelope { radius_mm: bad, ..jack }, Side::Up, 300.0).is_err());
        assert!(wall_gap_mm(&Envelope { hose_mm: bad, ..jack }, Side::Left, 300.0).is_err());
        assert!(wall_gap_tilted_mm(&jack, Side::Up, 300.0, 0.1, 0.0, bad).is_err());
        assert!(nearest(&Cylinder { radius_mm: bad, ..cylinder }, &cylinder).is_err());
    }
}

#[test]
fn an_axis_without_length_is_a_point() {
    let point = |x: f64| Cylinder { from_mm: [x, 0.0, 0.0], to_mm: [x, 0.0, 0.0], radius_mm: 10.0 };
    assert!((nearest(&point(0.0), &point(50.0)).unwrap().gap_mm - 30.0).abs() < 1e-12);
}
