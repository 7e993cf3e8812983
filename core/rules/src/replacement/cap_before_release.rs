//! A cap is planned to come off before the force is zero, with nothing in its place.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::Release;

use super::is_to_be_replaced;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/cap-before-release",
    summary: "ends whose cap comes off before the force is zero, against the restraint that takes its place",
    kinds: &[Kind::Physical, Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: caps and restraints stay until the force is shown to be zero",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("cap_before_release.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    for end in at.ends() {
        match end.end.released_here {
            None => outcomes.not_evaluated("end.released_here"),
            Some(false) => outcomes.pass(),
            Some(true) => released_here(context, at, &end, outcomes),
        }
    }
}

fn released_here(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    outcomes: &mut Outcomes,
) {
    let release = at.tendon.replacement.as_deref().and_then(|own| own.release);
    let route = end.route.field("released_here");
    let facts = |finding: Finding| {
        finding
            .fact(Fact::text("end", format!("end {}", end.name)))
            .fact(Fact::text("tendon", at.mark()))
    };
    match release {
        None => outcomes.not_evaluated("replacement.release"),
        Some(Release::StrandByStrandInFreeLength | Release::Heating) => {
            let finding = Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route,
                "{end} of {tendon} is said to be released, so that its cap comes off before the force is zero, but the \
                 tendon is released in its free length",
            )
            .related(
                at.route.field("replacement").field("release"),
                "the stated method of release",
            )
            .help("Caps stay on until the force is shown to be zero: correct the end, or the method of release");
            outcomes.found(facts(finding));
        }
        Some(Release::JackOff) => match context.jack(end.end.jack.as_ref()) {
            Some(_) => outcomes.pass(),
            None if end.end.release_restraint.is_some() => outcomes.pass(),
            // A jack that is named and not listed, or could not be read, is no hole in the plan: that is told there.
            None if end.end.jack.is_some() || context.is_lost_at(&end.route.field("jack")) => {
                outcomes.not_evaluated("end.jack");
            }
            None if context.is_lost_at(&end.route.field("release_restraint")) => {
                outcomes.not_evaluated("end.release_restraint");
            }
            None => outcomes.found(facts(without(route))),
        },
        Some(Release::StrandByStrandAtAnchorage) => match end.end.release_restraint {
            Some(_) => outcomes.pass(),
            None if context.is_lost_at(&end.route.field("release_restraint")) => {
                outcomes.not_evaluated("end.release_restraint");
            }
            None => outcomes.found(facts(without(route))),
        },
    }
}

fn without(route: restrand_model::route::Route) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Physical,
        route,
        "the cap at {end} of {tendon} comes off before the force is zero, and nothing is stated that holds wedges and strands \
         in its place",
    )
    .help(
        "Strands and wedges are thrown out rearward when they let go: state the restraint at this end, or the jack that \
         takes the force there, or release in the free length with both caps on",
    )
}
