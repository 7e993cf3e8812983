//! What entries of all kinds have in common: errors at their place, and what they rest on.

use std::ops::Range;

use restrand_finding::{Citation, Evidence};
use restrand_model::near::nearest;

use super::file::BookError;

/// The book that is laid over those it extends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Book<'a> {
    /// By which messages call the file.
    pub(super) file: &'a str,
    /// The name that it gives itself.
    pub(super) name: &'a str,
}

impl Book<'_> {
    pub(super) fn error(self, span: Range<usize>, message: impl Into<String>) -> BookError {
        BookError { book: self.file.to_owned(), message: message.into(), span: Some(span) }
    }

    /// That nothing is called as the book says, with the nearest name or all of them.
    pub(super) fn unknown<'n>(
        self,
        what: &str,
        given: &toml::Spanned<String>,
        known: impl Iterator<Item = &'n str> + Clone,
    ) -> BookError {
        let text = given.get_ref();
        let hint = match nearest(text, known.clone()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("known are: {}", known.collect::<Vec<_>>().join(", ")),
        };
        self.error(given.span(), format!("no {what} is called \"{text}\"; {hint}"))
    }

    /// A text that must say something.
    pub(super) fn said(self, what: &str, text: toml::Spanned<String>) -> Result<String, BookError> {
        if text.get_ref().trim().is_empty() {
            return Err(self.error(text.span(), format!("{what} is empty; say it in a few words")));
        }
        Ok(text.into_inner())
    }

    pub(super) fn citation(
        self,
        evidence: &toml::Spanned<String>,
        source: String,
    ) -> Result<Citation, BookError> {
        if source.trim().is_empty() {
            return Err(self.error(evidence.span(), "a value needs a citation"));
        }
        match Evidence::of_word(evidence.get_ref()) {
            // Only a schedule can state something.
            Some(evidence) if evidence != Evidence::Stated => {
                Ok(Citation { source: source.into(), evidence })
            }
            _ => Err(self.unknown("evidence", evidence, EVIDENCE.iter().copied())),
        }
    }
}

/// How a rulebook may know something, the firmest first.
pub(super) const EVIDENCE: &[&str] = &["owner", "read", "secondary", "memory", "derived"];
