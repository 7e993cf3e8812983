//! What a header says: its words, its unit, and of which end it speaks.

use restrand_model::quantity::Unit;

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
        for (level, part) in kept.iter().enumerate() {
            // Below the header's words a cell may hold the unit alone.
            if level > 0 && is_plain_unit(part.trim()) {
                push(&mut units, part.trim());
                continue;
            }
            let bare = take_units(part, &mut units);
            all.extend(words(&bare));
        }
        let (scope, rest) = scope(all);
        Self { given, words: sorted(rest), scope, units }
    }
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
        "%" | "-"
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
            (&["Jacking force", "kN"], &["force", "stressing"], None, &["kN"]),
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
