//! Sheets as people make them, understood without configuration.
//!
//! A sheet that is not in the schedule's own layout comes here as a whole ([`Sheet`]). Tables are looked for
//! (`find`), each column is taken for a field by the words of its header and the values below (`assign`, over
//! `vocabulary`), its unit is looked for (`unit`), and its rows become records (`table`), with what people leave
//! out (`habits`).
//! What can mean two things is a question and is not taken; what nothing takes is kept; and a report says of
//! each sheet what was taken for what, and why ([`Frame::Understood`]).
//!
//! This module must not know any file format, nor what a value is for.

mod assign;
mod ends;
mod find;
mod fit;
mod grid;
mod habits;
mod header;
mod labels;
mod mapping;
mod notes;
mod plan;
mod starter;
mod table;
mod unit;
mod views;
mod vocabulary;
mod words;

use std::collections::BTreeSet;

use restrand_model::reading::{Column as ReadColumn, Origin, Remark, Table, Understood};
use restrand_model::reading::{Problem, ProblemKind};
use restrand_model::sheet::Column;
use restrand_model::value::{Fields, Name, Value};

pub use grid::{GridCell, GridRow, Look, MOST_CELLS, Merged, Sheet, unit_of_format};
pub use mapping::{ColumnMapping, Mapping, TableMapping};
pub use starter::starter;

use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};
use crate::sheet::read::{plain_value, put};
use find::Found;
use notes::{Title, UnitNotes};
use table::{TableReader, heading};

/// A sheet with what was found in it.
struct Looked {
    sheet: Sheet,
    found: Vec<Found>,
    notes: UnitNotes,
    /// Numbers of the rows outside all tables.
    outside: BTreeSet<u32>,
    /// What of the sheet is hidden, as a clause; said with its first part.
    hidden: Option<String>,
}

/// Whether people call a field of this list, or of what belongs to it, by this header.
pub(crate) fn is_called_so(list: &str, header: &str) -> bool {
    let header = header::HeaderText::read(&[header]);
    let with_scope = vocabulary::Vocabulary::get().find(&header.words);
    with_scope.iter().any(|(target, score)| {
        *score >= 1.0
            && target.list().is_none_or(|other| {
                other == list
                    || (list == "Tendons"
                        && matches!(other, "Ends" | "Points" | "Strands" | "Ducts"))
            })
    })
}

/// Whether a row of texts looks like headers of a schedule as people make them.
#[must_use]
pub fn are_headers<'t>(texts: impl Iterator<Item = &'t str>) -> bool {
    let mut sheet = Sheet::new("", "", restrand_model::reading::Grid::Cells);
    for (column, text) in (0..).zip(texts) {
        sheet.push(0, column, &crate::sheet::Cell::Text(text.into()), Look::default());
    }
    sheet.rows.first().is_some_and(|row| row.cells.len() >= 3 && find::is_header_like(row))
}

/// Reads sheets that are not in the schedule's own layout.
///
/// `tables` is the number of table frames so far. Gives the sheets in which no table was found.
///
/// # Errors
/// The taker wants no more.
pub fn read(
    sheets: Vec<Sheet>,
    mapping: &Mapping,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<Vec<String>, Stopped> {
    let mut looked: Vec<Looked> = Vec::new();
    let mut without = Vec::new();
    let mut shared = UnitNotes::default();
    for mut sheet in sheets {
        if mapping.of(&sheet.name).any(|table| table.ignore) {
            continue;
        }
        sheet.order();
        sheet.spread();
        let mut parts = look(sheet, looked.last(), mapping);
        if parts.iter().all(|part| part.found.is_empty()) {
            // A sheet of notes speaks of all the others.
            parts.iter().for_each(|part| shared.join(&part.notes));
            without.append(&mut parts);
        } else {
            looked.append(&mut parts);
        }
    }
    // A file in which nothing else is of a schedule either is none.
    if looked.is_empty() && *tables == 0 {
        let mut names: Vec<String> = without.into_iter().map(|one| one.sheet.name).collect();
        names.dedup();
        return Ok(names);
    }
    let mut titles: Vec<(usize, Title)> = Vec::new();
    let mut further: Vec<(String, String)> = Vec::new();
    let mut reports: Vec<Understood> = Vec::new();
    for (index, one) in looked.iter_mut().enumerate() {
        one.notes.join(&shared);
        for row in one.sheet.rows.iter().filter(|row| one.outside.contains(&row.number)) {
            titles.extend(notes::titles(row).into_iter().map(|title| (index, title)));
        }
    }
    project(&looked, &titles, tables, frames)?;
    for (index, one) in looked.iter().enumerate() {
        let report = read_sheet(index, one, mapping, &titles, &mut further, tables, frames)?;
        match reports.last_mut() {
            Some(last) if last.part == report.part && last.sheet == report.sheet => {
                last.tables.extend(report.tables);
                last.remarks.extend(report.remarks);
            }
            _ => reports.push(report),
        }
    }
    for one in &without {
        further.extend(
            notes::texts(&one.sheet, &|_| true)
                .map(|(row, column, text)| (cell_name(&one.sheet, row, column), text)),
        );
        if has_rows(&one.sheet) {
            frames.take(Frame::Problem(headless(&one.sheet)))?;
        }
        reports.push(Understood {
            part: one.sheet.part.clone(),
            sheet: one.sheet.name.clone(),
            tables: Vec::new(),
            remarks: vec![Remark {
                row: None,
                what: "No table was found in it; its texts are kept as further values.".to_owned(),
            }],
        });
    }
    if let Some(first) = looked.iter().chain(&without).next() {
        keep_further(&first.sheet, further, tables, frames)?;
    }
    for report in reports {
        frames.take(Frame::Understood(report))?;
    }
    Ok(Vec::new())
}

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
fn has_rows(sheet: &Sheet) -> bool {
    let speaks = |row: &&GridRow| row.own().filter(|(_, cell)| !cell.cell.is_blank()).count() >= 3;
    sheet.rows.iter().filter(speaks).nth(1).is_some()
}

/// Says that a sheet with rows has no headers.
fn headless(sheet: &Sheet) -> Problem {
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

/// Looks for the tables of a sheet, as it stands, side by side or sideways; gives its parts.
fn look(sheet: Sheet, before: Option<&Looked>, mapping: &Mapping) -> Vec<Looked> {
    let mut hidden = hidden(&sheet);
    let mapped: Vec<&TableMapping> = mapping.of(&sheet.name).collect();
    let mut looked = Vec::new();
    for part in views::beside(sheet) {
        looked.extend(look_at(part, before, &mapped));
    }
    // What is noted beside a table speaks of the others of its sheet too.
    let mut all = UnitNotes::default();
    looked.iter().for_each(|one| all.join(&one.notes));
    for one in &mut looked {
        one.notes.join(&all);
        one.hidden = hidden.take();
    }
    looked
}

/// Looks for the tables of a part of a sheet.
fn look_at(sheet: Sheet, before: Option<&Looked>, mapped: &[&TableMapping]) -> Vec<Looked> {
    let mut sheet = sheet;
    let mut found = find::tables(&sheet, mapped);
    let mut sideways = views::sideways(&sheet, &outside(&sheet, &found));
    if found.is_empty() {
        let turned = sheet.turned();
        let whole = find::tables(&turned, &[]);
        if sideways.len() < 2 && !whole.is_empty() {
            sideways.clear();
            (sheet, found) = (turned, whole);
        }
    }
    if found.is_empty()
        && sideways.is_empty()
        && let Some(before) = before
        && let Some(more) = find::continued(&sheet, &before.found)
    {
        found.push(more);
    }
    if found.is_empty() && sideways.is_empty() {
        found = find::by_headers(&sheet);
    }
    let mut outside_rows = outside(&sheet, &found);
    let mut parts = Vec::new();
    for views::Sideways { sheet, found, rows } in sideways {
        outside_rows.retain(|row| !rows.contains(row));
        let (outside, notes) = (outside(&sheet, &found), UnitNotes::default());
        parts.push(Looked { sheet, found, notes, outside, hidden: None });
    }
    let mut notes = UnitNotes::default();
    // A note may also stand below the last row of a table, where it looks like a part of it.
    for row in &sheet.rows {
        let own: Vec<_> = row.own().collect();
        for (_, cell) in own.iter().filter(|_| outside_rows.contains(&row.number) || own.len() <= 2)
        {
            if let crate::sheet::Cell::Text(text) = &cell.cell {
                notes.read(text);
            }
        }
    }
    parts.insert(0, Looked { sheet, found, notes, outside: outside_rows, hidden: None });
    parts
}

/// Numbers of the rows outside all tables.
fn outside(sheet: &Sheet, found: &[Found]) -> BTreeSet<u32> {
    let inside =
        |at: usize| found.iter().any(|table| table.headers.start <= at && at < table.body.end);
    let rows = sheet.rows.iter().enumerate();
    rows.filter(|(at, _)| !inside(*at)).map(|(_, row)| row.number).collect()
}

fn read_sheet(
    index: usize,
    one: &Looked,
    mapping: &Mapping,
    titles: &[(usize, Title)],
    further: &mut Vec<(String, String)>,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<Understood, Stopped> {
    let sheet = &one.sheet;
    let mut report = Understood {
        part: sheet.part.clone(),
        sheet: sheet.name.clone(),
        tables: Vec::new(),
        remarks: Vec::new(),
    };
    if let Some(said) = &one.hidden {
        tell_hidden(sheet, said, &mut report, frames)?;
    }
    for found in &one.found {
        let mut context: Vec<(&'static str, String)> = Vec::new();
        for text in found.caption.iter().chain([&sheet.name]) {
            if let Some(group) = heading(text)
                && !context.iter().any(|(field, _)| *field == group.0)
            {
                report.remarks.push(Remark {
                    row: None,
                    what: format!(
                        "\"{text}\" is taken as the {} of rows that do not state one.",
                        group.0.trim_end_matches('s')
                    ),
                });
                context.push(group);
            }
        }
        let numbers =
            [found.headers.start, found.headers.end - 1].map(|at| sheet.rows[at].number + 1);
        let mapped = mapping.of(&sheet.name).find(|table| {
            table.headers.is_none_or(|headers| headers == numbers)
                && table
                    .record
                    .as_deref()
                    .is_none_or(|record| mapping::list_of(record) == Some(found.assignment.list))
        });
        let mut reader = TableReader::new(sheet, found, &one.notes, mapped, tables, frames)?;
        reader.read(&context, frames)?;
        let rest = reader.understood(&mut report);
        further.extend(rest.into_iter().map(|(row, text)| (cell_name(sheet, row, 0), text)));
    }
    let is_title = |row: u32, column: u32| {
        titles.iter().any(|(of, title)| {
            *of == index && title.row == row && title.column.abs_diff(column) <= 2
        })
    };
    let is_kept = |row: &&GridRow| {
        one.outside.contains(&row.number)
            && !titles.iter().any(|(of, title)| *of == index && title.row == row.number)
    };
    for row in sheet.rows.iter().filter(is_kept) {
        let Some((column, name)) = labels::label(row) else { continue };
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Unknown,
            place: sheet.place(row.number, Some(column)),
            record: Origin::default(),
            subject: format!("{}: {name}", sheet.name),
            given: Some(name.to_owned()),
            why: "it stands in no table that says of which record it speaks; it is kept as a further value".to_owned(),
            help: "give it a column of its table, or say it in a mapping file as a constant of all rows".to_owned(),
        }))?;
    }
    let captions: Vec<&String> =
        one.found.iter().filter_map(|found| found.caption.as_ref()).collect();
    for (row, column, text) in notes::texts(sheet, &|row| one.outside.contains(&row)) {
        if !is_title(row, column) && !captions.iter().any(|caption| caption.trim() == text.trim()) {
            further.push((cell_name(sheet, row, column), text.clone()));
            report.remarks.push(Remark {
                row: Some(row),
                what: format!("\"{text}\" is no part of a table; it is kept as a further value."),
            });
        }
    }
    Ok(report)
}

/// What of a sheet is hidden, as a clause.
fn hidden(sheet: &Sheet) -> Option<String> {
    const SHOWN: usize = 6;
    let numbers = |set: BTreeSet<u32>, name: &dyn Fn(u32) -> String| -> String {
        let names: Vec<String> = set.iter().take(SHOWN).map(|number| name(*number)).collect();
        names.join(", ") + if set.len() > SHOWN { ", …" } else { "" }
    };
    let speaking: BTreeSet<u32> = sheet.rows.iter().map(|row| row.number).collect();
    let columns: BTreeSet<u32> =
        sheet.rows.iter().flat_map(|row| row.cells.keys().copied()).collect();
    let rows: BTreeSet<u32> = sheet.hidden_rows.intersection(&speaking).copied().collect();
    let columns: BTreeSet<u32> = sheet.hidden_columns.intersection(&columns).copied().collect();
    let mut said = Vec::new();
    if sheet.hidden {
        said.push("the sheet is hidden".to_owned());
    }
    if !rows.is_empty() {
        let rows = numbers(rows, &|row| (u64::from(row) + 1).to_string());
        said.push(format!("of the rows these are hidden: {rows}"));
    }
    if !columns.is_empty() {
        let columns = numbers(columns, &crate::sheet::read::column_letters);
        said.push(format!("of the columns these are hidden: {columns}"));
    }
    (!said.is_empty()).then(|| said.join(", and "))
}

/// Says what of a sheet is hidden: it is read, and nobody who looks at the sheet sees it.
fn tell_hidden(
    sheet: &Sheet,
    said: &str,
    report: &mut Understood,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    report.remarks.push(Remark { row: None, what: format!("It is read though {said}.") });
    let (part, name) = (sheet.part.clone(), sheet.name.clone());
    frames.take(Frame::Problem(Problem {
        kind: ProblemKind::Assumed,
        place: restrand_model::reading::Place::Sheet { part, sheet: name.clone() },
        record: Origin::default(),
        subject: name,
        given: None,
        why: format!("is read though {said}"),
        help: "show it, or take it out if it is no part of the schedule".to_owned(),
    }))
}

/// Hands over what the title blocks say of the project.
fn project(
    looked: &[Looked],
    titles: &[(usize, Title)],
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    let Some((first, title)) = titles.first() else { return Ok(()) };
    let (sheet, row) = (&looked[*first].sheet, title.row);
    let mut fields = Fields::new();
    let mut columns = Vec::new();
    let mut problems = Vec::new();
    for (of, title) in titles {
        let Some(Column::Value { path, field, .. }) = title.target.column() else { continue };
        let read =
            crate::sheet::cell::value(&title.cell, field.0, crate::sheet::cell::Measure::default());
        let value = match read {
            Ok(value) => value,
            Err(unfit) => {
                problems.push(Problem {
                    kind: ProblemKind::ValueLost,
                    place: looked[*of].sheet.place(title.row, Some(title.column)),
                    record: Origin::default(),
                    subject: title.target.name(),
                    given: Some(title.cell.shown()),
                    why: unfit.why,
                    help: unfit.help,
                });
                continue;
            }
        };
        match path.first().and_then(|name| fields.get(name)) {
            None => {
                put(&mut fields, path.as_slice(), value);
                columns.push(ReadColumn {
                    index: title.column,
                    header: title.label.as_str().into(),
                    path: path.clone(),
                    unit: None,
                    link: false,
                });
            }
            Some(other) if *other == value => {}
            Some(other) => problems.push(Problem {
                kind: ProblemKind::ValueDoubtful,
                place: looked[*of].sheet.place(title.row, Some(title.column)),
                record: Origin::default(),
                subject: title.target.name(),
                given: Some(title.cell.shown()),
                why: format!("another title block says \"{other}\", and that is taken"),
                help: "write the same in both title blocks".to_owned(),
            }),
        }
    }
    if !fields.is_empty() {
        frames.take(Frame::Table(Table {
            part: sheet.part.clone(),
            sheet: Some(sheet.name.clone()),
            grid: sheet.grid,
            list: "Project".to_owned(),
            header_row: row,
            columns,
        }))?;
        let record = RecordFrame {
            table: *tables,
            at: At::Row(row),
            links: Vec::new(),
            fields,
            texts: Vec::new(),
            apart: Vec::new(),
        };
        *tables += 1;
        frames.take(Frame::Record(record))?;
    }
    for problem in problems {
        frames.take(Frame::Problem(problem))?;
    }
    Ok(())
}

/// Keeps texts that no record takes as further values of the schedule, under the names of their cells.
fn keep_further(
    sheet: &Sheet,
    further: Vec<(String, String)>,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    if further.is_empty() {
        return Ok(());
    }
    frames.take(Frame::Table(Table {
        part: sheet.part.clone(),
        sheet: Some(sheet.name.clone()),
        grid: sheet.grid,
        list: "FurtherValues".to_owned(),
        header_row: 0,
        columns: Vec::new(),
    }))?;
    let mut names = std::collections::HashMap::<String, u32>::new();
    let mut members = Fields::new();
    for (name, text) in further {
        let count = names.entry(name.clone()).or_default();
        *count += 1;
        let name = if *count == 1 { name } else { format!("{name} ({count})") };
        members
            .push(Name::from(name.as_str()), plain_value(&crate::sheet::Cell::Text(text.into())));
    }
    let mut fields = Fields::new();
    fields.push(Name::Known(restrand_model::reflect::EXTRA), Value::Fields(members));
    let record = RecordFrame {
        table: *tables,
        at: At::Row(0),
        links: Vec::new(),
        fields,
        texts: Vec::new(),
        apart: Vec::new(),
    };
    *tables += 1;
    frames.take(Frame::Record(record))
}

/// The name of a cell as people write it.
fn cell_name(sheet: &Sheet, row: u32, column: u32) -> String {
    let (row, column) = if sheet.grid.is_turned() { (column, row) } else { (row, column) };
    let letters = crate::sheet::read::column_letters(column);
    format!("{}!{letters}{}", sheet.name, u64::from(row) + 1)
}
