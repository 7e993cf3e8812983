//! Where a limit or a method comes from, and how surely.

use std::borrow::Cow;
use std::fmt;

/// How a value is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Evidence {
    /// Read in the source itself.
    Read,
    /// Set by the owner's rulebook.
    Owner,
    /// Stated in the schedule itself.
    Stated,
    /// Read where another text quotes the source.
    Secondary,
    /// From memory of the source.
    Memory,
    /// Derived: an engineering default, no published limit.
    Derived,
}

impl Evidence {
    /// The evidence of this word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        [Self::Read, Self::Owner, Self::Stated, Self::Secondary, Self::Memory, Self::Derived]
            .into_iter()
            .find(|evidence| evidence.word() == word)
    }

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Owner => "owner",
            Self::Stated => "stated",
            Self::Secondary => "secondary",
            Self::Memory => "memory",
            Self::Derived => "derived",
        }
    }

    /// Whether a value known so may turn down a schedule, rather than ask to confirm.
    #[must_use]
    pub const fn is_firm(self) -> bool {
        matches!(self, Self::Read | Self::Owner | Self::Stated)
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A source, with how surely it is known to say so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Citation {
    /// The source and the clause, as `FP-96, section 553(a)`.
    pub source: Cow<'static, str>,
    /// How it is known.
    pub evidence: Evidence,
}

impl Citation {
    /// A citation with a source known when the program was built.
    #[must_use]
    pub const fn new(source: &'static str, evidence: Evidence) -> Self {
        Self { source: Cow::Borrowed(source), evidence }
    }
}

impl fmt::Display for Citation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.source, self.evidence)
    }
}
