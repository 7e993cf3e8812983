//! A tendon that may be added later lacks what has to be there for it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::schedule::{Stage, Status};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/reserved-incomplete",
    summary: "what is built in for reserved and contingency tendons: capacity, ends, forms, duct, closures",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[Citation::new(
        "AASHTO LRFD 5.12.5.3.9 (provision for future dead load or deflection adjustment)",
        Evidence::Memory,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("reserved_incomplete.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    let status = match tendon.status {
        Some(status @ (Status::Reserved | Status::Contingency)) => status,
        None => return outcomes.not_evaluated("tendon.status"),
        _ => return outcomes.not_applicable("the tendon is neither reserved nor for contingency"),
    };
    let mut lacking: Vec<String> = Vec::new();
    if tendon.strand_capacity.or(tendon.strand_count).is_none() {
        lacking.push("the number of strands it is laid out for".to_owned());
    }
    if tendon.closures.as_deref().is_none_or(|text| text.trim().is_empty()) {
        lacking.push("what closes its forms and bores".to_owned());
    }
    for end in at.ends() {
        if end.end.anchorage.is_none() {
            lacking.push(format!("the anchorage at end {}", end.name));
        }
    }
    if at.ends().count() < 2 {
        lacking.push("an end".to_owned());
    }
    for deviator in tendon.deviators.iter().filter(|deviator| deviator.form.is_none()) {
        let place = deviator.place.as_ref().map_or("a place without a name", |link| link.key());
        lacking.push(format!("the form at {place}"));
    }
    // A contingency tendon's duct is there already; a reserved one comes with its own.
    if status == Status::Contingency && tendon.duct.is_none() {
        lacking.push("its duct".to_owned());
    }
    if lacking.is_empty() {
        return outcomes.pass();
    }
    let finding = Finding::new(
        RULE.id,
        Kind::Missing,
        at.route.field("status"),
        "tendon {tendon} is {status}, and the schedule does not say: {lacking}",
    )
    .help(
        "What is not cast in now cannot be added to finished concrete: state it, or take the tendon out of the \
         schedule",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("status", status.to_string()))
    .fact(Fact::text("lacking", lacking.join(", ")));
    let finding = if context.stage_of(tendon) >= Stage::ShopDrawing {
        finding
    } else {
        finding.severity(Severity::Note)
    };
    outcomes.found(finding);
}
