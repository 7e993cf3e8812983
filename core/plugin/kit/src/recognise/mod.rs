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

mod alike;
mod apart;
mod assign;
mod captioned;
mod dates;
mod deleted;
mod ends;
mod extent;
mod facts;
mod falling;
mod find;
mod fit;
mod footsigns;
mod further;
mod grid;
mod groups;
mod habits;
mod header;
mod headless;
mod headline;
mod hidden;
mod kinds;
mod known;
mod labels;
mod legend;
mod look;
mod mapping;
mod matrix;
mod notes;
mod ordered;
mod ordinates;
mod otherwise;
mod pairs;
mod placed;
mod places;
mod plan;
mod profiles;
mod project;
mod rearranged;
mod registers;
mod scope;
mod sections;
mod several;
mod sign;
mod sink;
mod starter;
mod stated;
mod superseded;
mod table;
mod tongues;
mod unit;
mod views;
mod vocabulary;
mod words;

use std::collections::BTreeSet;

use restrand_model::reading::{Problem, ProblemKind, Remark, Understood};

pub(crate) use habits::{heads_notes, is_of_sums};
pub(crate) use header::{is_surely_unit, is_unit_below};

pub use grid::{
    GridCell, GridRow, Look, MOST_CELLS, Merged, Sheet, look_of_built_in, look_of_format,
};
pub use headless::unheaded;
pub use mapping::{ColumnMapping, Mapping, MappingFault, MappingSource, TableMapping};
pub use starter::starter;

use crate::frame::{Frame, Frames, Stopped};
use find::{Found, Keyless};
use further::{cell_name, keep_further};
use headless::{has_rows, headless};
use hidden::tell_hidden;
use known::Known;
use notes::UnitNotes;
use placed::Quarters;
use project::Title;
use rearranged::Moved;
use sink::Sink;
use stated::Note;
use superseded::Superseded;
use table::{TableReader, heading};

/// A sheet with what was found in it.
struct Looked {
    sheet: Sheet,
    found: Vec<Found>,
    notes: UnitNotes,
    /// Numbers of the rows outside all tables.
    outside: BTreeSet<u32>,
    /// Cells outside the tables that something was taken from, by row and column.
    taken: BTreeSet<(u32, u32)>,
    /// What of the sheet is hidden, as a clause; said with its first part.
    hidden: Option<String>,
    /// Whether it or another part of its sheet holds a table.
    is_part: bool,
    /// The tables of it that are not read, as nothing names their rows.
    keyless: Vec<Keyless>,
}

impl Looked {
    fn new(sheet: Sheet, found: Vec<Found>, notes: UnitNotes, outside: BTreeSet<u32>) -> Self {
        Self {
            sheet,
            found,
            notes,
            outside,
            taken: BTreeSet::new(),
            hidden: None,
            is_part: false,
            keyless: Vec::new(),
        }
    }
}

/// Whether sheets of this list of the layout are recognised by what their headers say.
#[must_use]
pub fn knows(list: &str) -> bool {
    vocabulary::LISTS.contains(&list)
}

/// Whether people call a field of this list, or of what belongs to it, by this header.
pub(crate) fn is_called_so(list: &str, header: &str) -> bool {
    let header = header::HeaderText::read(&[header]);
    let with_scope = vocabulary::Vocabulary::get().find(&header.words);
    with_scope.iter().any(|(target, score)| {
        *score >= 1.0
            && target.list().is_none_or(|other| {
                other == list
                    || match list {
                        "Tendons" => matches!(other, "Ends" | "Points" | "Strands" | "Ducts"),
                        // What people keep in one table with them.
                        "Ends" | "Deviators" => matches!(other, "Tendons" | "Points"),
                        "Points" => matches!(other, "Tendons" | "Ends" | "Deviators"),
                        _ => false,
                    }
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
    mut sheets: Vec<Sheet>,
    mapping: &Mapping,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<Vec<String>, Stopped> {
    let named = superseded::take_named(&mut sheets, mapping);
    let mut looked: Vec<Looked> = Vec::new();
    let mut shared = UnitNotes::default();
    let mut ignored = Vec::new();
    let mut struck = Vec::new();
    let legend = legend::of_all(&sheets);
    let quarters = Quarters::of(&sheets);
    for mut sheet in sheets {
        if mapping.of(&sheet.name).any(|table| table.ignore) {
            ignored.push(sheet.name);
            continue;
        }
        sheet.order();
        struck.extend(hidden::struck_in_part(&sheet));
        sheet.spread();
        sheet.legend.clone_from(&legend);
        sheet.quarters.clone_from(&quarters);
        let is_of_rows = |one: &&Looked| one.found.iter().any(|found| found.owner.is_none());
        let before = looked.iter().rev().find(is_of_rows);
        let parts = look::look(sheet, before, mapping);
        if parts.iter().all(|part| part.found.is_empty()) {
            // A sheet of notes speaks of all the others.
            parts.iter().for_each(|part| shared.join(&part.notes));
        }
        looked.extend(parts);
    }
    let mut said = struck;
    said.extend(footsigns::take_off(&mut looked));
    let (superseded, questions) = superseded::settle(&mut looked, named, mapping);
    for one in &mut looked {
        for found in &mut one.found {
            let mapped = mapping.of_table(&one.sheet, found);
            find::settle_rows(found, &mapped);
        }
    }
    // A file in which nothing else is of a schedule either is none.
    let has_others = !superseded.is_empty() || *tables > 0;
    if looked.iter().all(|one| one.found.is_empty()) && !has_others {
        tell_unmet(&looked, &ignored, mapping, frames)?;
        let mut names: Vec<String> = Vec::new();
        for mut one in looked {
            let mut report = report_of(&one);
            let is_told = tell_keyless(&mut one, &mut report, frames)?;
            if mapping.is_empty() && !is_told {
                report.tables.extend(headless::guess(&one.sheet));
            }
            if !report.tables.is_empty() {
                frames.take(Frame::Understood(report))?;
            }
            if !is_told && names.last() != Some(&one.sheet.name) {
                names.push(one.sheet.name);
            }
        }
        return Ok(names);
    }
    let units: Vec<_> = looked.iter().flat_map(|one| one.notes.units()).collect();
    for one in &mut looked {
        one.notes.join(&shared);
        one.notes.stand_beside(&units);
    }
    let mut sink = Sink::new(frames, *tables);
    tell_unmet(&looked, &ignored, mapping, &mut sink)?;
    for problem in said {
        sink.take(Frame::Problem(problem))?;
    }
    for question in questions {
        sink.take(Frame::Question(question))?;
    }
    read_looked(looked, &superseded, mapping, tables, &mut sink)?;
    *tables = sink.finish()?;
    Ok(Vec::new())
}

/// Says what of the mapping file fits no sheet or header, so that a slip of the pen in it shows.
fn tell_unmet(
    looked: &[Looked],
    ignored: &[String],
    mapping: &Mapping,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    let sheets = looked.iter().map(|one| {
        let columns = one.found.iter().flat_map(|found| &found.assignment.columns);
        (&*one.sheet.name, columns.map(|column| &*column.header.given).collect::<Vec<_>>())
    });
    let sheets: Vec<_> =
        sheets.chain(ignored.iter().map(|name| (name.as_str(), Vec::new()))).collect();
    let Some(part) = looked.first().map(|one| one.sheet.part.clone()) else { return Ok(()) };
    for (place, why) in mapping.unmet(&sheets) {
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::ValueDoubtful,
            subject: place,
            ..mapping::problem(&part, why)
        }))?;
    }
    Ok(())
}

/// Reads sheets in at least one of which a table was found.
fn read_looked(
    mut looked: Vec<Looked>,
    superseded: &[Superseded],
    mapping: &Mapping,
    tables: &mut u32,
    frames: &mut Sink<'_>,
) -> Result<(), Stopped> {
    let mut titles: Vec<(usize, Title)> = Vec::new();
    let mut known = Known::default();
    known.marks = groups::marks(&mut looked);
    let (alike, problems) = alike::find(&looked);
    known.alike = alike;
    known.halves = pairs::said(&looked);
    for problem in problems {
        frames.take(Frame::Problem(problem))?;
    }
    for (index, one) in looked.iter_mut().enumerate() {
        titles.extend(project::titles(one).into_iter().map(|title| (index, title)));
    }
    project::narrow(&mut looked, &mut titles);
    let mut reports: Vec<Understood> = looked.iter().map(report_of).collect();
    reports.dedup();
    if let Some(report) = headline::take(&mut looked, &mut titles, frames)? {
        join_report(&mut reports, report);
    }
    for one in &mut looked {
        let before = known.facts.len();
        known.look(one);
        join_report(&mut reports, facts::tell(one, &known.facts[before..], frames)?);
    }
    let marks = known.marks.of_tendons(&looked);
    let notes: Vec<Note> = looked.iter().flat_map(|one| stated::of_sheet(one, &marks)).collect();
    for report in facts::take_notes(&notes, &mut known.facts, frames)? {
        join_report(&mut reports, report);
    }
    frames.wait_for(notes);
    project::hand_over(&looked, &titles, &mapping.of_project(), tables, frames)?;
    let mut further: Vec<(String, String)> = Vec::new();
    for one in &looked {
        let report = read_sheet(one, mapping, &mut known, &mut further, tables, frames)?;
        join_report(&mut reports, report);
    }
    for one in &mut looked {
        let report = matrix::read(one, &mut known, &mut further, tables, frames)?;
        join_report(&mut reports, report);
        let report = ordinates::read(one, &mut known, tables, frames)?;
        join_report(&mut reports, report);
    }
    for one in &mut looked {
        let mut report = report_of(one);
        let is_told = tell_keyless(one, &mut report, frames)?;
        join_report(&mut reports, report);
        if one.found.is_empty() && !one.is_part && !is_told && has_rows(&one.sheet) {
            frames.take(Frame::Problem(headless(&one.sheet)))?;
        }
        if !one.found.is_empty() || one.is_part {
            let unread = profiles::unread(&one.sheet, &one.outside);
            for problem in
                labels::outside(&one.sheet, &one.outside, &one.taken).into_iter().chain(unread)
            {
                frames.take(Frame::Problem(problem))?;
            }
        }
        let mut report = report_of(one);
        keep_outside(one, is_told, &mut further, &mut report);
        join_report(&mut reports, report);
    }
    for report in frames.settle()? {
        join_report(&mut reports, report);
    }
    for report in falling::tell(&known, frames)? {
        join_report(&mut reports, report);
    }
    for report in superseded::tell(superseded, &mut further, frames)? {
        join_report(&mut reports, report);
    }
    *tables = frames.count();
    let first = looked.first().map(|one| &one.sheet);
    if let Some(first) = first.or_else(|| Some(superseded.first()?.sheet())) {
        keep_further(first, further, tables, frames)?;
    }
    for report in reports {
        frames.take(Frame::Understood(report))?;
    }
    Ok(())
}

/// Tells of the tables that are not read, as nothing names their rows; gives whether there are any.
fn tell_keyless(
    one: &mut Looked,
    report: &mut Understood,
    frames: &mut dyn Frames,
) -> Result<bool, Stopped> {
    let keyless = std::mem::take(&mut one.keyless);
    let is_told = !keyless.is_empty();
    for Keyless { understood, said } in keyless {
        report.tables.push(understood);
        frames.take(said)?;
    }
    Ok(is_told)
}

/// A report of a sheet that says nothing yet.
fn report_of(one: &Looked) -> Understood {
    Understood {
        part: one.sheet.part.clone(),
        sheet: one.sheet.name.clone(),
        tables: Vec::new(),
        remarks: Vec::new(),
        exchanged: Vec::new(),
    }
}

/// Adds to what is said of a sheet.
fn join_report(reports: &mut Vec<Understood>, report: Understood) {
    match reports.iter_mut().find(|one| one.part == report.part && one.sheet == report.sheet) {
        Some(one) => {
            one.tables.extend(report.tables);
            one.remarks.extend(report.remarks);
            one.exchanged.extend(report.exchanged);
        }
        None => reports.push(report),
    }
}

/// Keeps what stands outside the tables, and says so.
fn keep_outside(
    one: &Looked,
    is_told: bool,
    further: &mut Vec<(String, String)>,
    report: &mut Understood,
) {
    let sheet = &one.sheet;
    if one.found.is_empty() && !one.is_part && !is_told {
        report.tables.extend(headless::guess(sheet));
        report.remarks.push(Remark {
            row: None,
            what: "No table was found in it; its texts are kept as further values.".to_owned(),
        });
    }
    let captions: Vec<&str> =
        one.found.iter().filter_map(|found| found.caption.as_deref()).map(str::trim).collect();
    for (row, column, text) in notes::texts(sheet, &|row| one.outside.contains(&row)) {
        if one.taken.contains(&(row, column)) || captions.contains(&text.trim()) {
            continue;
        }
        further.push((cell_name(sheet, row, column), text.clone()));
        if !one.found.is_empty() || one.is_part {
            report.remarks.push(Remark {
                row: Some(row),
                what: format!("\"{text}\" is no part of a table; it is kept as a further value."),
            });
        }
    }
}

fn read_sheet(
    one: &Looked,
    mapping: &Mapping,
    known: &mut Known,
    further: &mut Vec<(String, String)>,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<Understood, Stopped> {
    let sheet = &one.sheet;
    let mut report = report_of(one);
    if let Some(what) = &sheet.arranged {
        report.remarks.push(Remark { row: None, what: what.clone() });
    }
    if let Some(said) = &one.hidden {
        tell_hidden(sheet, said, &mut report, frames)?;
    }
    for found in &one.found {
        let mut context: Vec<(&'static str, String)> = Vec::new();
        let is_of_rows = found.owner.is_none();
        for text in found.caption.iter().chain([&sheet.name]).filter(|_| is_of_rows) {
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
        let mapped = mapping.of_table(sheet, found);
        let mut found = found.clone();
        if mapped.iter().any(|table| table.has_row_of_end()) {
            found.assignment.by_end();
        }
        let found = &found;
        let mut moved = Moved::new(sheet, *tables, frames);
        let notes = one.notes.below(found.caption.as_deref());
        let mut reader =
            TableReader::new(sheet, found, &notes, &mapped, known, tables, &mut moved)?;
        reader.read(&context, &mut moved)?;
        let before = (report.tables.len(), report.remarks.len());
        let rest = reader.understood(&mut report);
        // What is read for each tendon from the same headers is said once.
        if !is_of_rows
            && before.0 > 0
            && report.tables[before.0 - 1].headers == report.tables[before.0].headers
        {
            report.tables.truncate(before.0);
            report.remarks.truncate(before.1);
        }
        further.extend(rest.into_iter().map(|(row, text)| (cell_name(sheet, row, 0), text)));
    }
    Ok(report)
}
