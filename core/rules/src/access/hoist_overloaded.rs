//! A jack is heavier than a hoist on its way may carry.

use std::collections::{BTreeMap, BTreeSet};

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::OpeningPlane;

use super::{jacks_by_bay, ways_or_said};
use crate::beyond::beyond;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::Body;
use crate::works::HOIST_SHARE;

pub(crate) const RULE: Rule = Rule {
    id: "access/hoist-overloaded",
    summary: "the mass of each jack against the hoist limits of the openings through which it is hoisted",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[HOIST_SHARE],
    sources: &[Citation::new("stated capacities", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way"],
    page: include_str!("hoist_overloaded.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let mut told = BTreeSet::new();
    // The ways of a jack are the same to all its bays.
    let mut reached_by = BTreeMap::new();
    let any = ways.widest(|_| Some(0.0));
    for (jack, bay) in jacks_by_bay(context, &ways, outcomes).into_keys() {
        let record = &context.schedule.jacks[jack];
        let Some(mass_kg) = record.mass_kg else {
            outcomes.not_evaluated("jack.mass_kg");
            continue;
        };
        // The way that it takes; where it passes none, that is said, and every way is looked at.
        let reached = reached_by.entry(jack).or_insert_with(|| {
            let body = Body::jack(record).ok();
            ways.widest(|door| match &body {
                Some(body) => body.spare_mm(&ways, door).ok(),
                None => Some(0.0),
            })
        });
        let mut chain = ways.chain(reached, bay);
        if chain.is_empty() {
            // Where nobody knows which way it takes, the one with the fewest unknowns is looked at.
            chain = ways.chain(&any, bay);
        }
        for opening in chain {
            let stated = &ways.openings[opening];
            if !matches!(stated.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof)) {
                continue;
            }
            let Some(most_kg) = stated.hoist_limit_kg else {
                outcomes.not_evaluated("opening.hoist_limit_kg");
                continue;
            };
            let limit = context.limit(HOIST_SHARE);
            if !beyond(mass_kg, most_kg * limit.value) {
                outcomes.pass();
                continue;
            }
            if !told.insert((jack, opening)) {
                continue;
            }
            let is_over = beyond(mass_kg, most_kg);
            let mut finding = Finding::new(
                RULE.id,
                if is_over { Kind::Physical } else { Kind::Margin },
                Route::to("openings", opening).field("hoist_limit_kg"),
                match is_over {
                    true => "jack {jack} weighs {mass_kg}, more than the {most_kg} that may be hoisted through opening {opening}",
                    false => {
                        "jack {jack} weighs {mass_kg}, {used} of the {most_kg} that may be hoisted through opening {opening}: more \
                         than {hoist_share}"
                    }
                },
            )
            .related(Route::to("jacks", jack).field("mass_kg"), "the jack's mass")
            .help("A stronger hoist, a lighter jack that is listed for the anchorage, or another way in")
            .fact(Fact::text("jack", record.id.as_deref().unwrap_or("without a name")))
            .fact(Fact::text("opening", ways.call(opening)))
            .fact(Fact::given("mass_kg", mass_kg, 0))
            .fact(Fact::given("most_kg", most_kg, 0))
            .fact(Fact::computed("used", mass_kg / most_kg, 2))
            .fact(Fact::computed("needed_kg", mass_kg / limit.value, 0))
            .remedy("A hoist for {needed_kg} carries it with its reserve");
            if !is_over {
                finding = finding.fact(limit.fact(HOIST_SHARE, 2));
            }
            outcomes.found(finding);
        }
    }
}
