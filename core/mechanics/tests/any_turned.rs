//! Whatever numbers come in, turned pieces give finite numbers or a misfit.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::passing::{
    BentPiece, BentPipe, Flare, Outside, Pivot, RodLength, Search, bend_rise_mm, bent_passage,
    greatest_tilt_rad, guide_gap, guide_play_rad, guide_tilt_rad, longest_legs_mm, longest_rod,
    throat_for_tilt_mm, tilted_gap_mm,
};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..1000.0,
        4 => 0.0..1.0,
        1 => -1000.0..1000.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12), Just(0.5)],
        1 => ANY,
    ]
}

proptest! {
    #[test]
    fn plain_functions_give_finite_numbers_or_a_misfit(
        form in prop::array::uniform4(number()), a in number(), b in number(), c in number(), d in number(), middle in any::<bool>(),
    ) {
        let form = Flare { wall_radius_mm: form[0], throat_mm: form[1], throat_length_mm: form[2], flare_rad: form[3] };
        let pivot = if middle { Pivot::Middle { length_mm: d } } else { Pivot::Anchorage { to_mouth_mm: d } };
        for value in [throat_for_tilt_mm(a, b, c, d), tilted_gap_mm(&form, a, b), guide_play_rad(a, pivot), guide_tilt_rad(a, b, c, pivot)].into_iter().flatten() {
            prop_assert!(value.is_finite());
        }
        if let Ok(Some(tilt)) = greatest_tilt_rad(&form, a, b) {
            prop_assert!((0.0..=std::f64::consts::FRAC_PI_2).contains(&tilt));
        }
        if let Ok(gap) = guide_gap(a, b, c, pivot) {
            prop_assert!(gap.used_mm.is_finite() && gap.left_mm.is_finite());
        }
    }

    #[test]
    fn a_bent_pipe_gives_a_length_or_a_misfit(values in prop::array::uniform5(number()), outer in number()) {
        let [axis_radius_mm, bore_mm, bend_rad, one_end_mm, other_end_mm] = values;
        let pipe = BentPipe { axis_radius_mm, bore_mm, bend_rad, one_end_mm, other_end_mm };
        if let Ok(RodLength::UpTo { length_mm }) = longest_rod(&pipe, outer) {
            prop_assert!(length_mm.is_finite() && length_mm > 0.0);
        }
    }

    #[test]
    fn a_bent_piece_gives_finite_numbers_or_a_misfit(
        form in prop::array::uniform4(number()), piece in prop::array::uniform5(number()), rest in -0.6..0.6f64,
        gap in number(), room in number(), travel_steps in prop_oneof![0u32..26, any::<u32>()], tilt_steps in prop_oneof![0u32..6, any::<u32>()],
    ) {
        let form = Flare { wall_radius_mm: form[0], throat_mm: form[1], throat_length_mm: form[2], flare_rad: form[3] };
        let piece = BentPiece {
            axis_radius_mm: piece[0], bend_rad: piece[1], leading_leg_mm: piece[2], trailing_leg_mm: piece[3], outer_mm: piece[4],
        };
        if let Ok(rise) = bend_rise_mm(&piece) {
            prop_assert!(rise.is_finite());
        }
        // What is refused for its size is refused before the search; what is not would take long here.
        let nodes = u64::from(travel_steps) * (u64::from(tilt_steps) + 1);
        let search = Search { travel_steps, tilt_steps };
        let outside = Outside { room_mm: room, saw_standoff_mm: gap };
        if nodes > 1_000_000 {
            prop_assert!(bent_passage(&form, &piece, rest, gap, search).is_err());
        } else if nodes < 100 {
            if let Ok(found) = bent_passage(&form, &piece, rest, gap, search) {
                prop_assert!(found.gap_mm.is_finite(), "{found:?}");
                if let Some(swing) = found.swing {
                    prop_assert!(swing.off_axis_mm.is_finite() && swing.room_mm.is_finite() && swing.from_face_mm.is_finite());
                    prop_assert!(found.gap_mm >= gap - 1e-6 * gap.max(1.0));
                }
            }
            if let Ok(Some(leg)) = longest_legs_mm(&form, &piece, rest, gap, outside, search) {
                prop_assert!(leg.is_finite() && leg >= 0.0);
            }
        }
    }
}

#[test]
fn bad_numbers_are_refused() {
    let form =
        Flare { wall_radius_mm: 4000.0, throat_mm: 147.0, throat_length_mm: 40.0, flare_rad: 0.12 };
    let piece = BentPiece {
        axis_radius_mm: 4062.5,
        bend_rad: 0.1,
        leading_leg_mm: 500.0,
        trailing_leg_mm: 500.0,
        outer_mm: 126.5,
    };
    let pipe = BentPipe {
        axis_radius_mm: 3000.0,
        bore_mm: 135.0,
        bend_rad: 0.2,
        one_end_mm: 0.0,
        other_end_mm: 0.0,
    };
    let search = Search { travel_steps: 20, tilt_steps: 2 };
    let outside = Outside { room_mm: 200.0, saw_standoff_mm: 0.0 };
    let middle = Pivot::Middle { length_mm: 700.0 };
    for bad in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
        for form in [
            Flare { wall_radius_mm: bad, ..form },
            Flare { throat_mm: bad, ..form },
            Flare { throat_length_mm: bad, ..form },
            Flare { flare_rad: bad, ..form },
        ] {
            assert!(tilted_gap_mm(&form, 126.5, 0.01).is_err());
            assert!(greatest_tilt_rad(&form, 126.5, 3.0).is_err());
            assert!(bent_passage(&form, &piece, 0.0, 3.0, search).is_err());
        }
        for piece in [
            BentPiece { axis_radius_mm: bad, ..piece },
            BentPiece { bend_rad: bad, ..piece },
            BentPiece { leading_leg_mm: bad, ..piece },
            BentPiece { trailing_leg_mm: bad, ..piece },
            BentPiece { outer_mm: bad, ..piece },
        ] {
            assert!(bend_rise_mm(&piece).is_err());
            assert!(bent_passage(&form, &piece, 0.0, 3.0, search).is_err());
            assert!(longest_legs_mm(&form, &piece, 0.0, 3.0, outside, search).is_err());
        }
        for pipe in [
            BentPipe { axis_radius_mm: bad, ..pipe },
            BentPipe { bore_mm: bad, ..pipe },
            BentPipe { bend_rad: bad, ..pipe },
            BentPipe { one_end_mm: bad, ..pipe },
            BentPipe { other_end_mm: bad, ..pipe },
        ] {
            assert!(longest_rod(&pipe, 127.0).is_err());
        }
        assert!(longest_rod(&pipe, bad).is_err());
        assert!(bent_passage(&form, &piece, bad, 3.0, search).is_err());
        assert!(bent_passage(&form, &piece, 0.0, bad, search).is_err());
        for outside in
            [Outside { room_mm: bad, ..outside }, Outside { saw_standoff_mm: bad, ..outside }]
        {
            assert!(longest_legs_mm(&form, &piece, 0.0, 3.0, outside, search).is_err());
        }
        assert!(tilted_gap_mm(&form, bad, 0.01).is_err());
        assert!(tilted_gap_mm(&form, 126.5, bad).is_err());
        assert!(greatest_tilt_rad(&form, bad, 0.0).is_err());
        assert!(greatest_tilt_rad(&form, 126.5, bad).is_err());
        assert!(throat_for_tilt_mm(bad, 4000.0, 0.0, 0.01).is_err());
        assert!(throat_for_tilt_mm(126.5, bad, 0.0, 0.01).is_err());
        assert!(throat_for_tilt_mm(126.5, 4000.0, bad, 0.01).is_err());
        assert!(throat_for_tilt_mm(126.5, 4000.0, 0.0, bad).is_err());
        for pivot in [Pivot::Middle { length_mm: bad }, Pivot::Anchorage { to_mouth_mm: bad }] {
            assert!(guide_play_rad(20.0, pivot).is_err());
            assert!(guide_tilt_rad(177.0, 126.5, 3.0, pivot).is_err());
            assert!(guide_gap(177.0, 126.5, 0.01, pivot).is_err());
        }
        assert!(guide_play_rad(bad, middle).is_err());
        assert!(guide_tilt_rad(bad, 126.5, 3.0, middle).is_err());
        assert!(guide_tilt_rad(177.0, bad, 3.0, middle).is_err());
        assert!(guide_tilt_rad(177.0, 126.5, bad, middle).is_err());
        assert!(guide_gap(bad, 126.5, 0.01, middle).is_err());
        assert!(guide_gap(177.0, bad, 0.01, middle).is_err());
        let told = guide_gap(177.0, 126.5, bad, middle).unwrap_err().to_string();
        assert!(told.starts_with("angle_rad is"), "{told}");
    }
    // With its gap on both sides the pipe is thicker than its guide.
    assert!(guide_tilt_rad(140.0, 126.5, 10.0, middle).is_err());
    for travel_steps in [0, 1, 19] {
        let few = Search { travel_steps, tilt_steps: 2 };
        assert!(bent_passage(&form, &piece, 0.0, 3.0, few).is_err());
    }
    assert!(longest_rod(&BentPipe { axis_radius_mm: 60.0, ..pipe }, 127.0).is_err());
    assert_eq!(longest_rod(&pipe, 136.0).unwrap(), RodLength::Nothing);
    // A piece too thick for the throat is told by how much, and where to cut it by nothing.
    let thick = BentPiece { outer_mm: 150.0, ..piece };
    let found = bent_passage(&form, &thick, 0.0, 0.0, search).unwrap();
    assert!(found.gap_mm <= -1.5 && found.swing.is_none());
    assert_eq!(
        longest_legs_mm(
            &form,
            &thick,
            0.0,
            0.0,
            Outside { room_mm: 1e6, saw_standoff_mm: 0.0 },
            search
        )
        .unwrap(),
        None
    );
}
