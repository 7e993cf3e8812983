//! What headers say of two values in one cell: the names of both ends, or of two fields.

use restrand_model::sheet::Column;

use super::super::opposites::is_of_ends;
use super::super::vocabulary::{Target, Vocabulary};
use super::super::words::{sorted, words};

/// How headers name the two ends at once, and how each is named alone.
const NAMES: &[(&[&str], [&str; 2])] = &[
    (&["A / B", "A/B", "A & B", "A, B", "A | B"], ["A", "B"]),
    (&["B / A", "B/A", "B & A", "B, A", "B | A"], ["B", "A"]),
    (&["End A / End B", "End A/End B", "Ends A / B", "Ends A/B", "Ends A & B"], ["end A", "end B"]),
    (&["End B / End A", "End B/End A", "Ends B / A", "Ends B/A", "Ends B & A"], ["end B", "end A"]),
    (&["live / dead", "live/dead", "live / dead end"], ["live end", "dead end"]),
    (&["dead / live", "dead/live", "dead / live end"], ["dead end", "live end"]),
    (&["left / right", "left/right", "lt. / rt.", "lt / rt"], ["left end", "right end"]),
    (&["right / left", "right/left", "rt. / lt.", "rt / lt"], ["right end", "left end"]),
    (&["start / end", "start/end", "start / finish"], ["start", "finish"]),
    (&["L / R", "L/R"], ["L", "R"]),
    (&["R / L", "R/L"], ["R", "L"]),
    (&["G / D", "G/D"], ["G", "D"]),
    (&["D / G", "D/G"], ["D", "G"]),
    // Which end lies in a quarter other columns tell.
    (&["S / N", "S/N", "South / North", "South/North"], ["S", "N"]),
    (&["N / S", "N/S", "North / South", "North/South"], ["N", "S"]),
    (&["W / E", "W/E", "West / East", "West/East"], ["W", "E"]),
    (&["E / W", "E/W", "East / West", "East/West"], ["E", "W"]),
    (&["1 / 2", "1/2"], ["end 1", "end 2"]),
    (&["2 / 1", "2/1"], ["end 2", "end 1"]),
];

/// The headers of the two values of a cell, where a header names both.
pub(super) fn named(text: &str) -> Option<[String; 2]> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    // What a unit behind the names says is said of both.
    let (bare, unit) = match text.rfind(['(', '[']) {
        Some(at) if at > 0 && text.ends_with([')', ']']) && !text[at..].contains('/') => {
            (text[..at].trim_end(), &text[at..])
        }
        _ => (text.as_str(), ""),
    };
    let with_unit = |name: String| format!("{name} {unit}").trim().to_owned();
    match by_ends(bare) {
        Some((rest, names)) => {
            let rest = with_unit(rest);
            Some(names.map(|name| format!("{rest} {name}").trim().to_owned()))
        }
        None => of_fields(bare).map(|names| names.map(with_unit)),
    }
}

/// What a header says besides the names of the two ends.
fn by_ends(text: &str) -> Option<(String, [&'static str; 2])> {
    let bare = text.trim_end_matches([')', ']']);
    for (written, names) in NAMES {
        for one in *written {
            let Some(start) = bare.len().checked_sub(one.len()) else { continue };
            let Some(tail) = bare.get(start..) else { continue };
            // Letters alone are written as such: `S/N` counts, `s/n` does not.
            let is_same = if one.len() <= 5 && one.starts_with(|c: char| c.is_ascii_uppercase()) {
                tail == *one
            } else {
                tail.eq_ignore_ascii_case(one)
            };
            let before = &bare[..start];
            // Behind a number it is a fraction: `7 1/2`.
            let is_fraction = before.trim_end().ends_with(|c: char| c.is_ascii_digit());
            if is_same
                && !is_fraction
                && (before.is_empty() || before.ends_with([' ', '(', '[', ',', '-', ':']))
            {
                let rest = before.trim_end_matches([' ', '(', '[', ',', '-', '–', ':', '@']);
                // A serial number is no value of two quarters.
                if rest.is_empty() && matches!(*one, "S/N" | "S / N") {
                    return None;
                }
                // What lies to the left of an end is none of the left end.
                if matches!(names, ["left end" | "right end" | "L" | "R" | "G" | "D", _])
                    && !rest.is_empty()
                    && !is_of_ends(&words(rest))
                {
                    return match (is_room(rest), names) {
                        (true, ["left end" | "L", _]) => Some((rest.to_owned(), ["left", "right"])),
                        (true, ["right end" | "R", _]) => {
                            Some((rest.to_owned(), ["right", "left"]))
                        }
                        _ => None,
                    };
                }
                return Some((rest.to_owned(), *names));
            }
        }
    }
    None
}

/// Whether words name the room beside an anchorage, which has a left and a right side.
fn is_room(text: &str) -> bool {
    words(text).iter().any(|word| matches!(word.as_str(), "clearance" | "free"))
}

/// The names of two quantities with a stroke between them: `Elongation / draw-in`, `Duct OD / ID`.
fn of_fields(text: &str) -> Option<[String; 2]> {
    let (one, other) = text.split_once(" / ").or_else(|| text.split_once('/'))?;
    let (one, other) = (one.trim(), other.trim());
    if other.contains('/') || quantity(text).is_some() {
        return None;
    }
    let first = quantity(one)?;
    // The words before the first may hold for the second.
    let before = one.rsplit_once(' ').map(|(before, _)| format!("{before} {other}"));
    let second = before
        .into_iter()
        .filter(|name| quantity(name).is_some_and(|second| second.list() == first.list()))
        .chain([other.to_owned()])
        .next()?;
    let is_another = quantity(&second).is_some_and(|second| second != first);
    is_another.then(|| [one.to_owned(), second])
}

/// The field that people call so, if it is measured in a unit, or the duct or strand that is described so.
fn quantity(text: &str) -> Option<Target> {
    let found = Vocabulary::get().find(&sorted(words(text)));
    let mut named = found.into_iter().filter(|(_, score)| *score >= 1.0).map(|(target, _)| target);
    named.find(|target| matches!(target.column(), Some(Column::Value { unit: Some(_), .. }) | None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_that_name_both_ends_say_what_else_they_name() {
        for (text, one, other) in [
            ("Chainage\nA / B", "Chainage A", "Chainage B"),
            ("Elong. A/B (mm)", "Elong. (mm) A", "Elong. (mm) B"),
            ("Elongation, end B / end A (mm)", "Elongation (mm) end B", "Elongation (mm) end A"),
            ("Level (A / B)", "Level A", "Level B"),
            ("Set, live / dead", "Set live end", "Set dead end"),
            ("A / B", "A", "B"),
            ("Theoretical extension S / N", "Theoretical extension S", "Theoretical extension N"),
            ("Elongation (West / East)", "Elongation W", "Elongation E"),
            ("Allongement G / D [mm]", "Allongement [mm] G", "Allongement [mm] D"),
            ("Elongation R/L (mm)", "Elongation (mm) R", "Elongation (mm) L"),
            ("Clear left / right (mm)", "Clear (mm) left", "Clear (mm) right"),
        ] {
            assert_eq!(named(text), Some([one, other].map(str::to_owned)), "{text}");
        }
        for text in ["Duct OD/t", "Span", "Data/B", "Tendon A", "S/N", "Web L / R"] {
            assert_eq!(named(text), None, "{text}");
        }
    }

    #[test]
    fn headers_that_name_two_fields_are_those_of_both() {
        for (text, one, other) in [
            ("Elongation / draw-in (mm)", "Elongation (mm)", "draw-in (mm)"),
            ("Duct OD / ID (mm)", "Duct OD (mm)", "Duct ID (mm)"),
        ] {
            assert_eq!(named(text), Some([one, other].map(str::to_owned)), "{text}");
        }
        for text in ["Länge / Length", "Strands / tendon", "Span / web", "Câble / Tendon", "kN/m"]
        {
            assert_eq!(named(text), None, "{text}");
        }
    }
}
