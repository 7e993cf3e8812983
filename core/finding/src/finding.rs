//! A finding.

use std::fmt;

use restrand_model::reading::Place;
use restrand_model::route::Route;

use crate::citation::{Citation, Evidence};
use crate::fact::Fact;

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// For information.
    Note,
    /// To be confirmed or explained.
    Warning,
    /// To be mended.
    Error,
}

impl Severity {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What kind of thing a finding says; the severity follows from it and from the evidence of the limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Bodies clash even with every allowance at zero.
    Physical,
    /// Bodies clear by less than the allowance, or a value is short of a limit.
    Margin,
    /// A value is absent.
    Missing,
    /// Values contradict each other.
    Inconsistent,
    /// A value could not be read, or only with doubt.
    Reading,
    /// Something the reader of the schedule should know.
    Note,
}

impl Kind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Physical => "physical",
            Self::Margin => "margin",
            Self::Missing => "missing",
            Self::Inconsistent => "inconsistent",
            Self::Reading => "reading",
            Self::Note => "note",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Where a finding points.
#[derive(Debug, Clone, PartialEq)]
pub enum Where {
    /// To a record or a value of the schedule.
    Route(Route),
    /// To a place of the file that is no value of the schedule.
    File(Place),
    /// To a limit of the rulebook, by its name.
    Limit(&'static str),
}

impl From<Route> for Where {
    fn from(route: Route) -> Self {
        Self::Route(route)
    }
}

/// A further place that belongs to a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Related {
    /// The place.
    pub place: Where,
    /// What it has to do with the finding; facts in braces.
    pub text: String,
}

/// A change that would mend the finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What to change; facts in braces.
    pub text: String,
}

/// What a rule found.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule's name, as `space/stub`.
    pub rule: &'static str,
    /// The kind.
    pub kind: Kind,
    /// How bad it is.
    pub severity: Severity,
    /// What was found and why it matters; facts in braces.
    pub message: String,
    /// The one place where it shows.
    pub place: Where,
    /// Further places.
    pub related: Vec<Related>,
    /// The values from which it follows, whole records among them, where that is said: only a finding at one of them
    /// can be its root. Else one at the records to which its places lead can.
    pub rests_on: Option<Vec<Route>>,
    /// The pairs of places of which it tells, where it tells in one of what could be told pair by pair.
    pub pairs: Vec<[Route; 2]>,
    /// Its numbers and names: demand, limit, ratio.
    pub facts: Vec<Fact>,
    /// What to do; facts in braces.
    pub help: String,
    /// Changes that would mend it, the smallest first.
    pub remedies: Vec<Remedy>,
    /// What it rests on.
    pub citations: Vec<Citation>,
}

impl Finding {
    /// A finding whose severity follows from its kind, with firm evidence.
    #[must_use]
    pub fn new(
        rule: &'static str,
        kind: Kind,
        place: impl Into<Where>,
        message: impl Into<String>,
    ) -> Self {
        let mut finding = Self {
            rule,
            kind,
            severity: Severity::Error,
            message: message.into(),
            place: place.into(),
            related: Vec::new(),
            rests_on: None,
            pairs: Vec::new(),
            facts: Vec::new(),
            help: String::new(),
            remedies: Vec::new(),
            citations: Vec::new(),
        };
        if kind == Kind::Note {
            finding.severity = Severity::Note;
        }
        finding
    }

    /// Adds a pair of places of which it tells.
    #[must_use]
    pub fn pair(mut self, pair: [Route; 2]) -> Self {
        self.pairs.push(pair);
        self
    }

    /// Adds a fact; a limit's citation counts towards the severity.
    ///
    /// A margin is an error only where the limit is firmly known; else it asks to confirm.
    #[must_use]
    pub fn fact(mut self, fact: Fact) -> Self {
        if let Some(citation) = &fact.citation
            && matches!(self.kind, Kind::Margin | Kind::Inconsistent)
            && !citation.evidence.is_firm()
        {
            self.severity = self.severity.min(Severity::Warning);
        }
        self.fact_of_remedy(fact)
    }

    /// Adds a fact on which no more than a remedy rests: how firmly it is known says nothing of what was found.
    #[must_use]
    pub fn fact_of_remedy(mut self, fact: Fact) -> Self {
        if let Some(citation) = &fact.citation
            && !self.citations.contains(citation)
        {
            self.citations.push(citation.clone());
        }
        self.facts.push(fact);
        self
    }

    /// Says what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }

    /// Adds a change that would mend it.
    #[must_use]
    pub fn remedy(mut self, text: impl Into<String>) -> Self {
        self.remedies.push(Remedy { text: text.into() });
        self
    }

    /// Adds a further place.
    #[must_use]
    pub fn related(mut self, place: impl Into<Where>, text: impl Into<String>) -> Self {
        self.related.push(Related { place: place.into(), text: text.into() });
        self
    }

    /// Names values from which it follows; with none at all, it follows from no other finding.
    #[must_use]
    pub fn rests_on(mut self, routes: impl IntoIterator<Item = Route>) -> Self {
        self.rests_on.get_or_insert_default().extend(routes);
        self
    }

    /// Adds a source, without an influence on the severity.
    #[must_use]
    pub fn cites(mut self, source: &'static str, evidence: Evidence) -> Self {
        let citation = Citation::new(source, evidence);
        if !self.citations.contains(&citation) {
            self.citations.push(citation);
        }
        self
    }

    /// Sets the severity, where a rule fixes its own.
    #[must_use]
    pub const fn severity(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }
}
