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
        let Some(stay) = unknown.leave([pair[0].0, pair[1].0], limit.value) else { continue };
        let message = match stay {
            Stay::All => {
                "between the ways out {one} and {other} there are {apart_m}, more than {ways_out_apart_m}"
            }
            Stay::AtLeast(_) => {
                "between the ways out {one} and {other} there are {apart_m}; of those, {stay_m} at least stay between two ways out, \
                 more than {ways_out_apart_m}, wherever those lie of which no station is stated"
            }
        };
        outcomes.found(
            far(pair[1].1, apart_m, stay, limit, message)
                .related(Route::to("openings", pair[0].1).field("station_m"), "the other one")
                .help("A further way out between them, or a plan for rescue that the owner accepts")
                .fact(Fact::text("one", ways.call(pair[0].1)))
                .fact(Fact::text("other", ways.call(pair[1].1))),
        );
    }
}

/// How much of what is too far apart stays so.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stay {
    /// All of it: no way out can lie there of which no station is stated.
    All,
    /// The greatest distance between two neighbours, wherever those lie that may, m.
    AtLeast(f64),
}

/// Ways out of which nobody knows where they are, by the stations between which each must lie, m: each may be the one
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

    /// What they leave of a stretch that is longer than the limit; nothing where they may lie so that all of it keeps it.
    fn leave(&self, [from_m, to_m]: [f64; 2], limit_m: f64) -> Option<Stay> {
        let lies_in = |[low_m, high_m]: &&[f64; 2]| *low_m < to_m && *high_m > from_m;
        let mut within: Vec<[f64; 2]> = self.0.iter().filter(lies_in).copied().collect();
        if within.is_empty() {
            return Some(Stay::All);
        }
        within.sort_by(|one, other| one[1].total_cmp(&other[1]));
        // What bridges a stretch by steps of a length does so by longer ones too.
        let (mut short_m, mut enough_m) = (0.0, to_m - from_m);
        for _ in 0..64 {
            let step_m = f64::midpoint(short_m, enough_m);
            match bridged(&within, [from_m, to_m], step_m) {
                true => enough_m = step_m,
                false => short_m = step_m,
            }
        }
        beyond(enough_m, limit_m).then_some(Stay::AtLeast(enough_m))
    }
}

/// Whether ways out, by the stations between which each lies and in the order of the further ones, may lie so that no
/// step from one to the next is longer than that.
///
/// Of those to which a step reaches, the one that must lie before all others is taken, as far on as it can lie: to take
/// another one first reaches no further, and leaves less for the next step.
fn bridged(within: &[[f64; 2]], [from_m, to_m]: [f64; 2], step_m: f64) -> bool {
    let mut left = within.to_vec();
    let mut reached_m = from_m;
    while to_m - reached_m > step_m {
        let reaches =
            |[low_m, high_m]: &[f64; 2]| *high_m > reached_m && *low_m - reached_m <= step_m;
        let Some(next) = left.iter().position(reaches) else { return false };
        let [_, high_m] = left.remove(next);
        reached_m = high_m.min(reached_m + step_m);
    }
    true
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
        let Some(stay) = unknown.leave([end_m.min(*out_m), end_m.max(*out_m)], limit.value) else {
            continue;
        };
        let message = match stay {
            Stay::All => {
                "from the end of bay {bay} to {one}, the only way out there, there are {apart_m}, more than {ways_out_apart_m}"
            }
            Stay::AtLeast(_) => {
                "from the end of bay {bay} to {one} there are {apart_m}; of those, {stay_m} at least stay without a way out, more \
                 than {ways_out_apart_m}, wherever those lie of which no station is stated"
            }
        };
        let place = "the bay at whose far end people have one way alone";
        outcomes.found(
            far(*opening, apart_m, stay, limit, message)
                .related(Route::to("bays", bay), place)
                .help("A further way out at that end, or a plan for rescue that the owner accepts")
                .fact(Fact::text("one", ways.call(*opening)))
                .fact(Fact::text("bay", ways.call_bay(bay))),
        );
    }
}

/// The finding at an opening that so much lies between it and what is looked at.
fn far(opening: usize, apart_m: f64, stay: Stay, limit: &Limit, message: &str) -> Finding {
    let place = Route::to("openings", opening).field("station_m");
    let finding = Finding::new(RULE.id, Kind::Margin, place, message)
        .fact(Fact::computed("apart_m", apart_m, 1))
        .fact(limit.fact(APART, 1));
    match stay {
        Stay::All => finding.fact(Fact::computed("ratio", apart_m / limit.value, 2)),
        Stay::AtLeast(stay_m) => finding
            .fact(Fact::computed("stay_m", stay_m, 1).at_most())
            .fact(Fact::computed("ratio", stay_m / limit.value, 2)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What stays of 300 m, of which 100 m are to be left at most.
    fn stay(unknown: &[[f64; 2]]) -> Option<f64> {
        match Unknown(unknown.to_vec()).leave([0.0, 300.0], 100.0)? {
            Stay::All => Some(300.0),
            Stay::AtLeast(stay_m) => Some(stay_m),
        }
    }

    #[test]
    fn ways_out_without_a_station_take_away_what_they_may() {
        let any = [f64::NEG_INFINITY, f64::INFINITY];
        let near = |told: Option<f64>, m: f64| (told.unwrap() - m).abs() < 1e-9;
        // At or beyond an end of the stretch they take nothing.
        assert_eq!(stay(&[[-50.0, 0.0], [300.0, 350.0]]), Some(300.0));
        // One in the middle leaves half, and two leave a third each, which is just enough.
        assert!(near(stay(&[any]), 150.0));
        assert_eq!(stay(&[any, any]), None);
        // Near one end one takes no more than how far it can lie from there.
        assert!(near(stay(&[[10.0, 30.0]]), 270.0));
        assert!(near(stay(&[[10.0, 30.0], [20.0, 40.0]]), 260.0));
        // Listed in the other order, the one that may lie anywhere is kept for the far side.
        assert_eq!(stay(&[any, [90.0, 110.0]]), None);
        assert!(near(stay(&[[190.0, 201.0], [101.0, 120.0]]), 101.0));
    }
}
