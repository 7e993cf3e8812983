//! Tables on several sheets that call different tendons alike, as a sheet for each span does that has a T1 of its own.
//!
//! Two tables with the same headers list what is theirs: tendons of one mark in both are two, and the points and ends of
//! one would be taken for those of the other.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Origin, Problem, ProblemKind};

use super::Looked;
use super::assign::Assigned;
use super::find::Found;
use super::grid::{GridRow, Sheet};
use super::habits::{RowKind, kind};
use super::superseded::are_versions;
use super::table::heading;

/// Columns that two tables have in common at least.
const LEAST: usize = 2;

/// What is added to marks that several tables share.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Apart {
    /// What tells the tendons of this table, as `Span 1`.
    pub(super) label: String,
    /// The marks, in small letters.
    pub(super) marks: BTreeSet<String>,
}

/// Tables whose marks need more to be told apart, by the part, the sheet and the row of their headers.
pub(super) type Alike = BTreeMap<(String, String, u32), Apart>;

/// The key of a table.
pub(super) fn key(sheet: &Sheet, found: &Found) -> (String, String, u32) {
    (sheet.part.clone(), sheet.name.clone(), sheet.rows[found.headers.end - 1].number)
}

/// A table that lists tendons.
struct Lists {
    key: (String, String, u32),
    headers: BTreeSet<String>,
    /// The rows by their marks, in small letters.
    rows: BTreeMap<String, Vec<String>>,
    label: String,
    /// Whether the label names a span or a web.
    is_place: bool,
}

/// The tables that call different tendons alike, and what is to be said of them.
pub(super) fn find(looked: &[Looked]) -> (Alike, Vec<Problem>) {
    let of = |one: &Looked| -> Vec<(Lists, Problem)> {
        let tables = one.found.iter().filter(|found| found.assignment.list == "Tendons");
        tables
            .filter_map(|found| Some((lists(&one.sheet, found)?, problem(&one.sheet, found))))
            .collect()
    };
    let (tables, mut problems): (Vec<Lists>, Vec<Problem>) = looked.iter().flat_map(of).unzip();
    let mut alike = Alike::new();
    let mut said = BTreeMap::new();
    for (at, one) in tables.iter().enumerate() {
        for (other_at, other) in tables.iter().enumerate().filter(|(other, _)| *other != at) {
            let Some(shared) = shared(one, other) else { continue };
            let apart = alike
                .entry(one.key.clone())
                .or_insert_with(|| Apart { label: one.label.clone(), marks: BTreeSet::new() });
            apart.marks.extend(shared);
            said.entry(at).or_insert(other_at);
        }
    }
    for (at, other) in &said {
        let (one, other) = (&tables[*at], &tables[*other]);
        let mark =
            alike.get(&one.key).and_then(|apart| apart.marks.first()).cloned().unwrap_or_default();
        problems[*at].why = format!(
            "lists tendons that are called as those of \"{}\", as {}; each is taken for a tendon of its own, and \
             \"{}\" is added to its mark",
            other.key.1,
            mark.to_uppercase(),
            one.label
        );
    }
    let mut at = 0;
    problems.retain(|_| {
        at += 1;
        said.contains_key(&(at - 1))
    });
    (alike, problems)
}

/// What a table lists, if it names its tendons.
fn lists(sheet: &Sheet, found: &Found) -> Option<Lists> {
    let is_mark =
        |column: &&Assigned| column.target.is_some_and(|target| target.name() == "tendon.mark");
    let mark = found.assignment.columns.iter().find(is_mark)?;
    let mut rows: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let gives = |number: u32| found.only.as_ref().is_none_or(|only| only.contains(&number));
    // Notes and sums below the rows are none.
    let of_fields = found.assignment.columns.iter().filter(|column| column.target.is_some());
    let columns: Vec<u32> = of_fields.map(|column| column.index).collect();
    let is_row =
        |row: &&GridRow| gives(row.number) && matches!(kind(row, &columns), RowKind::Record);
    for row in sheet.rows[found.body.clone()].iter().filter(is_row) {
        let Some(cell) = row.cells.get(&mark.index).filter(|cell| !cell.cell.is_blank()) else {
            continue;
        };
        let values = row.own().map(|(_, cell)| cell.cell.shown());
        rows.entry(cell.cell.name().trim().to_lowercase()).or_default().extend(values);
    }
    let headers = found.assignment.columns.iter().filter(|column| column.target.is_some());
    let place = found.caption.iter().chain([&sheet.name]).find_map(|text| heading(text));
    Some(Lists {
        key: key(sheet, found),
        headers: headers.map(|column| column.header.given.to_lowercase()).collect(),
        rows,
        label: place
            .as_ref()
            .map_or_else(|| sheet.name.trim().to_owned(), |(_, text)| text.clone()),
        is_place: place.is_some(),
    })
}

/// The marks that two tables share whose tendons are not the same.
fn shared(one: &Lists, other: &Lists) -> Option<BTreeSet<String>> {
    // Two versions list the same tendons.
    if are_versions(&one.key.1, &other.key.1) {
        return None;
    }
    if one.label == other.label || one.headers != other.headers || one.headers.len() < LEAST {
        return None;
    }
    let shared: BTreeSet<String> =
        one.rows.keys().filter(|mark| other.rows.contains_key(*mark)).cloned().collect();
    // Rows that say the very same are copies, unless spans or webs tell them apart.
    let is_copy = || shared.iter().all(|mark| one.rows[mark] == other.rows[mark]);
    let is_told = one.is_place && other.is_place;
    (!shared.is_empty() && (is_told || !is_copy())).then_some(shared)
}

/// What is to be said of a table; why is told when it is known.
fn problem(sheet: &Sheet, found: &Found) -> Problem {
    Problem {
        kind: ProblemKind::ValueDoubtful,
        place: sheet.place(sheet.rows[found.headers.end - 1].number, None),
        record: Origin::default(),
        subject: sheet.name.clone(),
        given: None,
        why: String::new(),
        help: "give each tendon of the file a mark of its own, or take out the sheet that no longer holds"
            .to_owned(),
    }
}
