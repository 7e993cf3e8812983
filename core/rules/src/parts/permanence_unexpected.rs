//! A part is recorded as replaceable or permanent against what the rulebook expects of its role.

use restrand_finding::{
    Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes, Source,
};
use restrand_model::reflect::{Choice, View};
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::Permanence;
use restrand_model::value::Value;

use crate::assembly::{Assembly, call};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/permanence-unexpected",
    summary: "a part's recorded permanence against the rulebook's table of roles",
    kinds: &[Kind::Margin],
    limits: &[],
    sources: &[Citation::new(
        "FHWA-HIF-19-067 (2019), abstract: a tendon is replaceable only if it is separate from the structure",
        Evidence::Read,
    )],
    correction: Corrects::Offers(&[Class::Propose], offer),
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

/// The other word, where the table does not take the one that is recorded.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for assembly in context.assemblies.iter().filter(|assembly| !assembly.stays) {
        for resolved in assembly.parts.iter().filter(|part| assembly.states(part)) {
            let part = resolved.part.as_ref();
            let (Some(permanence), Some(role)) = (part.permanence, part.role) else {
                continue;
            };
            let says = |field| !resolved.route.field(field).view(context.schedule).is_absent();
            let is_told_at_the_kind =
                assembly.changes(resolved) && !says("permanence") && !says("role");
            if is_told_at_the_kind
                || context.book.role(role).is_none_or(|row| row.allowed.takes(permanence))
            {
                continue;
            }
            let other = expected(permanence);
            let reason = "the rulebook expects of the role {role} that the part is {expected}, and not \
                          {recorded}";
            let route = resolved.route.field("permanence");
            let value = Some(Value::Text(other.word().into()));
            offered.push(
                Correction::new(RULE.id, Class::Propose, route, value, reason)
                    .fact(Fact::text("role", role.to_string()))
                    .fact(Fact::text("expected", other.to_string()))
                    .fact(Fact::text("recorded", permanence.to_string()))
                    .rests_on(resolved.route.field("role")),
            );
        }
    }
}

/// The word that the table takes where it does not take this one.
const fn expected(recorded: Permanence) -> Permanence {
    match recorded {
        Permanence::Permanent => Permanence::Replaceable,
        Permanence::Replaceable => Permanence::Permanent,
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
    let (message, help) = match permanence {
        Permanence::Permanent => (
            "{part} of {owner} is recorded as permanent, but a part of the role {role} should leave with the \
             tendon",
            "Record {part} as replaceable and show how it leaves, or say in a waiver how a new tendon does \
             with the old one",
        ),
        Permanence::Replaceable => (
            "{part} of {owner} is recorded as replaceable, but a part of the role {role} should stay in the \
             structure",
            "Record {part} as permanent, or give it the role that it has; if it does leave, say in a waiver \
             what it leaves behind",
        ),
    };
    let expected = Fact {
        source: Source::Limit,
        citation: Some(row.citation.clone()),
        ..Fact::text("expected", expected(permanence).to_string())
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
