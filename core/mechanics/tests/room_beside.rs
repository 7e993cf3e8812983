//! Room at an anchorage against sampled cylinders and walls, and how it changes with what it depends on.

use proptest::prelude::*;
use restrand_mechanics::room::{
    Cylinder, Envelope, JackCase, JackLengths, Side, cap_room_mm, jack_room, nearest, wall_gap_mm,
    wall_gap_tilted_mm,
};

fn place() -> impl Strategy<Value = [f64; 3]> {
    prop::array::uniform3(-2000.0..2000.0)
}

fn cylinder() -> impl Strategy<Value = Cylinder> {
    (place(), place(), 20.0..300.0).prop_map(|(from_mm, to_mm, radius_mm)| Cylinder {
        from_mm,
        to_mm,
        radius_mm,
    })
}

fn on(cylinder: &Cylinder, share: f64) -> [f64; 3] {
    std::array::from_fn(|i| cylinder.from_mm[i] + share * (cylinder.to_mm[i] - cylinder.from_mm[i]))
}

fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
}

/// The least distance of two axes by a grid that is made finer about its best place; the distance is convex, so that finds it.
fn searched(one: &Cylinder, other: &Cylinder) -> f64 {
    let (mut s, mut t, mut width) = (0.5, 0.5, 0.5);
    let mut best = f64::INFINITY;
    for _ in 0..14 {
        let (middle_s, middle_t) = (s, t);
        for i in -5..=5 {
            for j in -5..=5 {
                let at_s = (middle_s + width * f64::from(i) / 5.0).clamp(0.0, 1.0);
                let at_t = (middle_t + width * f64::from(j) / 5.0).clamp(0.0, 1.0);
                let distance = apart(on(one, at_s), on(other, at_t));
                if distance < best {
                    (best, s, t) = (distance, at_s, at_t);
                }
            }
        }
        width *= 0.5;
    }
    best
}

proptest! {
    #[test]
    fn two_cylinders_are_as_near_as_a_search_finds_them(one in cylinder(), other in cylinder()) {
        let found = nearest(&one, &other).unwrap();
        let searched = searched(&one, &other);
        prop_assert!(found.axes_mm <= searched + 1e-9);
        prop_assert!(searched <= found.axes_mm + 2.0, "{searched} {found:?}");
        prop_assert!((found.axes_mm - one.radius_mm - other.radius_mm - found.gap_mm).abs() < 1e-9);
        let length = apart(one.from_mm, one.to_mm);
        prop_assert!(found.along_one_mm >= 0.0 && found.along_one_mm <= length + 1e-9);
        let other_way = nearest(&other, &one).unwrap();
        prop_assert!((other_way.axes_mm - found.axes_mm).abs() < 1e-6);
    }

    #[test]
    fn parallel_cylinders_are_as_far_apart_as_their_axes(radius in 10.0..200.0f64, off in 300.0..900.0f64, length in 10.0..3000.0f64) {
        let one = Cylinder { from_mm: [0.0; 3], to_mm: [length, 0.0, 0.0], radius_mm: radius };
        let other = Cylinder { from_mm: [-50.0, off, 0.0], to_mm: [length + 50.0, off, 0.0], radius_mm: radius };
        prop_assert!((nearest(&one, &other).unwrap().axes_mm - off).abs() < 1e-9);
    }

    #[test]
    fn a_tilted_envelope_is_as_near_a_wall_as_its_rims(
        radius_mm in 50.0..400.0f64, hose_mm in 0.0..100.0f64, wall in 200.0..2000.0f64, tilt in -0.5..0.5f64,
        from in -100.0..500.0f64, length in 0.0..3000.0f64,
    ) {
        let envelope = Envelope { radius_mm, hose_mm, hose_side: Side::Up };
        let gap = wall_gap_tilted_mm(&envelope, Side::Up, wall, tilt, from, from + length).unwrap();
        // The wall rises from `wall` over the face at the slope -tan(tilt), seen from the axis.
        let reach = radius_mm + hose_mm;
        let rims = [(from, reach), (from + length, reach), (from, -reach), (from + length, -reach)];
        let sampled = rims
            .map(|(along, off)| (wall - along * tilt.tan() - off) * tilt.cos())
            .into_iter()
            .fold(f64::INFINITY, f64::min);
        prop_assert!((gap - sampled).abs() < 1e-9, "{gap} {sampled}");
        let level = wall_gap_tilted_mm(&envelope, Side::Left, wall, 0.0, from, from + length).unwrap();
        prop_assert!((level - wall_gap_mm(&envelope, Side::Left, wall).unwrap()).abs() < 1e-9);
        prop_assert!((level - (wall - radius_mm)).abs() < 1e-9);
    }

    #[test]
    fn the_jack_needs_what_its_moves_sweep(
        values in prop::array::uniform6(1.0..2000.0f64), kept in 0.0..1.0f64, whole_strokes in any::<bool>(),
    ) {
        let [head_rear_mm, tail_mm, elongation_at_jack_mm, retracted_mm, stroke_mm, hand_room_mm] = values;
        let tail_grown_mm = kept * elongation_at_jack_mm;
        let room = jack_room(&JackLengths {
            head_rear_mm, tail_mm, elongation_at_jack_mm, tail_grown_mm, retracted_mm, stroke_mm, hand_room_mm,
        }).unwrap();
        // The rearmost of jack and tail in each case, move by move.
        let sweep = |places: &[f64]| head_rear_mm + hand_room_mm + places.iter().copied().fold(0.0, f64::max);
        let threading = sweep(&[tail_mm, tail_mm + retracted_mm, retracted_mm]);
        let mut places = vec![retracted_mm + stroke_mm, tail_mm];
        let mut pulled = 0.0;
        while pulled < elongation_at_jack_mm {
            // Each stroke takes the tail along, from a retracted jack.
            let stroke = if whole_strokes { stroke_mm } else { stroke_mm * 0.7 };
            pulled = elongation_at_jack_mm.min(pulled + stroke);
            places.extend([retracted_mm + stroke, tail_mm + pulled]);
        }
        let stressing = sweep(&places);
        let left_mm = tail_mm + tail_grown_mm;
        let taking_off = sweep(&[left_mm, left_mm + retracted_mm]);
        prop_assert!((room.threading_mm - threading).abs() < 1e-9);
        prop_assert!((room.stressing_mm - stressing).abs() < 1e-9);
        prop_assert!((room.taking_off_mm - taking_off).abs() < 1e-9);
        let cases = [
            (threading, JackCase::Threading), (stressing, JackCase::Stressing), (taking_off, JackCase::TakingOff),
        ];
        let most = cases.iter().map(|case| case.0).fold(0.0, f64::max);
        prop_assert!((room.need_mm - most).abs() < 1e-9);
        prop_assert!(cases.iter().any(|case| case.1 == room.binds && (case.0 - most).abs() < 1e-9));
    }

    #[test]
    fn a_cap_moves_until_it_is_past_what_it_covers(open in 0.0..50.0f64, length in 10.0..400.0f64, inside in 0.0..400.0f64, margin in 0.0..300.0f64) {
        let room = cap_room_mm(open, open + length, inside, margin).unwrap();
        // Shifted by what is left of the room before the margin, its open end is at or past the tails.
        let shifted = room - margin - length;
        prop_assert!(shifted >= inside - 1e-9 && shifted >= open - 1e-9);
        prop_assert!((shifted - inside).abs() < 1e-9 || (shifted - open).abs() < 1e-9);
    }
}

#[test]
fn several_strokes_need_the_room_of_all_that_they_pull() {
    let lengths = JackLengths {
        head_rear_mm: 125.0,
        tail_mm: 1000.0,
        elongation_at_jack_mm: 265.7,
        tail_grown_mm: 0.0,
        retracted_mm: 900.0,
        stroke_mm: 200.0,
        hand_room_mm: 300.0,
    };
    let room = jack_room(&lengths).unwrap();
    assert!((room.stressing_mm - 1690.7).abs() < 1e-9);
    // Cut before the jack comes off, a tail that has grown by more than the jack is long needs most while it is pulled.
    let long = JackLengths { elongation_at_jack_mm: 950.0, ..lengths };
    let room = jack_room(&long).unwrap();
    assert_eq!((room.need_mm, room.binds), (2375.0, JackCase::Stressing));
    // Of equal ones the first in time.
    let equal = jack_room(&JackLengths { elongation_at_jack_mm: 900.0, ..lengths }).unwrap();
    assert_eq!((equal.stressing_mm, equal.binds), (equal.threading_mm, JackCase::Threading));
}
