//! The rulebook in force, as rules see it: every value with what it rests on.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Fact, Severity};
use restrand_model::reflect::{Choice, Date};
use restrand_model::schedule::{Filler, Permanence, Role, Stage};
use restrand_model::sheet;

use crate::rule::LimitKey;

/// A limit in force.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The value in the unit of its name.
    pub value: f64,
    /// What it rests on.
    pub citation: Citation,
    /// The rulebook that set it.
    pub book: String,
}

/// The permanence that a rulebook expects of a role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Allowed {
    /// Must leave with the tendon.
    Replaceable,
    /// Must stay.
    Permanent,
    /// Either, as recorded.
    Either,
}

impl Allowed {
    /// Whether a part of this permanence is as expected.
    #[must_use]
    pub const fn takes(self, permanence: Permanence) -> bool {
        matches!(
            (self, permanence),
            (Self::Either, _)
                | (Self::Replaceable, Permanence::Replaceable)
                | (Self::Permanent, Permanence::Permanent)
        )
    }
}

/// A row of the role table.
#[derive(Debug, Clone, PartialEq)]
pub struct RolePermanence {
    /// What is expected.
    pub allowed: Allowed,
    /// What it rests on.
    pub citation: Citation,
    /// The rulebook that set it.
    pub book: String,
}

/// Whether a filler may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct FillerRow {
    /// Whether it may.
    pub allowed: bool,
    /// What it rests on.
    pub citation: Citation,
    /// The rulebook that set it.
    pub book: String,
}

/// Findings that somebody answers for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waiver {
    /// The rule.
    pub rule: &'static str,
    /// The route of the record or value, as findings show it; what lies inside is waived with it.
    pub place: String,
    /// Why it may stay.
    pub reason: String,
    /// Who answers for it.
    pub by: String,
    /// The last day on which it holds.
    pub until: Date,
    /// The rulebook that holds it.
    pub book: String,
}

impl Waiver {
    /// Whether the route, with names, is the waiver's place or lies inside it.
    #[must_use]
    pub fn covers(&self, route: &str) -> bool {
        route
            .strip_prefix(self.place.as_str())
            .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
    }
}

/// Fields that a record must state from a stage on.
#[derive(Debug, Clone, PartialEq)]
pub struct Required {
    /// The stage from which on they are required.
    pub stage: Stage,
    /// The record type, as `tendon`.
    pub record: String,
    /// The fields, by names joined with points: `removal_space.behind_mm`.
    pub fields: Vec<String>,
    /// Fields and the words for which alone the requirement holds: all have to be met.
    pub when: Vec<(String, Vec<String>)>,
    /// Fields and the words for which it does not hold: any one is enough.
    pub unless: Vec<(String, Vec<String>)>,
}

/// A part that a composed anchorage or form cannot do without.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RequiredPart {
    /// The record type whose parts are asked: `anchorage` or `form`.
    pub record: String,
    /// The roles of which any one is enough.
    pub any_of: Vec<Role>,
    /// What it rests on.
    pub citation: Citation,
    /// The rulebook that set it.
    pub book: String,
}

/// The rulebook in force.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rulebook {
    /// The name of the outermost book, as `lrfd-2020`.
    pub name: String,
    /// What it is, in a few words.
    pub title: String,
    /// The books from the outermost to the one that extends none.
    pub chain: Vec<String>,
    /// Design codes and editions for which the book, or one that it extends, holds.
    pub codes: Vec<(String, String)>,
    /// The limits by name.
    pub limits: BTreeMap<String, Limit>,
    /// What is required by stage.
    pub required: Vec<Required>,
    /// The parts that a composed anchorage or form cannot do without.
    pub required_parts: Vec<RequiredPart>,
    /// What is expected of each role.
    pub roles: BTreeMap<&'static str, RolePermanence>,
    /// Which fillers may be used; what is not listed is left to the engineer.
    pub fillers: BTreeMap<&'static str, FillerRow>,
    /// Severities that the book fixes for rules.
    pub severities: BTreeMap<String, Severity>,
    /// Findings that somebody answers for, those of the innermost book first.
    pub waivers: Vec<Waiver>,
}

impl Rulebook {
    /// The limit of this key.
    #[must_use]
    pub fn limit(&self, key: LimitKey) -> Option<&Limit> {
        self.limits.get(key.name)
    }

    /// Whether the book is one for this design code and edition, whatever their capitals and punctuation.
    #[must_use]
    pub fn is_for(&self, code: &str, edition: &str) -> bool {
        self.codes.iter().any(|(known, of)| {
            sheet::plain(known) == sheet::plain(code) && sheet::plain(of) == sheet::plain(edition)
        })
    }

    /// What is expected of a role.
    #[must_use]
    pub fn role(&self, role: Role) -> Option<&RolePermanence> {
        self.roles.get(role.word())
    }

    /// Whether a filler may be used, if the book says so.
    #[must_use]
    pub fn filler(&self, filler: Filler) -> Option<&FillerRow> {
        self.fillers.get(filler.word())
    }
}

impl Limit {
    /// The limit as a fact of a finding.
    #[must_use]
    pub fn fact(&self, key: LimitKey, digits: u8) -> Fact {
        Fact::limit(key.name, self.value, digits, self.citation.clone())
    }
}
