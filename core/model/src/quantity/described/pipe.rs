//! What a text says of a duct or a pipe.

use std::borrow::Cow;

use super::super::text::leading_number;
use super::super::unit::{Dimension, Unit};
use super::{SIGNS, strip_end, strip_word};

/// What a text says of a duct or a pipe.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pipe {
    /// Nominal size as written.
    pub nominal: Option<String>,
    /// Outer diameter.
    pub outer_mm: Option<f64>,
    /// Wall.
    pub wall_mm: Option<f64>,
    /// Outer diameter over wall.
    pub dimension_ratio: Option<f64>,
    /// Pipe schedule of a steel pipe.
    pub schedule: Option<String>,
}

/// The least diameter of a duct that is written over its wall, as `110/6.6`.
const LEAST_OUTER: f64 = 20.0;

/// Reads a description of a duct or a pipe; bare numbers are in `stated`.
///
/// ```
/// use restrand_model::quantity::{Unit, Dimension, pipe};
/// let mm = Unit::find("mm", Dimension::Length);
/// let read = pipe("114.3 x 6.7", mm).unwrap();
/// assert_eq!((read.outer_mm, read.wall_mm), (Some(114.3), Some(6.7)));
/// assert_eq!(pipe("4\" SDR 17", None).unwrap().dimension_ratio, Some(17.0));
/// assert_eq!(pipe("PE125", mm), None);
/// ```
#[must_use]
pub fn pipe(text: &str, stated: Option<&'static Unit>) -> Option<Pipe> {
    // A comma between digits is a decimal mark: no list of sizes is a pipe.
    let text = &*with_points(text.trim());
    let bare = ["HDPE", "PE-HD", "PE", "PP", "STEEL"]
        .iter()
        .find_map(|word| {
            strip_word(text, word).filter(|rest| {
                rest.starts_with(['Ø', 'ø', '⌀', 'φ'])
                    || text.len() > rest.len() + word.len()
                    || strip_class(rest) != *rest
            })
        })
        .unwrap_or(text);
    let bare = strip_class(bare);
    let bare = strip_material(bare);
    // The nominal size DN of a pipe of polyethylene is its outer diameter in millimetres (ISO 4427-2, from memory).
    let (bare, is_dn) = match strip_word(bare, "DN").filter(|rest| has_ratio(rest)) {
        Some(rest) => (rest.trim_start_matches("/OD").trim_start(), true),
        None => (bare, false),
    };
    let (bare, mut is_outer) = strip_outer(bare);
    is_outer |= is_dn;
    let bare = bare.strip_prefix(SIGNS).unwrap_or(bare).trim_start();
    // No fraction of an inch has such a numerator.
    let parted = bare
        .split_once('/')
        .filter(|(outer, _)| outer.trim().parse::<f64>().is_ok_and(|outer| outer >= LEAST_OUTER));
    let bare = &*parted.map_or(Cow::Borrowed(bare), |(outer, wall)| {
        Cow::Owned(format!("{} x {}", outer.trim(), wall.trim()))
    });
    let (first, rest) = leading_number(bare).ok()?;
    let rest = rest.trim_start();
    let (unit, rest) = leading_unit(rest);
    let size = bare[..bare.len() - rest.len()].trim().to_owned();
    let (rest, says_outer) = strip_outer(rest.trim_start());
    is_outer |= says_outer;
    let rest = rest.trim_start_matches([',', ' ']);
    // Nominal sizes in inches are iron-pipe sizes.
    let rest = strip_word(rest, "IPS").filter(|_| !is_outer).unwrap_or(rest);
    let rest = rest.trim_start_matches([',', ' ']);
    for word in ["SDR", "DR"] {
        if let Some(ratio) = strip_word(rest, word) {
            let ratio = ratio.trim_start_matches(['-', ' ']);
            let (ratio, behind) = leading_number(ratio).ok()?;
            if is_outer && behind.trim().is_empty() {
                // No duct has an outer diameter of so many inches.
                let mm = Unit::find("mm", Dimension::Length).filter(|_| first >= LEAST_OUTER);
                let unit = unit.or(stated).or(mm)?;
                return Some(Pipe {
                    outer_mm: Some(first * unit.factor),
                    dimension_ratio: Some(ratio),
                    ..Pipe::default()
                });
            }
            // The size that stands before a ratio is a nominal one: that of a 4" pipe is not its diameter.
            return behind.trim().is_empty().then(|| Pipe {
                nominal: Some(size),
                dimension_ratio: Some(ratio),
                ..Pipe::default()
            });
        }
    }
    for word in ["Schedule", "SCH.", "SCH"] {
        if let Some(schedule) = strip_word(rest, word).filter(|rest| !rest.is_empty()) {
            return Some(Pipe {
                nominal: Some(size),
                schedule: Some(schedule.to_owned()),
                ..Pipe::default()
            });
        }
    }
    let rest = rest.strip_prefix(['x', 'X', '×', '*', '/'])?.trim_start();
    let (wall, rest) = leading_number(rest).ok()?;
    let (own, rest) = leading_unit(rest.trim_start());
    let unit = unit.or(own).or(stated)?;
    let rest = strip_word(rest, "thk").or_else(|| strip_word(rest, "wall")).unwrap_or(rest);
    let is_pipe = rest.is_empty() && wall > 0.0 && wall * 4.0 < first;
    is_pipe.then(|| Pipe {
        outer_mm: Some(first * unit.factor),
        wall_mm: Some(wall * own.unwrap_or(unit).factor),
        ..Pipe::default()
    })
}

/// A text without the class of polyethylene with which it begins, as `100 140 x 8.3` behind `PE`.
fn strip_class(text: &str) -> &str {
    const CLASSES: [&str; 4] = ["100-RC", "100RC", "100", "80"];
    let behind = CLASSES.iter().find_map(|class| text.strip_prefix(class));
    // A number stands behind it, or it is a size.
    match behind.map(|rest| rest.trim_start_matches([',', ':'])) {
        Some(rest) if rest.starts_with(' ') => {
            let rest = rest.trim_start();
            let is_size = rest.starts_with(|c: char| c.is_ascii_digit() || "ØøOo⌀φ".contains(c));
            if is_size { rest } else { text }
        }
        _ => text,
    }
}

/// A text without the words that say that a diameter is the outer one, and whether it began with them.
fn strip_outer(text: &str) -> (&str, bool) {
    let found = ["O.D.", "OD", "O/D"].iter().find_map(|word| {
        strip_word(text, word).filter(|rest| {
            !rest.starts_with(char::is_alphabetic) || text.len() > rest.len() + word.len()
        })
    });
    found.map_or((text, false), |rest| (rest.trim_start_matches(['=', ':', ' ']), true))
}

/// A text without the material of a pipe with which it ends, as `160 x 9.5 HDPE` and `110 SDR 17 PE 100`.
fn strip_material(text: &str) -> &str {
    const MATERIALS: [&str; 3] = ["HDPE", "PE-HD", "PE"];
    const CLASSES: [&str; 5] = ["100-RC", "100RC", "100", "80", ""];
    let behind = MATERIALS.iter().find_map(|material| {
        CLASSES.iter().find_map(|class| {
            let text = strip_end(text, class)?;
            let rest = strip_end(text.trim_end_matches(['-', ' ']), material)?;
            rest.ends_with(|c: char| c.is_ascii_digit() || c.is_whitespace() || ",;m\"".contains(c))
                .then(|| rest.trim_end_matches([',', ';', ' ', '(']))
        })
    });
    // What is left must say something by itself.
    behind.filter(|rest| rest.contains(|c: char| c.is_ascii_digit())).unwrap_or(text)
}

/// A text whose decimal commas are points: `140 x 8,3`.
fn with_points(text: &str) -> Cow<'_, str> {
    let bytes = text.as_bytes();
    let is_digit =
        |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
    let is_decimal = |at: usize| is_digit(at.checked_sub(1)) && is_digit(Some(at + 1));
    let commas: Vec<usize> = text.match_indices(',').map(|(at, _)| at).collect();
    if commas.is_empty() || !commas.iter().any(|at| is_decimal(*at)) {
        return Cow::Borrowed(text);
    }
    let letters = text.char_indices();
    letters.map(|(at, letter)| if letter == ',' && is_decimal(at) { '.' } else { letter }).collect()
}

/// Whether a text states the ratio of a diameter to its wall, as only those of pipes of plastics are.
fn has_ratio(text: &str) -> bool {
    let upper = text.to_uppercase();
    ["SDR", "DR "].iter().any(|word| upper.contains(word))
}

/// The unit of length that a text begins with, and what follows it.
fn leading_unit(text: &str) -> (Option<&'static Unit>, &str) {
    for (mark, symbol) in [
        ("mm", "mm"),
        ("inch", "in"),
        ("in.", "in"),
        ("in", "in"),
        ("\"", "in"),
        ("″", "in"),
        ("”", "in"),
    ] {
        if let Some(rest) = strip_word(text, mark) {
            return (Unit::find(symbol, Dimension::Length), rest);
        }
    }
    (None, text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn pipes_are_read_as_people_write_them() {
        let mm = Unit::find("mm", Dimension::Length);
        let read = pipe("HDPE 4\" SDR 17", None).unwrap();
        assert_eq!((read.nominal.as_deref(), read.dimension_ratio), (Some("4\""), Some(17.0)));
        assert_eq!(pipe("4 in SDR-13.5", None).unwrap().dimension_ratio, Some(13.5));
        assert_eq!(pipe("4\" SCH 40", None).unwrap().schedule.as_deref(), Some("40"));
        let read = pipe("4.5\" x 0.265\"", None).unwrap();
        assert!(
            (read.outer_mm.unwrap() - 114.3).abs() < 1e-9
                && (read.wall_mm.unwrap() - 6.731).abs() < 1e-9
        );
        assert_eq!(pipe("Ø125 x 7.4 mm", None).unwrap().wall_mm, Some(7.4));
        assert_eq!(pipe("110/6.6", mm).unwrap().wall_mm, Some(6.6));
        assert_eq!(pipe("114.3 x 6.7", None), None);
        for text in [
            "140 OD SDR 17",
            "140 mm OD SDR 17",
            "OD 140 SDR 17",
            "PE100 OD 140, SDR17",
            "Ø140 OD SDR 17",
        ] {
            let read = pipe(text, None).unwrap_or_else(|| panic!("{text}"));
            assert_eq!((read.outer_mm, read.dimension_ratio), (Some(140.0), Some(17.0)), "{text}");
        }
        for text in ["PE100 140x8.3", "HDPE 140 OD x 8.3", "PE 100 140 x 8.3", "OD 140 x 8.3"] {
            assert_eq!(pipe(text, mm).and_then(|read| read.wall_mm), Some(8.3), "{text}");
        }
        for text in ["DN110 SDR17 PE100", "DN 110 SDR 17", "DN/OD 110 SDR 17, PE 100"] {
            let read = pipe(text, None).unwrap_or_else(|| panic!("{text}"));
            assert_eq!((read.outer_mm, read.dimension_ratio), (Some(110.0), Some(17.0)), "{text}");
        }
        for text in [
            "160 x 9.5 HDPE",
            "160 x 9.5 mm PE 100",
            "PE-HD 160 x 9.5",
            "OD 160 x 9.5, HDPE",
            "160 x 9,5",
        ] {
            let read = pipe(text, mm).unwrap_or_else(|| panic!("{text}"));
            assert_eq!((read.outer_mm, read.wall_mm), (Some(160.0), Some(9.5)), "{text}");
        }
        let read = pipe("4\" IPS SDR 17", None).unwrap();
        assert_eq!((read.nominal.as_deref(), read.dimension_ratio), (Some("4\""), Some(17.0)));
        assert_eq!(pipe("DN 100", None), None);
        for text in ["PE125", "125", "125 x 125", "see note 4", ""] {
            assert_eq!(pipe(text, mm), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn printed_pipes_read_back(outer in 500u32..3000, wall in 20u32..120) {
            let (outer, wall) = (f64::from(outer) / 10.0, f64::from(wall) / 10.0);
            let read = pipe(&format!("{outer} x {wall} mm"), None).unwrap();
            prop_assert!((read.outer_mm.unwrap() - outer).abs() < 1e-9);
            prop_assert!((read.wall_mm.unwrap() - wall).abs() < 1e-9);
        }
    }
}
