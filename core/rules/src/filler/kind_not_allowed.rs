//! The rulebook does not allow the tendon's filler.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Filler, Status};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "filler/kind-not-allowed",
    summary: "filler of each tendon against the fillers that the rulebook allows and forbids",
    kinds: &[Kind::Margin],
    limits: &[],
    sources: &[Citation::new("the owner's table of fillers", Evidence::Owner)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("kind_not_allowed.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let filler = match at.tendon.filler {
        Some(Filler::Unknown) | None => return outcomes.not_evaluated("tendon.filler"),
        Some(filler) => filler,
    };
    let Some(row) = context.book.filler(filler) else {
        return outcomes.not_applicable("the rulebook says nothing of the filler");
    };
    if row.allowed {
        return outcomes.pass();
    }
    let allowed: Vec<_> = context
        .book
        .fillers
        .iter()
        .filter(|(_, row)| row.allowed)
        .map(|(word, _)| word.replace('_', " "))
        .collect();
    let mut finding = Finding::new(
        RULE.id,
        Kind::Margin,
        at.route.field("filler"),
        "tendon {tendon} is filled with {filler}, which the rulebook {rulebook} does not allow",
    )
    .help("Choose a filler that the owner allows, or ask the owner")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("filler", filler.to_string()))
    .fact(Fact::text("rulebook", row.book.clone()));
    if !row.citation.evidence.is_firm() {
        finding = finding.severity(restrand_finding::Severity::Warning);
    }
    finding.citations.push(row.citation.clone());
    if !allowed.is_empty() {
        finding = finding
            .fact(Fact::text("allowed", allowed.join(", ")))
            .remedy("The rulebook allows: {allowed}");
    }
    outcomes.found(finding);
}
