//! How the force is taken out does not follow from what is stated, or does not fit what fills the tendon.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{EndKind, Filler, Release};

use super::is_to_be_replaced;
use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/release-undefined",
    summary: "the method of release against the filler, the released end, and the jack that would do it",
    kinds: &[Kind::Inconsistent, Kind::Missing],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: the filler decides how a tendon is released",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("release_undefined.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    // That no method is stated is said with whatever else the tendon lacks.
    let Some(release) = at.tendon.replacement.as_deref().and_then(|own| own.release) else {
        return outcomes.not_evaluated("replacement.release");
    };
    match release {
        Release::Heating => heating(at, outcomes),
        Release::StrandByStrandInFreeLength => outcomes.pass(),
        Release::StrandByStrandAtAnchorage | Release::JackOff => {
            at_anchorage(context, at, release, outcomes);
        }
    }
}

/// Strands are not heated where something burns, or may.
fn heating(at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let burns = match at.tendon.filler {
        None => return outcomes.not_evaluated("tendon.filler"),
        Some(Filler::CementGrout | Filler::None) => return outcomes.pass(),
        Some(Filler::Wax) => "wax burns",
        Some(Filler::Grease) => "grease burns",
        Some(Filler::Unknown) => "what is not known may burn",
    };
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            at.route.field("replacement").field("release"),
            "{tendon} is to be released by heating its strands, but its filler is {filler}, and {burns}",
        )
        .related(at.route.field("filler"), "the filler")
        .help("State a method without hot work: strand by strand behind restraints, or by a jack that can release")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("filler", at.tendon.filler.map_or_else(String::new, |filler| filler.to_string())))
        .fact(Fact::text("burns", burns)),
    );
}

/// A release at the anchorage has an end, and a jack that can do it where one is to do it.
fn at_anchorage(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    release: Release,
    outcomes: &mut Outcomes,
) {
    let ends: Vec<_> = at.ends().collect();
    let released: Vec<_> = ends.iter().filter(|end| end.end.released_here == Some(true)).collect();
    let route = at.route.field("replacement").field("release");
    let Some(end) = released.first() else {
        if ends.iter().any(|end| end.end.released_here.is_none()) {
            return outcomes.not_evaluated("end.released_here");
        }
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route,
                "{tendon} is to be released at an anchorage, but both its ends are said not to be the one",
            )
            .help("State at which end it is released, and what holds there in the cap's place")
            .fact(Fact::text("tendon", at.mark())),
        );
        return;
    };
    let end_called = || Fact::text("end", format!("end {}", end.name));
    match at.tendon.filler {
        None | Some(Filler::Unknown) => return outcomes.not_evaluated("tendon.filler"),
        Some(Filler::Wax | Filler::Grease | Filler::None) => {}
        Some(Filler::CementGrout) => {
            let message = match release {
                Release::JackOff => {
                    "{tendon} is to be let go by a jack at {end}, but its strands stand in cement grout: they cannot be \
                     drawn out of their wedges, nor does their force go when one end is let go"
                }
                _ => {
                    "{tendon} is to be released strand by strand at {end}, but its strands stand in cement grout: the grout \
                     holds each of them, and their force does not go when one end is cut"
                }
            };
            return outcomes.found(
                Finding::new(RULE.id, Kind::Inconsistent, route, message)
                    .related(at.route.field("filler"), "the filler")
                    .help("State a release strand by strand in the free length, once for each bonded length")
                    .fact(Fact::text("tendon", at.mark()))
                    .fact(end_called()),
            );
        }
    }
    if release != Release::JackOff {
        return outcomes.pass();
    }
    // At a dead end nobody asks for a jack.
    let is_dead = matches!(end.end.kind, Some(EndKind::Dead | EndKind::Embedded));
    if end.end.jack.is_none() && is_dead && !context.is_lost_at(&end.route.field("jack")) {
        return outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route,
                "{tendon} is to be let go by a jack at {end}, which is a dead end, and no jack is stated there",
            )
            .related(end.route.field("released_here"), "released here")
            .help("Release it at the end that has a jack, or state the jack that grips the tails at this one")
            .fact(Fact::text("tendon", at.mark()))
            .fact(end_called()),
        );
    }
    let Some(jack) = context.jack(end.end.jack.as_ref()) else {
        return outcomes.not_evaluated("end.jack");
    };
    if let (Some(tail_mm), Some(needed_mm)) = (end.end.tail_mm, jack.record.tail_mm)
        && short_of(tail_mm, needed_mm)
    {
        return outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route,
                "{tendon} is to be let go by the jack {jack} at {end}, but that grips tails of {needed_mm}, and there \
                 are {tail_mm}",
            )
            .related(end.route.field("tail_mm"), "the tails left behind the wedge plate")
            .related(jack.route.field("tail_mm"), "the tail the jack needs")
            .help("Leave the tails that the jack needs, under a cap that holds them; or state another method")
            .fact(Fact::text("tendon", at.mark()))
            .fact(end_called())
            .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("there")))
            .fact(Fact::given("tail_mm", tail_mm, 0))
            .fact(Fact::given("needed_mm", needed_mm, 0))
            .fact(Fact::computed("more_mm", needed_mm - tail_mm, 0).at_least())
            .remedy("Leave tails {more_mm} longer"),
        );
    }
    match jack.record.can_release {
        Some(true) => outcomes.pass(),
        None => outcomes.not_evaluated("jack.can_release"),
        Some(false) => outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route,
                "{tendon} is to be let go by the jack {jack} at {end}, which is said not to be able to",
            )
            .related(jack.route.field("can_release"), "said here")
            .help("Name a jack that can release an anchored tendon, or another method")
            .fact(Fact::text("tendon", at.mark()))
            .fact(end_called())
            .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("there"))),
        ),
    }
}
