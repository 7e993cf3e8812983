//! A file cannot be read as a whole.
//!
//! The finding is made where the file is read: there is no schedule yet that a rule could go over.

use restrand_finding::{Citation, Evidence, Kind};

use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/unreadable-file",
    summary: "whether the file can be read as a whole, in its format and within the limits of size and depth",
    kinds: &[Kind::Reading],
    limits: &[],
    sources: &[Citation::new(
        "definition of the format that the file claims to be",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("unreadable_file.md"),
    check: Check::File,
};
