//! The size of strand that a header names.

use restrand_model::quantity::{Dimension, Unit};

/// The nominal diameter of strand that a header names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::recognise) struct StrandSize {
    pub(in crate::recognise) diameter_mm: f64,
    pub(in crate::recognise) is_inch: bool,
}

/// Takes the size of strand out of a header: a number with its unit, and the sign of a diameter beside it.
pub(super) fn take_size(text: &str, size: &mut Option<StrandSize>) -> String {
    const SIGNS: [&str; 10] = ["Ø", "ø", "⌀", "φ", "Φ", "∅", "dia.", "dia", "DIA.", "DIA"];
    const UNITS: [(&str, &str); 9] = [
        ("mm", "mm"),
        ("MM", "mm"),
        ("\"", "in"),
        ("″", "in"),
        ("”", "in"),
        ("in.", "in"),
        ("in", "in"),
        ("IN.", "in"),
        ("IN", "in"),
    ];
    // A strand is as thick as a finger at most; other sizes are not its.
    const THICKNESS_MM: std::ops::RangeInclusive<f64> = 8.0..=20.0;
    let Some(start) = text.find(|c: char| c.is_ascii_digit()) else { return text.to_owned() };
    let start = if text[..start].ends_with('.') { start - 1 } else { start };
    let rest = &text[start..];
    let digits = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
    let behind = rest[digits..].trim_start();
    let unit = UNITS
        .iter()
        .find_map(|(written, symbol)| Some((behind.strip_prefix(written)?, *symbol)))
        .and_then(|(behind, symbol)| Some((behind, Unit::find(symbol, Dimension::Length)?)));
    let (Some((behind, unit)), Ok(number)) = (unit, rest[..digits].parse::<f64>()) else {
        return text.to_owned();
    };
    let diameter_mm = (number * unit.factor * 1e6).round() / 1e6;
    if !THICKNESS_MM.contains(&diameter_mm) {
        return text.to_owned();
    }
    *size = Some(StrandSize { diameter_mm, is_inch: unit.symbol == "in" });
    let behind = behind.trim_start();
    let behind = SIGNS.iter().find_map(|sign| behind.strip_prefix(sign)).unwrap_or(behind);
    let before = text[..start].trim_end();
    let before = SIGNS.iter().find_map(|sign| before.strip_suffix(sign)).unwrap_or(before);
    format!("{before} {behind}")
}
