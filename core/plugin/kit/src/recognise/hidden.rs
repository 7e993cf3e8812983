//! What of a sheet is hidden, which is read, and what of its cells is struck through, which is not; both are said.

use std::collections::BTreeSet;

use restrand_model::reading::{Origin, Place, Problem, ProblemKind, Remark, Understood};

use super::grid::Sheet;
use crate::frame::{Frame, Frames, Stopped};

/// What of a sheet is hidden: `column G`, `rows 3, 4 and columns G, H`.
pub(super) fn hidden(sheet: &Sheet) -> Option<String> {
    const SHOWN: usize = 6;
    let named = |set: BTreeSet<u32>, one: &str, name: &dyn Fn(u32) -> String| -> Option<String> {
        let names: Vec<String> = set.iter().take(SHOWN).map(|number| name(*number)).collect();
        let more = if set.len() > SHOWN { ", …" } else { "" };
        let many = if set.len() > 1 { "s" } else { "" };
        (!set.is_empty()).then(|| format!("{one}{many} {}{more}", names.join(", ")))
    };
    let speaking: BTreeSet<u32> = sheet.rows.iter().map(|row| row.number).collect();
    let columns: BTreeSet<u32> =
        sheet.rows.iter().flat_map(|row| row.cells.keys().copied()).collect();
    let rows: BTreeSet<u32> = sheet.hidden_rows.intersection(&speaking).copied().collect();
    let columns: BTreeSet<u32> = sheet.hidden_columns.intersection(&columns).copied().collect();
    let said: Vec<String> = [
        sheet.hidden.then(|| "the whole sheet".to_owned()),
        named(rows, "row", &|row| (u64::from(row) + 1).to_string()),
        named(columns, "column", &crate::sheet::read::column_letters),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!said.is_empty()).then(|| said.join(" and "))
}

/// Says what of a sheet is hidden: it is read, and nobody who looks at the sheet sees it.
pub(super) fn tell_hidden(
    sheet: &Sheet,
    said: &str,
    report: &mut Understood,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    report
        .remarks
        .push(Remark { row: None, what: format!("Hidden, and read all the same: {said}.") });
    let (part, name) = (sheet.part.clone(), sheet.name.clone());
    frames.take(Frame::Problem(Problem {
        kind: ProblemKind::Assumed,
        place: Place::Sheet { part, sheet: name.clone() },
        record: Origin::default(),
        subject: name,
        given: None,
        why: format!("is read with what is hidden in it: {said}"),
        help: "show it, or take it out if it is no part of the schedule".to_owned(),
    }))
}

/// What is to be said of cells of which a part is struck through.
pub(super) fn struck_in_part(sheet: &Sheet) -> Vec<Problem> {
    let of = |((row, column), struck): (&(u32, u32), &String)| {
        let holds = sheet.row(*row)?.cells.get(column)?.cell.shown();
        Some(Problem {
            kind: ProblemKind::Assumed,
            place: sheet.place(*row, Some(*column)),
            record: Origin::default(),
            subject: format!("{}, {}", sheet.name, super::cell_name(sheet, *row, *column)),
            given: Some(struck.clone()),
            why: format!("is struck through in its cell, and is no part of its value: \"{holds}\""),
            help: "take the line off it if it holds, or take it out".to_owned(),
        })
    };
    sheet.struck.iter().filter_map(of).collect()
}
