//! What notes state in words, once for all: `Strand: 15.7 mm dia., 150 mm², fpk 1860 MPa`, `All ducts filled with wax`.
//!
//! Only what a sentence says of all tendons, of those that it names, or of all others, is taken; and each value only
//! with the words or the unit that tell what it is. The note itself is kept as it stands.

mod accounted;
mod clauses;
mod context;
mod duct;
mod ends;
mod exceptions;
mod limits;
mod quantities;
mod reader;
mod sentences;
mod strand;
mod tendons;
mod text;
mod told;
mod whose;

use std::collections::BTreeSet;

use restrand_model::reading::{Grid, Place};
use restrand_model::reflect::FieldInfo;
use restrand_model::sheet::Column;
use restrand_model::value::Value;

use super::Looked;
use super::grid::GridRow;
use super::legend;
use super::scope::Scope;
use super::vocabulary::target_of;
use crate::sheet::Cell;
pub(super) use context::{headed, of_sheets as told_of};
use text::{Stated, of_footnote, of_kinds, read};
pub(super) use told::Told;
pub(super) use whose::Whose;

/// Letters of a note at least and at most: a shorter text is a label, a longer one a specification.
const LETTERS: std::ops::RangeInclusive<usize> = 8..=600;

/// Words that make a sentence of what stands behind a label: fewer are its value.
const SENTENCE: usize = 4;

/// Stands for a value that cannot be told.
const UNTOLD: &str = "?";

/// A value that a note states.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Given {
    /// The layout's sheet of the record that it is of.
    pub(super) list: &'static str,
    pub(super) path: &'static [&'static str],
    pub(super) value: Value,
    /// The end that it is of, for a value of one end.
    pub(super) end: Option<Scope>,
    /// As it is written.
    pub(super) shown: String,
}

impl Given {
    fn number(list: &'static str, path: &'static [&'static str], value: f64, shown: &str) -> Self {
        Self { list, path, value: Value::Number(value), end: None, shown: shown.to_owned() }
    }

    fn text(list: &'static str, path: &'static [&'static str], value: &str, shown: &str) -> Self {
        Self { list, path, value: Value::Text(value.into()), end: None, shown: shown.to_owned() }
    }

    /// Something that is said of a field and cannot be told: it is another value than any.
    fn untold(list: &'static str, path: &'static [&'static str], shown: &str) -> Self {
        Self { list, path, value: Value::Text(UNTOLD.into()), end: None, shown: shown.to_owned() }
    }

    /// Whether it can be told what is said.
    fn is_told(&self) -> bool {
        self.value.as_text() != Some(UNTOLD)
    }

    /// Whether it is a value of the same field as another.
    pub(super) fn is_of_same(&self, other: &Self) -> bool {
        (self.list, self.path, self.end) == (other.list, other.path, other.end)
    }

    /// Whether it states of the same field another value.
    pub(super) fn is_otherwise(&self, other: &Self) -> bool {
        self.is_of_same(other) && !agree(&self.value, &other.value)
    }

    /// The field's name, as `strand.area_mm2`, with the end that it is of.
    pub(super) fn name(&self) -> String {
        let target = target_of(self.list, &self.path.join("."));
        let name = target.map_or_else(String::new, |target| target.name());
        match self.end {
            Some(Scope::A) => format!("{name} at end a"),
            Some(Scope::B) => format!("{name} at end b"),
            _ => name,
        }
    }
}

/// What a sentence states with words that nobody accounts for, so that it is asked of which tendons it is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Asked {
    pub(super) given: Vec<Given>,
    /// The words.
    pub(super) words: Vec<String>,
    /// The tendons of which it would be without them.
    pub(super) whose: Whose,
}

impl Asked {
    /// What is unclear, as a clause behind the note's name.
    pub(super) fn why(&self) -> String {
        let shown: Vec<String> =
            self.given.iter().map(|given| format!("{} {}", given.name(), given.shown)).collect();
        let words = self.words.join(" ");
        format!(
            "states {}, and \"{words}\" in it is not understood: nothing tells whether it is of {}",
            shown.join(", "),
            self.whose.shown()
        )
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
    /// The first row of the list of which it is one; the rows of a list speak of one strand and one duct.
    pub(super) list: Option<u32>,
    /// What it states of all tendons, or of kinds.
    pub(super) given: Vec<Given>,
    /// What it states of some tendons.
    pub(super) of_some: Vec<(Whose, Given)>,
    /// What it states of tendons that it does not tell.
    pub(super) open: Vec<Given>,
    /// What it states with words that are not understood.
    pub(super) asked: Vec<Asked>,
    /// Why a sentence of it is not taken that speaks of the same things.
    pub(super) left: Vec<String>,
}

/// What the notes of a sheet state; `told` is what is known where they stand.
pub(super) fn of_sheet(one: &Looked, mut told: Told<'_>) -> Vec<Note> {
    let sheet = &one.sheet;
    if sheet.grid.is_turned() {
        return Vec::new();
    }
    // What explains codes says of no tendon that it has what they mean.
    let legend = legend::of(sheet).rows;
    // A text of its own among the rows of a table is no row of it.
    let is_note = |row: &GridRow| {
        one.outside.contains(&row.number)
            || row.lone_text().is_some_and(|text| text.contains(char::is_whitespace))
    };
    let mut notes = Vec::new();
    let mut before = None;
    for row in sheet.rows.iter().filter(|row| is_note(row)) {
        // A heading is of what stands right below it, down to the next empty row.
        if before.replace(row.number).is_none_or(|before| before + 1 != row.number) {
            told.heading.clear();
            told.field = None;
        }
        let stated = labelled(row);
        for (column, cell) in row.own() {
            let Cell::Text(text) = &cell.cell else { continue };
            let stated = stated.as_ref().filter(|(at, _)| *at == column);
            let text = stated.map_or(text.trim(), |(_, text)| text.as_str());
            let is_label = text.chars().count() < *LETTERS.start();
            if text.chars().count() > *LETTERS.end() || one.taken.contains(&(row.number, column)) {
                continue;
            }
            // What stands before it in its row says of what it is.
            let before = row
                .own()
                .take_while(|(other, _)| *other < column)
                .find_map(|(other, _)| row.text(other));
            let before = before.filter(|_| stated.is_none());
            let labelled = before.filter(|label| whose::names_some(label, &told.marks));
            // What is said of tendons by name may be as short as `T2: wax`.
            if is_label && labelled.is_none() && !whose::names_some(text, &told.marks) {
                continue;
            }
            let is_short = text.split_whitespace().count() < SENTENCE;
            if before.is_some() && labelled.is_none() && is_short {
                continue;
            }
            let labelled =
                labelled.map(|label| format!("{}: {text}", label.trim_end_matches([':', ' '])));
            let text = labelled.as_deref().unwrap_or(text);
            let stated = match footnote(one, text) {
                Some(sign) => of_footnote(read(text, &told), sign),
                None if legend.contains(&row.number) && explains(text, &told) => {
                    of_kinds(read(text, &told))
                }
                None => read(text, &told),
            };
            let last = stated.given.iter().rfind(|one| one.list == "Tendons");
            told.field = last.map(|one| one.path);
            if stated.is_empty() {
                if context::is_below(one, row.number)
                    && let Some(heading) =
                        told::of_heading(text, &told.known(&BTreeSet::new(), &[]))
                {
                    told.heading = heading;
                }
                continue;
            }
            let Stated { given, of_some, open, asked, left } = stated;
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
                list: None,
                given,
                of_some,
                open,
                asked,
                left,
            });
        }
    }
    notes
}

/// What a text states of all tendons and of kinds.
pub(super) fn of_all(text: &str, told: &Told<'_>) -> Vec<Given> {
    read(text, told).given
}

/// Of which tendons a heading or a remark says that what stands below or beside it holds; or why that cannot be told.
pub(super) fn whose(text: &str, told: &Told<'_>) -> Result<Whose, String> {
    /// Words of headings by which they speak of no fewer tendons.
    const PLAIN: [&str; 12] = [
        "general",
        "data",
        "common",
        "materials",
        "material",
        "properties",
        "parameters",
        "values",
        "design",
        "allgemeine",
        "angaben",
        "données",
    ];
    let qualified = |why: Option<String>| {
        let words = told::of_heading(text, &told.known(&BTreeSet::new(), &PLAIN));
        match words.filter(|words| !words.is_empty()) {
            Some(words) => told.of_words(&words, text).ok_or_else(|| {
                why.unwrap_or_else(|| format!("\"{}\" is not understood", words.join(" ")))
            }),
            None => why.map_or(Ok(Whose::All), Err),
        }
    };
    match whose::spoken(text, &told.marks) {
        whose::Spoken::Of(Whose::All) => qualified(None),
        whose::Spoken::Of(whose) => Ok(whose),
        whose::Spoken::Others => Err("it speaks of others, and does not tell of which".to_owned()),
        whose::Spoken::Unclear(limit) if limit.is_of_some => qualified(Some(limit.why)),
        // What is open or speaks of other things names no tendons.
        whose::Spoken::Unclear(_) => Ok(Whose::All),
    }
}

/// The sign with which a text begins as footnotes do, where cells of tables end with it: `* filled with wax`.
fn footnote<'t>(one: &Looked, text: &'t str) -> Option<&'t str> {
    let signs =
        text.find(|c: char| !matches!(c, '*' | '†' | '‡' | '#' | '¹' | '²' | '³')).unwrap_or(0);
    let number = text.strip_prefix('(').and_then(|rest| {
        let end = rest.find(|c: char| !c.is_alphanumeric())?;
        rest[end..].starts_with(')').then_some(end + 2)
    });
    // `2)` begins a numbered note as well, and is the sign of one where a mark had it.
    let half = text.find(')').map(|end| end + 1).filter(|end| {
        let is_short = (2..=3).contains(end);
        is_short && one.sheet.footnotes.contains(&text[..*end])
    });
    let sign = &text[..if signs > 0 { signs } else { number.or(half)? }];
    if one.sheet.footnotes.contains(sign) {
        return Some(sign);
    }
    let bodies = one.found.iter().flat_map(|found| &one.sheet.rows[found.body.clone()]);
    let mut cells = bodies.flat_map(|row| row.cells.keys().filter_map(|column| row.text(*column)));
    cells
        .any(|cell| cell.len() > sign.len() && cell.ends_with(sign) && cell != text)
        .then_some(sign)
}

/// Whether a text of a legend explains a code: what is called by its name, as a duct or a tendon, is none.
fn explains(text: &str, told: &Told<'_>) -> bool {
    let Some((code, _)) = text.split_once([':', '=', '–']) else { return true };
    !whose::names_some(code, &told.marks) && !accounted::is_thing(code)
}

/// A label with a value beside it as one note, and where the value stands: `Strand area` and `150 mm²`.
fn labelled(row: &GridRow) -> Option<(u32, String)> {
    let mut own = row.own().filter(|(_, cell)| !cell.cell.is_blank());
    let ((label, _), (column, _), None) = (own.next()?, own.next()?, own.next()) else {
        return None;
    };
    let (label, value) = (row.text(label)?, row.text(column)?);
    let is_value = value.starts_with(|letter: char| letter.is_ascii_digit());
    let is_label = label.chars().any(char::is_alphabetic) && !label.contains(['.', ';']);
    (is_value && is_label)
        .then(|| (column, format!("{}: {value}", label.trim_end_matches([':', '=', ' ']))))
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
