//! Behind an end that is stressed, nothing is listed that carries the jack.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::route::Route;
use restrand_model::schedule::HoistPoint;

use super::{jacks_by_bay, named, ways_or_said};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::{Ways, extent_m};

pub(crate) const RULE: Rule = Rule {
    id: "access/hoist-point-missing",
    summary: "a hoist point in each bay in which a jack works, or a stated support of the jack",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[Citation::new("what is listed in the bay, by its station", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way", "schedule/dangling-reference"],
    page: include_str!("hoist_point_missing.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    // A schedule that lists no hoist point at all says nothing of them.
    let says_any = context.schedule.places.iter().any(|place| !place.hoist_points.is_empty());
    let mut without: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for ((jack, bay), ends) in jacks_by_bay(context, &ways, outcomes) {
        if context.schedule.jacks[jack].support.is_some() {
            outcomes.not_applicable("what carries the jack is stated with it");
        } else if !says_any {
            outcomes.not_evaluated("place.hoist_points");
        } else if !points_in(context, &ways, bay).is_empty() {
            outcomes.pass();
        } else {
            without.entry(bay).or_default().extend(ends);
        }
    }
    for (bay, ends) in without {
        let route = Route::to("bays", bay);
        // Points are looked for by the stations and the places of the bay.
        let lies = ["from_m", "to_m", "from_place", "to_place"].map(|field| route.field(field));
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Missing,
                route,
                "no hoist point is listed in bay {bay}, where a jack works at {ends}, and no other support of the jack is stated",
            )
            .rests_on(lies)
            .severity(Severity::Note)
            .help(
                "List the point from which the jack hangs with its place, station and capacity, or say with the jack what \
                 carries it",
            )
            .fact(Fact::text("bay", ways.call_bay(bay)))
            .fact(Fact::text("ends", named(&ends))),
        );
    }
}

/// The hoist points in a bay: by their stations, and where that is not known, by their place, in favour of the
/// schedule.
pub(super) fn points_in<'a>(
    context: &Context<'a>,
    ways: &Ways<'_>,
    bay: usize,
) -> Vec<(&'a HoistPoint, Route)> {
    let record = &ways.bays[bay];
    let [from_m, to_m] = extent_m(context, record);
    let mut points = Vec::new();
    for (position, place) in context.schedule.places.iter().enumerate() {
        let is_beside = [&record.from_place, &record.to_place]
            .into_iter()
            .flatten()
            .any(|link| Some(link.key()) == place.id.as_deref());
        let list = Route::to("places", position).field("hoist_points");
        points.extend(place.hoist_points.iter().enumerate().filter_map(|(index, point)| {
            let is_in = match point.station_m {
                Some(station_m) if from_m.is_some() || to_m.is_some() => {
                    from_m.is_none_or(|from_m| station_m >= from_m)
                        && to_m.is_none_or(|to_m| station_m <= to_m)
                        // A bay that is open at one end has no end to compare with: its place decides.
                        && (is_beside || (from_m.is_some() && to_m.is_some()))
                }
                _ => is_beside,
            };
            is_in.then(|| (point, list.item(index)))
        }));
    }
    points
}
