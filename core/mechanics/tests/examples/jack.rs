//! Gauge pressure and strokes.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::jack::{pressure_by_area_mpa, strokes};

use super::example::{Example, Kind};
use super::said::{FOOT, INCH, Source};

/// m/s².
const GRAVITY: f64 = 9.806_65;

pub(crate) fn examples() -> Vec<Example> {
    let sheet = Source {
        block: "A8",
        kind: Kind::Published,
        source: "pressure sheets of a site, jacks of 50.27 and 33.7 cm²",
    };
    let own =
        Source { block: "A8, SI", kind: Kind::Arithmetic, source: "the same loads and jacks" };
    let cut = "the sheet cuts the digits beyond the second instead of rounding";
    let mut found = Vec::new();
    for (input, load_kg, ram_cm2, printed, within, mpa, explained) in [
        ("2760 kg, 50.27 cm²", 2760.0, 50.27, 54.9, 0.05, 5.384, None),
        ("2760 kg, 33.7 cm²", 2760.0, 33.7, 81.89, 0.005, 8.032, Some(cut)),
        ("13 800 kg, 50.27 cm²", 13_800.0, 50.27, 274.5, 0.05, 26.921, None),
        ("13 800 kg, 33.7 cm²", 13_800.0, 33.7, 409.49, 0.005, 40.158, Some(cut)),
    ] {
        let force_kn = load_kg * GRAVITY / 1000.0;
        let ours = pressure_by_area_mpa(force_kn, ram_cm2 * 100.0, 0.0).unwrap();
        let in_kg = ours / GRAVITY * 100.0;
        let row = sheet.says("gauge pressure, kg/cm²", input, printed, within, in_kg);
        found.push(Example { explained, ..row });
        found.push(own.says("gauge pressure, MPa", input, mpa, 0.0005, ours));
    }
    let asked = Source {
        block: "A9",
        kind: Kind::Arithmetic,
        source: "note of a stressing contractor: tendon of 130 ft, about 8 in per 100 ft, stroke 8 in",
    };
    let elongation_mm = 8.0 * INCH / (100.0 * FOOT) * (130.0 * FOOT);
    let count = strokes(elongation_mm, 8.0 * INCH).unwrap();
    found.push(asked.says("strokes", "10.4 in, stroke 8 in", 2.0, 0.5, f64::from(count)));
    found
}
