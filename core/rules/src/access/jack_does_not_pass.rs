//! A jack does not get through an opening on any way to an end that it stresses.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;

use super::{jacks_by_bay, named, ways_or_said};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::{Body, Ways};

pub(crate) const RULE: Rule = Rule {
    id: "access/jack-does-not-pass",
    summary: "each jack in the attitudes in which it may hang against the openings on its way to each end",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new("a box through an opening; no allowance is in it", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way", "schedule/dangling-reference"],
    page: include_str!("jack_does_not_pass.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    // The ways of a jack are the same to all its bays.
    let mut reached_by = BTreeMap::new();
    for ((jack, bay), ends) in jacks_by_bay(context, &ways, outcomes) {
        let body = match Body::jack(&context.schedule.jacks[jack]) {
            Ok(body) => body,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        let reached = reached_by
            .entry(jack)
            .or_insert_with(|| ways.best(|_, door| body.spare_mm(&ways, door)));
        match reached[bay] {
            Ok(Some(reach)) if reach.spare_mm >= 0.0 => {
                let length_mm = ways.length_mm(context, bay);
                match body.too_long_mm(length_mm, &ways.bays[bay]) {
                    Some(more_mm) => {
                        outcomes.found(too_long(context, &ways, jack, bay, more_mm, &ends));
                    }
                    None => outcomes.pass(),
                }
            }
            Ok(Some(reach)) => {
                let opening = ways.doors[reach.binds].opening;
                outcomes.found(stuck(context, &ways, jack, bay, opening, reach.spare_mm, &ends));
            }
            // That no way leads there is told by the rule on ways.
            Ok(None) => outcomes.not_evaluated("schedule.openings"),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// A jack that lies and stands nowhere in the bay in which it is to work.
fn too_long(
    context: &Context<'_>,
    ways: &Ways<'_>,
    jack: usize,
    bay: usize,
    more_mm: f64,
    ends: &[String],
) -> Finding {
    let record = &context.schedule.jacks[jack];
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        Route::to("jacks", jack).field("retracted_mm"),
        "jack {jack} is {more_mm} longer than bay {bay}, in which it is to work at {ends}, has room for",
    )
    .related(Route::to("bays", bay), "the bay")
    .help("Check the length and its unit; else a shorter jack that is listed for the anchorage")
    .fact(Fact::text("jack", record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("bay", ways.call_bay(bay)))
    .fact(Fact::text("ends", named(ends)))
    .fact(Fact::computed("more_mm", more_mm, 0).at_least());
    if let Some(length_mm) = record.retracted_mm {
        finding = finding.fact(Fact::given("length_mm", length_mm, 0));
    }
    finding
}

fn stuck(
    context: &Context<'_>,
    ways: &Ways<'_>,
    jack: usize,
    bay: usize,
    opening: usize,
    spare_mm: f64,
    ends: &[String],
) -> Finding {
    let record = &context.schedule.jacks[jack];
    let stated = &ways.openings[opening];
    let field = match stated.diameter_mm {
        Some(_) => "diameter_mm",
        None => "width_mm",
    };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        Route::to("openings", opening).field(field),
        "jack {jack} does not get through opening {opening} on the best way to bay {bay}: {short_mm} are missing, however it may hang",
    )
    .related(Route::to("jacks", jack), "the jack")
    .help(
        "Another jack that is listed for the anchorage, a wider opening, or another way; the jack counts retracted, with its \
         sling above it",
    )
    .fact(Fact::text("jack", record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("opening", ways.call(opening)))
    .fact(Fact::text("bay", ways.call_bay(bay)))
    .fact(Fact::text("ends", named(ends)))
    .fact(Fact::computed("short_mm", -spare_mm, 0).at_least());
    for (name, value) in [("length_mm", record.retracted_mm), ("diameter_mm", record.diameter_mm)] {
        if let Some(value) = value {
            finding = finding.fact(Fact::given(name, value, 0));
        }
    }
    finding.remedy("Make opening {opening} {short_mm} wider or higher, as the jack hangs best")
}
