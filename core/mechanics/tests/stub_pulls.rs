//! The closed form for a stub's pulls against a simulation: pull, cut, pull.

// Whole numbers compare exactly.
#![allow(clippy::float_cmp)]

use proptest::prelude::*;
use restrand_mechanics::removal::{
    Stub, StubVerdict, least_behind_for_any_mm, least_behind_mm, stub_plan,
};

/// Whole millimetres, so that the simulation's own sums are exact and lengths often divide exactly.
fn whole(range: std::ops::Range<u32>) -> impl Strategy<Value = f64> {
    range.prop_map(f64::from)
}

fn stub() -> impl Strategy<Value = Stub> {
    (
        whole(200..6000),
        whole(0..3000),
        whole(0..200),
        whole(0..300),
        whole(0..300),
        whole(1..600),
        whole(0..900),
    )
        .prop_map(
            |(
                length_mm,
                behind_mm,
                margin_mm,
                grip_mm,
                saw_standoff_mm,
                piece_min_mm,
                whole_mm,
            )| Stub {
                length_mm,
                behind_mm,
                margin_mm,
                grip_mm,
                saw_standoff_mm,
                piece_min_mm,
                whole_mm,
            },
        )
}

/// Pulls the stub out step by step and gives the pieces, or `None` where it cannot be done.
fn simulate(stub: &Stub) -> Option<Vec<f64>> {
    // Coordinates on the anchorage's axis: the bearing-plate face is 0, the wall with its margin and the gear are at `limit`.
    let limit = stub.behind_mm - stub.margin_mm - stub.grip_mm;
    let mut pieces = Vec::new();
    let mut left = stub.length_mm;
    loop {
        // Pull: the rear end goes to the limit. If the span end comes clear of the face, the bar is out.
        let span_end = limit - left;
        if span_end >= 0.0 {
            pieces.push(left);
            return Some(pieces);
        }
        // Cut at the stand-off; what is behind the cut is taken away.
        let piece = limit - stub.saw_standoff_mm;

        if piece < stub.piece_min_mm || piece < stub.whole_mm {
            return None;
        }
        pieces.push(piece);
        left -= piece;
    }
}

fn pulls(verdict: StubVerdict) -> Option<u32> {
    match verdict {
        StubVerdict::InOne { .. } => Some(1),
        StubVerdict::InPieces { pulls, .. } => Some(pulls),
        StubVerdict::PieceTooShort { .. } => None,
    }
}

proptest! {
    #[test]
    fn the_plan_is_that_of_a_simulation(stub in stub()) {
        let plan = stub_plan(&stub).unwrap();
        match (plan.verdict, simulate(&stub)) {
            (StubVerdict::InOne { spare_mm }, Some(pieces)) => {
                prop_assert_eq!(&pieces, &[stub.length_mm]);
                prop_assert_eq!(spare_mm, plan.room_mm - stub.length_mm);
            }
            (StubVerdict::InPieces { pulls, cuts, piece_mm, last_piece_mm }, Some(pieces)) => {
                prop_assert_eq!(pulls as usize, pieces.len());
                prop_assert_eq!(cuts, pulls - 1);
                prop_assert_eq!(piece_mm, pieces[0]);
                prop_assert_eq!(last_piece_mm, pieces[pieces.len() - 1]);
                prop_assert!(last_piece_mm > stub.saw_standoff_mm, "the last piece can't be gripped");
            }
            (StubVerdict::PieceTooShort { shortfall_of_room_mm, .. }, None) => {
                prop_assert!(shortfall_of_room_mm > 0.0);
                let mended = Stub { behind_mm: stub.behind_mm + shortfall_of_room_mm, ..stub };
                let nearly = Stub { behind_mm: mended.behind_mm - 1.0, ..stub };
                prop_assert!(simulate(&mended).is_some());
                prop_assert!(simulate(&nearly).is_none());
            }
            (verdict, pieces) => prop_assert!(false, "{verdict:?}, simulated {pieces:?}"),
        }
    }

    #[test]
    fn the_least_room_for_so_many_pulls_is_the_least(stub in stub(), asked in 1u32..12) {
        let least = least_behind_mm(&stub, asked).unwrap();
        let enough = stub_plan(&Stub { behind_mm: least, ..stub }).unwrap();
        prop_assert!(pulls(enough.verdict).is_some_and(|pulls| pulls <= asked));
        if least > 1.0 {
            let short = stub_plan(&Stub { behind_mm: least - 1.0, ..stub }).unwrap();
            prop_assert!(pulls(short.verdict).is_none_or(|pulls| pulls > asked));
        }
    }

    #[test]
    fn the_least_room_for_any_plan_is_the_least(stub in stub()) {
        let least = least_behind_for_any_mm(&stub).unwrap();
        let enough = stub_plan(&Stub { behind_mm: least, ..stub }).unwrap();
        prop_assert!(pulls(enough.verdict).is_some());
        if least > 1.0 {
            let short = stub_plan(&Stub { behind_mm: least - 1.0, ..stub }).unwrap();
            prop_assert!(pulls(short.verdict).is_none());
        }
    }

    #[test]
    fn more_room_never_takes_more_pulls(stub in stub(), more in 0.0..2000.0) {
        let before = pulls(stub_plan(&stub).unwrap().verdict).unwrap_or(u32::MAX);
        let roomier = Stub { behind_mm: stub.behind_mm + more, ..stub };
        let after = pulls(stub_plan(&roomier).unwrap().verdict).unwrap_or(u32::MAX);
        prop_assert!(after <= before);
    }

    #[test]
    fn the_unit_of_length_does_not_matter(stub in stub(), factor in prop_oneof![Just(0.1), Just(25.4), Just(1.0 / 3.0)]) {
        let scaled = Stub {
            length_mm: stub.length_mm * factor,
            behind_mm: stub.behind_mm * factor,
            margin_mm: stub.margin_mm * factor,
            grip_mm: stub.grip_mm * factor,
            saw_standoff_mm: stub.saw_standoff_mm * factor,
            piece_min_mm: stub.piece_min_mm * factor,
            whole_mm: stub.whole_mm * factor,
        };
        prop_assert_eq!(
            pulls(stub_plan(&stub).unwrap().verdict),
            pulls(stub_plan(&scaled).unwrap().verdict)
        );
    }
}
