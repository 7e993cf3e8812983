//! The sheet that explains the others.

use restrand_model::quantity::System;
use restrand_model::reflect::{RecordInfo, Shape};
use restrand_model::sheet::{self, Column, Sheet};
use rust_xlsxwriter::{Format, XlsxError};

use super::Need;
use crate::write::{Book, lines};

/// The name of the sheet; it is no part of the schedule.
const NAME: &str = "Read me";
/// The widths of its two columns in letters.
const WIDTHS: [u16; 2] = [24, 110];
/// Points of a line of text.
const LINE: f64 = 15.0;

/// The sheets in the order in which they are best filled: what others name comes before them.
const ORDER: &[&str] = &[
    "Project",
    "Spans",
    "Supports",
    "Alignment",
    "Places",
    "Faces",
    "Recesses",
    "HoistPoints",
    "Bays",
    "BayOutlines",
    "BayObstacles",
    "Openings",
    "Sections",
    "Strands",
    "Ducts",
    "Jacks",
    "Calibrations",
    "Anchorages",
    "AnchorageParts",
    "Forms",
    "FormParts",
    "Tendons",
    "Points",
    "Ends",
    "EndObstacles",
    "Deviators",
    "PartOverrides",
    "DuctRuns",
    "DuctJoints",
    "Vents",
    "StressingSteps",
    "Measurements",
    "BondedPoints",
    "Cuts",
    "Moments",
    "History",
];

/// One line of the sheet.
enum Line {
    Title(&'static str),
    Heading(&'static str),
    Text(String),
    /// A term and what is said of it.
    Entry(String, String),
    /// A sheet and what is said of it.
    Leads(&'static Sheet, String),
}

/// Writes the sheet.
pub(super) fn write(book: &mut Book<'_>, system: System, needs: &[Need]) -> Result<(), XlsxError> {
    let worksheet = book.workbook.add_worksheet();
    worksheet.set_name(NAME)?;
    for (column, width) in (0..).zip(WIDTHS) {
        worksheet.set_column_width(column, f64::from(width))?;
    }
    let bold = Format::new().set_bold();
    for (row, line) in (0..).zip(text(system, needs)) {
        let said = match &line {
            Line::Title(text) => {
                worksheet.write_string_with_format(row, 0, *text, &book.look.title)?;
                continue;
            }
            Line::Heading(text) => {
                worksheet.write_string_with_format(row, 0, *text, &bold)?;
                continue;
            }
            Line::Text(text) => text,
            Line::Entry(term, text) => {
                worksheet.write_string_with_format(row, 0, term, &book.look.wrapped)?;
                text
            }
            Line::Leads(sheet, text) => {
                let link = format!("internal:'{}'!A1", sheet.name);
                worksheet.write_url_with_options(
                    row,
                    0,
                    link.as_str(),
                    sheet.name,
                    "",
                    Some(&book.look.link),
                )?;
                text
            }
        };
        worksheet.write_string_with_format(row, 1, said, &book.look.wrapped)?;
        let height = u32::try_from(lines(said, usize::from(WIDTHS[1]))).unwrap_or(1);
        worksheet.set_row_height(row, LINE * f64::from(height))?;
    }
    book.page.set_up(worksheet, 0);
    Ok(())
}

fn text(system: System, needs: &[Need]) -> Vec<Line> {
    let said = |text: &str| Line::Text(text.to_owned());
    let entry = |term: &str, text: &str| Line::Entry(term.to_owned(), text.to_owned());
    let units = match system {
        System::Si => {
            "Each header states its unit in brackets: stations and lengths of tendons in m, all other lengths \
             in mm, forces in kN, stresses in MPa, angles in rad."
        }
        System::Us => {
            "Each header states its unit in brackets: stations and lengths of tendons in ft, all other lengths \
             in inches, forces in kip, stresses in ksi, angles in rad."
        }
    };
    let mut lines = vec![
        Line::Title("Schedule of replaceable tendons"),
        said(
            "Fill the sheets in the order below, a row for each record. The rows that are there are a worked \
             example of an invented bridge: read them, then overwrite or delete them.",
        ),
        said(
            "Leave a cell empty where a value is not known: empty is never taken as zero. Nothing in this \
             workbook is an approval of anything; what is found in it is for the engineer in charge.",
        ),
        Line::Heading("Units"),
        said(units),
        said(
            "You may change a unit in a header's brackets, and then give the whole column in it. A cell may \
             also hold a number with its own unit, as 12 kip or 4'-6 1/2\".",
        ),
        Line::Heading("Marks"),
        entry(
            "Header in bold",
            "You fill the column. A note at the header says what it means, its unit, and an example.",
        ),
        entry(
            "computed: …",
            "On a hatched ground, slanted: shows what follows from your values. Nothing of it is read. The \
             formulas stand in the first 200 rows; copy them down if you need more.",
        ),
        entry(
            "Drop-down",
            "Words of a closed list, or the names that stand in another sheet. Another entry draws a warning \
             and can be kept.",
        ),
        entry(
            "Columns of your own",
            "May stand behind the others. They are kept and take no part in the check.",
        ),
        Line::Heading("Sides and directions"),
        entry(
            "Stations",
            "Grow along the bridge; end a of a tendon is at its lower station. Left and right are seen looking \
             towards higher stations.",
        ),
        entry("Behind an end", "Away from the tendon's span, where the jack stands."),
        Line::Heading("Order of filling"),
    ];
    lines.extend(ORDER.iter().filter_map(|name| {
        let sheet = sheet::find(name)?;
        Some(Line::Leads(sheet, about(sheet)))
    }));
    if !needs.is_empty() {
        lines.push(Line::Heading("What is needed from which stage on"));
    }
    for need in needs {
        let record = record_of(&need.record);
        let fields: Vec<_> = need.fields.iter().map(|field| shown(record, field)).collect();
        let sheet = record
            .and_then(|record| sheet::SHEETS.iter().find(|sheet| sheet.record.name == record.name));
        let sheet = sheet.map_or(need.record.as_str(), |sheet| sheet.name);
        lines.push(Line::Entry(need.stage.clone(), format!("{sheet}: {}", fields.join(", "))));
    }
    lines
}

/// What a row of the sheet holds, and what it names.
fn about(sheet: &Sheet) -> String {
    let mut about = sheet.record.description();
    let names: Vec<_> = sheet::columns_of(sheet::find(sheet.name).unwrap_or(&sheet::SHEETS[0]))
        .iter()
        .filter_map(|column| match column {
            Column::Link { header } => Some((*header).to_owned()),
            Column::Value { .. } => None,
        })
        .collect();
    if !names.is_empty() {
        about.push_str(" Each row names its ");
        about.push_str(&names.join(" and "));
        about.push('.');
    }
    about
}

fn record_of(name: &str) -> Option<&'static RecordInfo> {
    sheet::SHEETS.iter().map(|sheet| sheet.record).find(|record| record.name == name)
}

/// A field as the headers call it.
fn shown(record: Option<&'static RecordInfo>, field: &str) -> String {
    let mut info = record;
    let mut words = Vec::new();
    for step in field.split('.') {
        let found = info.and_then(|info| info.field(step));
        words.push(found.map_or_else(|| step.to_owned(), |field| field.label().to_lowercase()));
        info = match found.map(|field| field.shape) {
            Some(Shape::Record(inner)) => Some(inner()),
            _ => None,
        };
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_sheet_that_people_fill_is_in_the_order() {
        let filled: BTreeSet<_> = sheet::SHEETS
            .iter()
            .filter(|sheet| !sheet.targets.is_empty())
            .map(|sheet| sheet.name)
            .collect();
        assert_eq!(ORDER.iter().copied().collect::<BTreeSet<_>>(), filled);
        assert_eq!(ORDER.len(), filled.len());
    }
}
