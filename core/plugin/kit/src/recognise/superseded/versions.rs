//! Sheets that state the same tendons as they were designed and as they were built, or in two revisions.
//!
//! The later one is read, so that no tendon stands twice, and which holds is asked. Of tendons and fields that the later
//! one has not the earlier one speaks still. Where their names leave open which is the later, nothing is read of the
//! tendons that they state otherwise.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Place, Question};

use super::super::Looked;
use super::super::find::Found;
use super::super::grid::Sheet;
use super::super::groups::names_tendons;
use super::lines::Lines;
use super::stage::{Version, read};
use super::{Superseded, give_way, take_rows};

/// Marks that are named in a question at most.
const SHOWN: usize = 4;
/// Those of tendons that one sheet has alone.
const SHOWN_ALONE: usize = 20;

/// A sheet among the versions of one thing.
type Of<'l> = (Version, &'l String, &'l Lines);

/// The earlier ones of sheets that contradict each other, taken out of the others, and the questions which holds.
pub(super) fn settle(looked: &mut Vec<Looked>) -> (Vec<Superseded>, Vec<Question>) {
    let mut sheets: Vec<(String, String, Lines)> = Vec::new();
    for one in looked.iter() {
        let (part, name) = (&one.sheet.part, &one.sheet.name);
        match sheets.iter_mut().find(|(of, called, _)| (of, called) == (part, name)) {
            Some((.., lines)) => one.found.iter().for_each(|found| lines.add(&one.sheet, found)),
            None => sheets.push((part.clone(), name.clone(), Lines::of(one))),
        }
    }
    let mut groups: BTreeMap<(&String, Vec<String>), Vec<Of<'_>>> = BTreeMap::new();
    for (part, name, lines) in &sheets {
        if let Some((rest, version)) = read(name) {
            groups.entry((part, rest)).or_default().push((version, name, lines));
        }
    }
    let mut why: BTreeMap<(String, String), (String, &Lines, bool)> = BTreeMap::new();
    let mut questions = Vec::new();
    let mut superseded = Vec::new();
    let mut open = Vec::new();
    for ((part, _), mut versions) in groups {
        if let Some(found) = Open::of(part, &versions) {
            questions.push(found.question(&versions));
            open.push(found);
            continue;
        }
        versions.sort_by_key(|(version, ..)| std::cmp::Reverse(version.place()));
        let mut rest = versions.into_iter();
        let Some((latest, held, lines)) = rest.next() else { continue };
        let mut marks: BTreeSet<&str> = BTreeSet::new();
        let mut others = Vec::new();
        for (version, name, other) in rest {
            let contradicted = other.contradicted(lines);
            if latest.against(version) != Some(Ordering::Greater) || contradicted.is_empty() {
                continue;
            }
            let reason = format!(
                "\"{held}\" states tendons of it otherwise, and is the later of both by its name"
            );
            let key = (part.clone(), name.clone());
            // Kinds of strand that it lists, and tendons of its own, hold still.
            let states_more = looked
                .iter()
                .filter(|one| (&one.sheet.part, &one.sheet.name) == (part, name))
                .any(|one| one.found.iter().any(|found| found.assignment.list != "Tendons"));
            why.insert(key, (reason, lines, other.is_within(lines) && !states_more));
            marks.extend(contradicted);
            others.push((name.as_str(), other.alone(lines)));
        }
        if !others.is_empty() {
            questions.push(question(part, held, &others, &marks));
        }
    }
    for mut one in std::mem::take(looked) {
        let key = (one.sheet.part.clone(), one.sheet.name.clone());
        match why.get(&key) {
            Some((why, _, true)) => superseded.push(Superseded {
                sheet: one.sheet,
                rows: BTreeSet::new(),
                why: why.clone(),
                what: "sheet",
            }),
            Some((why, held, false)) => {
                for found in &mut one.found {
                    let mut lines = Lines::default();
                    lines.add(&one.sheet, found);
                    let rows = lines.shared(held);
                    if !rows.is_empty() {
                        let why = why.clone();
                        superseded.push(give_way(&mut one.sheet, found, rows, held, why));
                    }
                }
                looked.push(one);
            }
            None => looked.push(one),
        }
    }
    for one in looked.iter_mut() {
        for open in &open {
            superseded.extend(open.take_out(one));
        }
    }
    (superseded, questions)
}

/// Sheets that contradict each other, of which no name says which is the later.
struct Open {
    part: String,
    sheets: BTreeSet<String>,
    /// The marks of the tendons that they state otherwise, in small letters.
    marks: BTreeSet<String>,
}

impl Open {
    fn of(part: &str, versions: &[Of<'_>]) -> Option<Self> {
        let mut open =
            Self { part: part.to_owned(), sheets: BTreeSet::new(), marks: BTreeSet::new() };
        let mut is_open = false;
        for (at, (version, name, lines)) in versions.iter().enumerate() {
            for (other_version, other_name, other) in &versions[at + 1..] {
                // What two state of one mark may be of two tendons, though none of it is stated twice.
                let contradicted = match version.may_replace(*other_version) {
                    true => lines.mixed(other),
                    false => lines.contradicted(other),
                };
                if contradicted.is_empty() {
                    continue;
                }
                is_open |= version.against(*other_version).is_none();
                open.marks.extend(contradicted.iter().map(|mark| (*mark).to_owned()));
                open.sheets.extend([name, other_name].map(|name| (*name).clone()));
            }
        }
        is_open.then_some(open)
    }

    fn is_of(&self, sheet: &Sheet) -> bool {
        self.part == sheet.part && self.sheets.contains(&sheet.name)
    }

    /// Takes out of the tables of a sheet what they state of the tendons that are open.
    fn take_out(&self, one: &mut Looked) -> Vec<Superseded> {
        if !self.is_of(&one.sheet) {
            return Vec::new();
        }
        let others: Vec<String> = self
            .sheets
            .iter()
            .filter(|name| **name != one.sheet.name)
            .map(|name| quoted(name))
            .collect();
        let why = format!(
            "{} states tendons of it otherwise, and no name says which is the later",
            others.join(" and ")
        );
        let mut superseded = Vec::new();
        for found in &mut one.found {
            let rows = self.rows(&one.sheet, found);
            if !rows.is_empty() {
                superseded.push(take_rows(one.sheet.clone(), found, rows, why.clone()));
            }
        }
        superseded
    }

    /// The numbers of the rows of a table that are of these tendons; below a mark blanks are of the same.
    fn rows(&self, sheet: &Sheet, found: &Found) -> BTreeSet<u32> {
        let columns = &found.assignment.columns;
        let mark = columns.iter().find(|one| names_tendons(one.target));
        let mut named = found.owner.as_ref().map(|owner| owner.to_lowercase());
        let mut rows = BTreeSet::new();
        for row in &sheet.rows[found.body.clone()] {
            let own = mark.and_then(|mark| row.cells.get(&mark.index));
            if let Some(own) = own.filter(|cell| !cell.cell.is_blank()) {
                named = Some(own.cell.name().trim().to_lowercase());
            }
            if named.as_ref().is_some_and(|named| self.marks.contains(named)) {
                rows.insert(row.number);
            }
        }
        rows
    }

    /// Asks which holds.
    fn question(&self, versions: &[Of<'_>]) -> Question {
        let names: Vec<&str> = self.sheets.iter().map(String::as_str).collect();
        let of = |name: &str| versions.iter().find(|(_, other, _)| *other == name);
        let alone = |name: &str| -> BTreeSet<&str> {
            let Some((.., lines)) = of(name) else { return BTreeSet::new() };
            let mut alone = lines.marks();
            for (.., other) in versions.iter().filter(|(_, other, _)| *other != name) {
                alone = alone.intersection(&lines.alone(other)).copied().collect();
            }
            alone
        };
        let marks: BTreeSet<&str> = self.marks.iter().map(String::as_str).collect();
        let alone: Vec<(&str, BTreeSet<&str>)> =
            names.iter().map(|name| (*name, alone(name))).collect();
        let why = format!(
            "{} state tendons otherwise that are called alike, as {}, and no name says surely which is the later, or that \
             they are the same tendons; nothing is read of these{}",
            names.iter().map(|name| quoted(name)).collect::<Vec<_>>().join(" and "),
            shown(&marks, SHOWN),
            told(&alone)
        );
        asked(&self.part, &names, why)
    }
}

fn quoted(name: &str) -> String {
    format!("\"{name}\"")
}

/// Some marks, and how many more there are where all are to be told.
fn shown(marks: &BTreeSet<&str>, most: usize) -> String {
    marks.iter().take(most).map(|mark| mark.to_uppercase()).collect::<Vec<_>>().join(", ")
}

/// What is said of the tendons that one sheet has alone.
fn told(alone: &[(&str, BTreeSet<&str>)]) -> String {
    let told = alone.iter().filter(|(_, marks)| !marks.is_empty()).map(|(name, marks)| {
        let more = match marks.len().saturating_sub(SHOWN_ALONE) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        format!(
            "; {} alone has {}{more}, and what it states of them is read, though they may have been given up",
            quoted(name),
            shown(marks, SHOWN_ALONE)
        )
    });
    told.collect()
}

/// Asks which of some sheets holds, of which one is read; the others each with the tendons that it has alone.
pub(super) fn question(
    part: &str,
    held: &str,
    others: &[(&str, BTreeSet<&str>)],
    marks: &BTreeSet<&str>,
) -> Question {
    let names: Vec<&str> = others.iter().map(|(name, _)| *name).collect();
    let why = format!(
        "{} and {} state tendons otherwise that are called alike, as {}; {} is read meanwhile, and nothing that \
         contradicts it is taken from the rest, so that none stands twice{}",
        quoted(held),
        names.iter().map(|name| quoted(name)).collect::<Vec<_>>().join(" and "),
        shown(marks, SHOWN),
        quoted(held),
        told(others)
    );
    asked(part, &[&[held], names.as_slice()].concat(), why)
}

/// The question which of some sheets holds.
fn asked(part: &str, names: &[&str], why: String) -> Question {
    let first = names.first().copied().unwrap_or_default();
    Question {
        place: Place::Sheet { part: part.to_owned(), sheet: first.to_owned() },
        records: Vec::new(),
        subject: "sheet".to_owned(),
        header: first.to_owned(),
        given: first.to_owned(),
        readings: names.iter().map(|name| format!("{} holds", quoted(name))).collect(),
        why,
        help: "take what no longer holds out of the file, or let a mapping file say of the sheet: ignore = true"
            .to_owned(),
    }
}
