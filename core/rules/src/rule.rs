//! What a rule is.

use restrand_finding::{Citation, Class, Correction, Kind, Outcomes};

use crate::context::{Context, TendonAt};

/// A limit that a rule compares with, by its name in the rulebook; the ending of the name says the unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LimitKey {
    /// The name, as `withdrawal_gap_mm`.
    pub name: &'static str,
    /// What it limits, in a few words.
    pub meaning: &'static str,
}

/// What a rule offers to correct.
#[derive(Clone, Copy)]
pub enum Corrects {
    /// Nothing: it is for those who know the bridge.
    Nothing,
    /// Corrections of these classes, which the function adds to the list.
    ///
    /// A correction is offered at what the schedule says now, whether or not the rule finds it; one whose
    /// values stand there already is passed over.
    Offers(&'static [Class], fn(&Context<'_>, &mut Vec<Correction>)),
}

impl Corrects {
    /// The classes that are offered.
    #[must_use]
    pub const fn classes(self) -> &'static [Class] {
        match self {
            Self::Nothing => &[],
            Self::Offers(classes, _) => classes,
        }
    }

    /// The words for it: `restate, propose`, or `none`.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Nothing => "none".to_owned(),
            Self::Offers(classes, _) => {
                classes.iter().map(|class| class.word()).collect::<Vec<_>>().join(", ")
            }
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
    /// What it offers to correct.
    pub correction: Corrects,
    /// Rules whose finding is the root of one of this rule: what follows from a root is not said once more.
    ///
    /// The root stands at a value that the finding rests on (`Finding::rests_on`); where a finding names none, at the
    /// same record, or at one to which the finding leads.
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
