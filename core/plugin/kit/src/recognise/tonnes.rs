//! Notes that say which ton forces are in: `Forces in metric tonnes (1 t = 9.81 kN)`.

use restrand_model::quantity::{Dimension, Unit};

/// The ton that a note says forces are in, if it says so by name or by its kilonewtons.
pub(super) fn of_note(note: &str) -> Option<&'static Unit> {
    let lower = note.to_lowercase();
    let metric = Unit::find("tf", Dimension::Force)?;
    // What is weighed in tonnes is no force.
    let is_of_forces = ["force", "kraft", "kräfte", "effort", "load", "tension"]
        .iter()
        .any(|word| lower.contains(word));
    let is_named = ["metric ton", "metric tonne", "tonnes-force", "tonne-force"]
        .iter()
        .any(|name| lower.contains(name));
    let factors: Vec<f64> = kilonewtons(&lower).collect();
    let is_metric = |factor: &f64| (factor - metric.factor).abs() <= 0.01;
    match factors.is_empty() {
        true => (is_of_forces && is_named).then_some(metric),
        false => factors.iter().all(is_metric).then_some(metric),
    }
}

/// What a note in small letters says a ton is, in kilonewtons: `1 t = 9.81 kn`.
fn kilonewtons(lower: &str) -> impl Iterator<Item = f64> {
    let parts = lower.split(['(', ')', ';']).flat_map(|part| part.split(", "));
    parts.filter_map(|part| {
        let (ton, newtons) = part.split_once('=')?;
        let is_ton = ["1 t", "1t", "1 tf", "1 tonne", "1 ton", "t", "tf"].iter().any(|name| {
            ton.trim().strip_suffix(name).is_some_and(|rest| rest.is_empty() || rest.ends_with(' '))
        });
        let (number, unit) = newtons.trim().split_once("kn").filter(|_| is_ton)?;
        let is_whole = !unit.starts_with(char::is_alphanumeric);
        number.trim().replace(',', ".").parse().ok().filter(|_| is_whole)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_say_which_ton_is_meant() {
        for note in [
            "Forces in metric tonnes (1 t = 9.81 kN). PK in m.",
            "1 t = 9.81 kN",
            "Efforts en t (1 t = 9,81 kN)",
            "All forces in metric tonnes",
        ] {
            assert_eq!(of_note(note).map(|unit| unit.symbol), Some("tf"), "{note}");
        }
        for note in [
            "1 t = 8.896 kN",
            "Forces in tons",
            "1 t = 10 kN",
            "Steel masses in metric tonnes",
            "Offset = 9.81 kN",
        ] {
            assert_eq!(of_note(note), None, "{note}");
        }
    }
}
