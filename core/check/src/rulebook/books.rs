//! Where rulebooks come from.

use std::sync::OnceLock;

use restrand_model::sheet;

use super::file::{BookError, BookFile};

/// A rulebook as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Its name, or its path: what tells it from every other one, and is shown in messages.
    pub name: String,
    /// The file.
    pub text: String,
}

/// Finds the rulebook that another one extends.
pub trait Books {
    /// The book of this name or path, as the book `from` calls it.
    ///
    /// # Errors
    /// There is no such book, or it cannot be read; says so, and what to do.
    fn find(&self, called: &str, from: &Source) -> Result<Source, String>;
}

/// The books that come with the program, and no others.
#[derive(Debug, Clone, Copy, Default)]
pub struct BuiltIn;

impl Books for BuiltIn {
    fn find(&self, called: &str, _: &Source) -> Result<Source, String> {
        built_in(called).ok_or_else(|| {
            let names: Vec<_> = BUILT_IN.iter().map(|(name, _)| *name).collect();
            format!("no rulebook is called \"{called}\"; built in are {}", names.join(", "))
        })
    }
}

/// The books that come with the program: name and text.
pub const BUILT_IN: [(&str, &str); 3] = [
    ("base", include_str!("../../../rules/rulebooks/base.toml")),
    ("lrfd-2020", include_str!("../../../rules/rulebooks/lrfd-2020.toml")),
    ("en-1992-2005", include_str!("../../../rules/rulebooks/en-1992-2005.toml")),
];

/// A book that comes with the program.
#[must_use]
pub fn built_in(name: &str) -> Option<Source> {
    let (name, text) = BUILT_IN.iter().find(|(known, _)| *known == name)?;
    Some(Source { name: (*name).to_owned(), text: (*text).to_owned() })
}

/// The built-in book for a declared design code and edition.
#[must_use]
pub fn name_for_code(code: &str, edition: &str) -> Option<&'static str> {
    BUILT_IN.iter().enumerate().find_map(|(index, (name, _))| {
        let book = read_built_in(index).as_ref().ok()?;
        book.codes
            .iter()
            .any(|known| {
                sheet::plain(&known.code) == sheet::plain(code)
                    && sheet::plain(&known.edition) == sheet::plain(edition)
            })
            .then_some(*name)
    })
}

/// The file of a book; one that comes with the program is read once, as nearly every run asks for it twice.
pub(super) fn file_of(source: &Source) -> Result<BookFile, BookError> {
    match BUILT_IN.iter().position(|(name, text)| *name == source.name && *text == source.text) {
        Some(index) => read_built_in(index).clone(),
        None => BookFile::read(&source.name, &source.text),
    }
}

/// Reads the book on which the others rest, so that it is at hand when it is asked for.
#[cfg(feature = "threads")]
pub(crate) fn read_ahead() {
    let _ = read_built_in(0);
}

fn read_built_in(index: usize) -> &'static Result<BookFile, BookError> {
    static READ: [OnceLock<Result<BookFile, BookError>>; BUILT_IN.len()] =
        [const { OnceLock::new() }; BUILT_IN.len()];
    let (name, text) = BUILT_IN[index];
    READ[index].get_or_init(|| BookFile::read(name, text))
}
