//! What a rule is.

use restrand_finding::{Citation, Kind, Outcomes};

use crate::context::{Context, TendonAt};

/// A limit that a rule compares with, by its name in the rulebook; the ending of the name says the unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LimitKey {
    /// The name, as `withdrawal_gap_mm`.
    pub name: &'static str,
    /// What it limits, in a few words.
    pub meaning: &'static str,
}

/// What a correction may do about a rule's findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Correction {
    /// Nothing: it is for an engineer to decide.
    None,
    /// Say the same in the usual form.
    Restate,
    /// Compute a value from values that the schedule states.
    Recompute,
    /// List a choice, written only where the user accepts it.
    Propose,
}

impl Correction {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Restate => "restate",
            Self::Recompute => "recompute",
            Self::Propose => "propose",
        }
    }
}

/// How a rule goes over the schedule.
#[derive(Clone, Copy)]
pub enum Check {
    /// Over the whole schedule at once.
    Schedule(fn(&Context<'_>, &mut Outcomes)),
    /// While the file is read, before there is a schedule to go over.
    File,
    /// Tendon by tendon.
    Tendons(fn(&Context<'_>, &TendonAt<'_>, &mut Outcomes)),
}

/// A rule of the catalogue.
pub struct Rule {
    /// The name, family and thing found: `parts/cannot-pass`.
    pub id: &'static str,
    /// What it compares, in one line.
    pub summary: &'static str,
    /// The kinds of findings it gives.
    pub kinds: &'static [Kind],
    /// The limits it compares with.
    pub limits: &'static [LimitKey],
    /// What its method rests on; limits carry their own sources.
    pub sources: &'static [Citation],
    /// What a correction may do.
    pub correction: Correction,
    /// Rules whose finding at the same record, or at one that a finding of this rule leads to, is the root of it:
    /// what follows from a root is not said once more.
    pub implied_by: &'static [&'static str],
    /// The page that explains it.
    pub page: &'static str,
    /// How it goes over the schedule.
    pub check: Check,
}

impl Rule {
    /// The family, as `parts`.
    #[must_use]
    pub fn family(&self) -> &'static str {
        self.id.split_once('/').map_or(self.id, |(family, _)| family)
    }
}
