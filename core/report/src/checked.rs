//! What every renderer is given of one input.

use restrand_check::Report;
use restrand_intake::Reading;
use restrand_model::System;
use restrand_rules::Rulebook;

/// Bytes of the input's parts, read again where an excerpt or a line number needs them.
pub trait Sources {
    /// The bytes of a part from `start` on, at most `length`; fewer at the end of the part.
    ///
    /// Nothing if the part cannot be read any more: the findings are then shown without an excerpt.
    fn window(&self, part: &str, start: u64, length: usize) -> Option<Vec<u8>>;
}

/// No bytes: for inputs of which nothing is left to read again.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoSources;

impl Sources for NoSources {
    fn window(&self, _: &str, _: u64, _: usize) -> Option<Vec<u8>> {
        None
    }
}

/// The rulebook in force and why it is.
#[derive(Clone, Copy)]
pub struct InForce<'a> {
    /// The book.
    pub book: &'a Rulebook,
    /// Why it holds, as a clause: `as --rulebook says`.
    pub why: &'a str,
}

impl InForce<'_> {
    /// Whether a limit of the book is known only from memory, or derived.
    #[must_use]
    pub fn has_unconfirmed_limits(&self) -> bool {
        use restrand_finding::Evidence;
        self.book
            .limits
            .values()
            .any(|limit| matches!(limit.citation.evidence, Evidence::Memory | Evidence::Derived))
    }

    /// The names of the books from the one in force to the one that extends none.
    #[must_use]
    pub fn shown(&self) -> String {
        self.book.chain.join(" over ")
    }
}

/// The banner of every book with limits that nobody has confirmed.
pub(crate) const UNCONFIRMED: &str = "limits tagged memory or derived are unconfirmed defaults";

/// One input after its check.
#[derive(Clone, Copy)]
pub struct Checked<'a> {
    /// The input as the user named it.
    pub file: &'a str,
    /// The format it was read as.
    pub format: Option<&'a str>,
    /// What the check says.
    pub report: &'a Report,
    /// What was read; nothing if the input could not be read as a whole.
    pub reading: Option<&'a Reading>,
    /// The bytes of its parts.
    pub sources: &'a dyn Sources,
    /// The rulebook in force; nothing if it did not come to that.
    pub rulebook: Option<InForce<'a>>,
    /// The system in which people read it.
    pub system: System,
    /// The date that counts as today, as `2031-05-07`.
    pub as_of: &'a str,
}
