//! The records that a plan rests on: the tendon's own, and those that it shares with others.

use std::collections::BTreeSet;

use restrand_model::route::Route;
use restrand_model::schedule::{Bay, Opening};
use restrand_rules::ways::extent_m;

use crate::plan::Step;
use crate::tendon::Known;

/// The lists of the schedule whose records tendons share. What is found of a list as a whole is found of all of them.
pub(crate) const SHARED: [&str; 9] =
    ["strands", "ducts", "anchorages", "forms", "jacks", "places", "bays", "openings", "sections"];

/// Every record and value that the plan of a tendon rests on, each once.
pub(crate) fn of(known: &Known<'_, '_>, steps: &[Step]) -> Vec<Route> {
    let mut uses = Uses { known, routes: vec![known.at.route.clone()] };
    let tendon = known.tendon;
    uses.named("strands", tendon.strand.as_ref().map(|link| link.key()));
    let runs = tendon.duct_runs.iter().map(|run| &run.duct);
    for duct in runs.chain([&tendon.duct]) {
        uses.named("ducts", duct.as_ref().map(|link| link.key()));
    }
    for end in &known.ends {
        uses.named("anchorages", end.end.anchorage.as_ref().map(|link| link.key()));
        uses.named("jacks", end.end.jack.as_ref().map(|link| link.key()));
        uses.named("places", end.end.place.as_ref().map(|link| link.key()));
    }
    for deviator in &tendon.deviators {
        uses.named("forms", deviator.form.as_ref().map(|link| link.key()));
        uses.named("places", deviator.place.as_ref().map(|link| link.key()));
    }
    for point in &tendon.points {
        uses.named("places", point.place.as_ref().map(|link| link.key()));
    }
    let bays = bays(known, steps);
    for bay in &bays {
        match known.ways.bays[*bay].id.as_deref() {
            Some(id) => uses.named("bays", Some(id)),
            None => uses.add(Route::to("bays", *bay)),
        }
    }
    for (index, opening) in known.ways.openings.iter().enumerate() {
        if leads_into(known, opening, &bays) {
            match opening.id.as_deref() {
                Some(id) => uses.named("openings", Some(id)),
                None => uses.add(Route::to("openings", index)),
            }
        }
    }
    uses.add(Route::root().field("alignment"));
    for step in steps {
        step.rests_on.iter().for_each(|route| uses.add(route.clone()));
    }
    uses.routes
}

struct Uses<'k, 'a> {
    known: &'k Known<'k, 'a>,
    routes: Vec<Route>,
}

impl Uses<'_, '_> {
    fn add(&mut self, route: Route) {
        if !self.routes.contains(&route) {
            self.routes.push(route);
        }
    }

    /// Every record of this name: a second one makes the first one doubtful.
    fn named(&mut self, list: &'static str, key: Option<&str>) {
        let Some(key) = key else { return };
        let schedule = self.known.context.schedule;
        let of = |id: Option<&str>| id == Some(key);
        let positions: Vec<usize> = match list {
            "strands" => positions(&schedule.strands, |record| of(record.id.as_deref())),
            "ducts" => positions(&schedule.ducts, |record| of(record.id.as_deref())),
            "anchorages" => positions(&schedule.anchorages, |record| of(record.id.as_deref())),
            "forms" => positions(&schedule.forms, |record| of(record.id.as_deref())),
            "jacks" => positions(&schedule.jacks, |record| of(record.id.as_deref())),
            "places" => positions(&schedule.places, |record| of(record.id.as_deref())),
            "bays" => positions(&schedule.bays, |record| of(record.id.as_deref())),
            "openings" => positions(&schedule.openings, |record| of(record.id.as_deref())),
            _ => Vec::new(),
        };
        for position in positions {
            self.add(Route::to(list, position));
        }
    }
}

fn positions<T>(records: &[T], is_it: impl Fn(&T) -> bool) -> Vec<usize> {
    let found = records.iter().enumerate().filter(|(_, record)| is_it(record));
    found.map(|(position, _)| position).collect()
}

/// The bays in which the tendon lies, those behind its ends, and those on the ways in and out.
fn bays(known: &Known<'_, '_>, steps: &[Step]) -> BTreeSet<usize> {
    let ways = &known.ways;
    let mut bays: BTreeSet<usize> = known
        .ends
        .iter()
        .filter_map(|end| ways.behind(known.context, known.at, end).ok().flatten())
        .collect();
    if let Ok(along) = &known.along {
        let [first_m, last_m] = along.stations_m();
        bays.extend(positions(ways.bays, |bay: &Bay| match extent_m(known.context, bay) {
            [Some(from_m), Some(to_m)] => from_m.max(to_m) > first_m && from_m.min(to_m) < last_m,
            _ => false,
        }));
    }
    for (index, opening) in ways.openings.iter().enumerate() {
        let route = Route::to("openings", index);
        if steps.iter().any(|step| step.rests_on.contains(&route)) {
            let rooms = [&opening.from_bay, &opening.to_bay].into_iter().flatten();
            bays.extend(rooms.filter_map(|bay| known.context.position("bays", bay.key())));
        }
    }
    bays
}

/// Whether an opening leads into one of these bays, by either of the names that it states.
fn leads_into(known: &Known<'_, '_>, opening: &Opening, bays: &BTreeSet<usize>) -> bool {
    let rooms = [&opening.from_bay, &opening.to_bay].into_iter().flatten();
    rooms.filter_map(|bay| known.context.position("bays", bay.key())).any(|bay| bays.contains(&bay))
}
