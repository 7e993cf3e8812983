//! One long sheet of tendons, with columns that no field takes, and no other sheet.

use std::path::Path;

use restrand_kit::Content;
use restrand_kit::sheet::{OutCell, sheets};
use restrand_model::quantity::System;
use restrand_model::reading::Provenance;
use restrand_model::schedule::Status;
use restrand_model::sheet::Column;
use rust_xlsxwriter::{Workbook, Worksheet, XlsxError};

use super::BenchError;
use crate::demo;

/// Rows of the flat sheet, without its headers.
pub const FLAT_ROWS: u32 = 100_000;
/// Columns of the flat sheet.
pub const FLAT_COLUMNS: usize = OWN.len() + FURTHER.len();

/// The schedule's own columns, by the fields they hold.
const OWN: [&str; 25] = [
    "mark",
    "spans",
    "web",
    "side",
    "twin",
    "order",
    "situation",
    "replaceable",
    "status",
    "strand",
    "strand_count",
    "strand_capacity",
    "duct",
    "filler",
    "installation",
    "stressing.from",
    "stressing.jacking_force_kn",
    "stressing.jacking_share",
    "stressing.mu",
    "stressing.set_mm",
    "fill.volume_l",
    "replacement.release",
    "replacement.target_force_kn",
    "length_m",
    "steel_mass_kg",
];

/// What a column that no field takes holds.
#[derive(Clone, Copy)]
enum Further {
    /// One of these texts in turn.
    Texts(&'static [&'static str]),
    /// A text with the row's number.
    Numbered(&'static str),
    /// A number that grows with the row.
    From(f64),
}

const FURTHER: [(&str, Further); 15] = [
    (
        "Remarks",
        Further::Texts(&["as drawn", "see sheet 7", "checked on site", "mouth seal renewed"]),
    ),
    ("Heat number", Further::From(770_000.0)),
    ("Coil", Further::Numbered("C")),
    ("Delivery note", Further::Numbered("DN-2026-")),
    ("Mill certificate", Further::Numbered("MC/")),
    ("Duct batch", Further::From(1200.0)),
    ("Owner's number", Further::Numbered("QV-TN-")),
    ("Drawing sheet", Further::Texts(&["PT-101", "PT-102", "PT-103"])),
    ("Checked by", Further::Texts(&["first office", "second office"])),
    ("Checked on", Further::Texts(&["2026-10-02", "2026-10-09", "2026-10-16"])),
    ("Zone", Further::Texts(&["north", "middle", "south"])),
    ("Works order", Further::From(48_000.0)),
    ("Grout crew", Further::Texts(&["A", "B", "C", "D"])),
    ("Weather at stressing", Further::Texts(&["dry", "rain", "frost", "wind"])),
    ("Photo", Further::Numbered("IMG_")),
];

/// Writes the flat file, row by row.
///
/// Strings go to the shared table, as they do in files of other programs; no row is kept.
///
/// # Errors
/// The file cannot be written, or the layout has lost a column.
pub fn flat(path: &Path) -> Result<(), BenchError> {
    let (headers, rows) = templates()?;
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet_with_low_memory()?;
    sheet.set_name("Tendons")?;
    let further = FURTHER.iter().map(|(header, _)| *header);
    for (column, header) in (0..).zip(headers.iter().map(String::as_str).chain(further)) {
        sheet.write_string(0, column, header)?;
    }
    for (number, template) in (1..=FLAT_ROWS).zip(rows.iter().cycle()) {
        row(sheet, number, template)?;
    }
    workbook.save(path)?;
    Ok(())
}

/// Headers and rows of the demo's tendons in use, cut down to the columns.
fn templates() -> Result<(Vec<String>, Vec<Vec<OutCell>>), BenchError> {
    let mut bridge = demo::bridge();
    bridge.tendons.retain(|tendon| tendon.status == Some(Status::InUse));
    let provenance = Provenance::default();
    let (sheets, _) = sheets(&Content::new(&bridge, &provenance), System::Si);
    let tendons = sheets
        .into_iter()
        .find(|out| out.sheet.name == "Tendons")
        .ok_or(BenchError::NoColumn("at all"))?;
    let positions = OWN
        .into_iter()
        .map(|name| {
            tendons
                .columns
                .iter()
                .position(|column| {
                    matches!(column, Some(Column::Value { path, .. }) if path.join(".") == name)
                })
                .ok_or(BenchError::NoColumn(name))
        })
        .collect::<Result<Vec<_>, _>>()?;
    let headers = positions.iter().map(|at| tendons.headers[*at].clone()).collect();
    let rows = tendons
        .rows
        .iter()
        .map(|cells| positions.iter().map(|at| cells[*at].clone()).collect())
        .collect();
    Ok((headers, rows))
}

fn row(sheet: &mut Worksheet, number: u32, template: &[OutCell]) -> Result<(), XlsxError> {
    for ((column, name), cell) in (0..).zip(OWN).zip(template) {
        match (name, cell) {
            ("mark", _) => sheet.write_string(number, column, mark(number))?,
            ("twin", _) => sheet.write_string(number, column, mark(twin(number)))?,
            ("order", _) => sheet.write_number(number, column, number)?,
            (_, OutCell::Empty) => sheet,
            (_, OutCell::Number(value)) => sheet.write_number(number, column, *value)?,
            (_, OutCell::Text(text)) => sheet.write_string(number, column, text)?,
            (_, OutCell::Flag(flag)) => sheet.write_boolean(number, column, *flag)?,
        };
    }
    let first = u16::try_from(OWN.len()).unwrap_or(u16::MAX);
    for (column, (_, further)) in (first..).zip(FURTHER) {
        match further {
            Further::Texts(texts) => {
                let turn = number as usize % texts.len();
                sheet.write_string(number, column, texts[turn])?;
            }
            Further::Numbered(text) => {
                // Deliveries, certificates and the like come for several tendons at once.
                sheet.write_string(number, column, format!("{text}{:04}", number / 8))?;
            }
            Further::From(start) => {
                sheet.write_number(number, column, start + f64::from(number / 4))?;
            }
        }
    }
    Ok(())
}

/// Pairs follow each other, the left tendon first, as in the demo.
fn twin(number: u32) -> u32 {
    if number.is_multiple_of(2) { number - 1 } else { number + 1 }
}

fn mark(number: u32) -> String {
    let side = if number.is_multiple_of(2) { 'R' } else { 'L' };
    format!("T{:05}{side}", number.div_ceil(2))
}
