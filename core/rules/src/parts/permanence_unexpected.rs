//! A part is recorded as replaceable or permanent against what the rulebook expects of its role.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Source};
use restrand_model::reflect::View;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::Permanence;

use crate::assembly::{Assembly, call};
use crate::context::Context;
use crate::rule::{Check, Correction, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/permanence-unexpected",
    summary: "a part's recorded permanence against the rulebook's table of roles",
    kinds: &[Kind::Margin],
    limits: &[],
    sources: &[Citation::new(
        "FHWA-HIF-19-067 (2019), abstract: a tendon is replaceable only if it is separate from the structure",
        Evidence::Read,
    )],
    correction: Correction::Propose,
    implied_by: &[],
    page: include_str!("permanence_unexpected.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        for part in assembly.parts.iter().filter(|part| assembly.states(part)) {
            of_part(context, assembly, part, outcomes);
        }
    }
}

fn of_part(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    resolved: &ResolvedPart<'_>,
    outcomes: &mut Outcomes,
) {
    let part = resolved.part.as_ref();
    let place = resolved.route.field("permanence");
    let says = |field| !matches!(resolved.route.field(field).view(context.schedule), View::Absent);
    if assembly.changes(resolved) && !says("permanence") && !says("role") {
        return outcomes.not_applicable("it changes a part of a kind, which has to say it");
    }
    let Some(permanence) = part.permanence else {
        return outcomes.not_evaluated("part.permanence");
    };
    let Some(role) = part.role else {
        return outcomes.not_evaluated("part.role");
    };
    let Some(row) = context.book.role(role) else {
        return outcomes.not_applicable("the rulebook expects nothing of the role");
    };
    if row.allowed.takes(permanence) {
        return outcomes.pass();
    }
    // The table would take the other word, or it would have taken this one.
    let (expected, message, help) = match permanence {
        Permanence::Permanent => (
            Permanence::Replaceable,
            "{part} of {owner} is recorded as permanent, but a part of the role {role} should leave with the \
             tendon",
            "Record {part} as replaceable and show how it leaves, or say in a waiver how a new tendon does \
             with the old one",
        ),
        Permanence::Replaceable => (
            Permanence::Permanent,
            "{part} of {owner} is recorded as replaceable, but a part of the role {role} should stay in the \
             structure",
            "Record {part} as permanent, or give it the role that it has; if it does leave, say in a waiver \
             what it leaves behind",
        ),
    };
    let expected = Fact {
        source: Source::Limit,
        citation: Some(row.citation.clone()),
        ..Fact::text("expected", expected.to_string())
    };
    outcomes.found(
        Finding::new(RULE.id, Kind::Margin, place, message)
            .help(help)
            .fact(Fact::text("part", call(part)))
            .fact(Fact::text("owner", assembly.name.as_str()))
            .fact(Fact::text("role", role.to_string()))
            .fact(Fact::text("recorded", permanence.to_string()))
            .fact(expected)
            .remedy("Record {expected} instead of {recorded}, if the drawing shows it so"),
    );
}
