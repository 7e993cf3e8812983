//! Sheets in which no row was recognised as headers.

use restrand_model::reading::{Origin, Problem, ProblemKind};

use super::grid::{GridRow, Sheet};

const HEADLESS: &str =
    "none of its rows was recognised as headers, so that nothing says what its columns state";

const HEAD_IT: &str = "name each column above its values, as Tendon, No. of strands, Length (m)";

/// What is to be said of a sheet that the layout does not have, once no table was recognised in it either.
#[must_use]
pub fn unheaded(mut problem: Problem) -> Problem {
    if problem.kind == ProblemKind::SheetUnknown {
        problem.why = format!("{}, and {HEADLESS}", problem.why);
        problem.help = format!("{HEAD_IT}; {}", problem.help);
    }
    problem
}

/// Whether several rows of a sheet hold several values each, as those of a table do.
pub(super) fn has_rows(sheet: &Sheet) -> bool {
    let speaks = |row: &&GridRow| row.own().filter(|(_, cell)| !cell.cell.is_blank()).count() >= 3;
    sheet.rows.iter().filter(speaks).nth(1).is_some()
}

/// Says that a sheet with rows has no headers.
pub(super) fn headless(sheet: &Sheet) -> Problem {
    Problem {
        kind: ProblemKind::Unknown,
        place: sheet.place(sheet.rows.first().map_or(0, |row| row.number), None),
        record: Origin::default(),
        subject: sheet.name.clone(),
        given: None,
        why: format!("{HEADLESS}; they are kept as further values"),
        help: format!("{HEAD_IT}; or take the sheet out if it is no part of the schedule"),
    }
}
