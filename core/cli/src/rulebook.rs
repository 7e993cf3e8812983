//! Which rulebook is in force: the one that is asked for, or the one of the declared design code.

use std::fs;
use std::io::Read;
use std::path::Path;

use restrand_check::rulebook::{BUILT_IN, built_in, in_force, name_for_code};
use restrand_model::near::nearest;
use restrand_model::schedule::Schedule;
use restrand_rules::Rulebook;

use crate::fault::Fault;

/// The longest rulebook file that is read.
const LONGEST: u64 = 4 << 20;

/// A rulebook in force and why it is.
pub(crate) struct Chosen {
    pub(crate) book: Rulebook,
    pub(crate) why: String,
}

/// Whether the name is that of a built-in rulebook, and so of no file.
pub(crate) fn is_built_in(name_or_path: &Path) -> bool {
    name_or_path.to_str().is_some_and(|name| built_in(name).is_some())
}

/// The rulebook of this name or in this file.
pub(crate) fn asked_for(name_or_path: &Path) -> Result<Chosen, Fault> {
    let shown = name_or_path.to_string_lossy().into_owned();
    let why = "as --rulebook says".to_owned();
    if let Some(text) = name_or_path.to_str().and_then(built_in) {
        return Ok(Chosen { book: take(&shown, text)?, why });
    }
    let names: Vec<_> = BUILT_IN.iter().map(|(name, _)| *name).collect();
    let text = match read(name_or_path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            let hint = match nearest(&shown, names.iter().copied()) {
                Some(near) => format!("; did you mean \"{near}\"?"),
                None => ".".to_owned(),
            };
            return Err(Fault::Usage(format!(
                "no rulebook is called \"{shown}\", and there is no such file{hint} Built in are: {}",
                names.join(", ")
            )));
        }
        Err(error) => {
            return Err(Fault::Usage(format!("the rulebook {shown} cannot be read: {error}")));
        }
    };
    Ok(Chosen { book: take(&shown, &text)?, why })
}

fn read(path: &Path) -> std::io::Result<String> {
    let kind = fs::metadata(path)?;
    if !kind.is_file() {
        return Err(std::io::Error::other("it is not a file"));
    }
    if kind.len() > LONGEST {
        return Err(std::io::Error::other("it is longer than any rulebook"));
    }
    let mut text = String::new();
    fs::File::open(path)?.take(LONGEST).read_to_string(&mut text)?;
    Ok(text)
}

fn take(name: &str, text: &str) -> Result<Rulebook, Fault> {
    in_force(name, text).map_err(|error| {
        // The fault may lie in a book that this one extends.
        let text =
            if error.book == name { text } else { built_in(&error.book).unwrap_or_default() };
        Fault::Rulebook { text: text.to_owned(), error }
    })
}

/// Built-in rulebooks by declared design code, each taken into force once.
#[derive(Default)]
pub(crate) struct ByCode {
    taken: Vec<(&'static str, Rulebook)>,
}

impl ByCode {
    /// The rulebook that was asked for, or the one for the design code that the schedule declares.
    pub(crate) fn unless_asked(
        &mut self,
        asked: Option<&Chosen>,
        schedule: &Schedule,
    ) -> Result<Chosen, Fault> {
        match asked {
            Some(asked) => Ok(Chosen { book: asked.book.clone(), why: asked.why.clone() }),
            None => self.choose(schedule),
        }
    }

    /// The rulebook for the design code that the schedule declares.
    pub(crate) fn choose(&mut self, schedule: &Schedule) -> Result<Chosen, Fault> {
        let project = schedule.project.as_deref();
        let code = project.and_then(|project| project.design_code.as_deref());
        let edition = project.and_then(|project| project.design_code_edition.as_deref());
        let (name, why) = match (code, edition) {
            (Some(code), Some(edition)) => match name_for_code(code, edition) {
                Some(name) => (name, format!("for the declared design code {code}, {edition}")),
                None => (
                    "base",
                    format!(
                        "for no built-in rulebook is that of {code}, {edition}; see --rulebook"
                    ),
                ),
            },
            (Some(code), None) => (
                "base",
                format!("for {code} is declared without its edition; state it, or use --rulebook"),
            ),
            (None, _) => (
                "base",
                "for the schedule declares no design code; state it, or use --rulebook".to_owned(),
            ),
        };
        let book = match self.taken.iter().find(|(taken, _)| *taken == name) {
            Some((_, book)) => book.clone(),
            None => {
                let book = take(name, built_in(name).unwrap_or_default())?;
                self.taken.push((name, book.clone()));
                book
            }
        };
        Ok(Chosen { book, why })
    }
}
