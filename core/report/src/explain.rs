//! The page of a rule, with the limits in force.

use restrand_model::System;
use restrand_rules::{CATALOGUE, Rule};

use crate::checked::{InForce, UNCONFIRMED};
use crate::plain::plain;
use crate::rulebook::limit_value;

/// The page of a rule, and the value, source and origin of each of its limits.
#[must_use]
pub fn page(rule: &Rule, in_force: InForce<'_>, system: System) -> String {
    let mut text = rule.page.trim_end().to_owned();
    text.push_str("\n\n## What it gives\n");
    let kinds: Vec<_> = rule.kinds.iter().map(|kind| kind.word()).collect();
    text.push_str(&format!(
        "Kinds of findings: {}. Correction: {}.\n",
        kinds.join(", "),
        rule.correction.words()
    ));
    if let Some(severity) = in_force.book.severities.get(rule.id) {
        text.push_str(&format!("The rulebook in force fixes the severity: {severity}.\n"));
    }
    if !rule.implied_by.is_empty() {
        text.push_str(&format!(
            "Not said where it follows from a finding of {}, which is then at least as grave.\n",
            rule.implied_by.join(" or ")
        ));
    }
    let follow: Vec<_> = CATALOGUE
        .iter()
        .filter(|other| other.implied_by.contains(&rule.id))
        .map(|other| other.id)
        .collect();
    if !follow.is_empty() {
        text.push_str(&format!(
            "Takes the place of findings of {} that follow from it, and is then at least as grave as they are.\n",
            follow.join(", ")
        ));
    }
    for source in rule.sources {
        text.push_str(&format!("Rests on: {source}.\n"));
    }
    if rule.limits.is_empty() {
        return text;
    }
    text.push_str(&format!("\n## Limits in force: rulebook {}\n", plain(&in_force.shown())));
    for key in rule.limits {
        let Some(limit) = in_force.book.limit(*key) else {
            continue;
        };
        text.push_str(&plain(&format!(
            "- {}: {} ({}; {}: {}; set in {})",
            key.name,
            limit_value(*key, limit.value, &limit.citation, system),
            key.meaning,
            limit.citation.evidence,
            limit.citation.source,
            limit.book,
        )));
        text.push('\n');
    }
    if in_force.has_unconfirmed_limits() {
        text.push_str(&format!("\nNote: {UNCONFIRMED}.\n"));
    }
    text
}
