//! A polymer duct bends to a small radius where no form backs it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::TendonPoint;

use super::used;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const RADIUS: LimitKey = LimitKey {
    name: "polymer_radius_least_m",
    meaning: "least radius of a polymer duct where no form backs it",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/radius-small-for-polymer",
    summary: "radius of bends at which no form backs a polymer duct",
    kinds: &[Kind::Margin],
    limits: &[RADIUS],
    sources: &[Citation::new("AASHTO LRFD 5.4.6.1", Evidence::Memory)],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("radius_small_for_polymer.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let laid = match context.path(at) {
        Ok(laid) => laid,
        Err(no_path) => return outcomes.not_evaluated(no_path.field()),
    };
    if laid.corners.is_empty() {
        return outcomes.not_applicable("the tendon does not bend");
    }
    let limit = context.limit(RADIUS);
    let points = at.route.field("points");
    for (index, corner) in laid.corners.iter().enumerate() {
        let form = corner.deviator.and_then(|deviator| at.tendon.deviators[deviator].form.as_ref());
        if form.is_some() {
            outcomes.not_applicable("a form backs the duct");
            continue;
        }
        // Inner points: the first point of the tendon is no corner.
        let Some(point) = at.tendon.points.get(index + 1) else {
            continue;
        };
        let Some(radius_m) = laid.path.bends.get(index).and_then(|bend| bend.radius_m) else {
            outcomes.not_evaluated("tendon_point.radius_m");
            continue;
        };
        let Some(duct) = context.duct_at(at.tendon, point.station_m.unwrap_or_default()) else {
            outcomes.not_evaluated("tendon.duct");
            continue;
        };
        if duct.record.material.is_some() && !used::is_polymer(duct.record) {
            outcomes.not_applicable("the duct is no polymer pipe");
            continue;
        }
        if duct.record.material.is_none() {
            outcomes.not_evaluated("duct.material");
            continue;
        }
        let route = points.item(index + 1).field("radius_m");
        let own = duct.record.minimum_bend_radius_m;
        let least_m = own.unwrap_or(limit.value);
        // A radius of a decimal fraction is not exact.
        if radius_m >= least_m * (1.0 - 1e-9) {
            outcomes.pass();
            continue;
        }
        let mut finding = Finding::new(
            RULE.id,
            Kind::Margin,
            route,
            match own {
                Some(_) => {
                    "duct {duct} of tendon {tendon} bends to {radius_m} at {at} with no form behind it, less than its own \
                     least radius of {minimum_bend_radius_m}"
                }
                None => {
                    "duct {duct} of tendon {tendon} bends to {radius_m} at {at} with no form behind it, less than \
                     {polymer_radius_least_m}"
                }
            },
        )
        .related(duct.route.clone(), "the duct")
        .help(
            "Strands under force press through a polymer wall that nothing backs: put a form or a steel pipe \
             there, or widen the radius",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("duct", used::name(duct.record)))
        .fact(Fact::text("at", where_is(point, index + 1)))
        .fact(Fact::given("radius_m", radius_m, 3))
        .fact(Fact::computed("radius_ratio", radius_m / least_m, 3));
        finding = match own {
            Some(own) => finding
                .fact(Fact::given("minimum_bend_radius_m", own, 2))
                .cites("the duct's own least radius, as the schedule states it", Evidence::Stated),
            None => finding.fact(limit.fact(RADIUS, 2)),
        };
        outcomes.found(finding);
    }
}

/// What a person calls a point of the path.
fn where_is(point: &TendonPoint, index: usize) -> String {
    match &point.place {
        Some(place) => place.key().to_owned(),
        None => format!("point {}", index + 1),
    }
}
