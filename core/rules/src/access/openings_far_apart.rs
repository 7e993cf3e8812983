//! Ways out of the bridge are too far apart.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;

use super::opening_small_for_people::{LONG, SHORT};
use super::ways_or_said;
use crate::beyond::beyond;
use crate::book::Limit;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::ways::{Door, Room, Ways, extent_m, spare_for_people_mm};

const APART: LimitKey =
    LimitKey { name: "ways_out_apart_m", meaning: "distance between neighbouring ways out" };

pub(crate) const RULE: Rule = Rule {
    id: "access/openings-far-apart",
    summary: "the distance between neighbouring ways out along the bridge, and beyond the outermost",
    kinds: &[Kind::Margin],
    limits: &[APART, SHORT, LONG],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("openings_far_apart.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let mut out: Vec<(f64, usize)> = Vec::new();
    let mut unknown = Unknown::default();
    let people = [SHORT, LONG].map(|key| context.limit(key).value);
    for door in ways.doors.iter().filter(|door| door.rooms.contains(&Room::Outside)) {
        // A hose hole is no way out.
        let opening = &ways.openings[door.opening];
        if spare_for_people_mm(opening, people).is_some_and(|spare_mm| spare_mm < 0.0) {
            outcomes.not_applicable("people do not get through it");
            continue;
        }
        match ways.openings[door.opening].station_m {
            Some(station_m) => out.push((station_m, door.opening)),
            None => {
                outcomes.not_evaluated("opening.station_m");
                unknown.add(context, &ways, door);
            }
        }
    }
    out.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    let limit = context.limit(APART);
    dead_ends(context, &ways, &out, &unknown, limit, outcomes);
    for pair in out.windows(2) {
        let apart_m = pair[1].0 - pair[0].0;
        if !beyond(apart_m, limit.value) {
            outcomes.pass();
            continue;
        }
        if unknown.may_lie_in([pair[0].0, pair[1].0]) {
            continue;
        }
        let message = "between the ways out {one} and {other} there are {apart_m}, more than {ways_out_apart_m}";
        outcomes.found(
            far(pair[1].1, apart_m, limit, message)
                .related(Route::to("openings", pair[0].1).field("station_m"), "the other one")
                .help("A further way out between them, or a plan for rescue that the owner accepts")
                .fact(Fact::text("one", ways.call(pair[0].1)))
                .fact(Fact::text("other", ways.call(pair[1].1))),
        );
    }
}

/// Ways out of which nobody knows where they are, by the stations of the bays to which they lead, m: each may be the one
/// that is looked for there.
#[derive(Default)]
struct Unknown(Vec<[f64; 2]>);

impl Unknown {
    fn add(&mut self, context: &Context<'_>, ways: &Ways<'_>, door: &Door) {
        for room in door.rooms {
            if let Room::Bay(bay) = room {
                let [from_m, to_m] = extent_m(context, &ways.bays[bay]);
                self.0.push([from_m.unwrap_or(f64::NEG_INFINITY), to_m.unwrap_or(f64::INFINITY)]);
            }
        }
    }

    fn may_lie_in(&self, [from_m, to_m]: [f64; 2]) -> bool {
        self.0.iter().any(|[low_m, high_m]| *low_m < to_m && *high_m > from_m)
    }
}

/// From the first and the last way out, which may be one and the same, to the ends of the bays beyond: whoever is there
/// has one way alone.
fn dead_ends(
    context: &Context<'_>,
    ways: &Ways<'_>,
    out: &[(f64, usize)],
    unknown: &Unknown,
    limit: &Limit,
    outcomes: &mut Outcomes,
) {
    let (Some(first), Some(last)) = (out.first(), out.last()) else {
        return outcomes.not_applicable("no way out is known");
    };
    let mut ends: [Option<(f64, usize)>; 2] = [None; 2];
    for (bay, record) in ways.bays.iter().enumerate() {
        let [from_m, to_m] = extent_m(context, record);
        if let Some(from_m) = from_m
            && ends[0].is_none_or(|(so_far_m, _)| from_m < so_far_m)
        {
            ends[0] = Some((from_m, bay));
        }
        if let Some(to_m) = to_m
            && ends[1].is_none_or(|(so_far_m, _)| to_m > so_far_m)
        {
            ends[1] = Some((to_m, bay));
        }
    }
    for (end, (out_m, opening)) in ends.into_iter().zip([first, last]) {
        let Some((end_m, bay)) = end else {
            outcomes.not_evaluated("bay.from_m");
            continue;
        };
        let apart_m = (end_m - out_m).abs();
        if !beyond(apart_m, limit.value) {
            outcomes.pass();
            continue;
        }
        if unknown.may_lie_in([end_m.min(*out_m), end_m.max(*out_m)]) {
            continue;
        }
        let message = "from the end of bay {bay} to {one}, the only way out there, there are {apart_m}, more than {ways_out_apart_m}";
        let place = "the bay at whose far end people have one way alone";
        outcomes.found(
            far(*opening, apart_m, limit, message)
                .related(Route::to("bays", bay), place)
                .help("A further way out at that end, or a plan for rescue that the owner accepts")
                .fact(Fact::text("one", ways.call(*opening)))
                .fact(Fact::text("bay", ways.call_bay(bay))),
        );
    }
}

/// The finding at an opening that so much lies between it and what is looked at.
fn far(opening: usize, apart_m: f64, limit: &Limit, message: &str) -> Finding {
    let place = Route::to("openings", opening).field("station_m");
    Finding::new(RULE.id, Kind::Margin, place, message)
        .fact(Fact::computed("apart_m", apart_m, 1))
        .fact(limit.fact(APART, 1))
        .fact(Fact::computed("ratio", apart_m / limit.value, 2))
}
