//! The units that a header names.

use restrand_model::quantity::Unit;

use super::unit_above_datum;

/// Takes the units out of a header: those in brackets, and one at its end.
pub(super) fn take_units(text: &str, units: &mut Vec<String>) -> String {
    let mut bare = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['(', '[']) {
        let close = if rest[at..].starts_with('(') { ')' } else { ']' };
        let Some(end) = rest[at..].find(close).map(|end| at + end) else { break };
        bare.push_str(&rest[..at]);
        let mut inside = rest[at + 1..end].trim();
        // A unit may stand before what the brackets say else, as in `(ft, + right)` and `(mm OD)`.
        if let Some((unit, behind)) = inside.split_once([',', ';'])
            && Unit::find_any(unit.trim()).is_some()
            && !is_unit(behind)
        {
            push(units, unit.trim());
            inside = behind.trim();
        } else if let Some((unit, behind)) = inside.split_once(' ')
            && is_plain_unit(unit)
            && !is_unit(inside)
            && behind.starts_with(char::is_alphabetic)
        {
            push(units, unit);
            inside = behind.trim();
        }
        if !take_inside(inside, units) {
            bare.push(' ');
            bare.push_str(inside);
            bare.push(' ');
        }
        rest = &rest[end + 1..];
    }
    bare.push_str(rest);
    let trimmed = bare.trim_end();
    if let Some((before, last)) = trimmed.rsplit_once([' ', ',', '\n'])
        && let Some(unit) = unit_above_datum(last)
    {
        push(units, unit.symbol);
        return before.trim_end_matches([',', ' ']).to_owned();
    }
    if let Some((before, last)) = trimmed.rsplit_once([' ', ',', '\n', ';', '\u{a0}'])
        && is_plain_unit(last)
        && !before.trim().is_empty()
        // What stands behind a number is measured by it: `Strands (15.2 mm)`.
        && !before.trim_end().ends_with(|letter: char| letter.is_ascii_digit())
    {
        push(units, last);
        return before.trim_end_matches([',', ' ', ';', '-', ':']).to_owned();
    }
    bare
}

/// Takes what stands in brackets, if it is units.
fn take_inside(inside: &str, units: &mut Vec<String>) -> bool {
    let inside = inside.strip_prefix("in ").unwrap_or(inside).trim_matches(['.', ' ']);
    if let Some(unit) = unit_above_datum(inside) {
        push(units, unit.symbol);
        return true;
    }
    if is_unit(inside) {
        push(units, inside);
        return true;
    }
    for mark in ['/', ',', ';', '|'] {
        let parts: Vec<&str> = inside.split(mark).map(str::trim).collect();
        if parts.len() > 1 && parts.iter().all(|part| is_unit(part)) {
            parts.iter().for_each(|part| push(units, part));
            return true;
        }
    }
    false
}

pub(super) fn push(units: &mut Vec<String>, unit: &str) {
    if !units.iter().any(|other| other == unit) {
        units.push(unit.to_owned());
    }
}

/// Whether a text by itself is a unit, or says that there is none.
pub(in crate::recognise) fn is_unit(text: &str) -> bool {
    let text = text.trim().trim_end_matches('.');
    matches!(
        text,
        "%" | "‰"
            | "mm/m"
            | "m/m"
            | "in/ft"
            | "1/rad"
            | "/rad"
            | "rad⁻¹"
            | "-"
            | "–"
            | "ton"
            | "tons"
            | "tonf"
            | "T"
            | "no"
            | "No"
            | "nos"
            | "Nos"
            | "pcs"
            | "Stk"
            | "Stück"
            | "pz"
            | "ud"
            | "Nb"
            | "ea"
            | "each"
            | "EACH"
            | "n"
            | "n°"
            | "N°"
            | "#"
    ) || Unit::find_any(text).is_some()
        || unit_above_datum(text).is_some()
}

/// Whether a text in a row below headers is a unit, in brackets or not, or says that the row holds them.
pub(crate) fn is_unit_below(text: &str) -> bool {
    /// What the first cell of such a row may say.
    const LABELS: [&str; 5] = ["unit", "units", "unité", "unités", "einheit"];
    let text = text.trim().trim_matches(['(', ')', '[', ']', ' ']);
    is_unit(text) || LABELS.contains(&text.trim_end_matches(':').to_lowercase().as_str())
}

/// Whether a text in a row below headers can be nothing but a unit: letters alone may be a mark, as `N` and `T`.
pub(crate) fn is_surely_unit(text: &str) -> bool {
    let text = text.trim().trim_matches(['(', ')', '[', ']', ' ']);
    is_plain_unit(text)
        || text.chars().nth(1).is_some() && Unit::find_any(text).is_some()
        || unit_above_datum(text).is_some()
}

/// Whether the last word of a header is surely a unit: one that no header ends with otherwise.
pub(super) fn is_plain_unit(text: &str) -> bool {
    matches!(
        text.trim_end_matches('.'),
        "mm" | "cm"
            | "m"
            | "in"
            | "inch"
            | "inches"
            | "ft"
            | "feet"
            | "kN"
            | "KN"
            | "kip"
            | "kips"
            | "ksi"
            | "psi"
            | "MPa"
            | "MPA"
            | "bar"
            | "deg"
            | "°"
            | "rad"
            | "kg"
            | "lb"
            | "lbs"
            | "tf"
            | "mm²"
            | "mm2"
            | "in²"
            | "in2"
            | "%"
            | "ft-in"
            | "tonf"
            | "tons"
    )
}
