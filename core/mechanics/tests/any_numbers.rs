//! Whatever numbers come in, none of the functions panics, and what comes out is finite.

use proptest::num::f64::ANY;
use proptest::option;
use proptest::prelude::*;
use restrand_mechanics::anchorage::ledge;
use restrand_mechanics::duct::{
    Dimension, Material, Stated, agree, area_ratio, inner_at_average_wall_mm,
    inner_at_minimum_wall_mm, least_inner_mm, wall_by_ratio_mm,
};
use restrand_mechanics::passing::{
    Body, Bore, Exit, Passage, allowance_split, tightest, worst_bore_mm, worst_outer_mm,
};
use restrand_mechanics::removal::{
    Stub, StubVerdict, least_behind_for_any_mm, least_behind_mm, stub_plan,
};
use restrand_mechanics::tables::pipe::{Schedule, next_steel_pipe, polymer_outer, steel_pipe};
use restrand_mechanics::tables::strand::{STANDARD_STRANDS, candidates};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..1000.0,
        2 => -1000.0..1000.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12), Just(2.0)],
        1 => ANY,
    ]
}

proptest! {
    #[test]
    fn plain_functions_give_finite_numbers_or_a_misfit(
        a in number(), b in number(), c in number(), d in number(), count in any::<u32>(),
    ) {
        let results = [
            area_ratio(a, count, b),
            least_inner_mm(a, count, b),
            inner_at_minimum_wall_mm(a, b),
            inner_at_average_wall_mm(a, b),
            wall_by_ratio_mm(a, b),
            worst_outer_mm(a, b, c),
            worst_bore_mm(a, b, c, d),
        ];
        for value in results.into_iter().flatten() {
            prop_assert!(value.is_finite());
        }
        if let Ok(ring) = ledge(a, b, c) {
            prop_assert!(ring.width_mm > 0.0 && ring.area_mm2 > 0.0 && ring.pressure_mpa.is_finite());
        }
        for candidate in candidates(None, a, Some(b)).into_iter().flatten() {
            prop_assert!(candidate.diameter_off_mm.is_finite() && candidate.fpu_off_mpa.is_finite());
        }
        let _ = STANDARD_STRANDS[0].area_agrees(a);
        let _ = (steel_pipe(a, Schedule::S40), next_steel_pipe(a, Schedule::S80), polymer_outer(None, a));
    }

    #[test]
    fn dimensions_give_finite_numbers_or_a_misfit(
        polymer in any::<bool>(),
        values in prop::array::uniform5(option::of(number())),
        tolerance in number(),
    ) {
        let [outer_mm, wall_mm, inner_mm, dimension_ratio, schedule_wall_mm] = values;
        let material = if polymer { Material::Polymer } else { Material::Steel };
        let stated = Stated { material, outer_mm, wall_mm, inner_mm, dimension_ratio, schedule_wall_mm };
        if let Ok(result) = agree(&stated, tolerance) {
            prop_assert!(result.disagreements.len() <= result.comparisons);
            for told in result.disagreements {
                // A bore as wide as its pipe is wrong by any tolerance.
                let no_wall = told.between == [Dimension::Outer, Dimension::Inner];
                prop_assert!(told.off_mm.is_finite() && (no_wall || told.off_mm > tolerance));
                for implied in told.implied {
                    prop_assert!(implied.value.is_finite() && implied.value > 0.0);
                }
            }
        }
    }

    #[test]
    fn passing_gives_finite_numbers_or_a_misfit(
        body in prop::array::uniform6(number()),
        greatest in option::of(number()),
        greatest_at in option::of(number()),
        bore in prop::array::uniform7(number()),
        asked in number(),
        rear in any::<bool>(),
    ) {
        let body = Body {
            from_mm: body[0], to_mm: body[1], rear_outer_mm: body[2], span_outer_mm: body[3],
            greatest_outer_mm: greatest, greatest_outer_at_mm: greatest_at,
            tolerance_mm: body[4], ovality_mm: body[5],
        };
        let bore = Bore {
            from_mm: bore[0], to_mm: bore[1], rear_inner_mm: bore[2], span_inner_mm: bore[3],
            tolerance_mm: bore[4], ovality_mm: bore[5], seam_mm: bore[6],
        };
        let exit = if rear { Exit::Rear } else { Exit::Span };
        if let Ok(Some(pinch)) = tightest(&[body], &[bore], exit) {
            prop_assert!(pinch.gap_mm.is_finite() && pinch.nominal_gap_mm.is_finite());
            prop_assert!(pinch.at_mm.is_finite() && pinch.section_mm.is_finite());
            match allowance_split(&pinch, asked) {
                Ok(Passage::Clash { overlap_mm }) => prop_assert!(overlap_mm > 0.0),
                Ok(Passage::Short { gap_mm, shortfall_mm }) => {
                    prop_assert!(gap_mm >= 0.0 && shortfall_mm > 0.0);
                }
                Ok(Passage::Clear { spare_mm }) => prop_assert!(spare_mm >= 0.0),
                Err(_) => {}
            }
        }
    }

    #[test]
    fn a_stub_gives_finite_numbers_or_a_misfit(
        values in prop::array::uniform7(number()),
        pulls in any::<u32>(),
    ) {
        let [length_mm, behind_mm, margin_mm, grip_mm, saw_standoff_mm, piece_min_mm, whole_mm] = values;
        let stub = Stub { length_mm, behind_mm, margin_mm, grip_mm, saw_standoff_mm, piece_min_mm, whole_mm };
        if let Ok(plan) = stub_plan(&stub) {
            prop_assert!(plan.room_mm.is_finite());
            match plan.verdict {
                StubVerdict::InOne { spare_mm } => prop_assert!(spare_mm >= 0.0),
                StubVerdict::InPieces { pulls, cuts, piece_mm, last_piece_mm } => {
                    prop_assert!(pulls >= 2 && cuts == pulls - 1);
                    prop_assert!(piece_mm > 0.0 && last_piece_mm > 0.0);
                }
                StubVerdict::PieceTooShort { shortfall_of_room_mm, .. } => {
                    prop_assert!(shortfall_of_room_mm > 0.0);
                }
            }
        }
        for value in [least_behind_mm(&stub, pulls), least_behind_for_any_mm(&stub)].into_iter().flatten() {
            prop_assert!(value.is_finite() && value > 0.0);
        }
    }
}
