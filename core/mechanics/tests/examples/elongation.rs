//! Elongation, its tolerance and its correction for the strand that came.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::elongation::{
    Lot, band, corrected_for_lots_mm, deviation, elongation_by_end, stretch_mm,
};
use restrand_mechanics::friction::{End, StressDiagram};

use super::example::{Example, Kind};
use super::friction::{external, unsymmetrical, worked};
use super::said::{INCH, KSI, SQUARE_INCH, Source};

pub(crate) fn examples() -> Vec<Example> {
    [both_ends(), tolerance(), lots(), steps()].concat()
}

fn whole_mm(stress: &StressDiagram, e_mpa: f64) -> f64 {
    let length_m = stress.points().last().unwrap().at_m;
    stretch_mm(stress.integral_mpa_m(0.0, length_m).unwrap(), e_mpa).unwrap()
}

fn both_ends() -> Vec<Example> {
    let a5 = Source {
        block: "A5, elongation",
        kind: Kind::Arithmetic,
        source: "external tendon with two deviators, closed form",
    };
    let a7 = Source {
        block: "A7, elongation",
        kind: Kind::Arithmetic,
        source: "both ends pulled, unsymmetrical tendon, closed form",
    };
    let one = StressDiagram::jacked(&external(0.0), End::A, 1395.0).unwrap();
    let two = elongation_by_end(&external(0.0), 1395.0, 1395.0, 195e3).unwrap();
    let mut staged = StressDiagram::jacked(&unsymmetrical(), End::A, 1395.0).unwrap();
    let first_mm = whole_mm(&staged, 195e3);
    let change = staged.jack(End::B, 1395.0).unwrap().change_mpa_m;
    let second_mm = stretch_mm(change, 195e3).unwrap();
    let by_end = elongation_by_end(&unsymmetrical(), 1395.0, 1395.0, 195e3).unwrap();
    vec![
        a5.says("elongation, mm", "one end", 347.21, 0.005, whole_mm(&one, 195e3)),
        a5.says("elongation at A, mm", "both ends", 176.73, 0.005, two.a_mm),
        a5.says("elongation at B, mm", "both ends", 176.73, 0.005, two.b_mm),
        a5.says("sum, mm", "both ends", 353.46, 0.005, two.a_mm + two.b_mm),
        a7.says("elongation at A, mm", "both ends", 153.89, 0.005, by_end.a_mm),
        a7.says("elongation at B, mm", "both ends", 223.12, 0.005, by_end.b_mm),
        a7.says("sum, mm", "both ends", 377.01, 0.005, by_end.a_mm + by_end.b_mm),
        a7.says("elongation, mm", "A alone", 352.39, 0.005, first_mm),
        a7.says("elongation added at B, mm", "then B", 24.62, 0.005, second_mm),
    ]
}

fn tolerance() -> Vec<Example> {
    let asked = Source {
        block: "A10",
        kind: Kind::Arithmetic,
        source: "question in an engineers' forum: calculated elongation 2.75 in, tolerance 7 %",
    };
    let taken = band(2.75 * INCH, 7.0).unwrap();
    let off = deviation(3.0 * INCH, 2.75 * INCH).unwrap();
    let calculated = "2.75 in, 7 %";
    vec![
        asked.says(
            "tolerance, in",
            calculated,
            0.1925,
            0.00005,
            (taken.most_mm - taken.least_mm) / 2.0 / INCH,
        ),
        asked.says("least, in", calculated, 2.5575, 0.00005, taken.least_mm / INCH),
        asked.says("most, in", calculated, 2.9425, 0.00005, taken.most_mm / INCH),
        asked.says("deviation, %", "3.00 in measured", 9.1, 0.05, off.off_percent),
    ]
}

fn lots() -> Vec<Example> {
    let own = Source {
        block: "A10, lots",
        kind: Kind::Arithmetic,
        source: "19 strands of two lots, by the physical rule",
    };
    let lot = |strands, area_in2: f64, e_ksi: f64| Lot {
        strands,
        area_mm2: area_in2 * SQUARE_INCH,
        e_mpa: e_ksi * KSI,
    };
    let assumed = lot(19, 0.217, 28_500.0);
    let actual = [lot(12, 0.2185, 28_700.0), lot(7, 0.2160, 29_100.0)];
    let factor = corrected_for_lots_mm(1.0, &assumed, &actual).unwrap();
    vec![own.says(
        "factor",
        "12 of 0.2185·28 700 and 7 of 0.2160·29 100",
        0.98537,
        0.000005,
        factor,
    )]
}

fn steps() -> Vec<Example> {
    let own = Source {
        block: "Set on steps, elongation",
        kind: Kind::Arithmetic,
        source: "external tendon, 19 strands of 0.6 in, three times 50 ft, two deviators, hand calculation",
    };
    vec![own.says(
        "elongation, in",
        "one end",
        12.29,
        0.005,
        whole_mm(&worked(), 28_500.0 * KSI) / INCH,
    )]
}
