//! What rules did: how often they passed, found, did not apply, or could not be evaluated.

use std::collections::BTreeMap;

use crate::finding::Finding;

/// How often something was said of the subjects of a rule.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Subjects that passed.
    pub pass: usize,
    /// Subjects with a finding.
    pub found: usize,
    /// Subjects to which the rule does not apply.
    pub not_applicable: usize,
    /// Subjects of which a value was absent or unreadable.
    pub not_evaluated: usize,
}

/// Subjects of one rule that were not evaluated, or to which it did not apply, for one reason.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Group {
    /// The rule.
    pub rule: &'static str,
    /// Why, or the field that was absent, as `end.tail_mm`.
    pub reason: &'static str,
}

/// The outcomes of rules on their subjects, as counts and groups, and the findings.
#[derive(Debug, Default)]
pub struct Outcomes {
    rule: &'static str,
    /// Counts for each rule.
    pub tallies: BTreeMap<&'static str, Tally>,
    /// Subjects not evaluated, by rule and absent field.
    pub not_evaluated: BTreeMap<Group, usize>,
    /// Subjects to which a rule did not apply, by rule and reason.
    pub not_applicable: BTreeMap<Group, usize>,
    /// The findings, in the order in which they were made.
    pub findings: Vec<Finding>,
}

impl Outcomes {
    /// Nothing yet, for the subjects of this rule.
    #[must_use]
    pub fn of(rule: &'static str) -> Self {
        let mut outcomes = Self { rule, ..Self::default() };
        outcomes.tallies.insert(rule, Tally::default());
        outcomes
    }

    fn tally(&mut self) -> &mut Tally {
        self.tallies.entry(self.rule).or_default()
    }

    /// The subject passed.
    pub fn pass(&mut self) {
        self.tally().pass += 1;
    }

    /// The rule does not apply to the subject.
    pub fn not_applicable(&mut self, reason: &'static str) {
        self.tally().not_applicable += 1;
        let group = Group { rule: self.rule, reason };
        *self.not_applicable.entry(group).or_default() += 1;
    }

    /// The subject could not be evaluated: this field is absent.
    pub fn not_evaluated(&mut self, field: &'static str) {
        self.tally().not_evaluated += 1;
        let group = Group { rule: self.rule, reason: field };
        *self.not_evaluated.entry(group).or_default() += 1;
    }

    /// Something was found of the subject.
    pub fn found(&mut self, finding: Finding) {
        self.tally().found += 1;
        self.findings.push(finding);
    }

    /// Adds what was said elsewhere.
    pub fn merge(&mut self, other: Self) {
        for (rule, tally) in other.tallies {
            let sum = self.tallies.entry(rule).or_default();
            sum.pass += tally.pass;
            sum.found += tally.found;
            sum.not_applicable += tally.not_applicable;
            sum.not_evaluated += tally.not_evaluated;
        }
        for (group, count) in other.not_evaluated {
            *self.not_evaluated.entry(group).or_default() += count;
        }
        for (group, count) in other.not_applicable {
            *self.not_applicable.entry(group).or_default() += count;
        }
        self.findings.extend(other.findings);
    }
}
