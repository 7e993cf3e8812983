//! Which rulebook is in force: the one that is asked for, or the one of the declared design code.

use std::cell::RefCell;
use std::fs;
use std::io::Read;
use std::path::Path;

use restrand_check::rulebook::{BUILT_IN, Books, Source, built_in, in_force, name_for_code};
use restrand_model::near::nearest;
use restrand_model::schedule::Schedule;
use restrand_rules::Declared;
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
    let source = source(name_or_path).map_err(Fault::Usage)?;
    Ok(Chosen { book: take(source)?, why: "as --rulebook says".to_owned() })
}

/// The text of the rulebook of this name or in this file.
fn source(name_or_path: &Path) -> Result<Source, String> {
    let shown = name_or_path.to_string_lossy().into_owned();
    if let Some(source) = name_or_path.to_str().and_then(built_in) {
        return Ok(source);
    }
    match read(name_or_path) {
        Ok(text) => Ok(Source { name: shown, text }),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            let names: Vec<_> = BUILT_IN.iter().map(|(name, _)| *name).collect();
            let hint = match nearest(&shown, names.iter().copied()) {
                Some(near) => format!("; did you mean \"{near}\"?"),
                None => ".".to_owned(),
            };
            Err(format!(
                "no rulebook is called \"{shown}\", and there is no such file{hint} Built in are: {}",
                names.join(", ")
            ))
        }
        Err(error) => Err(format!("the rulebook {shown} cannot be read: {error}")),
    }
}

/// Rulebooks that lie beside the one that extends them, and those that come with the program; what was found is
/// kept for messages.
struct Files {
    read: RefCell<Vec<Source>>,
}

impl Files {
    fn look_for(&self, called: &str, from: &Source) -> Result<Source, String> {
        if let Some(source) = built_in(called) {
            return Ok(source);
        }
        let folder = Path::new(&from.name).parent().unwrap_or(Path::new(""));
        let path = folder.join(called);
        let found = source(&path)?;
        // However it is called, a file is one book.
        let whole = |name: &str| fs::canonicalize(name).ok();
        let read = self.read.borrow();
        let known = read.iter().find(|known| {
            known.name == found.name
                || (whole(&known.name).is_some() && whole(&known.name) == whole(&found.name))
        });
        Ok(known.cloned().unwrap_or(found))
    }
}

impl Books for Files {
    fn find(&self, called: &str, from: &Source) -> Result<Source, String> {
        let found = self.look_for(called, from)?;
        self.read.borrow_mut().push(found.clone());
        Ok(found)
    }
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

/// Takes a rulebook into force; a fault in it is shown with the text of the book that has it.
fn take(outermost: Source) -> Result<Rulebook, Fault> {
    let files = Files { read: RefCell::new(vec![outermost.clone()]) };
    in_force(outermost, &files).map_err(|error| {
        let read = files.read.borrow();
        let text = read.iter().find(|source| source.name == error.book);
        Fault::Rulebook { text: text.map(|source| source.text.clone()).unwrap_or_default(), error }
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
        let declared = project.and_then(Declared::of);
        let (name, why) = match declared {
            Some(Declared { code, edition: Some(edition) }) => match name_for_code(&code, &edition)
            {
                Some(name) => (name, format!("for the declared design code {code}, {edition}")),
                None => (
                    "base",
                    format!(
                        "for no built-in rulebook is that of {code}, {edition}; see --rulebook"
                    ),
                ),
            },
            Some(Declared { code, edition: None }) => (
                "base",
                format!("for {code} is declared without its edition; state it, or use --rulebook"),
            ),
            None => (
                "base",
                "for the schedule declares no design code; state it, or use --rulebook".to_owned(),
            ),
        };
        let book = match self.taken.iter().find(|(taken, _)| *taken == name) {
            Some((_, book)) => book.clone(),
            None => {
                let book = asked_for(Path::new(name))?.book;
                self.taken.push((name, book.clone()));
                book
            }
        };
        Ok(Chosen { book, why })
    }
}
