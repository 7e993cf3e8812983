//! What a case expects.

use std::collections::BTreeMap;

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
/// [finding.facts]             # optional; numbers in SI, compared to a millionth, or texts
/// gap_mm = 1.75
///
/// [outcome]                   # optional, and each key of it
/// not_evaluated = ["part.tolerance_mm"]
/// not_applicable = ["nothing permanent is on the way"]
/// pass = 1
/// ```
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
    /// What the rule did besides.
    #[serde(default)]
    pub outcome: Outcome,
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
    /// Values of facts; facts that are not named are not compared.
    #[serde(default)]
    pub facts: BTreeMap<String, FactSaid>,
    /// How many remedies it has, if that is compared.
    pub remedies: Option<usize>,
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

/// What the rule did besides finding; what is not stated is not compared.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// The fields that it reports as absent, in any order.
    pub not_evaluated: Option<Vec<String>>,
    /// The reasons for which it did not apply, in any order.
    pub not_applicable: Option<Vec<String>>,
    /// How many subjects passed.
    pub pass: Option<usize>,
}
