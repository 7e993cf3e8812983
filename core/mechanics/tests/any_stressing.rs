//! Whatever numbers come in, nothing of friction, elongation, jack and stress panics, and what comes out is finite.

#![allow(clippy::unwrap_used)]

use proptest::num::f64::ANY;
use proptest::option;
use proptest::prelude::*;
use restrand_mechanics::elongation::{
    Bar, Lot, Readings, Terms, above_baseline_mm, band, bar_stretch_mm, corrected_for_lots_mm,
    deviation, elongation, elongation_by_end, stretch_mm, whole_from_readings_mm,
};
use restrand_mechanics::friction::{
    BothEnds, End, EndStressing, ExponentPerM, RadPerM, Reach, Run, Seating, StressDiagram, Wobble,
    after_loss_kn, before_loss_kn, force_kn, friction_exponent, kept_share, larger_of_each_end,
    profile, rule_difference, stationary, stress_mpa, stressed_both_ends, wobble_exponent_per_m,
};
use restrand_mechanics::jack::{
    CalibrationPoint, MOST_STROKES, StrandLength, force_by_area_kn, force_by_calibration_kn,
    pressure_by_area_mpa, pressure_by_calibration_mpa, strand_length_m, strokes, tail_after_mm,
    tail_spare_mm,
};
use restrand_mechanics::stress::{Strength, lift_off_kn, shares, shares_after_seating};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        30 => 0.0..50.0,
        4 => Just(0.0),
        2 => prop_oneof![Just(-0.0), Just(1e-9), Just(1e-300), Just(5e-324), Just(1e12), Just(2.0)],
        1 => -10.0..0.0,
        1 => ANY,
    ]
}

/// Angles and coefficients: small, so that an exponent is often within bounds.
fn small() -> impl Strategy<Value = f64> {
    prop_oneof![20 => 0.0..1.0, 4 => Just(0.0), 2 => Just(1e-300), 1 => Just(1e-17), 1 => number()]
}

fn run() -> impl Strategy<Value = Run> {
    let wobble = prop_oneof![
        3 => Just(Wobble::None),
        1 => small().prop_map(|k| Wobble::Exponent(ExponentPerM(k / 10.0))),
        1 => small().prop_map(|k| Wobble::Angle(RadPerM(k))),
    ];
    (number(), small(), small(), small(), wobble).prop_map(
        |(length_m, angle_rad, inadvertent_rad, mu, wobble)| Run {
            length_m,
            angle_rad,
            inadvertent_rad,
            mu,
            wobble,
        },
    )
}

/// Of the size of stresses and moduli, or anything.
fn great() -> impl Strategy<Value = f64> {
    prop_oneof![10 => 500.0..2000.0, 5 => 150e3..250e3, 3 => number(), 1 => ANY]
}

fn end() -> impl Strategy<Value = End> {
    prop_oneof![Just(End::A), Just(End::B)]
}

fn sound(stress: &StressDiagram, reach: Option<&Reach>) -> Result<(), TestCaseError> {
    let points = stress.points();
    for pair in points.windows(2) {
        prop_assert!(pair[0].at_m <= pair[1].at_m && pair[0].exponent <= pair[1].exponent);
        prop_assert!(pair[0].run <= pair[1].run);
    }
    for point in points {
        prop_assert!(point.stress_mpa.is_finite() && point.stress_mpa >= 0.0, "{point:?}");
        let sides = stress.at(point.at_m).unwrap();
        prop_assert!(sides.towards_a_mpa >= 0.0 && sides.towards_b_mpa >= 0.0);
    }
    let length_m = points[points.len() - 1].at_m;
    let whole = stress.integral_mpa_m(0.0, length_m).unwrap();
    prop_assert!(whole.is_finite() && whole >= 0.0);
    let (least, greatest) = (stress.least(), stress.greatest());
    prop_assert!(least.stress_mpa <= greatest.stress_mpa);
    for extreme in [least, greatest] {
        prop_assert!(extreme.from_m <= extreme.to_m && extreme.to_m <= length_m);
    }
    if let Some(reach) = reach {
        prop_assert!(reach.at_m >= 0.0 && reach.at_m <= length_m);
        prop_assert!(reach.change_mpa_m.is_finite() && reach.end_mpa >= 0.0);
    }
    Ok(())
}

proptest! {
    #[test]
    fn acts_of_stressing_give_finite_numbers_or_a_misfit(
        runs in prop::collection::vec(run(), 0..6),
        first in (end(), great()),
        acts in prop::collection::vec((0..4, end(), great(), number(), great()), 0..5),
        at in number(), to in number(), area in great(), fpu in great(),
    ) {
        let Ok(tendon) = profile(&runs) else { return Ok(()) };
        let Ok(mut stress) = StressDiagram::jacked(&tendon, first.0, first.1) else { return Ok(()) };
        sound(&stress, None)?;
        for (kind, end, stress_mpa, set_mm, e_mpa) in acts {
            let before = stress.clone();
            let reach = match kind {
                0 => stress.jack(end, stress_mpa),
                1 => stress.let_in(end, stress_mpa),
                3 => stress.let_in(end, set_mm),
                _ => stress.seat(end, Seating { set_mm, e_mpa }),
            };
            match reach {
                Ok(reach) => {
                    sound(&stress, Some(&reach))?;
                    if kind == 2 {
                        // However odd the tendon, the set is absorbed.
                        let length_m = before.points().last().unwrap().at_m;
                        let whole = before.integral_mpa_m(0.0, length_m).unwrap();
                        let lost = e_mpa * set_mm / 1000.0;
                        let off = (reach.change_mpa_m + lost).abs();
                        prop_assert!(off <= 1e-9 * lost + 1e-12 * whole, "{} of {lost}", off);
                    }
                }
                Err(_) => prop_assert_eq!(&stress, &before),
            }
        }
        if let Ok(part) = stress.integral_mpa_m(at, to) {
            prop_assert!(part.is_finite() && part >= 0.0);
        }
        if let Ok(force) = lift_off_kn(&stress, End::A, area) {
            prop_assert!(force.is_finite() && force >= 0.0);
        }
        if let Ok(seated) = shares_after_seating(&stress, &Strength { fpu_mpa: fpu, proof_mpa: None }) {
            prop_assert!(seated.greatest.of_fpu.is_finite() && seated.greatest.of_fpu >= seated.at_a.of_fpu);
        }
    }

    #[test]
    fn both_ends_give_finite_numbers_or_a_misfit(
        runs in prop::collection::vec(run(), 0..6),
        a in (great(), number()), b in (great(), number()), seated_first in end(), e_mpa in great(),
    ) {
        let Ok(tendon) = profile(&runs) else { return Ok(()) };
        let length_m = tendon.borders().last().unwrap().at_m;
        if let Ok(place) = stationary(&tendon, a.0, b.0) {
            prop_assert!(0.0 <= place.from_m && place.from_m <= place.to_m && place.to_m <= length_m);
        }
        if let Ok(by_end) = elongation_by_end(&tendon, a.0, b.0, e_mpa) {
            prop_assert!(by_end.a_mm.is_finite() && by_end.b_mm.is_finite());
            prop_assert!(by_end.a_mm >= 0.0 && by_end.b_mm >= 0.0);
        }
        let end = |(stress_mpa, set_mm)| EndStressing { stress_mpa, set_mm };
        let both = BothEnds { a: end(a), b: end(b), seated_first, e_mpa };
        for stress in [stressed_both_ends(&tendon, &both), larger_of_each_end(&tendon, &both)].into_iter().flatten() {
            sound(&stress, None)?;
        }
        if let Ok(difference) = rule_difference(&tendon, &both) {
            prop_assert!(difference.at_a_share.is_finite() && difference.at_b_share.is_finite());
        }
    }

    #[test]
    fn plain_functions_give_finite_numbers_or_a_misfit(
        a in number(), b in number(), c in number(), d in number(), e in number(), run in run(),
        strands in any::<u32>(), lots in prop::collection::vec((0u32..40, number(), number()), 0..4),
        proof in option::of(number()),
    ) {
        let lot = |(strands, area_mm2, e_mpa)| Lot { strands, area_mm2, e_mpa };
        let actual: Vec<Lot> = lots.into_iter().map(lot).collect();
        let results = [
            friction_exponent(&run), kept_share(a), wobble_exponent_per_m(run.wobble, a),
            force_kn(a, b), stress_mpa(a, b), after_loss_kn(a, b / 50.0), before_loss_kn(a, b / 50.0),
            stretch_mm(a, b), bar_stretch_mm(&Bar { force_kn: a, length_mm: b, area_mm2: c, e_mpa: d }),
            above_baseline_mm(a, b, c),
            whole_from_readings_mm(&Readings { baseline_share: a, share: b, read_mm: c }),
            corrected_for_lots_mm(a, &lot((strands, b, c)), &actual),
            pressure_by_area_mpa(a, b, c / 50.0), force_by_area_kn(a, b, c / 50.0),
            tail_after_mm(a, b), tail_spare_mm(a, b),
            strand_length_m(&StrandLength { developed_m: a, plates_a_mm: b, plates_b_mm: c, tail_a_mm: d, tail_b_mm: e }),
        ];
        for value in results.into_iter().flatten() {
            prop_assert!(value.is_finite());
        }
        if let Ok(told) = deviation(a, b) {
            prop_assert!(told.off_mm.is_finite() && told.off_percent.is_finite());
        }
        if let Ok(told) = band(a, b) {
            prop_assert!(told.least_mm >= 0.0 && told.most_mm >= told.least_mm && told.most_mm.is_finite());
        }
        if let Ok(told) = elongation(&Terms { elastic_mm: a, in_jack_mm: b, dead_end_seating_mm: c, set_mm: d }) {
            prop_assert!(told.at_jack_mm.is_finite() && told.anchored_mm.is_finite());
        }
        if let Ok(told) = strokes(a, b) {
            prop_assert!(told <= MOST_STROKES);
        }
        if let Ok(told) = shares(a, &Strength { fpu_mpa: b, proof_mpa: proof }) {
            prop_assert!(told.of_fpu.is_finite() && told.of_proof.is_none_or(f64::is_finite));
        }
    }

    #[test]
    fn a_calibration_gives_finite_numbers_within_it_or_a_misfit(
        mut points in prop::collection::vec((number(), number()), 0..5), sorted in any::<bool>(), value in number(),
    ) {
        if sorted {
            let mut forces: Vec<f64> = points.iter().map(|point| point.1).collect();
            forces.sort_by(f64::total_cmp);
            points.sort_by(|one, other| one.0.total_cmp(&other.0));
            points.iter_mut().zip(forces).for_each(|(point, force)| point.1 = force);
        }
        let calibration: Vec<CalibrationPoint> = points
            .iter()
            .map(|&(pressure_mpa, force_kn)| CalibrationPoint { pressure_mpa, force_kn })
            .collect();
        if let Ok(pressure) = pressure_by_calibration_mpa(&calibration, value) {
            prop_assert!(pressure.is_finite());
            prop_assert!(pressure >= calibration[0].pressure_mpa);
            prop_assert!(pressure <= calibration[calibration.len() - 1].pressure_mpa);
        }
        if let Ok(force) = force_by_calibration_kn(&calibration, value) {
            prop_assert!(force.is_finite());
        }
    }
}
