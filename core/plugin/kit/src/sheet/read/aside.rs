//! Rows of a sheet in the layout that are no records: units below the headers, titles above them, notes and sums.

use restrand_model::quantity::Unit;
use restrand_model::reading::{Origin, Place, Problem, ProblemKind};

use super::SheetReader;
use super::plan::Plan;
use crate::recognise;
use crate::sheet::cell::Cell;

/// Letters of a text alone in its row from which on it is no name; shorter ones are, as `Tendon 12`.
const LONG: usize = 24;

/// The units that a row right below headers holds and nothing else, by column; nothing of another row.
///
/// What says that there is none, as `each`, is no unit.
pub(super) fn units(cells: &[(u32, Cell<'_>)]) -> Option<Vec<(u32, String)>> {
    let said = || cells.iter().filter(|(_, cell)| !cell.is_blank());
    let is_of_units =
        |cell: &Cell<'_>| matches!(cell, Cell::Text(text) if recognise::is_unit_below(text));
    let is_sure =
        |cell: &Cell<'_>| matches!(cell, Cell::Text(text) if recognise::is_surely_unit(text));
    if said().count() < 2
        || !said().all(|(_, cell)| is_of_units(cell))
        || !said().any(|(_, cell)| is_sure(cell))
    {
        return None;
    }
    let unit = |(column, cell): &(u32, Cell<'_>)| {
        let text = cell.shown();
        let unit = text.trim_matches(['(', ')', '[', ']', ' ']);
        (Unit::find_any(unit).is_some() || unit == "%").then(|| (*column, unit.to_owned()))
    };
    Some(said().filter_map(unit).collect())
}

/// What is said of a row that is no record.
pub(super) fn problem(
    kind: ProblemKind,
    sheet: &str,
    place: Place,
    given: String,
    why: &str,
) -> Problem {
    Problem {
        kind,
        place,
        record: Origin::default(),
        subject: format!("{sheet}: \"{given}\""),
        given: Some(given),
        why: why.to_owned(),
        help: "write what it says into the columns of those it is meant for".to_owned(),
    }
}

impl SheetReader {
    /// What makes a row no record, as a clause: it holds a note, or sums.
    pub(super) fn no_record(&self, cells: &[(u32, Cell<'_>)]) -> Option<&'static str> {
        // A record fills most of its columns.
        if cells.len() * 2 > self.known + self.links + self.further {
            return None;
        }
        let mut said = cells.iter().filter(|(_, cell)| !cell.is_blank());
        let (column, Cell::Text(text)) = said.next()? else { return None };
        if !self.is_key(*column) {
            return None;
        }
        let rest: Vec<&Cell<'_>> = said.map(|(_, cell)| cell).collect();
        // Sums are numbers: a row that states a text states something of a record.
        let are_sums =
            recognise::is_of_sums(text) && rest.iter().all(|cell| !matches!(cell, Cell::Text(_)));
        if are_sums {
            return Some("its row holds sums, and is taken for no record");
        }
        (rest.is_empty() && is_note(text))
            .then_some("its row holds a note, and is taken for no record")
    }

    /// Whether a column names the records of the rows, or has no header.
    fn is_key(&self, column: u32) -> bool {
        match self.plans.get(column as usize) {
            Some(Plan::Value(plan)) => matches!(plan.path, ["mark" | "id"]),
            Some(Plan::Link(_)) => true,
            None | Some(Plan::None) => true,
            Some(Plan::Extra(..) | Plan::Computed) => false,
        }
    }
}

/// Whether a text alone in its row is a note, or heads some; not where it may be the long name of a record.
fn is_note(text: &str) -> bool {
    /// What the long names of records begin with.
    const RECORDS: [&str; 6] = ["tendon", "cable", "strand", "anchorage", "deviator", "span"];
    let text = text.trim();
    let lower = text.to_lowercase();
    if RECORDS.iter().any(|record| lower.starts_with(record)) {
        return false;
    }
    let is_numbered = || {
        let rest = text.trim_start_matches(|letter: char| letter.is_ascii_digit());
        rest.len() < text.len()
            && rest.starts_with(['.', ')'])
            && rest.contains(char::is_whitespace)
    };
    recognise::heads_notes(text)
        || text.contains(char::is_whitespace) && (text.chars().count() > LONG || is_numbered())
}
