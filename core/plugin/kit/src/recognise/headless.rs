//! Sheets in which no row was recognised as headers.

use restrand_model::reading::{
    Origin, Problem, ProblemKind, Sureness, UnderstoodColumn, UnderstoodTable,
};

use super::grid::{GridRow, Sheet};
use crate::sheet::Cell;

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

/// What a row of a table is of which nothing was recognised.
pub(super) const UNKNOWN: &str = "row";

/// The table that a sheet seems to hold, of which nothing was recognised: texts above rows with values.
pub(super) fn guess(sheet: &Sheet) -> Option<UnderstoodTable> {
    /// Headers at least.
    const LEAST: usize = 2;
    let rows = &sheet.rows;
    let filled = |row: &GridRow| row.own().filter(|(_, cell)| !cell.cell.is_blank()).count();
    let is_text = |row: &GridRow| {
        row.own()
            .all(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if text.chars().count() <= 120))
    };
    let states = |row: &GridRow| {
        filled(row) >= LEAST && row.own().any(|(_, cell)| !matches!(cell.cell, Cell::Text(_)))
    };
    let at = (0..rows.len()).find(|at| {
        filled(&rows[*at]) >= LEAST
            && is_text(&rows[*at])
            && rows[at + 1..]
                .iter()
                .take(3)
                .any(|row| states(row) && filled(row) <= filled(&rows[*at]) * 2)
    })?;
    let columns = rows[at].own().filter_map(|(column, _)| {
        Some(UnderstoodColumn {
            index: sheet.column_in_file(column),
            header: rows[at].text(column)?.split_whitespace().collect::<Vec<_>>().join(" "),
            fields: Vec::new(),
            unit: None,
            sureness: Sureness::Kept,
            why: "no field is called so".to_owned(),
        })
    });
    Some(UnderstoodTable {
        caption: None,
        record: UNKNOWN.to_owned(),
        turned: sheet.grid.is_turned(),
        headers: (rows[at].number, rows[at].number),
        rows: 0,
        by_others: false,
        columns: columns.collect(),
    })
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
