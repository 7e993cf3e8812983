//! A workbook for people to fill: every sheet of the layout, and what one needs to know beside it.

mod compute;
mod read_me;

use restrand_kit::sheet::sheets_to_fill;
use restrand_kit::{Content, WriteError};
use restrand_model::quantity::System;
use rust_xlsxwriter::XlsxError;

use crate::write::{Book, Filling, not_made};

pub(crate) use compute::compute;

/// Rows of each sheet that have drop-downs.
const ROWS: u32 = 500;

/// What a record must state from a stage on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// The stage, in words.
    pub stage: String,
    /// The name of the record type.
    pub record: String,
    /// The names of its fields.
    pub fields: Vec<String>,
}

/// A workbook to be filled, with the content as a worked example in it.
///
/// # Errors
/// The content makes no workbook.
pub fn template(
    content: &Content<'_>,
    system: System,
    needs: &[Need],
) -> Result<Vec<u8>, WriteError> {
    let (sheets, mut losses) = sheets_to_fill(content, system);
    let filling = Filling::Rows { rows: ROWS, system };
    let book = || -> Result<_, XlsxError> {
        let mut book = Book::new(content, &sheets, filling)?;
        read_me::write(&mut book, system, needs)?;
        book.sheets()?;
        book.finish()
    };
    let (bytes, not_written) = book().map_err(|error| not_made(&error))?;
    losses.extend(not_written);
    match losses.first() {
        None => Ok(bytes),
        Some(loss) => Err(WriteError::Unsupported(format!(
            "the example cannot be written: {}: {}",
            loss.route, loss.why
        ))),
    }
}
