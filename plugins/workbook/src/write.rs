//! From a schedule to a workbook.
//!
//! The same schedule gives the same bytes: the file's date is fixed, and nothing is asked of the machine.
//! All sheets are held in memory until they are written, as plugins use no temporary files.

use restrand_kit::sheet::{OutCell, SheetOut, sheets};
use restrand_kit::{Loss, Output, WriteError, WriteOptions};
use restrand_model::schedule::Schedule;
use restrand_model::sheet::{Column, Hop, Into, Target};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, Workbook, Worksheet, XlsxError,
};

use crate::reading::{COLUMNS, ROWS};

/// The name of the part.
const PART: &str = "schedule.xlsx";
/// Letters that a cell can hold, counted in UTF-16 units.
const MAX_TEXT: usize = 32_767;

/// Writes the schedule, and returns what the workbook could not carry.
pub(crate) fn write(
    schedule: &Schedule,
    options: WriteOptions<'_>,
    output: &mut dyn Output,
) -> Result<Vec<Loss>, WriteError> {
    if let Some(ending) = options.ending.filter(|ending| !ending.eq_ignore_ascii_case("xlsx")) {
        return Err(WriteError::Unsupported(format!("a workbook is not written as .{ending}")));
    }
    let (sheets, mut losses) = sheets(schedule, options.system);
    let (bytes, not_written) = write_sheets(&sheets)?;
    losses.extend(not_written);
    output.part(PART)?.write_all(&bytes)?;
    Ok(losses)
}

/// Sheets as the bytes of a workbook, and what it could not carry: for sheets that say what no schedule can.
///
/// # Errors
/// The sheets make no workbook, as two of one name.
pub fn write_sheets(sheets: &[SheetOut]) -> Result<(Vec<u8>, Vec<Loss>), WriteError> {
    let mut losses = Vec::new();
    let bytes = workbook(sheets, &mut losses).map_err(|error| {
        WriteError::Unsupported(format!("the workbook cannot be made: {error}"))
    })?;
    Ok((bytes, losses))
}

fn workbook(sheets: &[SheetOut], losses: &mut Vec<Loss>) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    let created = ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&created));
    let formats = Formats::new();
    for out in sheets {
        sheet(workbook.add_worksheet(), out, &formats, losses)?;
    }
    workbook.save_to_buffer()
}

struct Formats {
    header: Format,
    /// Marks a text that begins like a formula, so that it stays a text when someone edits the cell.
    quoted: Format,
}

impl Formats {
    fn new() -> Self {
        Self {
            header: Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top),
            quoted: Format::new().set_quote_prefix(),
        }
    }
}

fn sheet(
    worksheet: &mut Worksheet,
    out: &SheetOut,
    formats: &Formats,
    losses: &mut Vec<Loss>,
) -> Result<(), XlsxError> {
    worksheet.set_name(out.sheet.name)?;
    worksheet.set_freeze_panes(1, 0)?;
    let columns = out.headers.len().min(COLUMNS as usize);
    for (column, header) in (0_u16..).zip(&out.headers[..columns]) {
        worksheet.set_column_width(column, width(out, usize::from(column)))?;
        if fits(header) {
            worksheet.write_string_with_format(0, column, header, &formats.header)?;
        } else {
            losses.push(Loss {
                route: format!("{}: the header of column {}", out.sheet.name, column + 1),
                value: shortened(header),
                why: TOO_LONG.to_owned(),
            });
        }
    }
    let mut keys = Keys::default();
    for (row, cells) in (1_u32..).zip(&out.rows) {
        let route = |column: usize, keys: &Keys| keys.route(out, cells, column);
        keys.count(out, cells);
        if row >= ROWS {
            losses.push(Loss {
                route: keys.record(out, cells),
                value: "a row".to_owned(),
                why: format!("a sheet has no more than {ROWS} rows"),
            });
            continue;
        }
        for (column, cell) in cells.iter().enumerate() {
            let Some(place) = u16::try_from(column).ok().filter(|_| column < columns) else {
                if *cell != OutCell::Empty {
                    losses.push(Loss {
                        route: route(column, &keys),
                        value: shown(cell),
                        why: format!("a sheet has no more than {COLUMNS} columns"),
                    });
                }
                continue;
            };
            match cell {
                OutCell::Empty => {}
                OutCell::Number(number) => {
                    worksheet.write_number(row, place, *number)?;
                }
                OutCell::Flag(flag) => {
                    worksheet.write_boolean(row, place, *flag)?;
                }
                OutCell::Text(text) if !fits(text) => losses.push(Loss {
                    route: route(column, &keys),
                    value: shortened(text),
                    why: TOO_LONG.to_owned(),
                }),
                OutCell::Text(text) if text.starts_with(['=', '+', '-', '@']) => {
                    worksheet.write_string_with_format(row, place, text, &formats.quoted)?;
                }
                OutCell::Text(text) => {
                    worksheet.write_string(row, place, text)?;
                }
            }
        }
    }
    Ok(())
}

const TOO_LONG: &str = "a cell holds no more than 32,767 letters";

fn fits(text: &str) -> bool {
    text.len() <= MAX_TEXT || text.encode_utf16().count() <= MAX_TEXT
}

/// The beginning of a text that is too long for a report.
fn shortened(text: &str) -> String {
    const SHOWN: usize = 60;
    let beginning: String = text.chars().take(SHOWN).collect();
    format!("{beginning}… ({} letters)", text.chars().count())
}

fn shown(cell: &OutCell) -> String {
    match cell {
        OutCell::Empty => String::new(),
        OutCell::Number(number) => restrand_model::quantity::shortest(*number),
        OutCell::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        OutCell::Text(text) if text.len() > 80 => shortened(text),
        OutCell::Text(text) => text.clone(),
    }
}

/// A width, in letters, at which header and first rows can be read.
fn width(out: &SheetOut, column: usize) -> f64 {
    /// Rows that are looked at.
    const ROWS: usize = 200;
    let letters = |text: &str| text.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    let widest = out
        .rows
        .iter()
        .take(ROWS)
        .filter_map(|cells| cells.get(column))
        .map(|cell| match cell {
            OutCell::Text(text) => letters(text),
            OutCell::Number(_) => 10,
            OutCell::Empty | OutCell::Flag(_) => 0,
        })
        .max()
        .unwrap_or(0);
    // A long header may take two lines.
    let header = letters(&out.headers[column]);
    let header = if header > 16 { header.div_ceil(2).max(16) } else { header };
    u32::try_from(widest.max(header).clamp(8, 40) + 2).map_or(12.0, f64::from)
}

/// Names for the rows of a sheet, for the report of losses.
#[derive(Default)]
struct Keys {
    /// The owner of the row before, and how many rows it has had.
    owner: Vec<String>,
    position: usize,
}

impl Keys {
    /// Takes note of a row.
    fn count(&mut self, out: &SheetOut, cells: &[OutCell]) {
        let owner: Vec<String> =
            (0..out.sheet.links().len()).map(|link| text(cells, link)).collect();
        if owner == self.owner {
            self.position += 1;
        } else {
            self.owner = owner;
            self.position = 1;
        }
    }

    /// The route of the record of the row that was noted last.
    fn record(&self, out: &SheetOut, cells: &[OutCell]) -> String {
        let links = out.sheet.links();
        let linked = |link: &str| {
            links
                .iter()
                .position(|other| *other == link)
                .map_or(String::new(), |at| text(cells, at))
        };
        let targets = out.sheet.targets;
        let fills = |target: &&Target| target.links().iter().all(|link| !linked(link).is_empty());
        let Some(target) = targets.iter().find(fills).or(targets.first()) else {
            return out.sheet.name.to_owned();
        };
        let mut steps = Vec::new();
        for hop in target.owner {
            steps.push(match hop {
                Hop::Item { list, link } => format!("{list}[{}]", linked(link)),
                Hop::Field(field) => (*field).to_owned(),
                Hop::Slot { link, .. } => linked(link),
            });
        }
        steps.push(match target.into {
            Into::Field(field) => field.to_owned(),
            Into::Slot { link, .. } => linked(link),
            Into::List(list) => {
                let key = out.columns.iter().position(|column| match column {
                    Some(Column::Value { path, .. }) => {
                        out.sheet.record.key.is_some_and(|key| *path == [key])
                    }
                    _ => false,
                });
                match key.map(|column| text(cells, column)) {
                    Some(key) if !key.is_empty() && key.len() <= 80 => format!("{list}[{key}]"),
                    _ => format!("{list}[#{}]", self.position),
                }
            }
        });
        steps.join(".")
    }

    /// The route of a value in the row that was noted last.
    fn route(&self, out: &SheetOut, cells: &[OutCell], column: usize) -> String {
        let field = match out.columns[column] {
            Some(Column::Value { path, .. }) => path.join("."),
            Some(Column::Link { header }) => (*header).to_owned(),
            None => format!("extra.{}", out.headers[column]),
        };
        format!("{}.{field}", self.record(out, cells))
    }
}

fn text(cells: &[OutCell], column: usize) -> String {
    cells.get(column).map(shown).unwrap_or_default()
}
