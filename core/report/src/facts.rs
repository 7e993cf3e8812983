//! Facts of a finding in words.

use restrand_finding::{Fact, FactValue, Finding, Source, fill_in};
use restrand_model::System;

use crate::checked::InForce;
use crate::plain::{plain, plain_lines};

/// A template of the finding with its facts, made fit to be shown.
pub(crate) fn fill(template: &str, finding: &Finding, system: System) -> String {
    plain_lines(&fill_in(template, &finding.facts, system))
}

/// A limit with its value, where it is set and what it rests on.
pub(crate) fn limit(fact: &Fact, rulebook: Option<InForce<'_>>, system: System) -> String {
    let book = rulebook
        .and_then(|in_force| in_force.book.limits.get(fact.name))
        .map(|limit| format!("rulebook {}, ", limit.book))
        .unwrap_or_default();
    let citation = fact
        .citation
        .as_ref()
        .map(|citation| format!("{}: {}", citation.evidence, citation.source))
        .unwrap_or_default();
    plain(&format!("{} {} ({book}{citation})", fact.label(), fact.shown(system)))
}

/// Numbers of the finding that none of its texts mentions.
pub(crate) fn unsaid(finding: &Finding, system: System) -> String {
    let said = |name: &str| {
        let named = format!("{{{name}}}");
        finding.message.contains(&named)
            || finding.help.contains(&named)
            || finding.related.iter().any(|related| related.text.contains(&named))
            || finding.remedies.iter().any(|remedy| remedy.text.contains(&named))
    };
    let values: Vec<_> = finding
        .facts
        .iter()
        .filter(|fact| fact.source != Source::Limit && matches!(fact.value, FactValue::Number(_)))
        .filter(|fact| !said(fact.name))
        .map(|fact| format!("{} {}", fact.label(), fact.shown(system)))
        .collect();
    plain(&values.join("; "))
}
