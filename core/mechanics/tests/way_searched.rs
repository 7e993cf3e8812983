//! Ways of rods and boxes against scans of angles and searches over all places.

#![allow(clippy::unwrap_used)]

use std::collections::VecDeque;
use std::f64::consts::{FRAC_PI_2, PI};

use proptest::prelude::*;
use restrand_mechanics::way::{
    Attitude, Edge, FeedRoom, Opening, Slot, box_through_floor, box_through_wall, fits_turned,
    longest_leaning_mm, longest_round_corner, longest_round_corner_with_height_mm,
    longest_through_slot, longest_turning_mm,
};

/// Whether a rectangle can be moved round a corner, by flooding a grid of places and angles.
///
/// The corridor of width `one` runs along x, that of width `other` along y; their outer walls are the axes.
fn floods_round_corner(
    one: f64,
    other: f64,
    length: f64,
    thickness: f64,
    cell: f64,
    turns: usize,
) -> bool {
    let reach = one.max(other) + length + thickness;
    let size = (reach / cell).ceil() as usize + 1;
    let fits = |x: f64, y: f64, turn: usize| {
        let (sin, cos) = (PI * turn as f64 / turns as f64).sin_cos();
        let half_x = (length * cos.abs() + thickness * sin) / 2.0;
        let half_y = (length * sin + thickness * cos.abs()) / 2.0;
        if x < half_x || y < half_y {
            return false;
        }
        if x + half_x <= other || y + half_y <= one {
            return true;
        }
        // The rectangle's side that faces the inner corner must leave it outside.
        let (along, across) =
            if cos < 0.0 { (thickness, [sin, -cos]) } else { (length, [cos, sin]) };
        (other - x) * across[0] + (one - y) * across[1] >= along / 2.0
    };
    let index = |x: usize, y: usize, turn: usize| (turn * size + y) * size + x;
    let mut seen = vec![false; size * size * turns];
    let mut queue = VecDeque::new();
    // In the corridor along x, far from the corner, lengthwise or sideways.
    for turn in [0, turns / 2] {
        for y in 0..size {
            let x = size - 1;
            if fits(x as f64 * cell, y as f64 * cell, turn) && !seen[index(x, y, turn)] {
                seen[index(x, y, turn)] = true;
                queue.push_back((x, y, turn));
            }
        }
    }
    while let Some((x, y, turn)) = queue.pop_front() {
        if y == size - 1 {
            return true;
        }
        let neighbours = [
            (x.wrapping_sub(1), y, turn),
            (x + 1, y, turn),
            (x, y.wrapping_sub(1), turn),
            (x, y + 1, turn),
            (x, y, (turn + 1) % turns),
            (x, y, (turn + turns - 1) % turns),
        ];
        for (x, y, turn) in neighbours {
            if x < size
                && y < size
                && !seen[index(x, y, turn)]
                && fits(x as f64 * cell, y as f64 * cell, turn)
            {
                seen[index(x, y, turn)] = true;
                queue.push_back((x, y, turn));
            }
        }
    }
    false
}

#[test]
fn a_rod_goes_round_a_corner_where_a_search_over_all_places_finds_a_way() {
    for (one, other, thickness) in [
        (1.2, 0.9, 0.15),
        (0.9, 0.9, 0.1143),
        (1.2, 1.2, 1.1),
        (1.2, 1.2, 0.8),
        (2.0, 0.8, 0.5),
        (0.7, 1.4, 0.4),
    ] {
        let longest = longest_round_corner(one, other, thickness).unwrap().longest_mm;
        // The grid is too coarse for the last part of the width.
        assert!(
            floods_round_corner(one, other, longest * 0.965, thickness, 0.015, 180),
            "{one} {other} {thickness}"
        );
        assert!(
            !floods_round_corner(one, other, longest * 1.015, thickness, 0.015, 180),
            "{one} {other} {thickness}"
        );
    }
}

/// Whether a rod can be moved from wholly below a slab to wholly above it, by flooding a grid of angles and heights.
///
/// At each angle and height the places along the slab at which it clashes with nothing are an interval, by samples.
fn floods_through(
    slot: &Slot,
    diameter: f64,
    from: &FeedRoom,
    to: &FeedRoom,
    length: f64,
    angles: (f64, f64),
) -> bool {
    const LEVELS: usize = 180;
    let turns = ((angles.1 - angles.0) / 0.004).ceil() as usize + 80;
    let (a, t) = (slot.opening_mm, slot.thickness_mm);
    // The height of the rod's lowest point, from lying on the ground to lying over the slab.
    let bottom = |level: usize| {
        -from.height_mm.min(length * 1.2 + t)
            + (from.height_mm.min(length * 1.2 + t) + t) * level as f64 / LEVELS as f64
    };
    let interval = |turn: usize, level: usize| -> Option<(f64, f64)> {
        let angle = angles.0 + (angles.1 - angles.0) * turn as f64 / turns as f64;
        let (sin, cos) = angle.sin_cos();
        let low = bottom(level);
        let high = low + length * sin + diameter * cos;
        if high > t + to.height_mm || low < -from.height_mm {
            return None;
        }
        // Corners with the lowest one (the right one of the rear end) at x = 0.
        let corners = [
            (0.0, low),
            (length * cos, low + length * sin),
            (length * cos - diameter * sin, high),
            (-diameter * sin, low + diameter * cos),
        ];
        let (mut least, mut most) = (-1e9_f64, 1e9_f64);
        // The leading end and the rear end against what stands in front of them.
        if high > t {
            most = most.min(to.ahead_mm - length * cos);
        }
        if low < 0.0 {
            least = least.max(a - from.ahead_mm + diameter * sin);
        }
        for sample in 0..=6 {
            let y = t * f64::from(sample) / 6.0;
            if y <= low || y >= high {
                continue;
            }
            let (mut left, mut right) = (f64::INFINITY, f64::NEG_INFINITY);
            for index in 0..4 {
                let ((x1, y1), (x2, y2)) = (corners[index], corners[(index + 1) % 4]);
                if (y1 - y) * (y2 - y) <= 0.0 && y1 != y2 {
                    let x = x1 + (x2 - x1) * (y - y1) / (y2 - y1);
                    left = left.min(x);
                    right = right.max(x);
                }
            }
            least = least.max(-left);
            most = most.min(a - right);
        }
        // Told by where the rod's lower side crosses the slab, which neither a step along the rod nor a small turn changes much.
        let crossing = (t / 2.0 - low) / angle.tan();
        (least <= most).then_some((least + crossing, most + crossing))
    };
    let mut places = vec![None; (turns + 1) * (LEVELS + 1)];
    for turn in 0..=turns {
        for level in 0..=LEVELS {
            places[turn * (LEVELS + 1) + level] = interval(turn, level);
        }
    }
    let mut seen = vec![false; places.len()];
    let mut queue = VecDeque::new();
    for turn in 0..=turns {
        for level in 0..=LEVELS {
            let angle = angles.0 + (angles.1 - angles.0) * turn as f64 / turns as f64;
            let below = bottom(level) + length * angle.sin() + diameter * angle.cos() <= 0.0;
            let node = turn * (LEVELS + 1) + level;
            if below && places[node].is_some() {
                seen[node] = true;
                queue.push_back((turn, level));
            }
        }
    }
    while let Some((turn, level)) = queue.pop_front() {
        if level == LEVELS {
            return true;
        }
        let here: (f64, f64) = places[turn * (LEVELS + 1) + level].unwrap();
        for (turn, level) in [
            (turn.wrapping_sub(1), level),
            (turn + 1, level),
            (turn, level.wrapping_sub(1)),
            (turn, level + 1),
        ] {
            if turn > turns || level > LEVELS {
                continue;
            }
            let node = turn * (LEVELS + 1) + level;
            if let Some(there) = places[node]
                && !seen[node]
                && here.0 <= there.1
                && there.0 <= here.1
            {
                seen[node] = true;
                queue.push_back((turn, level));
            }
        }
    }
    false
}

/// The least of many places, then of many about the least of them, and again.
fn least_of_all(mut from: f64, mut to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let mut least = f64::INFINITY;
    for steps in [200, 40, 40, 40] {
        let step = (to - from) / f64::from(steps);
        let places = (0..=steps).map(|index| from + step * f64::from(index));
        let (value, at) = places
            .map(|at| (f(at), at))
            .fold((f64::INFINITY, from), |best, one| if one.0 < best.0 { one } else { best });
        least = least.min(value);
        (from, to) = ((at - step).max(from), (at + step).min(to));
    }
    least
}

/// The least play that a rod has on its way through a slot, at each place with the angle that gives it most, by its corners.
///
/// The near rim is the origin and the far one at (a, t); the rod rises to the right, below the one and above the other.
fn least_play(slot: &Slot, diameter: f64, from: &FeedRoom, to: &FeedRoom, length: f64) -> f64 {
    let (a, t) = (slot.opening_mm, slot.thickness_mm);
    least_of_all(0.0, 1.0, |share| {
        -least_of_all(1e-3, FRAC_PI_2 - 1e-3, |angle| {
            let (sin, cos) = angle.sin_cos();
            let rear = share * (a * cos + t * sin - length);
            let front = rear + length;
            // How far the rod's upper side lies below the near rim, square to it: at least, and at most.
            let least = 0.0_f64
                .max((front * sin - t - to.height_mm) / cos)
                .max((a - from.ahead_mm - rear * cos) / sin);
            let most = (a * sin - t * cos - diameter)
                .min((from.height_mm + rear * sin) / cos - diameter)
                .min((to.ahead_mm - front * cos) / sin - diameter);
            least - most
        })
    })
}

#[test]
fn what_both_rooms_let_through_has_play_all_the_way_and_nothing_longer_has() {
    let slot = Slot { opening_mm: 611.9, thickness_mm: 173.4 };
    let low = FeedRoom { height_mm: 1707.6, ahead_mm: 7663.8, length_mm: 1e6 };
    let short = FeedRoom { height_mm: 4881.5, ahead_mm: 782.8, length_mm: 1e6 };
    for (from, to) in [(low, short), (short, low)] {
        let feed = longest_through_slot(&slot, 116.6, &from, &to).unwrap().unwrap();
        let longest = feed.by_both_mm.expect("both rooms bind at once");
        assert!(longest < 3196.36, "{feed:?}");
        let play = |length| least_play(&slot, 116.6, &from, &to, length);
        assert!(play(longest * (1.0 - 1e-5)) > 0.0, "{feed:?}");
        assert!(play(longest * (1.0 + 1e-5)) < 0.0, "{feed:?}");
    }
}

proptest! {
    #[test]
    fn a_rod_goes_through_a_slot_where_a_search_over_all_places_finds_a_way(
        opening in 700.0..1500.0f64, slab in 100.0..900.0f64, diameter in 80.0..200.0f64,
        heights in (1500.0..4000.0f64, 1500.0..8000.0f64),
        aheads in prop_oneof![Just((1e6, 1e6)), (3000.0..12_000.0f64, 3000.0..12_000.0f64)],
    ) {
        let slot = Slot { opening_mm: opening, thickness_mm: slab };
        let to = FeedRoom { height_mm: heights.0, ahead_mm: aheads.0, length_mm: 1e6 };
        let from = FeedRoom { height_mm: heights.1, ahead_mm: aheads.1, length_mm: 1e6 };
        let feed = longest_through_slot(&slot, diameter, &from, &to).unwrap().unwrap();
        prop_assume!(feed.longest_mm > 1.1 * opening && feed.longest_mm < 20_000.0);
        // Flat where the height binds; steep where the room ahead does.
        let steepest = if aheads.0 < 1e6 { FRAC_PI_2 } else { (feed.tilt_rad * 1.8).min(FRAC_PI_2) };
        let angles = (feed.tilt_rad * 0.5, steepest);
        prop_assert!(!floods_through(&slot, diameter, &from, &to, feed.longest_mm * 1.02, angles), "longer: {feed:?}");
        prop_assert!(floods_through(&slot, diameter, &from, &to, feed.longest_mm * 0.95, angles), "shorter: {feed:?}");
    }

    #[test]
    fn a_rod_that_starts_steep_and_ends_flat_suits_both_rooms_at_once(
        opening in 700.0..1200.0f64, slab in 100.0..400.0f64, diameter in 80.0..150.0f64,
        heights in (1200.0..2500.0f64, 5000.0..9000.0f64), aheads in (6000.0..12_000.0f64, 2000.0..3500.0f64), turned in any::<bool>(),
    ) {
        let slot = Slot { opening_mm: opening, thickness_mm: slab };
        let low = FeedRoom { height_mm: heights.0, ahead_mm: aheads.0, length_mm: 1e6 };
        let short = FeedRoom { height_mm: heights.1, ahead_mm: aheads.1, length_mm: 1e6 };
        let (from, to) = if turned { (low, short) } else { (short, low) };
        let feed = longest_through_slot(&slot, diameter, &from, &to).unwrap().unwrap();
        let back = longest_through_slot(&slot, diameter, &to, &from).unwrap().unwrap();
        prop_assert!((feed.longest_mm - back.longest_mm).abs() < 1e-5 * feed.longest_mm);
        if let Some(longest) = feed.by_both_mm {
            let play = |length| least_play(&slot, diameter, &from, &to, length);
            prop_assert!(play(longest * (1.0 - 2e-5)) > 0.0, "{feed:?}");
            prop_assert!(play(longest * (1.0 + 2e-5)) < 0.0, "{feed:?}");
        }
        let angles = (feed.tilt_rad * 0.5, FRAC_PI_2);
        prop_assert!(!floods_through(&slot, diameter, &from, &to, feed.longest_mm * 1.02, angles), "longer: {feed:?}");
        prop_assert!(floods_through(&slot, diameter, &from, &to, feed.longest_mm * 0.95, angles), "shorter: {feed:?}");
    }

    #[test]
    fn more_room_never_lets_less_through(
        values in prop::array::uniform5(300.0..5000.0f64), diameter in 50.0..250.0f64, more in 0.0..500.0f64,
    ) {
        let [opening, slab, height, along, below] = values;
        let (opening, slab) = (opening / 4.0 + 250.0, slab / 5.0);
        let ahead = opening + more + along;
        let longest = |opening: f64, slab: f64, height: f64, ahead: f64, below: f64, diameter: f64| {
            let slot = Slot { opening_mm: opening, thickness_mm: slab };
            let to = FeedRoom { height_mm: height, ahead_mm: ahead, length_mm: 12_000.0 };
            let from = FeedRoom { height_mm: below, ahead_mm: 1e6, length_mm: 1e6 };
            longest_through_slot(&slot, diameter, &from, &to).unwrap().map_or(0.0, |feed| feed.longest_mm)
        };
        let now = longest(opening, slab, height, ahead, below, diameter);
        // Only what is longer than the opening is fed through it.
        if now < 1.1 * (opening + more) {
            return Ok(());
        }
        let now = now * (1.0 - 1e-5);
        prop_assert!(longest(opening + more, slab, height, ahead, below, diameter) >= now);
        prop_assert!(longest(opening, slab, height + more, ahead, below, diameter) >= now);
        prop_assert!(longest(opening, slab, height, ahead + more, below, diameter) >= now);
        prop_assert!(longest(opening, slab, height, ahead, below + more, diameter) >= now);
        prop_assert!(longest(opening, slab, height, ahead, below, diameter + more / 10.0) <= now * (1.0 + 3e-5));
    }

    #[test]
    fn a_turned_rod_is_the_least_of_all_angles(one in 500.0..3000.0f64, other in 500.0..3000.0f64, share in 0.0..0.95f64, scale in 0.01..50.0f64) {
        let thickness = share * one.min(other);
        let turned = longest_round_corner(one, other, thickness).unwrap().turned_mm.unwrap();
        let mut least = f64::INFINITY;
        for step in 1..2000 {
            let angle = FRAC_PI_2 * f64::from(step) / 2000.0;
            // A rod whose outer corners lie on both outer walls, as long as its inner side leaves out the inner corner.
            let (sin, cos) = angle.sin_cos();
            least = least.min((one * cos + other * sin - thickness) / (sin * cos));
        }
        prop_assert!(turned <= least * (1.0 + 1e-12) && least <= turned * (1.0 + 1e-3) + 1.0, "{turned} {least}");
        let mirrored = longest_round_corner(other, one, thickness).unwrap();
        prop_assert!((mirrored.turned_mm.unwrap() - turned).abs() < 1e-6);
        let scaled = longest_round_corner(one * scale, other * scale, thickness * scale).unwrap();
        prop_assert!((scaled.turned_mm.unwrap() / scale - turned).abs() < 1e-6);
        let high = longest_round_corner_with_height_mm(one, other, 2400.0, thickness).unwrap().unwrap_or(0.0);
        let level = longest_round_corner(one, other, thickness).unwrap().longest_mm;
        prop_assert!(thickness > 2400.0 || high >= level);
        prop_assert!(high <= level.hypot(2400.0) + 1e-6);
    }

    #[test]
    fn a_leaning_rod_is_the_longest_of_all_angles(one in 100.0..5000.0f64, other in 100.0..5000.0f64, share in 0.0..1.0f64) {
        let thickness = share * one.min(other);
        let found = longest_leaning_mm(one, other, thickness).unwrap().unwrap();
        let mut longest = one.max(other);
        for step in 1..3000 {
            let (sin, cos) = (FRAC_PI_2 * f64::from(step) / 3000.0).sin_cos();
            longest = longest.max(((one - thickness * sin) / cos).min((other - thickness * cos) / sin));
        }
        prop_assert!(found >= longest - 1e-6 && found <= longest * (1.0 + 2e-3), "{found} {longest}");
        if let Some(turning) = longest_turning_mm(one, other, thickness).unwrap() {
            prop_assert!(turning <= one.min(other));
            // It has room at every angle.
            for step in 0..100 {
                let (sin, cos) = (FRAC_PI_2 * f64::from(step) / 100.0).sin_cos();
                prop_assert!(turning * cos + thickness * sin <= one.min(other) + 1e-9);
            }
        }
    }

    #[test]
    fn a_box_passes_turned_where_some_angle_lets_it(piece in prop::array::uniform2(10.0..2000.0f64), opening in prop::array::uniform2(10.0..2000.0f64)) {
        let at_some_angle = |scale: f64| (0..=2000).any(|step| {
            let (sin, cos) = (FRAC_PI_2 * f64::from(step) / 2000.0).sin_cos();
            let [p, q] = piece.map(|side| side * scale);
            p * cos + q * sin <= opening[0] && p * sin + q * cos <= opening[1]
        });
        let fits = fits_turned(piece, opening).unwrap();
        if at_some_angle(1.0) {
            prop_assert!(fits);
        }
        if fits {
            prop_assert!(at_some_angle(0.999));
        }
        prop_assert_eq!(fits, fits_turned([piece[1], piece[0]], [opening[1], opening[0]]).unwrap());
    }

    #[test]
    fn the_best_attitude_is_no_worse_than_any_alone(size in prop::array::uniform3(100.0..1500.0f64), sides in prop::array::uniform2(300.0..1500.0f64), sling in 0.0..500.0f64) {
        let edges = [Edge::Length, Edge::Width, Edge::Height];
        let all: Vec<Attitude> = edges.iter().flat_map(|along| edges.iter().map(|up| Attitude { along: *along, up: *up, sling_mm: sling })).filter(|one| one.along != one.up).collect();
        for opening in [Opening::Rectangle { width_mm: sides[0], height_mm: sides[1] }, Opening::Round { diameter_mm: sides[0] }] {
            let wall = box_through_wall(size, &all, &opening).unwrap();
            let floor = box_through_floor(size, &all, &opening).unwrap();
            for one in &all {
                let alone = box_through_wall(size, &[*one], &opening).unwrap();
                prop_assert!(wall.spare_width_mm.min(wall.spare_height_mm) >= alone.spare_width_mm.min(alone.spare_height_mm));
                let alone = box_through_floor(size, &[*one], &opening).unwrap();
                prop_assert!(floor.passes || !alone.passes);
                // What passes square to the opening has something to spare, or touches.
                prop_assert!(alone.passes || alone.spare_mm < 0.0);
            }
        }
    }
}
