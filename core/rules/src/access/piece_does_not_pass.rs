//! A planned piece of the tendon does not get out through the openings.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::Status;

use super::rods::{Rods, Stuck, bays_along};
use super::{named, ways_or_said};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::Ways;

pub(crate) const RULE: Rule = Rule {
    id: "access/piece-does-not-pass",
    summary: "the stated length of a piece against the openings on its way out",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "a rod fed straight through a wall, or askew through a slab, both rooms counted",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way", "schedule/dangling-reference"],
    page: include_str!("piece_does_not_pass.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let mut rods = Rods::new();
    for at in context.tendons() {
        if at.stays() || !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("no tendon that is to be replaced is in place");
            continue;
        }
        let length_mm = at.tendon.replacement.as_deref().and_then(|own| own.piece_length_mm);
        let Some(length_mm) = length_mm else {
            outcomes.not_evaluated("replacement.piece_length_mm");
            continue;
        };
        let Some(outer_mm) =
            context.duct(at.tendon.duct.as_ref()).and_then(|duct| duct.record.outer_mm)
        else {
            outcomes.not_evaluated("duct.outer_mm");
            continue;
        };
        let bays = match bays_along(context, &ways, &at) {
            Ok(bays) => bays,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        if bays.is_empty() {
            outcomes.not_evaluated("schedule.bays");
        }
        for bay in bays {
            let route = at.route.field("replacement").field("piece_length_mm");
            rods.add(length_mm, outer_mm, bay, (at.mark(), route));
        }
    }
    for stuck in rods.stuck(context, &ways, outcomes) {
        outcomes.found(told(&ways, &stuck));
    }
}

fn told(ways: &Ways<'_>, stuck: &Stuck<(String, Route)>) -> Finding {
    let marks: Vec<String> = stuck.items.iter().map(|(mark, _)| mark.clone()).collect();
    let (_, route) = &stuck.items[0];
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        route.clone(),
        "pieces of {length_mm} of {tendons} do not get from bay {bay} through opening {opening}: at most {longest_mm} do",
    )
    .related(Route::to("openings", stuck.opening), "the opening that binds")
    .help("Cut shorter pieces, or take another way out")
    .fact(Fact::text("tendons", named(&marks)))
    .fact(Fact::text("bay", ways.call_bay(stuck.bay)))
    .fact(Fact::text("opening", ways.call(stuck.opening)))
    .fact(Fact::given("length_mm", stuck.length_mm, 0))
    .fact(Fact::computed("longest_mm", stuck.longest_mm, 0))
    .fact(Fact::computed("ratio", stuck.longest_mm / stuck.length_mm, 2));
    if stuck.longest_mm > 0.0 {
        finding = finding.remedy("Cut pieces of {longest_mm} at most");
    }
    finding
}
