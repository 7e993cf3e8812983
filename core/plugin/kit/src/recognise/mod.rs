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
mod further;
mod grid;
mod habits;
mod header;
mod headless;
mod hidden;
mod labels;
mod look;
mod mapping;
mod notes;
mod plan;
mod starter;
mod table;
mod title_block;
mod unit;
mod views;
mod vocabulary;
mod words;

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark, Understood};

pub use grid::{GridCell, GridRow, Look, MOST_CELLS, Merged, Sheet, unit_of_format};
pub use headless::unheaded;
pub use mapping::{ColumnMapping, Mapping, TableMapping};
pub use starter::starter;

use crate::frame::{Frame, Frames, Stopped};
use further::{cell_name, keep_further};
use headless::{has_rows, headless};
use hidden::tell_hidden;
use look::{Looked, look};
use notes::{Title, UnitNotes};
use table::{TableReader, heading};
use title_block::project;

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
