//! Saying why a workbook cannot be read, and keeping the panics of others inside.

use std::fmt::Display;
use std::panic::{AssertUnwindSafe, catch_unwind};

use restrand_kit::LoadError;
use restrand_model::reading::Place;

/// What to do about a file that no reader can make sense of.
pub(crate) const SAVE_AGAIN: &str = "open it in a spreadsheet program, save it as .xlsx, and try again; if that fails too, ask for the \
     file once more";

/// What to do about a file that is locked.
const UNLOCK: &str = "open it in a spreadsheet program, remove the password, and save it";

/// Makes the errors of one part.
pub(crate) struct Refusal<'a> {
    part: &'a str,
}

impl<'a> Refusal<'a> {
    pub(crate) const fn new(part: &'a str) -> Self {
        Self { part }
    }

    /// The part as a whole cannot be read.
    pub(crate) fn error(&self, why: impl Into<String>, help: impl Into<String>) -> LoadError {
        LoadError::Unreadable {
            place: Place::Part { part: self.part.to_owned() },
            why: why.into(),
            help: help.into(),
        }
    }

    /// A sheet, and with it the part, cannot be read to its end.
    pub(crate) fn sheet(&self, sheet: &str, why: impl Display) -> LoadError {
        LoadError::Unreadable {
            place: Place::Sheet { part: self.part.to_owned(), sheet: sheet.to_owned() },
            why: format!("the sheet \"{sheet}\" is damaged: {why}"),
            help: SAVE_AGAIN.to_owned(),
        }
    }

    /// The part is locked.
    pub(crate) fn encrypted(&self) -> LoadError {
        self.error("the workbook is encrypted with a password", UNLOCK)
    }

    /// The part is of the right kind and broken.
    pub(crate) fn damaged(&self, why: impl Display) -> LoadError {
        self.error(format!("the workbook is damaged: {why}"), SAVE_AGAIN)
    }
}

/// A reader panicked.
#[derive(Debug, thiserror::Error)]
#[error("its reader met something that it does not know how to handle")]
pub(crate) struct Panicked;

/// Calls a reader of another crate; its panic, which hostile bytes can cause, becomes an error.
///
/// What the call borrowed is in an unknown state after a panic and must not be used again.
pub(crate) fn guarded<T>(call: impl FnOnce() -> T) -> Result<T, Panicked> {
    catch_unwind(AssertUnwindSafe(call)).map_err(|_| Panicked)
}
