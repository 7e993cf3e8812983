//! The walk by hand through one tendon of the demo bridge (`fixtures/demo/replacement-by-hand.md`):
//! forces (3, without the deviation force), the stressing table (9), and the forces of all tendons (A7), from the inputs.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::elongation::{
    Bar, Terms, above_baseline_mm, band, bar_stretch_mm, elongation, stretch_mm,
};
use restrand_mechanics::friction::{
    End, Profile, Run, Seating, StressDiagram, Wobble, force_kn, friction_exponent, kept_share,
    profile, stress_mpa,
};
use restrand_mechanics::jack::{
    CalibrationPoint, pressure_by_area_mpa, pressure_by_calibration_mpa, strokes, tail_after_mm,
};
use restrand_mechanics::stress::{Strength, lift_off_kn, shares, shares_after_seating};

const AREA_MM2: f64 = 19.0 * 150.0;
const E_MPA: f64 = 195_000.0;
const STRENGTH: Strength = Strength { fpu_mpa: 1860.0, proof_mpa: None };
const SET: Seating = Seating { set_mm: 6.0, e_mpa: E_MPA };
const KIP: f64 = 4.448_221_615_260_5;
const PSI: f64 = 0.006_894_757_293_168;

/// To half a unit of the last printed digit.
#[track_caller]
fn prints(ours: f64, printed: &str) {
    let digits = printed.split_once('.').map_or(0, |(_, after)| after.len());
    let value: f64 = printed.parse().unwrap();
    let half = 0.5 * 10f64.powi(-i32::try_from(digits).unwrap());
    assert!((ours - value).abs() <= half * (1.0 + 1e-9), "printed {printed}, ours {ours}");
}

/// Lengths of the legs and true deviations between them, from the points of section 1.7 and table A4.
fn legs(points: [[f64; 3]; 4]) -> ([f64; 3], [f64; 2]) {
    let leg = |i: usize| -> [f64; 3] { std::array::from_fn(|k| points[i + 1][k] - points[i][k]) };
    let norm = |v: [f64; 3]| v.iter().map(|x| x * x).sum::<f64>().sqrt();
    let angle = |u: [f64; 3], v: [f64; 3]| {
        let cross =
            [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
        let dot: f64 = u.iter().zip(v).map(|(x, y)| x * y).sum();
        norm(cross).atan2(dot)
    };
    let legs = [leg(0), leg(1), leg(2)];
    (legs.map(norm), [angle(legs[0], legs[1]), angle(legs[1], legs[2])])
}

const T11: [[f64; 3]; 4] =
    [[99.35, 0.75, 51.4], [113.0, 1.0, 50.4], [127.0, 1.0, 50.4], [141.0, 0.75, 51.75]];

fn deviator(angle_rad: f64) -> Run {
    Run { length_m: 0.0, angle_rad, inadvertent_rad: 0.04, mu: 0.14, wobble: Wobble::None }
}

/// The tendon with end A as the walk's end a.
fn tendon(points: [[f64; 3]; 4]) -> Profile {
    let (lengths, angles) = legs(points);
    let free = |length_m| Run { length_m, inadvertent_rad: 0.0, ..deviator(0.0) };
    profile(&[
        free(lengths[0]),
        deviator(angles[0]),
        free(lengths[1]),
        deviator(angles[1]),
        free(lengths[2]),
    ])
    .unwrap()
}

fn length_m(tendon: &Profile) -> f64 {
    tendon.borders().last().unwrap().at_m
}

fn pulled(tendon: &Profile, end: End, force_kn: f64) -> StressDiagram {
    StressDiagram::jacked(tendon, end, stress_mpa(force_kn, AREA_MM2).unwrap()).unwrap()
}

fn elastic_mm(stress: &StressDiagram, tendon: &Profile) -> f64 {
    stretch_mm(stress.integral_mpa_m(0.0, length_m(tendon)).unwrap(), E_MPA).unwrap()
}

fn in_jack_mm(force_kn: f64) -> f64 {
    bar_stretch_mm(&Bar { force_kn, length_mm: 900.0, area_mm2: AREA_MM2, e_mpa: E_MPA }).unwrap()
}

fn calibration() -> [CalibrationPoint; 6] {
    [(0.0, 0.0), (10.0, 880.0), (20.0, 1765.0), (30.0, 2650.0), (40.0, 3535.0), (50.0, 4420.0)]
        .map(|(pressure_mpa, force_kn)| CalibrationPoint { pressure_mpa, force_kn })
}

fn gauge_mpa(force_kn: f64) -> f64 {
    pressure_by_calibration_mpa(&calibration(), force_kn).unwrap()
}

#[test]
fn section_3_forces_before_set() {
    let (lengths, angles) = legs(T11);
    prints(lengths[0] * 1000.0, "13689");
    prints(lengths[1] * 1000.0, "14000");
    prints(lengths[2] * 1000.0, "14067");
    prints(friction_exponent(&deviator(angles[1])).unwrap(), "0.019286");
    prints(friction_exponent(&deviator(angles[0])).unwrap(), "0.016152");
    let tendon = tendon(T11);
    let stress = pulled(&tendon, End::B, 3600.0);
    for (at_m, force, mpa, share) in [
        (41.7, "3600.0", "1263.2", "0.6791"),
        (20.0, "3531.2", "1239.0", "0.6661"),
        (0.0, "3474.7", "1219.2", "0.6555"),
    ] {
        let there = stress.at(at_m).unwrap().towards_b_mpa;
        prints(force_kn(there, AREA_MM2).unwrap(), force);
        prints(there, mpa);
        prints(shares(there, &STRENGTH).unwrap().of_fpu, share);
    }
    let jacking = stress.end_mpa(End::B);
    prints(shares(jacking, &STRENGTH).unwrap().of_fpu, "0.679");
    prints(3600.0 / KIP, "809.3");
    prints(jacking / PSI / 1000.0, "183.2");
    prints(stress.end_mpa(End::A) / jacking * 100.0, "96.5");
}

#[test]
fn section_3_anchor_set() {
    let (lengths, angles) = legs(T11);
    let kappa = [angles[0], angles[1]].map(|angle| friction_exponent(&deviator(angle)).unwrap());
    let tendon = tendon(T11);
    let before = pulled(&tendon, End::B, 3600.0);
    // If leg 1 alone lost, and what each deviator holds before it slips back.
    let alone = Run { length_m: lengths[2], inadvertent_rad: 0.0, ..deviator(0.0) };
    let mut alone = pulled(&profile(&[alone]).unwrap(), End::B, 3600.0);
    let alone = alone.seat(End::B, SET).unwrap();
    prints(before.end_mpa(End::B) - alone.end_mpa, "83.2");
    let held = |mpa: f64, kappa: f64| mpa * (1.0 - kept_share(2.0 * kappa).unwrap());
    prints(held(before.end_mpa(End::B), kappa[1]), "47.8");
    let middle = before.at(20.0).unwrap().towards_b_mpa;
    prints(held(middle, kappa[0]), "39.4");

    let mut after = before.clone();
    let reach = after.seat(End::B, SET).unwrap();
    prints(reach.end_mpa, "1197.8");
    assert_eq!((reach.run, reach.whole), (1, false));
    prints(after.at(20.0).unwrap().towards_b_mpa, "1221.1");
    prints(middle - after.at(20.0).unwrap().towards_b_mpa, "17.9");
    prints(after.end_mpa(End::A), "1219.2");
    prints(-reach.change_mpa_m * 1000.0 / 1e6, "1.170");

    let seated = shares_after_seating(&after, &STRENGTH).unwrap();
    for (share, mpa, of_fpu, kn) in [
        (seated.at_b, "1197.8", "0.6440", "3414"),
        (seated.greatest, "1221.1", "0.6565", "3480"),
        (seated.at_a, "1219.2", "0.6555", "3475"),
    ] {
        prints(share.stress_mpa, mpa);
        prints(share.of_fpu, of_fpu);
        prints(force_kn(share.stress_mpa, AREA_MM2).unwrap(), kn);
    }
    prints((1.0 - seated.at_a.of_fpu / 0.70) * 100.0, "6.4");
    prints((1.0 - seated.at_b.of_fpu / 0.70) * 100.0, "8.0");
    prints((1.0 - seated.greatest.of_fpu / 0.74) * 100.0, "11.3");
    let lift_off = lift_off_kn(&after, End::B, AREA_MM2).unwrap();
    prints(lift_off, "3414");
    prints(lift_off / KIP, "767.4");
    prints(gauge_mpa(lift_off), "38.63");
}

#[test]
fn section_3_elongation_and_gauge() {
    let tendon = tendon(T11);
    let stress = pulled(&tendon, End::B, 3600.0);
    let elastic_mm = elastic_mm(&stress, &tendon);
    prints(elastic_mm, "265.7");
    prints(elastic_mm / 25.4, "10.46");
    prints(in_jack_mm(3600.0), "5.8");
    let terms =
        Terms { elastic_mm, in_jack_mm: in_jack_mm(3600.0), dead_end_seating_mm: 3.0, set_mm: 6.0 };
    let told = elongation(&terms).unwrap();
    prints(told.at_jack_mm, "274.5");
    prints(told.anchored_mm, "262.7");
    prints(tail_after_mm(1000.0, told.anchored_mm).unwrap(), "1263");
    prints(told.at_jack_mm / 200.0, "1.37");
    assert_eq!(strokes(told.at_jack_mm, 200.0).unwrap(), 2);
    prints(pressure_by_area_mpa(3600.0, 90_000.0, 0.0).unwrap(), "40.00");
    prints(pressure_by_area_mpa(3600.0, 90_000.0, 0.02).unwrap(), "40.82");
    prints(gauge_mpa(3600.0), "40.73");
    prints(gauge_mpa(3600.0) / PSI, "5908");
}

#[test]
fn section_9_stressing_table() {
    let tendon = tendon(T11);
    let stress = pulled(&tendon, End::B, 3600.0);
    let full_mm = elastic_mm(&stress, &tendon) + in_jack_mm(3600.0);
    for (share, force, kip, mpa, psi, from_nothing, from_baseline) in [
        (0.2, "720", "161.9", "8.18", "1187", "54.3", "0.0"),
        (0.4, "1440", "323.7", "16.33", "2368", "108.6", "54.3"),
        (0.6, "2160", "485.6", "24.46", "3548", "162.9", "108.6"),
        (0.8, "2880", "647.4", "32.60", "4728", "217.2", "162.9"),
        (1.0, "3600", "809.3", "40.73", "5908", "271.5", "217.2"),
    ] {
        let force_kn = share * 3600.0;
        prints(force_kn, force);
        prints(force_kn / KIP, kip);
        prints(gauge_mpa(force_kn), mpa);
        prints(gauge_mpa(force_kn) / PSI, psi);
        prints(above_baseline_mm(full_mm, 0.0, share).unwrap(), from_nothing);
        prints(above_baseline_mm(full_mm, 0.2, share).unwrap(), from_baseline);
        // A share of the elongation is the elongation by a share of the force.
        let partly = pulled(&tendon, End::B, force_kn);
        let by_force = elastic_mm(&partly, &tendon) + in_jack_mm(force_kn);
        assert!((by_force - share * full_mm).abs() < 1e-9);
    }
    let taken = band(above_baseline_mm(full_mm, 0.2, 1.0).unwrap(), 7.0).unwrap();
    prints(taken.least_mm, "202");
    // The walk prints 233: 217.2·1.07 is 232.4, so that is rounded up.
    prints(taken.most_mm.ceil(), "233");
    prints(taken.most_mm, "232.4");
}

/// A row of table A7, with the tendon's points of table A4.
struct Row {
    pair: &'static str,
    points: [[f64; 3]; 4],
    pulled: End,
    force_kn: f64,
    jacking: &'static str,
    dead_before_kn: &'static str,
    live: (&'static str, &'static str),
    dead: (&'static str, &'static str),
    greatest: &'static str,
    elongation_mm: &'static str,
    /// Counted from the pulled end.
    zone_leg: usize,
}

#[test]
fn appendix_a7_all_tendons() {
    let ends = |a: [f64; 3], b: [f64; 3], c: [f64; 3], d: [f64; 3]| [a, b, c, d];
    let low = |lateral: f64| {
        ends(
            [139.0, lateral, 50.55],
            [156.5, lateral, 50.3],
            [173.5, lateral, 50.3],
            [191.0, lateral, 50.55],
        )
    };
    let low_row = |pair, lateral, pulled| Row {
        pair,
        points: low(lateral),
        pulled,
        force_kn: 3500.0,
        jacking: "0.660",
        dead_before_kn: "3447",
        live: ("3384", "0.6383"),
        dead: ("3435", "0.6481"),
        greatest: "0.6481",
        elongation_mm: "325.0",
        zone_leg: 3,
    };
    let row = |pair, points, pulled| Row {
        pair,
        points,
        pulled,
        force_kn: 3600.0,
        jacking: "0.679",
        ..low_row("", 0.75, End::A)
    };
    let rows = [
        Row {
            dead_before_kn: "3475",
            live: ("3414", "0.6440"),
            dead: ("3475", "0.6555"),
            greatest: "0.6565",
            elongation_mm: "265.7",
            zone_leg: 2,
            ..row("T11", T11, End::B)
        },
        Row {
            dead_before_kn: "3490",
            live: ("3414", "0.6441"),
            dead: ("3490", "0.6585"),
            greatest: "0.6585",
            elongation_mm: "265.9",
            zone_leg: 2,
            ..row(
                "T12",
                ends(
                    [99.35, 1.5, 51.0],
                    [113.0, 1.5, 50.4],
                    [127.0, 1.5, 50.4],
                    [141.0, 1.65, 51.75],
                ),
                End::B,
            )
        },
        Row {
            dead_before_kn: "3504",
            live: ("3457", "0.6521"),
            dead: ("3504", "0.6611"),
            greatest: "0.6611",
            elongation_mm: "332.7",
            zone_leg: 2,
            ..row(
                "T21",
                ends(
                    [139.0, 1.2, 51.75],
                    [156.5, 0.95, 50.8],
                    [173.5, 0.95, 50.8],
                    [191.0, 1.2, 51.75],
                ),
                End::A,
            )
        },
        Row {
            force_kn: 3500.0,
            jacking: "0.660",
            dead_before_kn: "3441",
            live: ("3378", "0.6372"),
            dead: ("3435", "0.6481"),
            greatest: "0.6481",
            elongation_mm: "324.8",
            zone_leg: 3,
            ..row(
                "T22",
                ends(
                    [139.0, 1.2, 51.05],
                    [156.5, 1.45, 50.8],
                    [173.5, 1.45, 50.8],
                    [191.0, 1.2, 51.05],
                ),
                End::A,
            )
        },
        low_row("T23", 0.75, End::B),
        low_row("T24", 1.2, End::B),
        low_row("T25", 1.65, End::A),
        Row {
            dead_before_kn: "3475",
            live: ("3422", "0.6456"),
            dead: ("3475", "0.6555"),
            greatest: "0.6561",
            elongation_mm: "265.9",
            zone_leg: 2,
            ..row(
                "T31",
                ends(
                    [189.0, 0.75, 51.75],
                    [203.0, 1.0, 50.4],
                    [217.0, 1.0, 50.4],
                    [230.65, 0.75, 51.4],
                ),
                End::B,
            )
        },
        Row {
            dead_before_kn: "3490",
            live: ("3438", "0.6485"),
            dead: ("3490", "0.6585"),
            greatest: "0.6585",
            elongation_mm: "266.5",
            zone_leg: 2,
            ..row(
                "T32",
                ends(
                    [189.0, 1.65, 51.75],
                    [203.0, 1.5, 50.4],
                    [217.0, 1.5, 50.4],
                    [230.65, 1.5, 51.0],
                ),
                End::B,
            )
        },
    ];
    for row in rows {
        println!("{}", row.pair);
        let tendon = tendon(row.points);
        let dead_end = match row.pulled {
            End::A => End::B,
            End::B => End::A,
        };
        let kn = |stress: &StressDiagram, end| force_kn(stress.end_mpa(end), AREA_MM2).unwrap();
        let mut stress = pulled(&tendon, row.pulled, row.force_kn);
        let jacking = shares(stress.end_mpa(row.pulled), &STRENGTH).unwrap();
        prints(jacking.of_fpu, row.jacking);
        prints(kn(&stress, dead_end), row.dead_before_kn);
        prints(elastic_mm(&stress, &tendon), row.elongation_mm);
        let reach = stress.seat(row.pulled, SET).unwrap();
        let seated = shares_after_seating(&stress, &STRENGTH).unwrap();
        let (live, dead) = match row.pulled {
            End::A => (seated.at_a, seated.at_b),
            End::B => (seated.at_b, seated.at_a),
        };
        prints(kn(&stress, row.pulled), row.live.0);
        prints(live.of_fpu, row.live.1);
        prints(kn(&stress, dead_end), row.dead.0);
        prints(dead.of_fpu, row.dead.1);
        prints(seated.greatest.of_fpu, row.greatest);
        // A step that holds stands at the end of its leg: the zone ends in the leg before it.
        let steps_passed = match row.pulled {
            End::A => reach.run / 2,
            End::B => (4 - reach.run) / 2,
        };
        assert_eq!(steps_passed + 1, row.zone_leg, "{}", row.pair);
        assert_eq!(reach.whole, row.zone_leg == 3);
    }
}
