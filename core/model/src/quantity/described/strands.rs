//! What a text says of strands.

use super::super::text::leading_number;
use super::super::unit::{Dimension, Unit};
use super::{SIGNS, strip_end, strip_word};

/// What a text says of the strands of a tendon.
#[derive(Debug, Clone, PartialEq)]
pub struct Strands {
    /// How many there are.
    pub count: u32,
    /// Nominal diameter, if it is stated as one.
    pub diameter_mm: Option<f64>,
    /// The kind of strand as written, as `T15` or `0.6"`.
    pub kind: String,
    /// Whether its size is one of the inch series.
    pub is_inch: bool,
}

/// Diameters of strand in millimetres; what lies outside is another number.
const STRAND_MM: std::ops::RangeInclusive<f64> = 8.0..=20.0;
/// Diameters of strand in inches.
const STRAND_IN: std::ops::RangeInclusive<f64> = 0.3..=0.8;

/// What may stand between a number of strands and their size.
const BETWEEN: [char; 8] = ['-', 'x', 'X', '×', '*', '/', '–', '@'];
/// What may stand behind a size of strand and says no more of it.
const BEHIND: [&str; 5] = ["strands", "strand", "diameter", "dia.", "dia"];

/// Reads a description of strands.
///
/// ```
/// use restrand_model::quantity::strands;
/// let read = strands("19-0.6\"").unwrap();
/// assert_eq!((read.count, read.diameter_mm, read.is_inch), (19, Some(15.24), true));
/// assert_eq!(strands("19T15").unwrap().diameter_mm, None);
/// assert_eq!(strands("19"), None);
/// assert_eq!(strands("15.7"), None);
/// ```
#[must_use]
pub fn strands(text: &str) -> Option<Strands> {
    let text = text.trim();
    if let Some((size, count)) = size_first(text) {
        // Behind the size 7 may be its wires, and 150 its area; a tendon has 55 strands at most.
        let count = count.parse().ok().filter(|count| (1..=55).contains(count) && *count != 7)?;
        return of_size(count, size);
    }
    let digits = text.find(|c: char| !c.is_ascii_digit())?;
    let count: u32 = text.get(..digits)?.parse().ok().filter(|count| (1..=200).contains(count))?;
    // A point right behind the number makes it a decimal: `15.7` is a size, and no fifteen of anything.
    if text[digits..].starts_with('.') {
        return None;
    }
    let rest = text[digits..].trim_start();
    let rest = rest.strip_prefix(BETWEEN).unwrap_or(rest).trim_start();
    let rest = strip_word(rest, "no.").or_else(|| strip_word(rest, "nos")).unwrap_or(rest);
    // A letter before the size makes it a class.
    if let Some(size) = rest.strip_prefix(['T', 'K', 'S', 'C', 'Y', 't']) {
        let size = without_grade(size.trim());
        let size = size.strip_suffix(['S', 's']).unwrap_or(size);
        let is_size = matches!(
            size,
            "12" | "13" | "15" | "16" | "12.5" | "12.7" | "12.9" | "15.2" | "15.3" | "15.7"
        );
        return is_size.then(|| Strands {
            count,
            diameter_mm: size.contains('.').then(|| size.parse().ok()).flatten(),
            kind: rest.to_owned(),
            is_inch: false,
        });
    }
    of_size(count, rest)
}

/// A class of strand without the strength in MPa behind it: `15S` of `15S-1860`.
fn without_grade(class: &str) -> &str {
    const STRENGTHS: std::ops::RangeInclusive<u32> = 1500..=2300;
    const BETWEEN: [char; 4] = ['-', ' ', '/', '–'];
    let parted = class.rsplit_once(BETWEEN);
    let is_grade = |text: &str| text.parse().is_ok_and(|grade: u32| STRENGTHS.contains(&grade));
    parted
        .filter(|(_, grade)| is_grade(grade.trim()))
        .map_or(class, |(class, _)| class.trim_end_matches(BETWEEN))
}

/// The size and the count of a text that begins with the size, as `Ø15.7 x 19` does; a sign or a unit tells that it does.
fn size_first(text: &str) -> Option<(&str, &str)> {
    let (size, count) = text.rsplit_once(['x', 'X', '×', '*'])?;
    let (size, count) = (size.trim(), count.trim());
    let is_measured =
        size.contains(SIGNS) || size.ends_with(['"', '″', '”']) || size.ends_with("mm");
    let is_count = !count.is_empty() && count.bytes().all(|digit| digit.is_ascii_digit());
    (is_measured && is_count).then_some((size, count))
}

/// So many strands of a size, with the sign of a diameter before it or behind.
fn of_size(count: u32, text: &str) -> Option<Strands> {
    let rest = text.strip_prefix(SIGNS).unwrap_or(text).trim_start();
    let rest = BEHIND.iter().fold(rest, |rest, word| {
        strip_end(rest, word).unwrap_or(rest).trim_end_matches(SIGNS).trim_end()
    });
    let (size, unit) = if let Some(after) = rest.strip_prefix('.') {
        let (_, unit) = leading_number(after).ok()?;
        (rest[..rest.len() - unit.len()].parse().ok()?, unit)
    } else {
        leading_number(rest).ok()?
    };
    // `15.7 Ø mm`
    let unit = match unit.trim().trim_start_matches(SIGNS).trim() {
        "" if STRAND_IN.contains(&size) => Unit::find("in", Dimension::Length)?,
        "" if STRAND_MM.contains(&size) => Unit::find("mm", Dimension::Length)?,
        symbol => Unit::find(symbol, Dimension::Length)?,
    };
    let diameter = size * unit.factor;
    STRAND_MM.contains(&diameter).then(|| Strands {
        count,
        diameter_mm: Some((diameter * 1e6).round() / 1e6),
        kind: rest.to_owned(),
        is_inch: unit.symbol == "in",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn strands_are_read_as_people_write_them() {
        for (text, count, diameter, is_inch) in [
            ("19-0.6\"", 19, Some(15.24), true),
            ("19 - 0.6\" dia. strands", 19, Some(15.24), true),
            ("19x15.7", 19, Some(15.7), false),
            ("19 × Ø15.7 mm", 19, Some(15.7), false),
            ("19T15", 19, None, false),
            ("19T15S", 19, None, false),
            ("19T15S-1860", 19, None, false),
            ("12 T13 - 1770", 12, None, false),
            ("7K15", 7, None, false),
            ("12K15.7", 12, Some(15.7), false),
            ("27-.6\"", 27, Some(15.24), true),
            ("19-0.6\" Ø", 19, Some(15.24), true),
            ("19-0.6\"Ø strands", 19, Some(15.24), true),
            ("19-15.7 Ø", 19, Some(15.7), false),
            ("19 x 15.7 Ø mm", 19, Some(15.7), false),
            ("Ø15.7 x 19", 19, Some(15.7), false),
            ("Ø 15.7 mm × 19", 19, Some(15.7), false),
            ("0.6\" x 12", 12, Some(15.24), true),
        ] {
            let read = strands(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(
                (read.count, read.diameter_mm, read.is_inch),
                (count, diameter, is_inch),
                "{text}"
            );
        }
        for text in [
            "19",
            "19 strands",
            "T15",
            "19T15X",
            "19T15-12",
            "19T18S",
            "19-21",
            "4'-6\"",
            "19 x 150",
            "",
            "2031-05-07",
            "15.7 x 19",
            "Ø125 x 7",
            "Ø15.7 x 7.4",
        ] {
            assert_eq!(strands(text), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn printed_strands_read_back(count in 1u32..60, tenths in 120u32..180) {
            let diameter = f64::from(tenths) / 10.0;
            let read = strands(&format!("{count}x{diameter}")).unwrap();
            prop_assert_eq!((read.count, read.diameter_mm), (count, Some(diameter)));
        }
    }
}
