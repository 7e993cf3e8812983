//! The quantities of a sentence: numbers as people write them, each with the words before and behind it.

use std::ops::Range;

use restrand_model::quantity::{self, DecimalMark, Dimension, Marks, Unit, of_field};
use restrand_model::reflect::FieldInfo;

use super::super::unit::is_plausible;

/// Words of a unit at most, as in `sq. in.`
const MOST_WORDS: usize = 3;

/// A number of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Quantity<'t> {
    sentence: &'t str,
    number: Range<usize>,
    /// What stands between it and the number before it.
    pub(super) before: &'t str,
    /// What stands behind it, up to the next number.
    behind: &'t str,
}

/// The numbers of a sentence; those that are part of a name, as in `Y1860S7-15.7`, are none.
pub(super) fn quantities(sentence: &str) -> Vec<Quantity<'_>> {
    let spans = numbers(sentence);
    let ends = spans.iter().map(|span| span.start).skip(1).chain([sentence.len()]);
    let mut last = 0;
    spans
        .iter()
        .zip(ends)
        .map(|(span, end)| {
            let before = &sentence[std::mem::replace(&mut last, span.end)..span.start];
            Quantity { sentence, number: span.clone(), before, behind: &sentence[span.end..end] }
        })
        .collect()
}

/// Where numbers stand in a sentence.
fn numbers(sentence: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = sentence[at..].find(|c: char| c.is_ascii_digit()).map(|by| at + by) {
        let before = &sentence[..start];
        let (before, start) = match before.strip_suffix(['.', ',']) {
            // A decimal without its zero, as `.6`.
            Some(shorter) if !shorter.ends_with(char::is_alphanumeric) => {
                (shorter, start - (before.len() - shorter.len()))
            }
            _ => (before, start),
        };
        let end = end_of_number(sentence, start);
        let joined = before.strip_suffix(['-', '/', '–', '.', ',']).unwrap_or(before);
        let is_part = before.ends_with(char::is_alphanumeric)
            || joined.len() < before.len() && joined.ends_with(char::is_alphanumeric);
        if !is_part {
            found.push(start..end);
        }
        at = end;
    }
    found
}

/// The end of the number that begins there: its digits, marks between them, groups of three, and a fraction.
fn end_of_number(sentence: &str, start: usize) -> usize {
    let digits = |from: usize| {
        let rest = &sentence[from..];
        from + rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len())
    };
    let mut end = digits(start);
    loop {
        let rest = &sentence[end..];
        let mut letters = rest.chars();
        let Some(mark) = letters.next() else { return end };
        let behind = end + mark.len_utf8();
        let next = digits(behind);
        let parts_thousands = matches!(mark, ' ' | '\u{a0}' | '\u{202f}' | '\'' | '’')
            && next - behind == 3
            && end - start <= 3
            && !sentence[next..].starts_with(['.', '/']);
        let is_fraction =
            mark == '/' && matches!(&sentence[behind..next], "2" | "4" | "8" | "16" | "32");
        let is_decimal = matches!(mark, '.' | ',') && next > behind;
        if is_fraction {
            return next;
        }
        if !is_decimal && !parts_thousands {
            break;
        }
        end = next;
    }
    // `14 3/8`
    let rest = &sentence[end..];
    let space = rest.len() - rest.trim_start_matches([' ', '-']).len();
    let above = digits(end + space);
    if space == 1 && above > end + space && sentence[above..].starts_with('/') {
        let below = digits(above + 1);
        if matches!(&sentence[above + 1..below], "2" | "4" | "8" | "16" | "32") {
            return below;
        }
    }
    end
}

impl<'t> Quantity<'t> {
    /// The number as written, with the unit of this dimension behind it, if it has one.
    pub(super) fn shown(&self, dimension: Option<Dimension>) -> &'t str {
        let unit = dimension.and_then(|dimension| self.unit(dimension));
        let end = unit.map_or(self.number.end, |(_, end)| end);
        self.sentence[self.number.start..end].trim().trim_end_matches([',', ';', ':', '.', ')'])
    }

    /// Where the number stands in its sentence.
    pub(super) fn place(&self) -> Range<usize> {
        self.number.clone()
    }

    /// The sentence from the number on.
    pub(super) fn from(&self) -> &'t str {
        &self.sentence[self.number.start..]
    }

    /// What stands behind it and its unit of this dimension.
    pub(super) fn rest(&self, dimension: Dimension) -> &'t str {
        let end = self.number.end + self.behind.len();
        self.unit(dimension).map_or(self.behind, |(_, from)| &self.sentence[from.min(end)..end])
    }

    /// The unit of this dimension behind it, and where that ends.
    fn unit(&self, dimension: Dimension) -> Option<(&'static Unit, usize)> {
        let from = self.number.end;
        let rest = &self.sentence[from..];
        let space = rest.len() - rest.trim_start_matches([' ', '\u{a0}', '\u{202f}']).len();
        let unit = &rest[space..];
        for mark in ['"', '″', '”'] {
            if unit.starts_with(mark) && dimension == Dimension::Length {
                return Some((Unit::find("in", dimension)?, from + space + mark.len_utf8()));
            }
        }
        let mut ends: Vec<usize> = unit
            .char_indices()
            .filter(|(_, letter)| letter.is_whitespace() || matches!(letter, ',' | ';' | ':' | ')'))
            .map(|(at, _)| at)
            .take(MOST_WORDS)
            .collect();
        ends.push(unit.len());
        ends.truncate(MOST_WORDS);
        ends.iter().rev().find_map(|end| {
            let written = unit[..*end].trim_end_matches([',', ';', ':', ')']);
            let found = Unit::find(written, dimension)?;
            let is_word = written == "in" && !is_inch(&unit[*end..]);
            (!is_word).then_some((found, from + space + end))
        })
    }

    /// Whether no letter or other sign of a unit follows the number itself, and it begins no range.
    pub(super) fn is_bare(&self) -> bool {
        let rest = &self.sentence[self.number.end..];
        let is_range = rest
            .trim_start()
            .strip_prefix(['-', '–', '…'])
            .is_some_and(|to| to.trim_start().starts_with(|c: char| c.is_ascii_digit()));
        !is_range
            && !self.behind.starts_with(|c: char| c.is_alphanumeric() || "%\"″”'°/".contains(c))
    }

    /// The value for a field that has a unit, if its own unit stands behind it.
    pub(super) fn value(&self, field: &FieldInfo) -> Option<f64> {
        let own = of_field(field.name).1?;
        let (unit, _) = self.unit(own.dimension)?;
        self.only(field, |number| {
            quantity::read(&format!("{number} {}", unit.symbol), None, Some(own)).ok()
        })
    }

    /// The value for a field in this unit, though none stands behind it.
    pub(super) fn value_in(&self, field: &FieldInfo, unit: &'static Unit) -> Option<f64> {
        let own = of_field(field.name).1?;
        self.only(field, |number| quantity::read(number, Some(unit), Some(own)).ok())
    }

    /// The number for a field that takes no unit.
    pub(super) fn number(&self) -> Option<f64> {
        match self.readings().as_slice() {
            [number] => quantity::read(number, None, None).ok(),
            _ => None,
        }
    }

    /// The one value that the number can have: what its marks leave open, only one of which a bridge can have.
    fn only(&self, field: &FieldInfo, read: impl Fn(&str) -> Option<f64>) -> Option<f64> {
        let read: Vec<f64> = self.readings().iter().filter_map(|one| read(one)).collect();
        match *read.as_slice() {
            [value] => Some(value),
            [one, other] => {
                let can_be = |value: f64| is_plausible(field, value) == Some(true);
                match (can_be(one), can_be(other)) {
                    (true, false) => Some(one),
                    (false, true) => Some(other),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    /// What the number may say: two readings where its mark can part decimals or thousands.
    fn readings(&self) -> Vec<String> {
        let written = &self.sentence[self.number.clone()];
        let is_grouped = !written.contains('/');
        let plain: String = written
            .chars()
            .filter(|c| !(is_grouped && matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\'' | '’')))
            .collect();
        let plain = if plain.starts_with(['.', ',']) { format!("0{plain}") } else { plain };
        match Marks::of(&plain) {
            Marks::None => vec![plain],
            Marks::Tell(mark) => vec![mark.settle(&plain).into_owned()],
            Marks::PointOrThousands | Marks::CommaOrThousands => {
                [DecimalMark::Point, DecimalMark::Comma]
                    .map(|mark| mark.settle(&plain).into_owned())
                    .to_vec()
            }
        }
    }
}

/// Whether what follows `in` lets it be inches: the end of a clause, or a word of sizes.
fn is_inch(behind: &str) -> bool {
    const SIZES: [&str; 9] = ["dia", "diam", "ø", "nom", "strand", "o.d", "od", "hdpe", "wedge"];
    let behind = behind.trim_start().to_lowercase();
    behind.is_empty()
        || behind.starts_with([',', ';', ':', '.', ')'])
        || SIZES.iter().any(|word| behind.starts_with(word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::schedule::{Strand, Stressing};

    fn read(sentence: &str, field: &str) -> Vec<Option<f64>> {
        let field = Strand::INFO.field(field).or_else(|| Stressing::INFO.field(field)).unwrap();
        let round = |value: f64| (value * 1e12).round() / 1e12;
        quantities(sentence).iter().map(|one| one.value(field).map(round)).collect()
    }

    #[test]
    fn numbers_stand_with_their_units() {
        assert_eq!(read("As = 0.217 in²", "area_mm2"), [Some(139.999_72)]);
        assert_eq!(read("A = 0.217 SQ. IN., E", "area_mm2"), [Some(139.999_72)]);
        assert_eq!(read("Ap = 150 mm², Ep", "area_mm2"), [Some(150.0)]);
        for text in
            ["E = 195 GPa", "E=195 kN/mm2.", "Ep = 195.000 N/mm²", "195 000 MPa", "195,000 MPa"]
        {
            assert_eq!(read(text, "e_mpa"), [Some(195_000.0)], "{text}");
        }
        assert_eq!(read("E = 28,500 KSI.", "e_mpa"), [Some(196_500.582_855_298_3)]);
        assert_eq!(read(".6\" dia.", "diameter_mm"), [Some(15.24)]);
        assert_eq!(read("0.6 IN. DIAMETER", "diameter_mm"), [Some(15.24)]);
        assert_eq!(read("0.6 in dia", "diameter_mm"), [Some(15.24)]);
        assert_eq!(read("Ø 15,7 mm", "diameter_mm"), [Some(15.7)]);
        assert_eq!(read("15 in every box", "diameter_mm"), [None]);
        assert_eq!(read("set 3/8 in", "set_mm"), [Some(9.525)]);
        assert_eq!(read("set 1 1/4\"", "set_mm"), [Some(31.75)]);
        assert_eq!(read("K = 0.0002/FT", "wobble_per_m"), [Some(0.000_656_167_979)]);
        // Parts of names are no numbers.
        assert_eq!(read("Y1860S7-15.7 to EN 10138-3, ASTM A416, St 1660/1860", "fpu_mpa").len(), 2);
    }
}
