//! From a schedule to a workbook.
//!
//! The same schedule gives the same bytes: the file's date is fixed, and nothing is asked of the machine.
//! All sheets are held in memory until they are written: to write row by row the library needs temporary
//! files, which plugins do not use and a browser does not have.

mod aside;
mod beside;
mod book;
mod header;
mod lists;
mod look;
mod page;
mod sheet;

use restrand_kit::sheet::{SheetOut, sheets};
use restrand_kit::{Content, Loss, Output, WriteError, WriteOptions};
use rust_xlsxwriter::XlsxError;

pub(crate) use book::{Book, Filling};
pub(crate) use header::{Meaning, lines};
pub(crate) use look::Look;

/// The name of the part.
const PART: &str = "schedule.xlsx";
/// Letters that a cell can hold, counted in UTF-16 units.
const MAX_TEXT: usize = 32_767;

/// Writes what the content holds, and returns what the workbook could not carry.
pub(crate) fn write(
    content: &Content<'_>,
    options: WriteOptions<'_>,
    output: &mut dyn Output,
) -> Result<Vec<Loss>, WriteError> {
    if let Some(ending) = options.ending.filter(|ending| !ending.eq_ignore_ascii_case("xlsx")) {
        return Err(WriteError::Unsupported(format!("a workbook is not written as .{ending}")));
    }
    let (sheets, mut losses) = sheets(content, options.system);
    let (bytes, not_written) = write_sheets(content, &sheets)?;
    losses.extend(not_written);
    output.part(PART)?.write_all(&bytes)?;
    Ok(losses)
}

/// Sheets of the content as the bytes of a workbook, its further tables behind them, and what the workbook
/// could not carry: for sheets that say what no schedule can.
///
/// # Errors
/// The sheets make no workbook, as two of one name.
pub fn write_sheets(
    content: &Content<'_>,
    sheets: &[SheetOut],
) -> Result<(Vec<u8>, Vec<Loss>), WriteError> {
    let book = || -> Result<_, XlsxError> {
        let mut book = Book::new(content, sheets, Filling::None)?;
        book.sheets()?;
        book.tables(content.tables)?;
        book.finish()
    };
    book().map_err(|error| not_made(&error))
}

/// What is said of sheets that make no workbook.
pub(crate) fn not_made(error: &XlsxError) -> WriteError {
    WriteError::Unsupported(format!("the workbook cannot be made: {error}"))
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
