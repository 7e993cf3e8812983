//! The replacement worked by hand, sections 2 and 3 and appendix A: path, forms, free lengths and deviation forces, number by number.
//!
//! Inputs are the sheet's data; each number is held to half a unit of its last printed digit.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::deviator::{
    angle_reserve_rad, deviation_force, exit_bore_mm, least_length_mm, line_load_kn_per_m,
    side_angle_rad, tendon_radius_mm, unequal_forces_kn,
};
use restrand_mechanics::path::{
    Alignment, Leg, PitchYaw, TendonPath, TendonPoint, angle_to_axis_rad, axis, pitch_yaw,
    tendon_path,
};
use restrand_mechanics::vibration::{frequency_hz, sag_mm};

const WALL_RADIUS_MM: f64 = 4000.0;
const THROAT_MM: f64 = 150.0;
const FLARE_RAD: f64 = 0.12;
const TOLERANCE_RAD: f64 = 0.02;
const DUCT_OUTER_MM: f64 = 125.0;
/// Steel 19 · 1.172, grout in the rest of the bore at 2000 kg/m³, duct.
const MASS_KG_PER_M: f64 = 38.24;
const FOOT_M: f64 = 0.3048;
const KIP_KN: f64 = 4.448_222;

/// Station, lateral, elevation of the four points of each left tendon (A4).
const POINTS: [(&str, [[f64; 3]; 4]); 9] = [
    ("T11L", [[99.35, 0.75, 51.4], [113.0, 1.0, 50.4], [127.0, 1.0, 50.4], [141.0, 0.75, 51.75]]),
    ("T12L", [[99.35, 1.5, 51.0], [113.0, 1.5, 50.4], [127.0, 1.5, 50.4], [141.0, 1.65, 51.75]]),
    ("T21L", [[139.0, 1.2, 51.75], [156.5, 0.95, 50.8], [173.5, 0.95, 50.8], [191.0, 1.2, 51.75]]),
    ("T22L", [[139.0, 1.2, 51.05], [156.5, 1.45, 50.8], [173.5, 1.45, 50.8], [191.0, 1.2, 51.05]]),
    (
        "T23L",
        [[139.0, 0.75, 50.55], [156.5, 0.75, 50.3], [173.5, 0.75, 50.3], [191.0, 0.75, 50.55]],
    ),
    ("T24L", [[139.0, 1.2, 50.55], [156.5, 1.2, 50.3], [173.5, 1.2, 50.3], [191.0, 1.2, 50.55]]),
    (
        "T25L",
        [[139.0, 1.65, 50.55], [156.5, 1.65, 50.3], [173.5, 1.65, 50.3], [191.0, 1.65, 50.55]],
    ),
    ("T31L", [[189.0, 0.75, 51.75], [203.0, 1.0, 50.4], [217.0, 1.0, 50.4], [230.65, 0.75, 51.4]]),
    ("T32L", [[189.0, 1.65, 51.75], [203.0, 1.5, 50.4], [217.0, 1.5, 50.4], [230.65, 1.5, 51.0]]),
];

/// Inner point, form's pitch and yaw; deviation, leg down and up to the axis, least length, reserve (A5).
type Form = (&'static str, usize, [f64; 2], [f64; 5]);

const FORMS: [Form; 18] = [
    ("T11L", 1, [-0.035, 0.010], [0.07537, 0.0390, 0.0364, 461.0, 0.061]),
    ("T11L", 2, [0.050, -0.010], [0.09776, 0.0510, 0.0468, 551.0, 0.049]),
    ("T12L", 1, [-0.020, 0.000], [0.04393, 0.0239, 0.0200, 336.0, 0.076]),
    ("T12L", 2, [0.050, 0.005], [0.09672, 0.0502, 0.0465, 546.0, 0.050]),
    ("T21L", 1, [-0.025, -0.005], [0.05608, 0.0307, 0.0255, 384.0, 0.069]),
    ("T21L", 2, [0.025, 0.005], [0.05608, 0.0255, 0.0307, 384.0, 0.069]),
    ("T22L", 1, [-0.005, 0.005], [0.02020, 0.0131, 0.0071, 241.0, 0.087]),
    ("T22L", 2, [0.005, -0.005], [0.02020, 0.0071, 0.0131, 241.0, 0.087]),
    ("T23L", 1, [-0.005, 0.000], [0.01428, 0.0093, 0.0050, 217.0, 0.091]),
    ("T23L", 2, [0.005, 0.000], [0.01428, 0.0050, 0.0093, 217.0, 0.091]),
    ("T24L", 1, [-0.005, 0.000], [0.01428, 0.0093, 0.0050, 217.0, 0.091]),
    ("T24L", 2, [0.005, 0.000], [0.01428, 0.0050, 0.0093, 217.0, 0.091]),
    ("T25L", 1, [-0.005, 0.000], [0.01428, 0.0093, 0.0050, 217.0, 0.091]),
    ("T25L", 2, [0.005, 0.000], [0.01428, 0.0050, 0.0093, 217.0, 0.091]),
    ("T31L", 1, [-0.050, 0.010], [0.09776, 0.0468, 0.0510, 551.0, 0.049]),
    ("T31L", 2, [0.035, -0.010], [0.07537, 0.0364, 0.0390, 461.0, 0.061]),
    ("T32L", 1, [-0.050, -0.005], [0.09672, 0.0465, 0.0502, 546.0, 0.050]),
    ("T32L", 2, [0.020, 0.000], [0.04393, 0.0200, 0.0239, 336.0, 0.076]),
];

#[track_caller]
fn prints(value: f64, printed: f64, decimals: i32) {
    let half_unit = 0.5 * 10f64.powi(-decimals);
    assert!((value - printed).abs() <= half_unit * (1.0 + 1e-9), "{value} is not {printed}");
}

/// The tendon, or its mirrored twin with `side` -1.
fn path(mark: &str, side: f64) -> TendonPath {
    let (_, points) = POINTS.iter().find(|(name, _)| *name == mark).unwrap();
    let radius_m = tendon_radius_mm(WALL_RADIUS_MM, DUCT_OUTER_MM).unwrap() / 1000.0;
    let points: Vec<_> = points
        .iter()
        .map(|&[station_m, lateral_m, elevation_m]| TendonPoint {
            station_m,
            lateral_m: side * lateral_m,
            elevation_m,
            bend_radius_m: Some(radius_m),
        })
        .collect();
    tendon_path(&Alignment::Straight, &points).unwrap()
}

fn turned(leg: &Leg) -> PitchYaw {
    pitch_yaw(leg.along, 0.0).unwrap()
}

#[test]
fn section_2_1_legs() {
    let path = path("T11L", 1.0);
    for (leg, length_m, length_ft) in [(0, 13.6889, 44.91), (1, 14.0, 45.93), (2, 14.0672, 46.15)] {
        prints(path.legs[leg].length_m, length_m, 4);
        prints(path.legs[leg].length_m / FOOT_M, length_ft, 2);
    }
}

#[test]
fn section_2_2_true_deviations() {
    let path = path("T11L", 1.0);
    for (index, pitch, yaw, sum, angle, degrees, tangent_mm, arc_mm) in [
        (0, 0.07312, -0.01831, 0.09143, 0.07537, 4.318, 153.2, 306.2),
        (1, 0.09612, -0.01786, 0.11397, 0.09776, 5.601, 198.7, 397.1),
    ] {
        let (before, after) = (turned(&path.legs[index]), turned(&path.legs[index + 1]));
        let (by_pitch, by_yaw) =
            (after.pitch_rad - before.pitch_rad, after.yaw_rad - before.yaw_rad);
        prints(by_pitch, pitch, 5);
        prints(by_yaw, yaw, 5);
        // The sheet calls it wrong: it is not the angle.
        prints(by_pitch.abs() + by_yaw.abs(), sum, 5);
        let bend = &path.bends[index];
        prints(bend.angle_rad, angle, 5);
        prints(bend.angle_rad.to_degrees(), degrees, 3);
        prints(bend.tangent_m * 1000.0, tangent_mm, 1);
        prints(bend.arc_m * 1000.0, arc_mm, 1);
    }
}

#[test]
fn section_2_3_developed_length_and_straights() {
    let path = path("T11L", 1.0);
    let polygon_m: f64 = path.legs.iter().map(|leg| leg.length_m).sum();
    prints(polygon_m, 41.7560, 4);
    for (bend, shorter_m) in path.bends.iter().zip([0.000145, 0.000317]) {
        prints(2.0 * bend.tangent_m - bend.arc_m, shorter_m, 6);
    }
    prints(path.developed_length_m, 41.756, 3);
    prints(path.developed_length_m / FOOT_M, 136.99, 2);
    for (leg, straight_m) in path.legs.iter().zip([13.536, 13.648, 13.868]) {
        prints(leg.straight_m, straight_m, 3);
    }
}

#[test]
fn section_2_4_forms() {
    let path = path("T11L", 1.0);
    for (index, [pitch_rad, yaw_rad], legs, thetas, length_mm, exits_mm, reserve_rad) in [
        (0, [-0.035, 0.010], [0.0390, 0.0364], [0.0590, 0.0564], 461.0, [163.9, 162.7], 0.061),
        (1, [0.050, -0.010], [0.0510, 0.0468], [0.0710, 0.0668], 551.0, [170.1, 167.8], 0.049),
    ] {
        let axis = axis(PitchYaw { pitch_rad, yaw_rad }, 0.0).unwrap();
        let sides = [0, 1].map(|side| {
            let to_axis = angle_to_axis_rad(path.legs[index + side].along, axis).unwrap();
            prints(to_axis, legs[side], 4);
            let theta = side_angle_rad(to_axis, TOLERANCE_RAD).unwrap();
            prints(theta, thetas[side], 4);
            prints(exit_bore_mm(THROAT_MM, WALL_RADIUS_MM, theta).unwrap(), exits_mm[side], 1);
            theta
        });
        prints(least_length_mm(WALL_RADIUS_MM, 0.0, sides[0], sides[1]).unwrap(), length_mm, 0);
        let reserve = sides
            .map(|side| angle_reserve_rad(FLARE_RAD, side).unwrap())
            .into_iter()
            .fold(1.0, f64::min);
        prints(reserve, reserve_rad, 3);
    }
    // The form itself (1.5): flared to 0.12 rad in 500 mm, what is left is the straight throat.
    prints(exit_bore_mm(THROAT_MM, WALL_RADIUS_MM, FLARE_RAD).unwrap(), 207.5, 1);
    let flares_mm = least_length_mm(WALL_RADIUS_MM, 0.0, FLARE_RAD, FLARE_RAD).unwrap();
    prints((1000.0 - flares_mm) / 2.0, 21.15, 2);
}

#[test]
fn section_2_5_free_lengths() {
    let path = path("T11L", 1.0);
    for (leg, length_m, tension_kn, frequency, sag) in [
        (0, 13.54, 3475.0, 11.1, 2.5),
        (1, 13.65, 3480.0, 11.1, 2.5),
        (2, 13.87, 3414.0, 10.8, 2.6),
    ] {
        let free_m = path.legs[leg].straight_m;
        prints(free_m, length_m, 2);
        prints(frequency_hz(free_m, tension_kn, MASS_KG_PER_M).unwrap(), frequency, 1);
        prints(sag_mm(free_m, tension_kn, MASS_KG_PER_M).unwrap(), sag, 1);
    }
}

#[test]
fn section_2_5_prints_a_tenth_too_little_for_span_2() {
    // "up to 17.5 m, 8.4 Hz". With the least force of span 2 after set (3378 kN, T22) its longest leg gives 8.5 Hz.
    let longest_m = path("T22L", 1.0).legs[0].straight_m;
    prints(longest_m, 17.5, 1);
    for length_m in [longest_m, 17.5] {
        prints(frequency_hz(length_m, 3378.0, MASS_KG_PER_M).unwrap(), 8.5, 1);
    }
}

#[test]
fn section_3_deviation_forces() {
    let path = path("T11L", 1.0);
    // After set, by the sheet's own way: stresses from P2, legs with whole lengths.
    let (mu, inadvertent_rad, e_mpa, area_mm2) = (0.14, 0.04, 195_000.0, 2850.0);
    let kappa = |bend: usize| mu * (path.bends[bend].angle_rad + inadvertent_rad);
    let jack = 3600.0 * 1000.0 / area_mm2;
    let (past_d12, at_a1) = (jack * (-kappa(1)).exp(), jack * (-kappa(1) - kappa(0)).exp());
    let (l1, l2) = (path.legs[2].length_m * 1000.0, path.legs[1].length_m * 1000.0);
    let at_p2 = (jack * l1 + past_d12 * l2 - e_mpa * 6.0) / (l1 + kappa(1).exp() * l2);
    let stresses = [at_a1, at_p2 * kappa(1).exp(), at_p2];
    let forces_kn = stresses.map(|stress| stress * area_mm2 / 1000.0);
    for (force_kn, printed) in forces_kn.iter().zip([3475.0, 3480.0, 3414.0]) {
        prints(*force_kn, printed, 0);
    }
    for (bend, [x, y, z, magnitude], kip) in
        [(0, [15.0, -63.0, 254.0, 262.0], 58.9), (1, [-83.0, -61.0, 328.0, 343.0], 77.2)]
    {
        let (before, after) = (&path.legs[bend], &path.legs[bend + 1]);
        let [before_kn, after_kn] = [forces_kn[bend], forces_kn[bend + 1]];
        let force = deviation_force(before.along, after.along, before_kn, after_kn).unwrap();
        prints(force.x_kn, x, 0);
        prints(force.y_kn, y, 0);
        prints(force.z_kn, z, 0);
        prints(force.magnitude_kn, magnitude, 0);
        prints(force.magnitude_kn / KIP_KN, kip, 1);
        let alone = unequal_forces_kn(before_kn, after_kn, path.bends[bend].angle_rad).unwrap();
        assert!((alone - force.magnitude_kn).abs() < 1e-9);
        let radius_m = tendon_radius_mm(WALL_RADIUS_MM, DUCT_OUTER_MM).unwrap() / 1000.0;
        prints(line_load_kn_per_m(before_kn.max(after_kn), radius_m).unwrap(), 857.0, 0);
    }
}

#[test]
fn appendix_a5_forms_of_all_tendons_and_of_their_twins() {
    for side in [1.0, -1.0] {
        for (mark, point, [pitch_rad, yaw_rad], [deviation, down, up, length_mm, reserve]) in FORMS
        {
            let path = path(mark, side);
            prints(path.bends[point - 1].angle_rad, deviation, 5);
            let axis = axis(PitchYaw { pitch_rad, yaw_rad: side * yaw_rad }, 0.0).unwrap();
            let legs = [&path.legs[point - 1], &path.legs[point]];
            let angles = legs.map(|leg| angle_to_axis_rad(leg.along, axis).unwrap());
            prints(angles[0], down, 4);
            prints(angles[1], up, 4);
            let thetas = angles.map(|angle| side_angle_rad(angle, TOLERANCE_RAD).unwrap());
            let least = least_length_mm(WALL_RADIUS_MM, 0.0, thetas[0], thetas[1]).unwrap();
            prints(least, length_mm, 0);
            let reserves = thetas.map(|theta| angle_reserve_rad(FLARE_RAD, theta).unwrap());
            prints(reserves[0].min(reserves[1]), reserve, 3);
        }
    }
}

#[test]
fn appendix_a6_axes_at_the_anchorages() {
    for (mark, [first, last]) in [
        ("T11L", [[-0.0731, 0.0183], [0.0961, -0.0179]]),
        ("T12L", [[-0.0439, 0.0], [0.0961, 0.0107]]),
        ("T21L", [[-0.0542, -0.0143], [0.0542, 0.0143]]),
        ("T22L", [[-0.0143, 0.0143], [0.0143, -0.0143]]),
        ("T23L", [[-0.0143, 0.0], [0.0143, 0.0]]),
        ("T24L", [[-0.0143, 0.0], [0.0143, 0.0]]),
        ("T25L", [[-0.0143, 0.0], [0.0143, 0.0]]),
        ("T31L", [[-0.0961, 0.0179], [0.0731, -0.0183]]),
        ("T32L", [[-0.0961, -0.0107], [0.0439, 0.0]]),
    ] {
        let path = path(mark, 1.0);
        for (leg, [pitch_rad, yaw_rad]) in [(&path.legs[0], first), (&path.legs[2], last)] {
            prints(turned(leg).pitch_rad, pitch_rad, 4);
            prints(turned(leg).yaw_rad, yaw_rad, 4);
        }
    }
}

#[test]
fn appendix_a7_developed_lengths() {
    for (mark, length_m) in [
        ("T11L", 41.756),
        ("T12L", 41.729),
        ("T21L", 52.055),
        ("T22L", 52.007),
        ("T23L", 52.004),
        ("T24L", 52.004),
        ("T25L", 52.004),
        ("T31L", 41.756),
        ("T32L", 41.729),
    ] {
        prints(path(mark, 1.0).developed_length_m, length_m, 3);
        prints(path(mark, -1.0).developed_length_m, length_m, 3);
    }
}
