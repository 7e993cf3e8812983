//! From a schedule to CSV files.
//!
//! UTF-8 with a mark at the beginning, by which spreadsheet programs know it; commas, points as decimal
//! marks, lines that end as RFC 4180 has it.
//! The same schedule gives the same bytes: the dates in an archive are fixed.

use std::borrow::Cow;
use std::io::{Cursor, Write as _};

use restrand_kit::sheet::{OutCell, SheetOut, sheets_of_texts};
use restrand_kit::{Content, Loss, Output, WriteError, WriteOptions};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::files::ARCHIVE;
use crate::number;

/// The name of the part that is an archive.
const PART: &str = "schedule.zip";
/// The ending of the file of a sheet.
const FILE: &str = "csv";
/// The mark of UTF-8.
const MARK: &str = "\u{feff}";
const DELIMITER: char = ',';
const LINE_END: &str = "\r\n";

/// Writes a part for each sheet, or one archive with a file for each.
pub(crate) fn write(
    content: &Content<'_>,
    options: WriteOptions,
    output: &mut dyn Output,
) -> Result<Vec<Loss>, WriteError> {
    let is_archive = match options.ending {
        None => false,
        Some(ending) if ending.eq_ignore_ascii_case(FILE) => false,
        Some(ending) if ending.eq_ignore_ascii_case(ARCHIVE) => true,
        Some(ending) => {
            return Err(WriteError::Unsupported(format!("CSV is not written as .{ending}")));
        }
    };
    let (sheets, losses) = sheets_of_texts(content, options.system);
    if is_archive {
        let bytes = archive(&sheets).map_err(|error| {
            WriteError::Unsupported(format!("the archive cannot be made: {error}"))
        })?;
        output.part(PART)?.write_all(&bytes)?;
    } else {
        for sheet in &sheets {
            output.part(&name(sheet))?.write_all(text(sheet).as_bytes())?;
        }
    }
    Ok(losses)
}

fn name(sheet: &SheetOut) -> String {
    format!("{}.{FILE}", sheet.sheet.name)
}

fn archive(sheets: &[SheetOut]) -> zip::result::ZipResult<Vec<u8>> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default());
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for sheet in sheets {
        archive.start_file(name(sheet), options)?;
        archive.write_all(text(sheet).as_bytes())?;
    }
    Ok(archive.finish()?.into_inner())
}

/// A sheet as the text of a file.
fn text(sheet: &SheetOut) -> String {
    let mut text = MARK.to_owned();
    let headers = sheet.headers.iter().map(|header| quoted(header));
    line(&mut text, headers);
    for cells in &sheet.rows {
        line(&mut text, cells.iter().map(value));
    }
    text
}

fn line<'v>(text: &mut String, values: impl Iterator<Item = Cow<'v, str>>) {
    for (index, value) in values.enumerate() {
        if index > 0 {
            text.push(DELIMITER);
        }
        text.push_str(&value);
    }
    text.push_str(LINE_END);
}

fn value(cell: &OutCell) -> Cow<'_, str> {
    match cell {
        OutCell::Empty => Cow::Borrowed(""),
        OutCell::Number(number) => Cow::Owned(number::written(*number)),
        OutCell::Flag(true) => Cow::Borrowed("TRUE"),
        OutCell::Flag(false) => Cow::Borrowed("FALSE"),
        // What is no number and no flag must not come back as one.
        OutCell::Text(text)
            if number::read(text).is_some() || matches!(text.as_str(), "TRUE" | "FALSE") =>
        {
            Cow::Owned(in_quotes(text))
        }
        OutCell::Text(text) => quoted(text),
    }
}

/// A text as it stands in a line: in quotes where it would fall apart without, or lose spaces.
fn quoted(text: &str) -> Cow<'_, str> {
    let is_edged = |letter: char| letter.is_whitespace() || letter == '\u{feff}';
    if text.contains([DELIMITER, '"', '\r', '\n'])
        || text.starts_with(is_edged)
        || text.ends_with(is_edged)
    {
        Cow::Owned(in_quotes(text))
    } else {
        Cow::Borrowed(text)
    }
}

fn in_quotes(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}
