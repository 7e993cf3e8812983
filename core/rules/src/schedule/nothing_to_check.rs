//! A file was read, and has no tendon.
//!
//! The finding is made by the engine after the rules have run: it is about the absence of their subjects.

use restrand_finding::{Citation, Evidence, Kind};

use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/nothing-to-check",
    summary: "whether the file has a known sheet or list, and a tendon in it",
    kinds: &[Kind::Reading],
    limits: &[],
    sources: &[Citation::new(
        "layout of the schedule, with a record for each tendon",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("nothing_to_check.md"),
    check: Check::File,
};
