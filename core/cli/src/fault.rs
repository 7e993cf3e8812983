//! What ends a run early, and panics turned into one line.

use std::any::Any;
use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::Mutex;

use restrand_check::rulebook::BookError;

/// Why a run ends early.
#[derive(Debug)]
pub(crate) enum Fault {
    /// The command line asks for what cannot be.
    Usage(String),
    /// A rulebook says what no rulebook can say; with the text of the book.
    Rulebook {
        /// What is wrong.
        error: BookError,
        /// The text of the rulebook.
        text: String,
    },
    /// A plugin cannot be opened; with the advice.
    Plugin {
        /// What is wrong.
        why: String,
        /// What to do about it.
        help: String,
    },
    /// The output cannot be written.
    Output {
        /// The file, or nothing for standard output.
        file: Option<PathBuf>,
        /// What the medium says.
        error: io::Error,
    },
}

/// Where the last panic was raised.
static LAST: Mutex<Option<String>> = Mutex::new(None);

/// Keeps the place of a panic for the one line that tells of it, and prints nothing.
///
/// Readers of other crates panic on damaged files, which is caught and told as a finding.
pub(crate) fn quiet_panics() {
    std::panic::set_hook(Box::new(|info| {
        let place = info.location().map(|at| format!("{}:{}", at.file(), at.line()));
        if let Ok(mut last) = LAST.lock() {
            *last = place;
        }
    }));
}

/// Calls something that must not end the program; its panic becomes a line of text.
pub(crate) fn guarded<T>(call: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(call)).map_err(|panic| {
        let said = said(panic.as_ref());
        let said = said.lines().next().unwrap_or_default();
        match LAST.lock().ok().and_then(|mut last| last.take()) {
            Some(place) => format!("{said} (at {place})"),
            None => said.to_owned(),
        }
    })
}

fn said(panic: &(dyn Any + Send)) -> String {
    match (panic.downcast_ref::<&str>(), panic.downcast_ref::<String>()) {
        (Some(text), _) => (*text).to_owned(),
        (_, Some(text)) => text.clone(),
        _ => "something unforeseen happened".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::guarded;

    #[test]
    fn a_panic_becomes_one_line() {
        let line = guarded(|| panic!("no bore\nand no body")).unwrap_err();
        assert!(line.starts_with("no bore"));
        assert!(!line.contains('\n'));
        assert_eq!(guarded(|| 7), Ok(7));
    }
}
