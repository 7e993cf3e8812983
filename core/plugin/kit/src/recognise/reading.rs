//! From sheets in at least one of which a table was found to the frames of what they state, in order: what is said once
//! for all first, then tables, then what stands outside of them.

use restrand_model::reading::{Remark, Understood};

use super::find::Keyless;
use super::further::{cell_name, keep_further};
use super::headless::{has_rows, headless};
use super::hidden::tell_hidden;
use super::known::Known;
use super::mapping::Mapping;
use super::project::Title;
use super::rearranged::Moved;
use super::sink::Sink;
use super::stated::Note;
use super::superseded::Superseded;
use super::table::{TableReader, heading};
use super::words::words;
use super::{
    Looked, alike, facts, falling, general, groups, headless as without_headers, headline, labels,
    matrix, notes, ordinates, pairs, profiles, project, stated, superseded,
};
use crate::frame::{Frame, Frames, Stopped};

/// Reads sheets in at least one of which a table was found.
pub(super) fn read_looked(
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
        let own = project::titles(one).into_iter().chain(general::titles(one));
        titles.extend(own.map(|title| (index, title)));
    }
    project::narrow(&mut looked, &mut titles);
    let mut reports: Vec<Understood> = looked.iter().map(report_of).collect();
    reports.dedup();
    if let Some(report) = headline::take(&mut looked, &mut titles, frames)? {
        join_report(&mut reports, report);
    }
    let headed = stated::headed(&looked, &known.marks);
    for (one, headed) in looked.iter_mut().zip(&headed) {
        let before = known.facts.len();
        known.look(one, headed);
        join_report(&mut reports, facts::tell(one, &known.facts[before..], frames)?);
    }
    let told = stated::told_of(&looked, &known.marks);
    let mut notes: Vec<Note> = general::notes(&looked, &told);
    let of_sheets = looked.iter().zip(told);
    notes.extend(of_sheets.flat_map(|(one, told)| stated::of_sheet(one, told)));
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
        join_report(&mut reports, general::tell(one, &mut further, frames)?);
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

/// Whether a caption or the name of a sheet says that what stands below it is required, and is not what is there.
///
/// Common practice, no source.
fn is_required(text: &str) -> bool {
    const WORDS: [&str; 8] =
        ["required", "req", "reqd", "requirement", "requirements", "needed", "necessary", "min"];
    words(text).iter().any(|word| WORDS.contains(&word.as_str()))
}

/// Tells of the tables that are not read, as nothing names their rows; gives whether there are any.
pub(super) fn tell_keyless(
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
pub(super) fn report_of(one: &Looked) -> Understood {
    Understood {
        part: one.sheet.part.clone(),
        sheet: one.sheet.name.clone(),
        tables: Vec::new(),
        remarks: Vec::new(),
        exchanged: Vec::new(),
    }
}

/// Adds to what is said of a sheet.
pub(super) fn join_report(reports: &mut Vec<Understood>, report: Understood) {
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
    // What of lists is not taken is kept row by row.
    if !one.general.is_empty() {
        return;
    }
    if one.found.is_empty() && !one.is_part && !is_told {
        report.tables.extend(without_headers::guess(sheet));
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
    frames: &mut Sink<'_>,
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
        let first = *tables;
        let mut moved = Moved::new(sheet, first, frames);
        let notes = one.notes.below(found.caption.as_deref());
        let mut reader =
            TableReader::new(sheet, found, &notes, &mapped, known, tables, &mut moved)?;
        reader.read(&context, &mut moved)?;
        let before = (report.tables.len(), report.remarks.len());
        let rest = reader.understood(&mut report);
        if found.caption.iter().chain([&sheet.name]).any(|text| is_required(text)) {
            frames.are_required(first..*tables);
        }
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
