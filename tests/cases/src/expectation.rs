//! What a case expects.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

/// The file `expect.toml` of a case.
///
/// ```toml
/// rulebook = "lrfd-2020"      # optional; a built-in book, else base
/// only = true                 # optional; no other rule may find anything
/// as_of = "2031-05-07"        # optional; the day that counts as today, else this one
///
/// [[finding]]                 # one for each finding of the rule, in the order of the report
/// severity = "error"
/// kind = "margin"
/// route = "anchorages[K].parts[inner-cone]"
/// related = ["anchorages[K].parts[guide-pipe]"] # optional; its further places, in order
/// says = "cannot be drawn out" # optional; words of its message, in SI
/// help = "seem to be swapped"  # optional; words of what is to be done, in SI
/// cites = ["ASTM D3035"]      # optional; words of each source, in order
/// remedies = ["the other way"] # optional; words of each remedy, in order, in SI, or how many there are
/// [finding.facts]             # optional; numbers in SI, compared to a millionth, or texts
/// gap_mm = 1.75
///
/// [[offer]]                   # optional; one for each correction that the rule offers, in their order
/// class = "recompute"
/// removed = []                # optional; values that are to be stated no more
/// rests_on = ["tendons[T1].points"] # optional; the stated values from which it follows, in order
/// [offer.after]               # what each value is to be, in the unit of its field
/// "tendons[T1].length_m" = 40.1
/// [offer.facts]               # optional, as those of a finding
///
/// [outcome]                   # optional, and each key of it
/// not_evaluated = ["part.tolerance_mm"]
/// not_applicable = ["nothing permanent is on the way"] # or with how many subjects: { "it is removed" = 2 }
/// pass = 1
/// found = 1                   # optional; how many subjects have a finding, hidden ones among them
///
/// [other."parts/seal-missing"] # optional; the same of another rule
/// pass = 2
/// ```
///
/// Where one offer is stated all are, and `offer = []` says that there is none; else offers are not compared.
///
/// A finding that points into the file and not into the schedule has `place` instead of `route`: the name
/// of the part, the member path inside the record, or the sheet and cell.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Expectation {
    /// The built-in rulebook.
    #[serde(default)]
    pub rulebook: Option<String>,
    /// Whether findings of other rules fail the case.
    #[serde(default)]
    pub only: bool,
    /// The day that counts as today, year-month-day.
    #[serde(default)]
    pub as_of: Option<String>,
    /// The findings of the rule, in order.
    #[serde(default, rename = "finding")]
    pub findings: Vec<Expected>,
    /// What the rule offers to correct, in order, if that is compared.
    #[serde(rename = "offer")]
    pub offers: Option<Vec<ExpectedOffer>>,
    /// What the rule did besides.
    #[serde(default)]
    pub outcome: Outcome,
    /// What other rules did, by their names.
    #[serde(default)]
    pub other: BTreeMap<String, Outcome>,
}

/// An expected correction.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExpectedOffer {
    /// The word of its class.
    pub class: String,
    /// What each value is to be, by its route with names.
    #[serde(default)]
    pub after: BTreeMap<String, ValueSaid>,
    /// The routes of values that are to be stated no more.
    #[serde(default)]
    pub removed: Vec<String>,
    /// The stated values from which it follows, in order, by their routes with names.
    pub rests_on: Option<Vec<String>>,
    /// Values of facts of its reason; facts that are not named are not compared.
    #[serde(default)]
    pub facts: BTreeMap<String, FactSaid>,
}

/// The value of a field.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum ValueSaid {
    /// True or false.
    Flag(bool),
    /// A number, in the unit of the field.
    Number(f64),
    /// A text.
    Text(String),
}

/// An expected finding.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Expected {
    /// The severity's word.
    pub severity: String,
    /// The kind's word.
    pub kind: String,
    /// The route with names, as people read it.
    pub route: Option<String>,
    /// The place in the file, of a finding without a route.
    pub place: Option<String>,
    /// The further places, in order, by their routes with names or the names of limits.
    pub related: Option<Vec<String>>,
    /// Words that its message has, with its numbers in SI.
    pub says: Option<String>,
    /// Words of what is said to be done, with its numbers in SI.
    pub help: Option<String>,
    /// Words of each source that it rests on, in order.
    pub cites: Option<Vec<String>>,
    /// Values of facts; facts that are not named are not compared.
    #[serde(default)]
    pub facts: BTreeMap<String, FactSaid>,
    /// Its remedies, if they are compared.
    pub remedies: Option<RemediesSaid>,
}

/// The remedies of a finding.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum RemediesSaid {
    /// How many there are.
    Count(usize),
    /// Words of each, the smallest change first, with its numbers in SI.
    Words(Vec<String>),
}

/// The value of a fact.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum FactSaid {
    /// A number, in the unit of the fact's name.
    Number(f64),
    /// A text.
    Text(String),
}

/// Reasons, or fields that are absent, with how many subjects each is told of where that is compared.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum Reasons {
    /// They alone, in any order.
    Named(BTreeSet<String>),
    /// Each with its subjects.
    Counted(BTreeMap<String, usize>),
}

impl Reasons {
    /// Whether there are none.
    pub(crate) fn is_empty(&self) -> bool {
        match self {
            Self::Named(reasons) => reasons.is_empty(),
            Self::Counted(reasons) => reasons.is_empty(),
        }
    }
}

/// What the rule did besides finding; what is not stated is not compared.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// The fields that it reports as absent.
    pub not_evaluated: Option<Reasons>,
    /// The reasons for which it did not apply.
    pub not_applicable: Option<Reasons>,
    /// How many subjects passed.
    pub pass: Option<usize>,
    /// How many subjects have a finding, even one that follows from another and is not shown.
    pub found: Option<usize>,
}
