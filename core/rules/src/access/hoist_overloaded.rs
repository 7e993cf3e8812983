//! A jack is heavier than a hoist on its way, or the point from which it hangs, may carry.

use std::collections::{BTreeMap, BTreeSet};

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::OpeningPlane;

use super::hoist_point_missing::points_in;
use super::{jacks_by_bay, named, ways_or_said};
use crate::beyond::beyond;
use crate::book::Limit;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::{Body, Door, NoBody, Reach, Ways};
use crate::works::HOIST_SHARE;

pub(crate) const RULE: Rule = Rule {
    id: "access/hoist-overloaded",
    summary: "the mass of each jack against the hoists on its way and the hoist points where it works",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[HOIST_SHARE],
    sources: &[Citation::new("stated capacities", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("hoist_overloaded.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let mut told = BTreeSet::new();
    // The ways of a jack are the same to all its bays.
    let mut reached_by = BTreeMap::new();
    for ((jack, bay), ends) in jacks_by_bay(context, &ways, outcomes) {
        let Some(mass_kg) = context.schedule.jacks[jack].mass_kg else {
            outcomes.not_evaluated("jack.mass_kg");
            continue;
        };
        let load = Load { context, ways: &ways, jack, mass_kg, limit: context.limit(HOIST_SHARE) };
        match &reached_by.entry(jack).or_insert_with(|| load.reached())[bay] {
            Ok(Some(reach)) if reach.spare_mm == f64::INFINITY => {
                outcomes.not_applicable("nothing is hoisted on its way");
            }
            Ok(Some(reach)) if reach.spare_mm >= 0.0 => outcomes.pass(),
            Ok(Some(reach)) => {
                let opening = ways.doors[reach.binds].opening;
                if told.insert((jack, opening)) {
                    outcomes.found(load.through(opening));
                }
            }
            // That no way leads there is told by the rule on ways.
            Ok(None) => outcomes.not_evaluated("schedule.openings"),
            Err(field) => outcomes.not_evaluated(field),
        }
        load.hung(bay, &ends, outcomes);
    }
}

/// A jack that is hoisted.
struct Load<'c, 'a> {
    context: &'c Context<'a>,
    ways: &'c Ways<'a>,
    jack: usize,
    mass_kg: f64,
    limit: &'c Limit,
}

impl Load<'_, '_> {
    /// What a stated capacity leaves over the mass, kg; negative where it is overloaded.
    fn spare_kg(&self, most_kg: f64) -> f64 {
        let used_kg = most_kg * self.limit.value;
        match beyond(self.mass_kg, used_kg) {
            true => used_kg - self.mass_kg,
            false => (used_kg - self.mass_kg).max(0.0),
        }
    }

    /// What the hoist at a door leaves; through a wall nothing is hoisted.
    fn at_door(&self, door: &Door) -> Result<f64, NoBody> {
        let opening = &self.ways.openings[door.opening];
        match opening.plane {
            Some(OpeningPlane::Floor | OpeningPlane::Roof) => {
                let most_kg = opening.hoist_limit_kg.ok_or("opening.hoist_limit_kg")?;
                Ok(self.spare_kg(most_kg))
            }
            Some(OpeningPlane::Wall) => Ok(f64::INFINITY),
            // One that carries it does so in a floor or a roof, and in a wall nothing is asked of it.
            None => opening
                .hoist_limit_kg
                .map(|most_kg| self.spare_kg(most_kg))
                .filter(|spare_kg| *spare_kg >= 0.0)
                .ok_or("opening.plane"),
        }
    }

    /// The way to each bay whose weakest hoist leaves most, of those by which the jack passes; where it passes by none,
    /// which is told, of all.
    fn reached(&self) -> Vec<Result<Option<Reach>, NoBody>> {
        let body = Body::jack(&self.context.schedule.jacks[self.jack]).ok();
        // A door of which nobody knows whether it is wide enough may be.
        let passes = |door: &Door| {
            body.as_ref().is_none_or(|body| {
                body.spare_mm(self.ways, door).map_or(true, |spare_mm| spare_mm >= 0.0)
            })
        };
        let passing = self.ways.best(|_, door| match passes(door) {
            true => self.at_door(door),
            false => Ok(f64::NEG_INFINITY),
        });
        let any = self.ways.best(|_, door| self.at_door(door));
        let stuck =
            |reach: &Option<Reach>| reach.is_some_and(|reach| reach.spare_mm == f64::NEG_INFINITY);
        let both = passing.into_iter().zip(any);
        both.map(|(passing, any)| match &passing {
            Ok(reach) if stuck(reach) => any,
            _ => passing,
        })
        .collect()
    }

    /// The points in a bay from which the jack may hang: one that carries it is enough.
    fn hung(&self, bay: usize, ends: &[String], outcomes: &mut Outcomes) {
        if self.context.schedule.jacks[self.jack].support.is_some() {
            return outcomes.not_applicable("what carries the jack is stated with it");
        }
        let points = points_in(self.context, self.ways, bay);
        let strongest = points
            .iter()
            .filter_map(|(point, route)| Some((point.capacity_kg?, point, route)))
            .max_by(|(one, ..), (other, ..)| one.total_cmp(other));
        match strongest {
            Some((most_kg, ..)) if self.spare_kg(most_kg) >= 0.0 => outcomes.pass(),
            _ if points.iter().any(|(point, _)| point.capacity_kg.is_none()) => {
                outcomes.not_evaluated("hoist_point.capacity_kg");
            }
            Some((most_kg, point, route)) => {
                let message = match beyond(self.mass_kg, most_kg) {
                    true => {
                        "jack {jack} weighs {mass_kg}, more than the {most_kg} that may hang from hoist point {point}, the strongest \
                         in bay {bay}, where it works at {ends}"
                    }
                    false => {
                        "jack {jack} weighs {mass_kg}, {used_share} of the {most_kg} that may hang from hoist point {point}, the strongest in \
                         bay {bay}, where it works at {ends}: more than {hoist_share}"
                    }
                };
                let place = route.field("capacity_kg");
                outcomes.found(
                    self.finding(most_kg, place, message)
                        .fact(Fact::text("point", point.id.as_deref().unwrap_or("without a name")))
                        .fact(Fact::text("bay", self.ways.call_bay(bay)))
                        .fact(Fact::text("ends", named(ends)))
                        .remedy("A hoist point for {needed_kg} carries it with its reserve"),
                );
            }
            // That none is listed is told by the rule on them.
            None => outcomes.not_applicable("no hoist point is listed there"),
        }
    }

    fn through(&self, opening: usize) -> Finding {
        let most_kg = self.ways.openings[opening].hoist_limit_kg.unwrap_or_default();
        let message = match beyond(self.mass_kg, most_kg) {
            true => {
                "jack {jack} weighs {mass_kg}, more than the {most_kg} that may be hoisted through opening {opening}"
            }
            false => {
                "jack {jack} weighs {mass_kg}, {used_share} of the {most_kg} that may be hoisted through opening {opening}: more than \
                 {hoist_share}"
            }
        };
        let place = Route::to("openings", opening).field("hoist_limit_kg");
        self.finding(most_kg, place, message)
            .fact(Fact::text("opening", self.ways.call(opening)))
            .remedy("A hoist for {needed_kg} carries it with its reserve")
    }

    fn finding(&self, most_kg: f64, place: Route, message: &'static str) -> Finding {
        let jack = &self.context.schedule.jacks[self.jack];
        let is_over = beyond(self.mass_kg, most_kg);
        let kind = if is_over { Kind::Physical } else { Kind::Margin };
        let finding = Finding::new(RULE.id, kind, place, message)
            .related(Route::to("jacks", self.jack).field("mass_kg"), "the jack's mass")
            .help("A stronger hoist, a lighter jack that is listed for the anchorage, or another way in")
            .fact(Fact::text("jack", jack.id.as_deref().unwrap_or("without a name")))
            .fact(Fact::given("mass_kg", self.mass_kg, 0))
            .fact(Fact::given("most_kg", most_kg, 0))
            .fact(Fact::computed("used_share", self.mass_kg / most_kg, 2))
            .fact(Fact::computed("needed_kg", self.mass_kg / self.limit.value, 0).at_least());
        match is_over {
            true => finding,
            false => finding.fact(self.limit.fact(HOIST_SHARE, 2)),
        }
    }
}
