//! Texts that say what a strand is: `St 1660/1860 150 mm²`, `Y1860S7 15,7 mm`, `T15.7 - 1860`, `0.6" Gr 270`.
//!
//! A text says so only where each of its parts is understood; any other is no more than a name.

use restrand_model::quantity::{Dimension, Unit, strands};
use restrand_model::value::{Fields, Value};

use super::super::vocabulary::Target;
use crate::sheet::Cell;
use crate::sheet::read::put;

/// What a text says of a strand.
#[derive(Debug, Default, PartialEq)]
pub(super) struct StrandText {
    pub(super) diameter_mm: Option<f64>,
    is_inch: bool,
    area_mm2: Option<f64>,
    fpu_mpa: Option<f64>,
    grade: Option<String>,
}

/// Between which values strength, area and diameter lie, in their units.
///
/// Common practice, no source.
const STRENGTHS_MPA: std::ops::RangeInclusive<f64> = 1500.0..=2300.0;
const AREAS_MM2: std::ops::RangeInclusive<f64> = 50.0..=200.0;
const DIAMETERS_MM: std::ops::RangeInclusive<f64> = 9.0..=18.5;
/// Grades in ksi, as ASTM A416 writes them.
const GRADES_KSI: [&str; 2] = ["250", "270"];
/// Words that add nothing.
const PLAIN: [&str; 12] =
    ["strand", "strands", "litze", "litzen", "toron", "torons", "ø", "dia", "dia.", "mm", "x", "-"];

/// What a cell of a column of strands says of the strand.
pub(super) fn strand_text(target: Option<Target>, cell: &Cell<'_>) -> Option<StrandText> {
    target.filter(|target| target.name() == "tendon.strand")?;
    match cell {
        Cell::Text(text) => read(text),
        _ => None,
    }
}

fn read(text: &str) -> Option<StrandText> {
    let mut said = StrandText::default();
    // A mere number is a name, or nobody knows what.
    if text.trim().parse::<f64>().is_ok() {
        return None;
    }
    let letters: Vec<char> = text.trim().chars().collect();
    let is_digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    // A comma between digits is a decimal mark here; a unit with a bar is one word.
    let plain: String = letters
        .iter()
        .enumerate()
        .map(|(at, letter)| match letter {
            ',' if at > 0 && is_digit(at - 1) && is_digit(at + 1) => '.',
            ',' | ';' | '(' | ')' => ' ',
            '–' | '—' => '-',
            '″' | '”' => '"',
            letter => *letter,
        })
        .collect();
    let plain = plain.replace("N/mm²", "MPa").replace("N/mm2", "MPa").replace("mm2", "mm²");
    let plain = plain.replace(" / ", " - ").replace(" mm²", "mm²").replace(" mm", "mm");
    let plain = plain.replace(" MPa", "MPa").replace(" in.", "\"").replace(" \"", "\"");
    let mut words = plain.split_whitespace().peekable();
    let mut is_first = true;
    while let Some(word) = words.next() {
        let next = words.peek().copied();
        let lower = word.to_lowercase();
        match lower.as_str() {
            "st" | "st." if next.is_some_and(|next| yields(next).is_some()) => {
                said.of_pair(words.next()?)?;
            }
            "gr" | "gr." | "grade" => said.of_grade(words.next()?)?,
            // `19 x 15.7`
            count if is_first && is_count(count) && next == Some("x") => {}
            word if PLAIN.contains(&word) => {}
            _ => said.word(word)?,
        }
        is_first = false;
    }
    (said.fpu_mpa.is_some() || said.area_mm2.is_some()).then_some(said)
}

fn is_count(text: &str) -> bool {
    text.parse().is_ok_and(|count: u32| (1..=55).contains(&count))
}

/// The two stresses of `1660/1860`, the tensile strength behind the other.
fn yields(text: &str) -> Option<(f64, f64)> {
    let (one, other) = text.split_once('/')?;
    let (one, other): (f64, f64) = (one.parse().ok()?, other.parse().ok()?);
    (one < other && STRENGTHS_MPA.contains(&other) && one > 0.75 * other).then_some((one, other))
}

impl StrandText {
    /// Takes what one word says; nothing if it is not understood.
    fn word(&mut self, word: &str) -> Option<()> {
        let lower = word.to_lowercase();
        if let Some(pair) = lower.strip_prefix("st").filter(|pair| yields(pair).is_some()) {
            return self.of_pair(pair);
        }
        if let Some(grade) = lower.strip_prefix("gr").filter(|grade| !grade.is_empty()) {
            return self.of_grade(grade.trim_start_matches(['.', '-']));
        }
        if let Some(rest) = word.strip_prefix(['Y', 'y'])
            && rest.get(4..6).is_some_and(|wires| wires.eq_ignore_ascii_case("s7"))
        {
            // EN 10138-3 names a strand of seven wires by its tensile strength in MPa.
            self.strength(rest[..4].parse().ok()?)?;
            self.grade = Some(word[..7].to_owned());
            return match rest[6..].trim_start_matches(['-', '/']) {
                "" => Some(()),
                size => self.word(size),
            };
        }
        // Words that are joined: `T15.7-1860`, `15.7/1860`.
        if !is_fraction(word)
            && let Some((one, other)) = word.split_once(['-', '/'])
        {
            self.word(one)?;
            return self.word(other);
        }
        self.measure(&lower)
    }

    /// Takes a number, with its unit or with what tells its sort.
    fn measure(&mut self, word: &str) -> Option<()> {
        let number = |text: &str| text.trim().parse::<f64>().ok();
        if let Some(area) = word.strip_suffix("mm²") {
            let area = number(area).filter(|area| AREAS_MM2.contains(area))?;
            return set(&mut self.area_mm2, area, 0.5);
        }
        if let Some(stress) = word.strip_suffix("mpa") {
            return self.strength(number(stress)?);
        }
        if let Some(ksi) = word.strip_suffix("ksi") {
            return self.of_grade(ksi);
        }
        if let Some(inches) = word.strip_suffix(['"']) {
            let read = strands(&format!("1x{inches}\""))?;
            let is_new = self.diameter_mm.is_none();
            set(&mut self.diameter_mm, read.diameter_mm?, 0.1)?;
            self.is_inch |= is_new;
            return Some(());
        }
        if let Some(size) = word.strip_suffix("mm") {
            return self.diameter(number(size.trim_start_matches('ø'))?);
        }
        if let Some(size) = word.strip_prefix(['t', 'ø', 'k', 'c']) {
            // A class is of either diameter: it tells none, but where it has its decimals.
            return match size.trim_end_matches('s') {
                "12" | "13" | "15" | "16" => Some(()),
                size if size.contains('.') => self.diameter(number(size)?),
                _ => None,
            };
        }
        match number(word)? {
            stress if STRENGTHS_MPA.contains(&stress) => self.strength(stress),
            size if word.contains('.') => self.diameter(size),
            _ => None,
        }
    }

    fn diameter(&mut self, size: f64) -> Option<()> {
        if !DIAMETERS_MM.contains(&size) {
            return None;
        }
        set(&mut self.diameter_mm, size, 0.1)
    }

    fn strength(&mut self, stress: f64) -> Option<()> {
        if !STRENGTHS_MPA.contains(&stress) {
            return None;
        }
        set(&mut self.fpu_mpa, stress, 5.0)
    }

    fn of_pair(&mut self, pair: &str) -> Option<()> {
        self.strength(yields(pair)?.1)?;
        self.grade = Some(format!("St {pair}"));
        Some(())
    }

    /// Takes a grade: in ksi, as of ASTM A416, or in MPa.
    fn of_grade(&mut self, grade: &str) -> Option<()> {
        let number: f64 = grade.parse().ok()?;
        if GRADES_KSI.contains(&grade) {
            let ksi = Unit::find("ksi", Dimension::Stress)?;
            let mpa = Unit::find("MPa", Dimension::Stress)?;
            self.strength(number * ksi.factor / mpa.factor)?;
        } else {
            self.strength(number)?;
        }
        self.grade = Some(grade.to_owned());
        Some(())
    }

    /// Puts it where the strand does not say it yet.
    pub(super) fn put(&self, strand: &mut Fields, name: &str) {
        let mut one = |field: &'static [&'static str], value: Option<Value>| {
            if let Some(value) = value.filter(|_| strand.get(field[0]).is_none()) {
                put(strand, field, value);
            }
        };
        let series = if self.is_inch { "inch" } else { "metric" };
        one(&["id"], Some(Value::Text(name.trim().into())));
        one(&["diameter_mm"], self.diameter_mm.map(Value::Number));
        one(&["series"], self.diameter_mm.map(|_| Value::Text(series.into())));
        one(&["area_mm2"], self.area_mm2.map(Value::Number));
        one(&["fpu_mpa"], self.fpu_mpa.map(Value::Number));
        one(&["grade"], self.grade.as_deref().map(|grade| Value::Text(grade.into())));
    }
}

/// Whether a word is an inch with its fraction: `1/2"`.
fn is_fraction(word: &str) -> bool {
    word.ends_with('"') && word.contains('/')
}

/// Sets a value, unless another one is said.
fn set(value: &mut Option<f64>, said: f64, apart: f64) -> Option<()> {
    match *value {
        Some(other) if (other - said).abs() > apart => None,
        Some(_) => Some(()),
        None => {
            *value = Some(said);
            Some(())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_say_what_a_strand_is() {
        let all = |text: &str| {
            let said = read(text)?;
            let round = |value: f64| (value * 100.0).round() / 100.0;
            Some((said.diameter_mm.map(round), said.area_mm2, said.fpu_mpa.map(round), said.grade))
        };
        let grade = |text: &str| Some(text.to_owned());
        for (text, expected) in [
            ("St 1660/1860 150 mm²", (None, Some(150.0), Some(1860.0), grade("St 1660/1860"))),
            ("0,6\" St 1660/1860", (Some(15.24), None, Some(1860.0), grade("St 1660/1860"))),
            ("Y1860S7 15,7 mm", (Some(15.7), None, Some(1860.0), grade("Y1860S7"))),
            ("Y1860S7-15.7", (Some(15.7), None, Some(1860.0), grade("Y1860S7"))),
            ("Y1860S7 150 mm²", (None, Some(150.0), Some(1860.0), grade("Y1860S7"))),
            ("T15.7 - 1860", (Some(15.7), None, Some(1860.0), None)),
            ("T15S - 1860", (None, None, Some(1860.0), None)),
            ("15.7 mm / 1860", (Some(15.7), None, Some(1860.0), None)),
            ("15.7/1860", (Some(15.7), None, Some(1860.0), None)),
            ("19 x 15.7 / 1860", (Some(15.7), None, Some(1860.0), None)),
            ("0.6\" Gr 270", (Some(15.24), None, Some(1861.58), grade("270"))),
            ("15.2 mm (0.6\"), 140 mm2, 1860 N/mm²", (Some(15.2), Some(140.0), Some(1860.0), None)),
        ] {
            assert_eq!(all(text), Some(expected), "{text}");
        }
        for text in [
            // Names, sizes alone, and what is of other things or says two things.
            "ST1",
            "T15S",
            "15.7 mm",
            "A-1860",
            "Bar 36 mm / 1030",
            "Y1030H 36 mm",
            "1860",
            "St 500/550",
            "15.7 or 15.2 / 1860",
            "Y1860S7 1770",
            "T15.7 - 1860 galv. 3",
            "St 1860/1660",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
