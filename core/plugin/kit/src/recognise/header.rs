//! What a header says: its words, its unit, and of which end it speaks.

use restrand_model::quantity::{Dimension, Unit};

use super::scope::{self, Scope};
use super::sign::{self, Sign};
use super::words::{sorted, words};

/// A header, taken apart.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeaderText {
    /// As it stands in the file, the headers above it before it.
    pub(super) given: String,
    /// Its words without unit and end, sorted.
    pub(super) words: Vec<String>,
    /// The words of its lowest part, where others stand above it.
    pub(super) own: Vec<String>,
    /// What stands above its lowest part.
    pub(super) group: String,
    /// The end or deviator it speaks of.
    pub(super) scope: Option<Scope>,
    /// The same, even where it is part of the field's name, as in `Elongation A`.
    pub(super) said: Option<Scope>,
    /// Where that lies, as `END A (Abut. S)` says.
    pub(super) place: Option<String>,
    /// Whether the end is told by the order of the columns alone.
    pub(super) by_order: bool,
    /// The units that it names; several are a question.
    pub(super) units: Vec<String>,
    /// The size of strand that it names, as `No. of 0.6" Ø strands`.
    pub(super) size: Option<StrandSize>,
    /// What it says of the sign of offsets.
    pub(super) sign: Option<Sign>,
    /// What it says in each of two tongues, as `Câble / Tendon`.
    pub(super) tongues: Vec<HeaderText>,
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
        let mut header = Self::one(parts);
        if let Some((last, above)) = parts.split_last()
            && let Some(halves) = tongues(last)
        {
            let half =
                |half: &str| Self::one(&above.iter().copied().chain([half]).collect::<Vec<_>>());
            header.tongues = halves.into_iter().map(half).collect();
        }
        header
    }

    fn one(parts: &[&str]) -> Self {
        let mut kept: Vec<&str> = Vec::new();
        for part in parts {
            if !part.is_empty() && kept.last() != Some(part) {
                kept.push(part);
            }
        }
        let joined: Vec<String> =
            kept.iter().map(|part| part.split_whitespace().collect::<Vec<_>>().join(" ")).collect();
        let given = joined.join(" › ");
        let mut read = Read::default();
        let lower = given.to_lowercase();
        let sign = sign::read(&lower);
        for (level, part) in kept.iter().enumerate() {
            read.part(part, level, kept.len(), lower.contains("strand"));
        }
        let Read { mut all, mut own, units, size, place, mut scope } = read;
        if sign.is_some() {
            for words in [&mut all, &mut own] {
                words.retain(|word| {
                    !matches!(
                        word.as_str(),
                        "left" | "right" | "positive" | "ve" | "r" | "l" | "outward" | "pos"
                    )
                });
            }
        }
        let rest = match scope {
            Some(_) => all,
            None => {
                let (found, rest) = scope::of_words(all);
                scope = found;
                rest
            }
        };
        let group = joined.split_last().map_or(String::new(), |(_, above)| above.join(" › "));
        Self {
            given,
            words: sorted(rest),
            own: sorted(scope::of_words(own).1),
            group,
            scope,
            said: scope,
            place,
            by_order: false,
            units,
            size,
            sign,
            tongues: Vec::new(),
        }
    }
}

/// What has been read of the parts of a header.
#[derive(Default)]
struct Read {
    all: Vec<String>,
    own: Vec<String>,
    units: Vec<String>,
    size: Option<StrandSize>,
    place: Option<String>,
    scope: Option<Scope>,
}

impl Read {
    /// Reads the part at this level, from the top, of so many.
    fn part(&mut self, part: &str, level: usize, count: usize, speaks_of_strands: bool) {
        // Below a header a unit may stand alone, and so may the name of an end.
        let alone = part.trim().trim_matches(['(', ')', '[', ']']);
        let is_unit = is_plain_unit(alone) || alone.len() > 2 && Unit::find_any(alone).is_some();
        if level > 0 && is_unit {
            push(&mut self.units, alone);
            return;
        }
        if level > 0 && matches!(alone, "A" | "B" | "a" | "b") {
            self.scope = Some(if alone.eq_ignore_ascii_case("a") { Scope::A } else { Scope::B });
            return;
        }
        let is_group = level + 1 < count;
        if is_group && let Some((scope, place)) = scope::of_group(part) {
            self.scope = Some(scope);
            self.place = place;
            return;
        }
        let bare = take_units(part, &mut self.units);
        let bare = if speaks_of_strands { take_size(&bare, &mut self.size) } else { bare };
        let mut bare = bare.as_str();
        let lettered;
        if self.scope.is_none() {
            if let Some((number, rest)) = scope::deviator(bare).filter(|(_, rest)| !rest.is_empty())
            {
                self.scope = Some(Scope::Between(number));
                bare = rest;
            } else if let Some((scope, rest)) = scope::letter(bare)
                && !is_size_letter(&rest)
            {
                self.scope = Some(scope);
                lettered = rest;
                bare = &lettered;
            }
        }
        let found = words(bare);
        if !is_group {
            self.own.clone_from(&found);
        }
        self.all.extend(found);
    }
}

/// Whether what stands before a letter is the name of an end already, as in `END A`.
fn is_size_letter(rest: &str) -> bool {
    let words = words(rest);
    words.is_empty() || words == ["end"] || words == ["ends"]
}

/// The two halves of a header that says the same in two tongues, or offers two names.
fn tongues(text: &str) -> Option<[&str; 2]> {
    let (one, other) = text.split_once('/')?;
    let is_name = |half: &str| {
        half.split(|c: char| !c.is_alphabetic()).any(|word| word.chars().count() >= 3)
            && !is_unit(half)
            && half.matches(['(', '[']).count() == half.matches([')', ']']).count()
    };
    (is_name(one) && is_name(other) && !other.contains('/')).then(|| [one.trim(), other.trim()])
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
        let mut inside = rest[at + 1..end].trim();
        // A unit may stand before what the brackets say else, as in `(ft, + right)`.
        if let Some((unit, behind)) = inside.split_once([',', ';'])
            && Unit::find_any(unit.trim()).is_some()
            && !is_unit(behind)
        {
            push(units, unit.trim());
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
        assert_eq!(HeaderText::read(&["Offset (+ve right)"]).sign, Some(Sign::Right));
        assert_eq!(HeaderText::read(&["Offset (+ left)"]).sign, Some(Sign::Left));
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
            (&["END A (Abut. S)", "Ch.", "m"], &["station"], Some(Scope::A), &["m"]),
            (&["END A", "Live /\ndead"], &["dead", "stressing"], Some(Scope::A), &[]),
            (&["Live/Dead"], &["dead", "stressing"], None, &[]),
            (&["Clearance A (mm)"], &["clearance"], Some(Scope::A), &["mm"]),
            (&["D1 x (m)"], &["x"], Some(Scope::Between(1)), &["m"]),
            (&["Offset (ft, + right)"], &["lateral"], None, &["ft"]),
            (&["Spannanker", "Höhe"], &["elevation"], Some(Scope::Stressing), &[]),
            (&["DEVIATOR 2", "z", "mm"], &["z"], Some(Scope::Between(2)), &["mm"]),
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
