//! A part does not say whether it leaves with the tendon.

use restrand_finding::{
    Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes, Severity, Source,
};
use restrand_model::reflect::Choice;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::Permanence;
use restrand_model::value::Value;

use crate::assembly::{Assembly, call};
use crate::book::Allowed;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/permanence-missing",
    summary: "every part of an anchorage or a form is recorded as replaceable or permanent",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[Citation::new(
        "FHWA-HIF-19-067 (2019), abstract: a tendon is replaceable only if it is separate from the structure",
        Evidence::Read,
    )],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &[],
    page: include_str!("permanence_missing.md"),
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

/// The word that the role table expects, where it expects one.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for assembly in context.assemblies.iter().filter(|assembly| !assembly.stays) {
        for resolved in assembly.parts.iter().filter(|part| assembly.states(part)) {
            let part = resolved.part.as_ref();
            let route = resolved.route.field("permanence");
            if part.permanence.is_some() || context.is_lost_at(&route) || assembly.changes(resolved)
            {
                continue;
            }
            let Some((role, row)) =
                part.role.and_then(|role| Some((role, context.book.role(role)?)))
            else {
                continue;
            };
            let word = match row.allowed {
                Allowed::Replaceable => Permanence::Replaceable,
                Allowed::Permanent => Permanence::Permanent,
                Allowed::Either => continue,
            };
            let reason = "the rulebook expects of the role {role} that the part is {proposed}";
            let value = Some(Value::Text(word.word().into()));
            offered.push(
                Correction::new(RULE.id, Class::Propose, route, value, reason)
                    .fact(Fact::text("role", role.to_string()))
                    .fact(Fact::text("proposed", word.to_string()))
                    .rests_on(resolved.route.field("role")),
            );
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
    if part.permanence.is_some() {
        return outcomes.pass();
    }
    if context.is_lost_at(&place) {
        return outcomes.not_evaluated("part.permanence");
    }
    if assembly.changes(resolved) {
        return outcomes.not_applicable("it changes a part of a kind, which has to say it");
    }
    let needed = context.requires(part, "permanence", assembly.stage);
    let mut finding = Finding::new(
        RULE.id,
        Kind::Missing,
        place,
        if needed {
            "{part} of {owner} does not say whether it leaves with the tendon or stays, which has to be \
             known at the stage {stage}"
        } else {
            "{part} of {owner} does not say whether it leaves with the tendon or stays"
        },
    )
    .severity(if needed { Severity::Error } else { Severity::Note })
    .help(
        "State replaceable or permanent in the part's permanence; until then nobody can tell what must \
         pass {part}, or what {part} must pass",
    )
    .fact(Fact::text("part", call(part)))
    .fact(Fact::text("owner", assembly.name.as_str()))
    .fact(Fact::text("stage", assembly.stage.to_string()));
    if let Some(role) = part.role {
        finding = finding.fact(Fact::text("role", role.to_string()));
        if let Some(row) = context.book.role(role) {
            let word = match row.allowed {
                Allowed::Replaceable => "replaceable",
                Allowed::Permanent => "permanent",
                Allowed::Either => "replaceable or permanent",
            };
            let proposed = Fact {
                source: Source::Limit,
                citation: Some(row.citation.clone()),
                ..Fact::text("proposed", word)
            };
            finding = finding
                .fact(proposed)
                .remedy("State {proposed}, which is what the rulebook expects of the role {role}");
        }
    }
    outcomes.found(finding);
}
