//! Tables of tendons in which no column surely names the tendons: they are not read, and are told.

use std::collections::BTreeSet;

use restrand_model::reading::{
    Origin, Problem, ProblemKind, Question, Sureness, UnderstoodColumn, UnderstoodTable,
};

use super::super::assign::{Assigned, Assignment, Unnamed, unnamed};
use super::super::grid::Sheet;
use super::super::headless::UNKNOWN;
use super::{Table, caption, header_rows, is_header_like, is_title, table_at};
use crate::frame::Frame;

/// A table that is not read for want of the column that names its rows.
#[derive(Debug)]
pub(in crate::recognise) struct Keyless {
    /// How its columns are understood.
    pub(in crate::recognise) understood: UnderstoodTable,
    /// The question which column it is, or the problem that none is it.
    pub(in crate::recognise) said: Frame,
}

/// The tables of this kind in the rows of a sheet that belong to no other.
pub(in crate::recognise) fn keyless(sheet: &Sheet, free: &BTreeSet<u32>) -> Vec<Keyless> {
    let rows = &sheet.rows;
    let mut all = Vec::new();
    let (mut from, mut at) = (0, 0);
    while at < rows.len() {
        let is_free = free.contains(&rows[at].number);
        if !is_free || !is_header_like(&rows[at]) || is_title(&rows[at]) {
            from = if is_free { from } else { at + 1 };
            at += 1;
            continue;
        }
        let caption = caption(sheet, from, at);
        let open = header_rows(sheet, from, at).into_iter().filter_map(|headers| {
            let table = table_at(sheet, headers, caption.as_deref());
            if table.goes_on {
                return None;
            }
            match unnamed(&table.columns, &sheet.named)? {
                Unnamed::Open(assignment, could) => Some((table, assignment, could)),
                Unnamed::Named(_) => None,
            }
        });
        let best = open.max_by(|(_, one, _), (_, other, _)| one.score.total_cmp(&other.score));
        let Some((table, assignment, could)) = best else {
            at += 1;
            continue;
        };
        at = table.headers.end.max(at + 1);
        from = at;
        all.push(told(sheet, &table, &assignment, &could, caption));
    }
    all
}

fn told(
    sheet: &Sheet,
    table: &Table<'_>,
    assignment: &Assignment,
    could: &[u32],
    caption: Option<String>,
) -> Keyless {
    let numbers = [table.headers.start, table.headers.end - 1].map(|at| sheet.rows[at].number);
    let why = format!("no header names the tendons, and {} columns could", could.len());
    let column = |one: &Assigned| {
        let may = could.contains(&one.index);
        let fields: Vec<String> = match one.target {
            Some(target) => vec![target.name()],
            None if may => vec!["tendon.mark".to_owned()],
            None => one.readings.clone(),
        };
        UnderstoodColumn {
            index: sheet.column_in_file(one.index),
            header: one.header.given.clone(),
            fields,
            unit: None,
            sureness: if may { Sureness::Asked } else { one.sureness },
            why: if may { why.clone() } else { one.why.clone() },
        }
    };
    let understood = UnderstoodTable {
        caption,
        record: UNKNOWN.to_owned(),
        turned: sheet.grid.is_turned(),
        headers: (numbers[0], numbers[1]),
        rows: 0,
        by_others: false,
        columns: assignment.columns.iter().map(column).collect(),
    };
    let place = sheet.place(numbers[1], could.first().copied());
    let named = |index: &u32| {
        let of = assignment.columns.iter().find(|column| column.index == *index);
        let header = of.map_or("", |column| column.header.given.as_str());
        format!("{}, \"{header}\"", sheet.column_name(*index))
    };
    let said = if could.len() > 1 {
        let first = |index: u32| {
            let column = table.columns.iter().find(|column| column.index == index)?;
            Some((column.header.given.clone(), column.values.first()?.shown()))
        };
        let (header, given) = first(could[0]).unwrap_or_default();
        Frame::Question(Question {
            place,
            records: Vec::new(),
            subject: "tendon.mark".to_owned(),
            header,
            given,
            readings: could.iter().map(named).collect(),
            why: format!(
                "no header names the tendons of this table, and {} columns could, as each row has a short name of its own \
                 in them: {}; the table is not read",
                could.len(),
                could.iter().map(named).collect::<Vec<_>>().join("; ")
            ),
            help: HELP.to_owned(),
        })
    } else {
        let known = assignment
            .columns
            .iter()
            .filter_map(|one| Some(format!("\"{}\" as {}", one.header.given, one.target?.name())));
        Frame::Problem(Problem {
            kind: ProblemKind::RecordLost,
            place,
            record: Origin::default(),
            subject: format!("{}: table", sheet.name),
            given: None,
            why: format!(
                "no column names the tendons of its rows; understood are {}",
                known.collect::<Vec<_>>().join(", ")
            ),
            help: HELP.to_owned(),
        })
    };
    Keyless { understood, said }
}

const HELP: &str = "head the column that names the tendons Tendon, or say in a mapping file that it is tendon.mark";
