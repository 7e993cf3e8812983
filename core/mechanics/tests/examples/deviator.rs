//! Deviation forces, line loads, and the needs of flared forms.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::deviator::{
    equal_forces_kn, exit_bore_mm, least_length_mm, line_load_kn_per_m, side_angle_rad,
    small_angle_kn, unequal_forces_kn, web_in_plane_kn_per_m, web_out_of_plane_kn_per_m,
};

use crate::example::{Example, Kind};

const KN_PER_KIP: f64 = 4.448_221_615;
const M_PER_FT: f64 = 0.3048;
const MM_PER_IN: f64 = 25.4;

pub(crate) fn examples() -> Vec<Example> {
    [forces(), web(), pull_800_kip(), flares()].concat()
}

fn row(
    [block, source, what, input]: [&'static str; 4],
    [printed, within, ours]: [f64; 3],
) -> Example {
    Example {
        block,
        kind: Kind::Arithmetic,
        source,
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    }
}

fn forces() -> Vec<Example> {
    let (force_kn, angle_rad) = (3975.75, 0.15);
    let other_kn = force_kn * (-0.2_f64 * angle_rad).exp();
    let of = |what, input| ["A20", "Own case, deviation force", what, input];
    let input = "3975.75 kN, 0.15 rad";
    vec![
        row(
            of("force by 2F sin(α/2), kN", input),
            [595.80, 0.005, equal_forces_kn(force_kn, angle_rad).unwrap()],
        ),
        row(
            of("force by F α, kN", input),
            [596.36, 0.005, small_angle_kn(force_kn, angle_rad).unwrap()],
        ),
        row(
            of("force with unequal sides, kN", "3975.75 kN, 0.15 rad, the other side by μ 0.2"),
            [598.58, 0.005, unequal_forces_kn(force_kn, other_kn, angle_rad).unwrap()],
        ),
        row(
            of("line load, kN/m", "3975.75 kN, radius 3 m"),
            [1325.25, 0.005, line_load_kn_per_m(force_kn, 3.0).unwrap()],
        ),
    ]
}

fn web() -> Vec<Example> {
    let (force_kn, radius_m) = (2000.0 * KN_PER_KIP, 800.0 * M_PER_FT);
    let kip_per_ft = |kn_per_m: f64| kn_per_m * M_PER_FT / KN_PER_KIP;
    let of = |what, input| {
        [
            "A20",
            "Own case by the formulas of Caltrans MTD 11-31 (2012) and AASHTO LRFD",
            what,
            input,
        ]
    };
    let whole = line_load_kn_per_m(force_kn, radius_m).unwrap();
    let sloped = web_in_plane_kn_per_m(force_kn, radius_m, 20.0_f64.to_radians()).unwrap();
    let spread = web_out_of_plane_kn_per_m(force_kn, radius_m).unwrap();
    let input = "2000 kip, radius 800 ft";
    vec![
        row(of("lateral load P/R, kip/ft", input), [2.500, 5e-4, kip_per_ft(whole)]),
        row(
            of("in-plane load P cos θ/R, kip/ft", "2000 kip, radius 800 ft, web slope 20°"),
            [2.349, 5e-4, kip_per_ft(sloped)],
        ),
        row(of("out-of-plane load P/(π R), kip/ft", input), [0.796, 5e-4, kip_per_ft(spread)]),
    ]
}

fn pull_800_kip() -> Vec<Example> {
    let force_kn = 800.0 * KN_PER_KIP;
    let of = |what, input| ["4.2", "Own table of deviation forces", what, input];
    let mut rows: Vec<Example> = [
        ("800 kip, 0.05 rad", 0.05, 40.0),
        ("800 kip, 0.10 rad", 0.10, 80.0),
        ("800 kip, 0.15 rad", 0.15, 119.9),
        ("800 kip, 0.20 rad", 0.20, 159.7),
    ]
    .into_iter()
    .map(|(input, angle_rad, printed)| {
        let ours = equal_forces_kn(force_kn, angle_rad).unwrap() / KN_PER_KIP;
        row(of("deviation force, kip", input), [printed, 0.05, ours])
    })
    .collect();
    let load = line_load_kn_per_m(force_kn, 10.0 * M_PER_FT).unwrap() * M_PER_FT / KN_PER_KIP;
    rows.push(row(of("line load, kip/ft", "800 kip, radius 10 ft"), [80.0, 0.5, load]));
    rows
}

fn flares() -> Vec<Example> {
    let mut rows = Vec::new();
    // Deviation with tolerance 0 and with 2° a side: least length, growth of the bore.
    for (inputs, radius_ft, deviation, [length_0, length_2], [growth_0, growth_2]) in [
        (
            ["R 8 ft, 8°, tolerance 0", "R 8 ft, 8°, tolerance 2°"],
            8.0,
            8.0,
            [13.4, 20.1],
            [0.47, 1.05],
        ),
        (
            ["R 8 ft, 12°, tolerance 0", "R 8 ft, 12°, tolerance 2°"],
            8.0,
            12.0,
            [20.1, 26.7],
            [1.05, 1.87],
        ),
        (
            ["R 10 ft, 8°, tolerance 0", "R 10 ft, 8°, tolerance 2°"],
            10.0,
            8.0,
            [16.7, 25.1],
            [0.58, 1.31],
        ),
        (
            ["R 10 ft, 12°, tolerance 0", "R 10 ft, 12°, tolerance 2°"],
            10.0,
            12.0,
            [25.1, 33.4],
            [1.31, 2.34],
        ),
        (
            ["R 13 ft, 8°, tolerance 0", "R 13 ft, 8°, tolerance 2°"],
            13.0,
            8.0,
            [21.8, 32.6],
            [0.76, 1.71],
        ),
        (
            ["R 13 ft, 12°, tolerance 0", "R 13 ft, 12°, tolerance 2°"],
            13.0,
            12.0,
            [32.6, 43.4],
            [1.71, 3.04],
        ),
    ] {
        let radius_mm = radius_ft * 12.0 * MM_PER_IN;
        for (input, tolerance, length, growth) in
            [(inputs[0], 0.0_f64, length_0, growth_0), (inputs[1], 2.0, length_2, growth_2)]
        {
            let leg_rad = f64::to_radians(deviation) / 2.0;
            let side = side_angle_rad(leg_rad, tolerance.to_radians()).unwrap();
            let of = |what| ["4.3", "Own table of flared forms, axis on the bisector", what, input];
            let ours = least_length_mm(radius_mm, 0.0, side, side).unwrap() / MM_PER_IN;
            rows.push(row(of("least length, in"), [length, 0.05, ours]));
            let ours = (exit_bore_mm(150.0, radius_mm, side).unwrap() - 150.0) / MM_PER_IN;
            rows.push(row(of("growth of the bore to the exit, in"), [growth, 0.005, ours]));
        }
    }
    rows
}
