//! What notes state in words, once for all: `Strand: 15.7 mm dia., 150 mm², fpk 1860 MPa`, `All ducts filled with wax`.
//!
//! Only what a sentence says of all tendons, of those that it names, or of all others, is taken; and each value only
//! with the words or the unit that tell what it is. The note itself is kept as it stands.

mod duct;
mod ends;
mod limits;
mod quantities;
mod sentences;
mod strand;
mod tendons;
mod whose;

use std::collections::BTreeSet;

use restrand_model::reading::{Grid, Place};
use restrand_model::reflect::FieldInfo;
use restrand_model::sheet::Column;
use restrand_model::value::Value;

use super::Looked;
use super::grid::GridRow;
use super::legend;
use super::vocabulary::target_of;
use crate::sheet::Cell;
use sentences::{Sentence, Subject, sentences};
use whose::Spoken;
pub(super) use whose::Whose;

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

    /// Whether it is a value of the same field as another.
    pub(super) fn is_of_same(&self, other: &Self) -> bool {
        (self.list, self.path) == (other.list, other.path)
    }

    /// Whether it states of the same field another value.
    pub(super) fn is_otherwise(&self, other: &Self) -> bool {
        self.is_of_same(other) && !agree(&self.value, &other.value)
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
    /// What it states of all tendons, or of kinds.
    pub(super) given: Vec<Given>,
    /// What it states of some tendons.
    pub(super) of_some: Vec<(Whose, Given)>,
    /// What it states of tendons that it does not tell.
    pub(super) open: Vec<Given>,
    /// Why a sentence of it is not taken that speaks of the same things.
    pub(super) left: Vec<String>,
}

/// What the notes of a sheet state; `marks` are those of tendons, in small letters.
pub(super) fn of_sheet(one: &Looked, marks: &BTreeSet<String>) -> Vec<Note> {
    let sheet = &one.sheet;
    if sheet.grid.is_turned() {
        return Vec::new();
    }
    // What explains codes says of no tendon that it has what they mean.
    let legend = legend::of(sheet).rows;
    // A text of its own among the rows of a table is no row of it.
    let is_note = |row: &GridRow| {
        !legend.contains(&row.number)
            && (one.outside.contains(&row.number)
                || row.lone_text().is_some_and(|text| text.contains(char::is_whitespace)))
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
            let Stated { given, of_some, open, left } = match footnote(one, text) {
                Some(sign) => of_footnote(read(text, marks), sign),
                None => read(text, marks),
            };
            if given.is_empty() && of_some.is_empty() && left.is_empty() {
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
                of_some,
                open,
                left,
            });
        }
    }
    notes
}

/// The sign with which a text begins as footnotes do, where cells of tables end with it: `* filled with wax`.
fn footnote<'t>(one: &Looked, text: &'t str) -> Option<&'t str> {
    let signs =
        text.find(|c: char| !matches!(c, '*' | '†' | '‡' | '#' | '¹' | '²' | '³')).unwrap_or(0);
    let number = text.strip_prefix('(').and_then(|rest| {
        let end = rest.find(|c: char| !c.is_alphanumeric())?;
        rest[end..].starts_with(')').then_some(end + 2)
    });
    let sign = &text[..if signs > 0 { signs } else { number? }];
    let bodies = one.found.iter().flat_map(|found| &one.sheet.rows[found.body.clone()]);
    let mut cells = bodies.flat_map(|row| row.cells.keys().filter_map(|column| row.text(*column)));
    cells
        .any(|cell| cell.len() > sign.len() && cell.ends_with(sign) && cell != text)
        .then_some(sign)
}

/// What a footnote states: nothing of all, and of those that have its sign it is not told here.
fn of_footnote(mut stated: Stated, sign: &str) -> Stated {
    let of_all = std::mem::take(&mut stated.given);
    if !of_all.is_empty() {
        stated.leave(format!("it is a footnote to what has the sign {sign}"));
        stated.open.extend(of_all);
    }
    stated
}

/// What a text states.
#[derive(Debug, Default)]
struct Stated {
    /// Of all tendons.
    given: Vec<Given>,
    /// Of some of them.
    of_some: Vec<(Whose, Given)>,
    /// Of tendons that cannot be told.
    open: Vec<Given>,
    /// Why sentences that speak of the same things are not taken.
    left: Vec<String>,
}

impl Stated {
    fn leave(&mut self, why: String) {
        if !self.left.contains(&why) {
            self.left.push(why);
        }
    }
}

/// What a text states.
fn read(text: &str, marks: &BTreeSet<String>) -> Stated {
    let mut stated = Stated::default();
    let mut of_others: Vec<Given> = Vec::new();
    let subject = name_of(text);
    for sentence in sentences(text) {
        let (said, why) = of_sentence(&sentence);
        let speaks = !said.is_empty() || tendons::speaks(sentence.text);
        // From where some are stressed says nothing of all.
        if let Some((from, false)) = ends::from(&sentence.text.to_lowercase()) {
            match whose::spoken(sentence.text, marks) {
                Spoken::Of(some @ Whose::Of(_)) => stated.of_some.push((some, from)),
                _ => {
                    stated.leave("it speaks of less than all tendons".to_owned());
                    stated.open.push(from);
                }
            }
        }
        if let Spoken::Of(some @ Whose::Of(_)) = whose::spoken(sentence.text, marks)
            && whose::says_deleted(sentence.text)
        {
            let named = some.shown();
            stated.leave(format!(
                "it may say that {named} is no longer there; its row is read as one that holds"
            ));
        }
        if let Some(why) = why {
            stated.leave(why);
            // What is a choice for all tendons says nothing of some.
            let is_of_some = match whose::spoken(sentence.text, marks) {
                Spoken::Of(Whose::All) => false,
                Spoken::Unclear(limit) => limit.is_of_some,
                Spoken::Of(_) | Spoken::Others => true,
            };
            if is_of_some {
                stated.open.extend(tendons::fillers(sentence.text));
                stated.open.extend(said);
            }
            continue;
        }
        if !speaks {
            continue;
        }
        match whose::spoken(sentence.text, marks) {
            // `F1: cement grout` explains what is called so, and says nothing of all.
            Spoken::Of(Whose::All)
                if subject.as_ref().is_some_and(|name| !speaks_of_all(text, name)) =>
            {
                let (kinds, of_tendons) = said.into_iter().partition(|one| one.list != "Tendons");
                stated.given.extend::<Vec<_>>(kinds);
                let of_tendons: Vec<Given> = of_tendons;
                if let (Some(name), false) = (&subject, of_tendons.is_empty()) {
                    stated.leave(format!("it speaks of {name}"));
                    stated.open.extend(of_tendons);
                }
            }
            Spoken::Of(Whose::All) => stated.given.extend(said),
            Spoken::Others => of_others.extend(said),
            Spoken::Of(_) if contradicts(&said) || has_more_numbers(sentence.text, &said) => {
                stated.leave("it states several values of the same of some tendons".to_owned());
                stated.open.extend(said);
            }
            Spoken::Of(some) => {
                for one in said {
                    match one.list {
                        "Tendons" => stated.of_some.push((some.clone(), one)),
                        _ => {
                            stated.leave(format!("it speaks of {} by name", some.shown()));
                            stated.open.push(one);
                        }
                    }
                }
            }
            Spoken::Unclear(limit) => {
                stated.leave(limit.why);
                stated.open.extend(said.into_iter().filter(|_| limit.is_of_some));
            }
        }
    }
    give_others(&mut stated, of_others);
    settle(&mut stated);
    stated
}

/// Whether a text speaks of all behind a name that may as well be its own number: `N3: all ducts filled with wax`.
fn speaks_of_all(text: &str, name: &str) -> bool {
    let behind = text.trim_start().get(name.len()..).unwrap_or_default().to_lowercase();
    let mut words = behind.split(|c: char| !c.is_alphanumeric());
    words.any(|word| {
        matches!(word, "all" | "tendons" | "ducts" | "cables" | "alle" | "tous" | "toutes")
    })
}

/// What a sentence states, and why nothing of it is taken.
fn of_sentence(sentence: &Sentence<'_>) -> (Vec<Given>, Option<String>) {
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
    (said, why)
}

/// Whether a sentence on some tendons has numbers of which it states nothing: they may be those of the others.
fn has_more_numbers(sentence: &str, said: &[Given]) -> bool {
    let numbers = said.iter().filter(|one| one.value.as_number().is_some()).count();
    numbers > 0 && quantities::quantities(sentence).len() > numbers
}

/// Whether values of one field differ.
fn contradicts(said: &[Given]) -> bool {
    said.iter().any(|one| said.iter().any(|other| one.is_otherwise(other)))
}

/// Gives what is said of the others to all tendons but those of which the same note speaks by name.
fn give_others(stated: &mut Stated, of_others: Vec<Given>) {
    for one in of_others {
        let mut named = BTreeSet::new();
        for (whose, other) in &stated.of_some {
            if let (Whose::Of(some), true) = (whose, other.is_of_same(&one)) {
                named.extend(some.iter().cloned());
            }
        }
        let is_open = stated.open.iter().any(|other| other.is_of_same(&one));
        if named.is_empty() || is_open || one.list != "Tendons" {
            stated.leave("it speaks of others, and does not tell of which".to_owned());
            stated.open.push(one);
        } else {
            stated.of_some.push((Whose::AllBut(named), one));
        }
    }
}

/// Takes of what is said of all what the note says once.
fn settle(stated: &mut Stated) {
    let given = std::mem::take(&mut stated.given);
    // What a note states twice and differently it does not state.
    let mut taken: Vec<Given> = Vec::new();
    for one in &given {
        if let Some(other) = given.iter().find(|other| other.is_otherwise(one)) {
            let why = format!("it states both {} and {}", one.shown, other.shown);
            if !stated.left.iter().any(|said| said.starts_with("it states both")) {
                stated.left.push(why);
            }
            stated.open.push(one.clone());
        } else if stated.open.iter().any(|other| other.is_otherwise(one)) {
            stated.leave("it says otherwise of some, and does not tell of which".to_owned());
        } else if !taken.iter().any(|other| other.is_of_same(one)) {
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
    stated.given = taken;
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
        let stated = read(text, &BTreeSet::from(["t1".to_owned()]));
        stated.given.iter().map(Given::name).collect()
    }

    #[test]
    fn what_a_note_says_of_some_tendons_is_theirs_alone() {
        let marks = BTreeSet::from(["t1".to_owned(), "t2".to_owned(), "t3".to_owned()]);
        let of = |text: &str, mark: &str| -> Vec<String> {
            let stated = read(text, &marks);
            let some = stated.of_some.iter().filter(|(whose, _)| whose.is_of(Some(mark)));
            let of_all = stated.given.iter();
            let mut fillers: Vec<String> = some.map(|(_, given)| given.shown.clone()).collect();
            if fillers.is_empty() {
                fillers.extend(of_all.map(|given| given.shown.clone()));
            }
            fillers
        };
        for (text, of_t1, of_t2) in [
            ("duct filler: wax for T1 only; all others cement grout", "wax", "cement grout"),
            ("Filled with cement grout. T1 filled with wax.", "wax", "cement grout"),
            ("All ducts filled with wax except T1", "", "wax"),
            ("Filled with wax. Spare ducts filled with cement grout.", "", ""),
            ("all others filled with wax", "", ""),
            ("Filled with wax (T1), with cement grout (others)", "", ""),
        ] {
            assert_eq!(
                (of(text, "T1").join(" "), of(text, "T2").join(" ")),
                (of_t1.to_owned(), of_t2.to_owned()),
                "{text}"
            );
        }
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
        let stated = read("Tendons are filled with wax except T1", &BTreeSet::new());
        assert_eq!(stated.left.len(), 1);
    }
}
