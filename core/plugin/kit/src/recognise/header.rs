//! What a header says: its words, its unit, and of which end it speaks.

use restrand_model::quantity::{Dimension, Unit};

use super::words::{sorted, words};

/// Of which end of a tendon a header speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Scope {
    /// The one at the lower station.
    A,
    /// The one at the higher station.
    B,
    /// The one that is stressed, wherever it lies.
    Stressing,
    /// The one that is not stressed, wherever it lies.
    Dead,
}

/// A header, taken apart.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeaderText {
    /// As it stands in the file, the headers above it before it.
    pub(super) given: String,
    /// Its words without unit and end, sorted.
    pub(super) words: Vec<String>,
    /// The end it speaks of.
    pub(super) scope: Option<Scope>,
    /// The units that it names; several are a question.
    pub(super) units: Vec<String>,
    /// The size of strand that it names, as `No. of 0.6" Ø strands`.
    pub(super) size: Option<StrandSize>,
    /// Whether it says that what lies to the right is positive.
    pub(super) right_is_positive: bool,
}

/// The nominal diameter of strand that a header names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StrandSize {
    pub(super) diameter_mm: f64,
    pub(super) is_inch: bool,
}

impl HeaderText {
    /// Takes a header apart; `parts` are the texts above each other, the topmost first.
    pub(super) fn read(parts: &[&str]) -> Self {
        let mut kept: Vec<&str> = Vec::new();
        for part in parts {
            if !part.is_empty() && kept.last() != Some(part) {
                kept.push(part);
            }
        }
        let given = kept
            .iter()
            .map(|part| part.split_whitespace().collect::<Vec<_>>().join(" "))
            .collect::<Vec<_>>()
            .join(" › ");
        let mut units = Vec::new();
        let mut all = Vec::new();
        let mut size = None;
        let lower = given.to_lowercase();
        for (level, part) in kept.iter().enumerate() {
            // Below a header a unit may stand alone, and so may the name of an end.
            let alone = part.trim().trim_matches(['(', ')', '[', ']']);
            let is_unit =
                is_plain_unit(alone) || alone.len() > 2 && Unit::find_any(alone).is_some();
            if level > 0 && is_unit {
                push(&mut units, alone);
                continue;
            }
            if level > 0 && matches!(alone, "A" | "B" | "a" | "b") {
                all.extend(["end".to_owned(), alone.to_lowercase()]);
                continue;
            }
            let bare = take_units(part, &mut units);
            let bare = if lower.contains("strand") { take_size(&bare, &mut size) } else { bare };
            all.extend(words(&bare));
        }
        let right_is_positive = is_signed(&lower, &["right", "rt"]);
        if right_is_positive || is_signed(&lower, &["left", "lt"]) {
            all.retain(|word| !matches!(word.as_str(), "left" | "right" | "positive" | "ve"));
        }
        let (scope, rest) = scope(all);
        Self { given, words: sorted(rest), scope, units, size, right_is_positive }
    }
}

/// Whether a header in small letters says that this side is positive, as `(+ left)`.
fn is_signed(lower: &str, side: &[&str]) -> bool {
    const SIGNS: [&str; 3] = ["+", "+ve", "positive"];
    let close: String = lower.chars().filter(|letter| !letter.is_whitespace()).collect();
    side.iter().any(|side| {
        SIGNS.iter().any(|sign| {
            [format!("{sign}{side}"), format!("{side}{sign}"), format!("{side}={sign}")]
                .iter()
                .any(|written| close.contains(written.as_str()))
        })
    })
}

/// Takes the size of strand out of a header: a number with its unit, and the sign of a diameter beside it.
fn take_size(text: &str, size: &mut Option<StrandSize>) -> String {
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

/// Takes the units out of a header: those in brackets, and one at its end.
fn take_units(text: &str, units: &mut Vec<String>) -> String {
    let mut bare = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['(', '[']) {
        let close = if rest[at..].starts_with('(') { ')' } else { ']' };
        let Some(end) = rest[at..].find(close).map(|end| at + end) else { break };
        bare.push_str(&rest[..at]);
        let inside = rest[at + 1..end].trim();
        if !take_inside(inside, units) {
            bare.push(' ');
            bare.push_str(inside);
            bare.push(' ');
        }
        rest = &rest[end + 1..];
    }
    bare.push_str(rest);
    let trimmed = bare.trim_end();
    if let Some((before, last)) = trimmed.rsplit_once([' ', ',', '\n', ';', '\u{a0}'])
        && is_plain_unit(last)
        && !before.trim().is_empty()
    {
        push(units, last);
        return before.trim_end_matches([',', ' ', ';', '-', ':']).to_owned();
    }
    bare
}

/// Takes what stands in brackets, if it is units.
fn take_inside(inside: &str, units: &mut Vec<String>) -> bool {
    let inside = inside.strip_prefix("in ").unwrap_or(inside).trim_matches(['.', ' ']);
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

fn push(units: &mut Vec<String>, unit: &str) {
    if !units.iter().any(|other| other == unit) {
        units.push(unit.to_owned());
    }
}

/// Whether a text by itself is a unit, or says that there is none.
pub(super) fn is_unit(text: &str) -> bool {
    let text = text.trim().trim_end_matches('.');
    matches!(
        text,
        "%" | "‰"
            | "mm/m"
            | "m/m"
            | "in/ft"
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
            | "ea"
            | "#"
    ) || Unit::find_any(text).is_some()
}

/// Whether the last word of a header is surely a unit: one that no header ends with otherwise.
fn is_plain_unit(text: &str) -> bool {
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

/// The end that words speak of, and the words without it.
fn scope(words: Vec<String>) -> (Option<Scope>, Vec<String>) {
    const PAIRS: &[(&[&str], Scope)] = &[
        (&["end", "a"], Scope::A),
        (&["end", "b"], Scope::B),
        (&["end", "1"], Scope::A),
        (&["end", "2"], Scope::B),
        (&["left", "end"], Scope::A),
        (&["right", "end"], Scope::B),
        (&["start", "end"], Scope::A),
        (&["begin", "end"], Scope::A),
        (&["near", "end"], Scope::A),
        (&["far", "end"], Scope::B),
        (&["stressing", "end"], Scope::Stressing),
        (&["dead", "end"], Scope::Dead),
        (&["non", "stressing", "end"], Scope::Dead),
    ];
    const SINGLE: &[(&str, Scope)] = &[
        ("dead", Scope::Dead),
        ("start", Scope::A),
        ("begin", Scope::A),
        ("beginning", Scope::A),
        ("left", Scope::A),
        ("right", Scope::B),
        ("finish", Scope::B),
    ];
    let longest = PAIRS
        .iter()
        .filter(|(pair, _)| pair.iter().all(|word| words.iter().any(|other| other == word)))
        .max_by_key(|(pair, _)| pair.len());
    if let Some((pair, scope)) = longest {
        let mut rest = words;
        for word in *pair {
            if let Some(at) = rest.iter().position(|other| other == word) {
                rest.remove(at);
            }
        }
        return (Some(*scope), rest);
    }
    if words.len() > 1
        && let Some((word, scope)) =
            SINGLE.iter().find(|(word, _)| words.first().is_some_and(|first| first == word))
    {
        let rest = words.into_iter().filter(|other| other != word).collect();
        return (Some(*scope), rest);
    }
    (None, words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_name_sizes_and_signs() {
        let size = |text: &str| HeaderText::read(&[text]).size.map(|size| size.diameter_mm);
        assert_eq!(size("NO. OF 0.6\" Ø STRANDS"), Some(15.24));
        assert_eq!(size("NO. OF .6\" DIA. STRANDS"), Some(15.24));
        assert_eq!(size("Strands Ø15.7mm"), Some(15.7));
        assert_eq!(size("Strands (2 layers)"), None);
        assert!(HeaderText::read(&["Offset (+ve right)"]).right_is_positive);
        assert!(!HeaderText::read(&["Offset (+ left)"]).right_is_positive);
        assert!(!HeaderText::read(&["Offset right"]).right_is_positive);
    }

    #[test]
    fn units_and_ends_are_taken_out_of_headers() {
        for (parts, words, scope, units) in [
            (&["Length (m)"][..], &["length"][..], None, &["m"][..]),
            (&["Jacking Force, kN"], &["force", "stressing"], None, &["kN"]),
            (&["Force (kN/kips)"], &["force"], None, &["kN", "kips"]),
            (&["Dead End", "Anch."], &["anchorage"], Some(Scope::Dead), &[]),
            (&["Live End", "Set\n[mm]"], &["set"], Some(Scope::Stressing), &["mm"]),
            (&["Lt. End Sta."], &["station"], Some(Scope::A), &[]),
            (&["END B", "Anchorage"], &["anchorage"], Some(Scope::B), &[]),
            (&["No. of strands (each)"], &["no", "strand"], None, &[]),
            (&["K (1/m)"], &["k"], None, &["1/m"]),
            (&["Overall length", "m"], &["length", "overall"], None, &["m"]),
            (&["Sta. of plate", "A"], &["plate", "station"], Some(Scope::A), &[]),
            (&["NO. OF 0.6\" Ø STRANDS"], &["no", "strand"], None, &[]),
            (&["Duct (OD/t)"], &["diameter", "duct", "outer", "t"], None, &[]),
            (&["Offset [m] (+ left)"], &["lateral"], None, &["m"]),
        ] {
            let read = HeaderText::read(parts);
            assert_eq!(read.words, words, "{parts:?}");
            assert_eq!(
                (read.scope, read.units.iter().map(String::as_str).collect::<Vec<_>>()),
                (scope, units.to_vec()),
                "{parts:?}"
            );
        }
    }
}
