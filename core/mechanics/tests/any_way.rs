//! Whatever numbers come in, ways give finite numbers or a misfit.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::way::{
    Attitude, Edge, FeedRoom, Opening, Slot, box_through_floor, box_through_wall, fits_turned,
    longest_leaning_mm, longest_round_corner, longest_round_corner_with_height_mm,
    longest_through_slot, longest_turning_mm, straight_feed_mm,
};

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..1000.0,
        2 => 0.0..50.0,
        1 => -1000.0..1000.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12)],
        1 => ANY,
    ]
}

fn edge() -> impl Strategy<Value = Edge> {
    prop_oneof![Just(Edge::Length), Just(Edge::Width), Just(Edge::Height)]
}

proptest! {
    #[test]
    fn rods_have_finite_lengths_or_a_misfit(a in number(), b in number(), c in number(), d in number()) {
        for length in [
            longest_leaning_mm(a, b, c),
            longest_turning_mm(a, b, c),
            longest_round_corner_with_height_mm(a, b, c, d),
        ].into_iter().flatten().flatten() {
            prop_assert!(length.is_finite() && length >= 0.0);
        }
        if let Ok(rod) = longest_round_corner(a, b, c) {
            prop_assert!(rod.longest_mm.is_finite() && rod.longest_mm >= 0.0);
            prop_assert!(rod.turned_mm.is_none_or(|length| length.is_finite() && length <= rod.longest_mm));
            prop_assert!(rod.sideways_mm.is_none_or(|length| length <= rod.longest_mm));
        }
        let _ = fits_turned([a, b], [c, d]);
    }

    #[test]
    fn slots_give_finite_lengths_or_a_misfit(values in prop::array::uniform9(number())) {
        let [opening_mm, thickness_mm, diameter, h1, a1, l1, h2, a2, l2] = values;
        let from = FeedRoom { height_mm: h1, ahead_mm: a1, length_mm: l1 };
        let to = FeedRoom { height_mm: h2, ahead_mm: a2, length_mm: l2 };
        if let Ok(Some(feed)) = longest_through_slot(&Slot { opening_mm, thickness_mm }, diameter, &from, &to) {
            prop_assert!(feed.longest_mm.is_finite() && feed.longest_mm > 0.0);
            prop_assert!(feed.tilt_rad.is_finite());
            for side in [feed.from, feed.to] {
                prop_assert!(side.by_height_mm.is_finite() && side.by_ahead_mm.is_finite() && side.by_lying_mm.is_finite());
                prop_assert!(feed.longest_mm <= side.by_height_mm);
            }
        }
    }

    #[test]
    fn boxes_give_finite_spares_or_a_misfit(
        size in prop::array::uniform3(number()), attitudes in prop::collection::vec((edge(), edge(), number()), 0..4),
        sides in prop::array::uniform2(number()), bays in prop::array::uniform3(number()),
    ) {
        let attitudes: Vec<Attitude> = attitudes.into_iter().map(|(along, up, sling_mm)| Attitude { along, up, sling_mm }).collect();
        for opening in [Opening::Rectangle { width_mm: sides[0], height_mm: sides[1] }, Opening::Round { diameter_mm: sides[0] }] {
            let wall = box_through_wall(size, &attitudes, &opening);
            let floor = box_through_floor(size, &attitudes, &opening);
            prop_assert!(!attitudes.is_empty() || (wall.is_err() && floor.is_err()));
            if let Ok(fit) = wall {
                prop_assert!(fit.spare_width_mm.is_finite() && fit.spare_height_mm.is_finite() && fit.attitude < attitudes.len());
            }
            if let Ok(fit) = floor {
                prop_assert!(fit.spare_mm.is_finite() && fit.headroom_mm.is_finite() && fit.attitude < attitudes.len());
            }
            if let Ok(Some(length)) = straight_feed_mm(&opening, bays[0], bays[1], bays[2]) {
                prop_assert!(length.is_finite() && length > 0.0);
            }
        }
    }
}

#[test]
fn bad_numbers_are_refused() {
    let slot = Slot { opening_mm: 1200.0, thickness_mm: 250.0 };
    let room = FeedRoom { height_mm: 2400.0, ahead_mm: 8000.0, length_mm: 16_000.0 };
    let level = Attitude { along: Edge::Length, up: Edge::Height, sling_mm: 350.0 };
    let door = Opening::Rectangle { width_mm: 900.0, height_mm: 1200.0 };
    let size = [900.0, 450.0, 450.0];
    for bad in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
        assert!(longest_leaning_mm(bad, 900.0, 100.0).is_err());
        assert!(longest_leaning_mm(900.0, bad, 100.0).is_err());
        assert!(longest_turning_mm(900.0, 900.0, bad).is_err());
        assert!(longest_round_corner(bad, 900.0, 100.0).is_err());
        assert!(longest_round_corner(900.0, bad, 100.0).is_err());
        assert!(longest_round_corner(900.0, 900.0, bad).is_err());
        assert!(longest_round_corner_with_height_mm(900.0, 900.0, bad, 100.0).is_err());
        assert!(fits_turned([bad, 100.0], [200.0, 200.0]).is_err());
        assert!(fits_turned([100.0, 100.0], [200.0, bad]).is_err());
        for slot in [Slot { opening_mm: bad, ..slot }, Slot { thickness_mm: bad, ..slot }] {
            assert!(longest_through_slot(&slot, 126.5, &room, &room).is_err());
        }
        for wrong in [
            FeedRoom { height_mm: bad, ..room },
            FeedRoom { ahead_mm: bad, ..room },
            FeedRoom { length_mm: bad, ..room },
        ] {
            assert!(longest_through_slot(&slot, 126.5, &wrong, &room).is_err());
            assert!(longest_through_slot(&slot, 126.5, &room, &wrong).is_err());
        }
        assert!(longest_through_slot(&slot, bad, &room, &room).is_err());
        let sling = Attitude { sling_mm: bad, ..level };
        let narrow = Opening::Rectangle { width_mm: bad, height_mm: 1200.0 };
        let round = Opening::Round { diameter_mm: bad };
        assert!(box_through_wall([bad, 450.0, 450.0], &[level], &door).is_err());
        assert!(box_through_wall(size, &[level, sling], &door).is_err());
        assert!(box_through_floor(size, &[level], &narrow).is_err());
        assert!(box_through_floor(size, &[level], &round).is_err());
        assert!(straight_feed_mm(&door, 126.5, bad, 900.0).is_err());
    }
}

#[test]
fn moved_sideways_a_rod_is_as_long_as_the_wider_way_it_fits_across() {
    // Wider than neither way, it is carried across the longer one; wider than one, it lies along that one.
    let sideways =
        |one, other, thickness| longest_round_corner(one, other, thickness).unwrap().sideways_mm;
    assert_eq!(sideways(1000.0, 1500.0, 100.0), Some(1500.0));
    assert_eq!(sideways(1500.0, 1000.0, 100.0), Some(1500.0));
    assert_eq!(sideways(1000.0, 1500.0, 1200.0), Some(1000.0));
    assert_eq!(sideways(1500.0, 1000.0, 1200.0), Some(1000.0));
    assert_eq!(sideways(1000.0, 1500.0, 1600.0), None);
}
