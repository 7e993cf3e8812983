//! What notes state in words, once for all: `Strand: 15.7 mm dia., 150 mm², fpk 1860 MPa`, `All ducts filled with wax`.
//!
//! Only what a sentence says of all tendons, without anything that takes some of them out, is taken; and each value
//! only with the words or the unit that tell what it is. The note itself is kept as it stands.

mod duct;
mod ends;
mod limits;
mod quantities;
mod sentences;
mod strand;
mod tendons;

use std::collections::BTreeSet;

use restrand_model::reading::{Grid, Place};
use restrand_model::reflect::FieldInfo;
use restrand_model::sheet::Column;
use restrand_model::value::Value;

use super::Looked;
use super::grid::GridRow;
use super::vocabulary::target_of;
use crate::sheet::Cell;
use sentences::{Subject, sentences};

/// Letters of a note at least and at most: a shorter text is a label, a longer one a specification.
const LETTERS: std::ops::RangeInclusive<usize> = 8..=600;

/// A value that a note states.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Given {
    /// The layout's sheet of the record that it is of.
    pub(super) list: &'static str,
    pub(super) path: &'static [&'static str],
    pub(super) value: Value,
    /// As it is written.
    pub(super) shown: String,
}

impl Given {
    fn number(list: &'static str, path: &'static [&'static str], value: f64, shown: &str) -> Self {
        Self { list, path, value: Value::Number(value), shown: shown.to_owned() }
    }

    fn text(list: &'static str, path: &'static [&'static str], value: &str, shown: &str) -> Self {
        Self { list, path, value: Value::Text(value.into()), shown: shown.to_owned() }
    }

    /// The field's name, as `strand.area_mm2`.
    pub(super) fn name(&self) -> String {
        target_of(self.list, &self.path.join(".")).map_or_else(String::new, |target| target.name())
    }
}

/// What a note states.
#[derive(Debug, Clone)]
pub(super) struct Note {
    pub(super) part: String,
    pub(super) sheet: String,
    pub(super) grid: Grid,
    pub(super) row: u32,
    pub(super) column: u32,
    /// Its cell, as people name it.
    pub(super) cell: String,
    pub(super) place: Place,
    pub(super) text: String,
    /// The name with which it begins, as `T15S: strand Ø 15.7 mm`.
    pub(super) subject: Option<String>,
    pub(super) given: Vec<Given>,
    /// Why a sentence of it is not taken that speaks of the same things.
    pub(super) left: Vec<String>,
}

/// What the notes of a sheet state; `marks` are those of tendons, in small letters.
pub(super) fn of_sheet(one: &Looked, marks: &BTreeSet<String>) -> Vec<Note> {
    let sheet = &one.sheet;
    if sheet.grid.is_turned() {
        return Vec::new();
    }
    // A text of its own among the rows of a table is no row of it.
    let is_note = |row: &GridRow| {
        one.outside.contains(&row.number)
            || row.lone_text().is_some_and(|text| text.contains(char::is_whitespace))
    };
    let mut notes = Vec::new();
    for row in sheet.rows.iter().filter(|row| is_note(row)) {
        for (column, cell) in row.own() {
            let Cell::Text(text) = &cell.cell else { continue };
            let text = text.trim();
            if !LETTERS.contains(&text.chars().count()) || one.taken.contains(&(row.number, column))
            {
                continue;
            }
            let (given, left) = read(text, marks);
            if given.is_empty() && left.is_empty() {
                continue;
            }
            notes.push(Note {
                part: sheet.part.clone(),
                sheet: sheet.name.clone(),
                grid: sheet.grid,
                row: row.number,
                column,
                cell: super::cell_name(sheet, row.number, column),
                place: sheet.place(row.number, Some(column)),
                text: text.to_owned(),
                subject: name_of(text),
                given,
                left,
            });
        }
    }
    notes
}

/// What a text states, and why sentences that speak of the same things are not taken.
fn read(text: &str, marks: &BTreeSet<String>) -> (Vec<Given>, Vec<String>) {
    let mut given: Vec<Given> = Vec::new();
    let mut left = Vec::new();
    for sentence in sentences(text) {
        let of_kind = match sentence.subject {
            Subject::Strand => strand::read(sentence.text),
            Subject::Duct => duct::read(sentence.text),
            // The modulus on which elongations rest is that of the strand.
            Subject::None if sentence.text.to_lowercase().contains("elongation") => {
                let mut of_strand = strand::read(sentence.text);
                of_strand.retain(|given| given.path == ["e_mpa"]);
                of_strand
            }
            Subject::None => Vec::new(),
        };
        let (mut said, why) = match tendons::read(sentence.text) {
            Ok(of_tendons) => (of_tendons, None),
            Err(why) => (Vec::new(), Some(why)),
        };
        said.splice(0..0, of_kind);
        let why = why.or_else(|| {
            let speaks = !said.is_empty() || tendons::speaks(sentence.text);
            speaks.then(|| limits::limit(&ends::without_only(sentence.text), marks)).flatten()
        });
        match why {
            Some(why) => left.push(why),
            None => given.extend(said),
        }
    }
    // What a note states twice and differently it does not state.
    let mut taken: Vec<Given> = Vec::new();
    for one in &given {
        let mut same =
            given.iter().filter(|other| (other.list, other.path) == (one.list, one.path));
        if let Some(other) = same.find(|other| !agree(&other.value, &one.value)) {
            let why = format!("it states both {} and {}", one.shown, other.shown);
            if !left.iter().any(|said| said.starts_with("it states both")) {
                left.push(why);
            }
        } else if !taken.iter().any(|other| (other.list, other.path) == (one.list, one.path)) {
            taken.push(one.clone());
        }
    }
    // Two sizes are two strands, and nothing tells which the rest is of.
    for (list, size) in [("Strands", "diameter_mm"), ("Ducts", "outer_mm")] {
        let is_size = |one: &Given| one.list == list && one.path == [size];
        if given.iter().any(is_size) && !taken.iter().any(is_size) {
            taken.retain(|one| one.list != list);
        }
    }
    (taken, left)
}

/// Whether two values say the same, but for the last digits of a conversion.
pub(super) fn agree(one: &Value, other: &Value) -> bool {
    /// Steel is stated in whole MPa and square millimetres, and in thousandths of an inch.
    const SHARE: f64 = 0.005;
    match (one.as_number(), other.as_number()) {
        (Some(one), Some(other)) => (one - other).abs() <= SHARE * one.abs().max(other.abs()),
        _ => match (one.as_text(), other.as_text()) {
            (Some(one), Some(other)) => one.eq_ignore_ascii_case(other),
            _ => one == other,
        },
    }
}

/// The name with which a note begins, if it is one of a kind: letters and digits in one word before a colon.
fn name_of(text: &str) -> Option<String> {
    let (name, _) = text.split_once([':', '='])?;
    let name = name.trim();
    let has = |is: fn(&char) -> bool| name.chars().any(|c| is(&c));
    let is_name = !name.contains(char::is_whitespace)
        && has(|c| c.is_alphabetic())
        && has(char::is_ascii_digit);
    is_name.then(|| name.to_owned())
}

/// The field of a list at a path.
pub(super) fn field_of(list: &str, path: &[&str]) -> Option<&'static FieldInfo> {
    match target_of(list, &path.join("."))?.column()? {
        Column::Value { field, .. } => Some(field.0),
        Column::Link { .. } => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Vec<String> {
        let (given, _) = read(text, &BTreeSet::from(["t1".to_owned()]));
        given.iter().map(Given::name).collect()
    }

    #[test]
    fn notes_state_what_holds_for_all_and_nothing_else() {
        assert_eq!(
            said("Strand Aps 140 mm², fpk 1860 MPa.  Cables C5, C6: not used."),
            ["strand.area_mm2", "strand.fpu_mpa"]
        );
        assert_eq!(said("* ELONGATIONS ARE BASED ON E = 28,500 KSI."), ["strand.e_mpa"]);
        assert_eq!(said("Concrete: E = 35 GPa, fck 50 MPa"), [""; 0]);
        assert_eq!(said("All ducts filled with wax"), ["tendon.filler"]);
        assert_eq!(said("T1 is filled with wax"), [""; 0]);
        assert_eq!(said("Strand 15.2 mm (140 mm²) or 15.7 mm (150 mm²)"), [""; 0]);
        assert_eq!(said("Reinforcement grade 500, strand by others"), [""; 0]);
        let (_, left) = read("Tendons are filled with wax except T1", &BTreeSet::new());
        assert_eq!(left.len(), 1);
    }
}
