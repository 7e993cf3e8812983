//! Strings: first frequency, sag, and the clamped, slightly stiff string.

#![allow(clippy::unwrap_used)]

use std::f64::consts::PI;

use restrand_mechanics::vibration::{clamped_frequency_hz, frequency_hz, sag_mm};

use crate::example::{Example, Kind};

const M_PER_FT: f64 = 0.3048;
const KN_PER_KIP: f64 = 4.448_221_615;
const KG_PER_LB: f64 = 0.453_592_37;

pub(crate) fn examples() -> Vec<Example> {
    [cable(), free_lengths(), clamped()].concat()
}

fn cable() -> Vec<Example> {
    let mass = 7800.0 * PI / 4.0 * 0.011 * 0.011;
    let ours = frequency_hz(2.6, 0.860, mass).unwrap();
    let row = |what, printed, within, ours, explained| Example {
        block: "A19",
        kind: Kind::Arithmetic,
        source: "Homework question on a cable under tension, answered by a tutor",
        what,
        input: "2.6 m, Ø 1.1 cm, 7800 kg/m³, 860 N",
        printed,
        within,
        ours,
        explained,
    };
    vec![
        row("first frequency, Hz", 6.55, 0.005, ours, None),
        row(
            "first frequency by the tutor's first formula, Hz",
            3.275,
            5e-4,
            ours,
            Some("the tutor's first formula took π d² for the area, without the 4"),
        ),
    ]
}

fn free_lengths() -> Vec<Example> {
    // 19 strands of 0.217 in², 270 ksi, at 0.6 of their strength; 22.6 lb/ft.
    let tension_kn = 19.0 * 0.217 * 270.0 * 0.6 * KN_PER_KIP;
    let mass = 22.6 * KG_PER_LB / M_PER_FT;
    let row = |what, input, printed, within, ours| Example {
        block: "4.5",
        kind: Kind::Arithmetic,
        source: "Own table of free lengths, 19 strands of 0.6 in at 0.6 fpu, 22.6 lb/ft",
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    };
    let mut rows: Vec<Example> = [
        ("25 ft", 25.0, 19.5),
        ("40 ft", 40.0, 12.2),
        ("50 ft", 50.0, 9.8),
        ("60 ft", 60.0, 8.1),
        ("80 ft", 80.0, 6.1),
        ("100 ft", 100.0, 4.9),
    ]
    .into_iter()
    .map(|(input, length_ft, printed)| {
        let ours = frequency_hz(length_ft * M_PER_FT, tension_kn, mass).unwrap();
        row("first frequency, Hz", input, printed, 0.05, ours)
    })
    .collect();
    for (input, length_ft, printed, within) in
        [("25 ft", 25.0, 0.03, 0.005), ("100 ft", 100.0, 0.5, 0.05)]
    {
        let ours = sag_mm(length_ft * M_PER_FT, tension_kn, mass).unwrap() / 25.4;
        rows.push(row("sag, in", input, printed, within, ours));
    }
    rows
}

fn clamped() -> Vec<Example> {
    // Bisection of p tanh(p/2) + q tan(q/2) = 0, p² = q² + ξ², to twelve digits.
    [
        ("ξ = 100", 100.0, 1.0209, None),
        ("ξ = 50", 50.0, 1.0437, Some("the series is too low by 0.02 % there")),
        ("ξ = 10", 10.0, 1.3049, Some("the series is too low by 1.2 % there, as it states")),
    ]
    .into_iter()
    .map(|(input, xi, printed, explained)| {
        let string = frequency_hz(xi, 1000.0, 40.0).unwrap();
        let stiff = clamped_frequency_hz(xi, 1000.0, 40.0, 1000.0).unwrap();
        Example {
            block: "clamped",
            kind: Kind::Arithmetic,
            source: "Own case, exact equation of the clamped beam under tension, by bisection",
            what: "frequency over that of the string",
            input,
            printed,
            within: 5e-5,
            ours: stiff.frequency_hz / string,
            explained,
        }
    })
    .collect()
}
