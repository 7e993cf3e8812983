//! Section 11 of `fixtures/demo/replacement-by-hand.md` (tendon out), number by number from its inputs.

use restrand_mechanics::statics::{
    AxialPoint, Cut, Place, Run, Side, Tendon, primary, tendons_out,
};

const CENTROID_M: f64 = 51.600;
const AREA_MM2: f64 = 2850.0;

/// Asserts that a value rounds to what is printed with so many decimals.
#[track_caller]
fn prints(value: f64, printed: f64, decimals: i32) {
    let half_digit = 0.5 * 10f64.powi(-decimals);
    assert!(
        (value - printed).abs() <= half_digit + 1e-9,
        "{value} is not {printed} ± {half_digit}"
    );
}

/// A line through points by station and distance from a level.
fn runs(points: &[(f64, f64)]) -> Vec<Run> {
    points
        .windows(2)
        .map(|pair| Run {
            from_m: pair[0].0,
            to_m: pair[1].0,
            from_eccentricity_m: pair[0].1,
            to_eccentricity_m: pair[1].1,
            sag_m: 0.0,
        })
        .collect()
}

/// Stress after set between the deviators, by the two equations of section 3 for legs of these lengths and this bend at D12.
fn middle_mpa(leg_mm: f64, bend_rad: f64) -> f64 {
    let jack = 3600.0 / 2850.0 * 1000.0;
    let kappa = 0.14 * (bend_rad + 0.04);
    let past = jack * (-kappa).exp();
    let anchor =
        (jack * leg_mm + past * 14_000.0 - 195_000.0 * 6.0) / (leg_mm + kappa.exp() * 14_000.0);
    anchor * kappa.exp()
}

#[test]
fn tendon_t11l_out_at_120_m() {
    let below =
        |list: &[(f64, f64)]| list.iter().map(|(at, z)| (*at, CENTROID_M - z)).collect::<Vec<_>>();
    let t11 = runs(&below(&[(99.35, 51.40), (113.0, 50.40), (127.0, 50.40), (141.0, 51.75)]));
    let t12 = runs(&below(&[(99.35, 51.00), (113.0, 50.40), (127.0, 50.40), (141.0, 51.75)]));
    let leg = |side: f64| (14.0f64.powi(2) + side * side + 1.35f64.powi(2)).sqrt() * 1000.0;
    let bend = |side: f64| (side.hypot(1.35) / 14.0).atan();
    let force = |side: f64| middle_mpa(leg(side), bend(side)) * AREA_MM2 / 1000.0;
    let (f11, f12) = (force(0.25), force(0.15));
    prints(f11, 3480.0, 0);
    prints(2.0 * f11, 6960.0, 0);
    // 6960.4 kN each pair: so the sum of the unrounded is 43921 where that of the printed is 43920.
    prints(2.0 * f12, 6960.0, 0);
    let axial = |force_kn: f64| {
        [99.35, 141.0].map(|station_m| AxialPoint { station_m, axial_kn: force_kn })
    };
    let (axial11, axial12) = (axial(f11), axial(f12));
    let t11 = Tendon { runs: &t11, axial: &axial11 };
    let t12 = Tendon { runs: &t12, axial: &axial12 };

    let cut = Cut { station_m: 120.0, side: Side::Up };
    let place = Place { cut, other_axial_kn: 30_000.0, section: None };
    let told = tendons_out(None, &[t11, t11, t12, t12], &[place]).unwrap();
    let external_kn = told.all[0].axial_kn;
    prints(external_kn + 30_000.0, 43_921.0, 0);
    let out = told.out(0).unwrap()[0];
    prints(out.lost.axial_kn, 3480.0, 0);
    prints(100.0 * out.lost_axial_share.unwrap(), 7.9, 1);
    prints(100.0 * out.lost.axial_kn / external_kn, 25.0, 0);
    prints(-out.lost.primary_knm / out.lost.axial_kn, 1.20, 2);
    prints(-out.lost.primary_knm, 4176.0, 0);
    // Secondary moments and stresses are not evaluated: an indeterminate bridge without stiffness.
    assert!(out.lost.secondary_knm.is_none() && out.stress_change.is_none());

    let aside = runs(&[(99.35, 0.75), (113.0, 1.0), (127.0, 1.0), (141.0, 0.75)]);
    let lateral = primary(&Tendon { runs: &aside, axial: &axial11 }, &[cut]).unwrap()[0];
    prints(-lateral.primary_knm, 3480.0, 0);
}
