//! The column that names the tendons, where its header does not say so.
//!
//! Where several fields of a tendon are certain, the rows are tendons all the same, and some column names them: one
//! that stands before all of these, and in which each row has a short name of its own. Two of that kind are a question.

use restrand_model::quantity::{self, Unit};
use restrand_model::reading::Sureness;

use super::super::dates;
use super::super::vocabulary::{Target, target_of};
use super::{Assigned, Assignment, Candidate};
use crate::sheet::Cell;

/// Fields of a tendon that are certain at least.
const SURELY: usize = 3;
/// Rows at least: a single value is always one of its own.
const LEAST: usize = 2;
/// Letters of a name at most.
const LETTERS: usize = 16;

/// Words of headers that say that a column names or tells another thing.
///
/// Common practice, no source.
const OTHERS: [&str; 56] = [
    "bay",
    "line",
    "page",
    "hole",
    "row",
    "cell",
    "heft",
    "blatt",
    "seite",
    "zeile",
    "feld",
    "ligne",
    "feuille",
    "travée",
    "type",
    "kind",
    "class",
    "grade",
    "size",
    "unit",
    "group",
    "set",
    "series",
    "stage",
    "phase",
    "step",
    "order",
    "date",
    "day",
    "time",
    "year",
    "revision",
    "drawing",
    "sheet",
    "detail",
    "note",
    "remark",
    "remarks",
    "comment",
    "comments",
    "location",
    "place",
    "pier",
    "abutment",
    "support",
    "span",
    "girder",
    "web",
    "side",
    "diaphragm",
    "deviator",
    "duct",
    "strand",
    "jack",
    "anchorage",
    "end",
];

/// Why a column is taken for the one that names the tendons.
const WHY: &str = "no header names the tendons; this column alone can: it stands before all that are known, and \
                   each row has a short name of its own in it";

/// A table of tendons in which no header names them.
pub(in crate::recognise) enum Unnamed {
    /// One column can only be it.
    Named(Assignment),
    /// Several columns could be it, or none: the columns that are understood, and the positions of those that could.
    Open(Assignment, Vec<u32>),
}

/// Looks for the column that names the tendons, where certain fields of a tendon tell that rows are such.
pub(in crate::recognise) fn unnamed(columns: &[Candidate<'_>]) -> Option<Unnamed> {
    let mark = target_of("Tendons", "mark")?;
    let found = Assignment::of("Tendons", columns);
    let rows = columns.iter().map(|column| column.values.len()).max().unwrap_or(0);
    // Labels that have one value each are no table.
    if rows < LEAST || !is_of_tendons(&found, mark) {
        return None;
    }
    let could = could_name(&found, columns);
    let [only] = *could.as_slice() else { return Some(Unnamed::Open(found, could)) };
    let mut columns = columns.to_vec();
    let header = &mut columns.iter_mut().find(|column| column.index == only)?.header;
    header.words = vec!["tendon".to_owned()];
    header.own.clone_from(&header.words);
    let mut found = Assignment::of("Tendons", &columns);
    let column = found.columns.iter_mut().find(|column| column.index == only)?;
    if column.target != Some(mark) {
        return None;
    }
    column.is_inferred = true;
    column.sureness = Sureness::Likely;
    WHY.clone_into(&mut column.why);
    Some(Unnamed::Named(found))
}

/// Whether rows are surely tendons, though no column names them.
fn is_of_tendons(found: &Assignment, mark: Target) -> bool {
    let names = |column: &Assigned| {
        column.target == Some(mark)
            || column.claim.as_ref().is_some_and(|(claim, _)| *claim == mark)
    };
    let sure = found.columns.iter().filter(|column| {
        column.sureness >= Sureness::Sure
            && column.target.is_some_and(|target| {
                matches!(target.list(), None | Some("Tendons" | "Ends" | "Points"))
            })
    });
    let understood = found.columns.iter().filter(|one| one.target.is_some() || one.is_asked());
    !found.columns.iter().any(names)
        && sure.count() >= SURELY
        && understood.count() * 5 >= found.columns.len() * 2
}

/// The columns before all that are understood in which each row has a name of its own.
fn could_name(found: &Assignment, columns: &[Candidate<'_>]) -> Vec<u32> {
    let rows = columns.iter().map(|column| column.values.len()).max().unwrap_or(0);
    let is_open = |column: &Assigned| {
        column.target.is_none() && !column.is_asked() && !column.is_of_another && !column.is_hidden
    };
    let both_ends = found.names_ends();
    found
        .columns
        .iter()
        .zip(columns)
        .take_while(|(assigned, _)| is_open(assigned))
        .filter(|(_, column)| speaks_of_none(column) && are_names(&column.values, rows, both_ends))
        .map(|(_, column)| column.index)
        .collect()
}

/// Whether a header says nothing of what else its column tells.
fn speaks_of_none(column: &Candidate<'_>) -> bool {
    let words = &column.header.words;
    column.header.units.is_empty()
        && column.below.is_none()
        && column.header.scope.is_none()
        && !words.iter().any(|word| OTHERS.contains(&word.as_str()))
}

/// Whether each of so many rows has a short name of its own; of the rows of both ends, those of a tendon the same.
fn are_names(values: &[&Cell<'static>], rows: usize, both_ends: bool) -> bool {
    let is_all = values.len() == rows || both_ends && values.len() * 2 >= rows;
    let mut names: Vec<String> = values.iter().map(|cell| cell.name().trim().to_owned()).collect();
    if both_ends {
        names.dedup();
    }
    let count = names.len();
    let is_name = values.iter().all(|cell| is_name(cell));
    names.sort_unstable();
    names.dedup();
    is_all && is_name && count >= LEAST && names.len() == count
}

/// Whether a cell can name a tendon: a text with a number in it or a single letter, or a whole number; no measure, no
/// date, no size.
fn is_name(cell: &Cell<'_>) -> bool {
    match cell {
        Cell::Number(number) => number.fract() == 0.0 && *number >= 0.0,
        Cell::Text(text) => {
            let text = text.trim();
            let letters = text.chars().count();
            let has_number = text.contains(|letter: char| letter.is_ascii_digit());
            let rest = text.trim_start_matches(|c: char| c.is_ascii_digit() || ".,' -".contains(c));
            let is_number = rest.is_empty() && text.contains(['.', ',']);
            let is_measure = rest.len() < text.len() && Unit::find_any(rest.trim()).is_some();
            (1..=LETTERS).contains(&letters)
                && (has_number || letters == 1)
                && !is_number
                && !(is_measure && text.contains(' '))
                && !text.contains('+')
                && dates::date(text).is_none()
                && quantity::strands(text).is_none()
                && quantity::pipe(text, None).is_none()
        }
        _ => false,
    }
}
