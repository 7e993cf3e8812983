//! A composed anchorage or form lacks a part that it cannot do without.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity, Source};
use restrand_model::schedule::{Anchorage, Form, Role, Stage};

use crate::assembly::{Assembly, Axis, Owner};
use crate::book::RequiredPart;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/role-missing",
    summary: "the roles of the listed parts against those that the rulebook requires",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[Citation::new(
        "FHWA-HIF-19-067 (2019), abstract: a tendon is replaceable only if it is separate from the structure",
        Evidence::Read,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("role_missing.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        if assembly.owner == Owner::Own
            && assembly.parts.iter().any(|part| !assembly.states(part) || assembly.changes(part))
        {
            outcomes.not_applicable("its parts are those of its kind, which is asked");
            continue;
        }
        of(context, assembly, outcomes);
    }
}

fn of(context: &Context<'_>, assembly: &Assembly<'_>, outcomes: &mut Outcomes) {
    if assembly.parts.is_empty() {
        return outcomes.not_evaluated(assembly.parts_field());
    }
    let record = match assembly.axis {
        Axis::Anchorage => Anchorage::INFO.name,
        Axis::Form => Form::INFO.name,
    };
    let has = |role: &Role| {
        assembly.described.contains(role)
            || assembly.parts.iter().any(|part| part.part.role == Some(*role))
    };
    let lacking: Vec<&RequiredPart> = context
        .book
        .required_parts
        .iter()
        .filter(|required| required.record == record && !required.any_of.iter().any(has))
        .collect();
    let Some(first) = lacking.first() else {
        return outcomes.pass();
    };
    if assembly.parts.iter().any(|part| part.part.role.is_none()) {
        return outcomes.not_evaluated("part.role");
    }
    let lacks: Vec<_> = lacking.iter().map(|required| any_of(required)).collect();
    // A list may be short only on paper: the drawing decides, so that it is no error by itself.
    let severity =
        if assembly.stage < Stage::ShopDrawing { Severity::Note } else { Severity::Warning };
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Missing,
            assembly.route.field("parts"),
            "{owner} lists its parts, but no {lacks}: what is not listed is not asked whether it lets the tendon out",
        )
        .severity(severity)
        .help("List the part with its role, or give a listed part the role that it has; if there is none, say so in a waiver")
        .fact(Fact::text("owner", assembly.name.as_str()))
        .fact(Fact {
            source: Source::Limit,
            citation: Some(first.citation.clone()),
            ..Fact::text("lacks", lacks.join("; no "))
        })
        .fact(Fact::computed("listed_count", assembly.parts.len() as f64, 0)),
    );
}

/// The roles of which any one is enough, in words.
fn any_of(required: &RequiredPart) -> String {
    required.any_of.iter().map(Role::to_string).collect::<Vec<_>>().join(" or ")
}
