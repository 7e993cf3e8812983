//! A tendon and its ends state different numbers of strands, or more than it is laid out for.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};

use restrand_model::value::Value;

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "strand/count-mismatch",
    summary: "number of strands of a tendon against those of its ends and its capacity",
    kinds: &[Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new("every strand runs from end to end", Evidence::Derived)],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &[],
    page: include_str!("count_mismatch.md"),
    check: Check::Tendons(check),
};

/// The tendon's number at an end that states another.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for at in context.tendons() {
        let Some(count) = at.tendon.strand_count else {
            continue;
        };
        for end in at.ends() {
            let Some(at_end) = end.end.strand_count.filter(|at_end| *at_end != count) else {
                continue;
            };
            let reason = "tendon {tendon} has {strands} strands, and its end states {at_end}";
            let value = Some(Value::Number(f64::from(count)));
            let route = end.route.field("strand_count");
            offered.push(
                Correction::new(RULE.id, Class::Propose, route, value, reason)
                    .fact(Fact::text("tendon", at.mark()))
                    .fact(Fact::given("strands", f64::from(count), 0))
                    .fact(Fact::given("at_end", f64::from(at_end), 0))
                    .rests_on(at.route.field("strand_count")),
            );
        }
    }
}

fn check(_: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let ends: Vec<_> = at
        .ends()
        .filter_map(|end| Some((end.name, end.end.strand_count?, end.route.field("strand_count"))))
        .collect();
    match at.tendon.strand_count {
        Some(count) => against_ends(at, count, &ends, outcomes),
        None => match ends.as_slice() {
            [(_, one, _), (_, other, place)] if one != other => outcomes.found(
                Finding::new(
                    RULE.id,
                    Kind::Inconsistent,
                    place.clone(),
                    "tendon {tendon} has {other} strands at this end and {strands} at the other",
                )
                .related(ends[0].2.clone(), "the number at the other end")
                .help(HELP)
                .fact(Fact::text("tendon", at.mark()))
                .fact(Fact::given("strands", f64::from(*one), 0))
                .fact(Fact::given("other", f64::from(*other), 0)),
            ),
            [] => outcomes.not_evaluated("tendon.strand_count"),
            _ => outcomes.pass(),
        },
    }
    capacity(at, &ends, outcomes);
}

const HELP: &str = "Every strand runs from end to end: state one number, that of the drawing";

type AtEnd = (restrand_model::schedule::EndName, u32, restrand_model::route::Route);

fn against_ends(at: &TendonAt<'_>, count: u32, ends: &[AtEnd], outcomes: &mut Outcomes) {
    if ends.is_empty() {
        return outcomes.not_applicable("the ends state no number of their own");
    }
    for (name, at_end, place) in ends {
        if *at_end == count {
            outcomes.pass();
            continue;
        }
        let finding = Finding::new(
            RULE.id,
            Kind::Inconsistent,
            place.clone(),
            "tendon {tendon} has {strands} strands, but its end {end} states {at_end}",
        )
        .related(at.route.field("strand_count"), "the number of the tendon")
        .help(HELP)
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("end", name.to_string()))
        .fact(Fact::given("strands", f64::from(count), 0))
        .fact(Fact::given("at_end", f64::from(*at_end), 0))
        .remedy("State {strands} at the end, or nothing, if the tendon's number is right");
        outcomes.found(finding);
    }
}

/// The tendon's number against its capacity; without one, those of its ends.
fn capacity(at: &TendonAt<'_>, ends: &[AtEnd], outcomes: &mut Outcomes) {
    let Some(capacity) = at.tendon.strand_capacity else {
        return outcomes.not_applicable("no capacity is stated");
    };
    let mark = at.mark();
    let stated: Vec<_> = match at.tendon.strand_count {
        Some(count) => vec![(format!("tendon {mark}"), count, at.route.field("strand_count"))],
        None => ends
            .iter()
            .map(|(name, count, place)| (format!("end {name} of {mark}"), *count, place.clone()))
            .collect(),
    };
    if stated.is_empty() {
        return outcomes.not_applicable("no number of strands is stated");
    }
    for (of, count, place) in stated {
        if count <= capacity {
            outcomes.pass();
            continue;
        }
        let finding = Finding::new(
            RULE.id,
            Kind::Inconsistent,
            place,
            "{of} has {strands} strands, but forms, ducts and anchorages are laid out for {capacity}",
        )
        .related(at.route.field("strand_capacity"), "the number it is laid out for")
        .help(
            "Correct the number that is wrong; forms that are cast in cannot take more strands later",
        )
        .fact(Fact::text("of", of))
        .fact(Fact::text("tendon", mark.clone()))
        .fact(Fact::given("strands", f64::from(count), 0))
        .fact(Fact::given("capacity", f64::from(capacity), 0));
        outcomes.found(finding);
    }
}
