//! Rules on the ways in: bays, openings, hoists, people.

pub(crate) mod fill_route;
pub(crate) mod headroom_low;
pub(crate) mod hoist_overloaded;
pub(crate) mod hoist_point_missing;
pub(crate) mod jack_does_not_pass;
pub(crate) mod new_part_does_not_pass;
pub(crate) mod no_way;
pub(crate) mod opening_small_for_people;
pub(crate) mod openings_far_apart;
pub(crate) mod piece_does_not_pass;
mod rods;
pub(crate) mod strand_place_missing;

use std::collections::BTreeMap;

use restrand_finding::Outcomes;
use restrand_model::schedule::{Duct, EndKind, EndName, FaceName, Status};

use crate::context::{Context, EndAt, Found, TendonAt};
use crate::duct_lengths::DuctLength;
use crate::stressing::jacked;
use crate::ways::{Ways, extent_m};

/// The ways of the schedule, if it says anything of them; else that is said once.
fn ways_or_said<'a>(context: &Context<'a>, outcomes: &mut Outcomes) -> Option<Ways<'a>> {
    let ways = Ways::of(context);
    if ways.is_blank() {
        outcomes.not_evaluated("schedule.bays");
        return None;
    }
    Some(ways)
}

/// Whether somebody will work at the ends of a tendon.
fn is_worked_on(at: &TendonAt<'_>) -> bool {
    !at.stays() && at.tendon.status != Some(Status::Removed)
}

/// The bay behind an end.
pub(crate) fn bay_behind(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Option<usize>, &'static str> {
    let place = end.end.place.as_ref().ok_or("end.place")?;
    let face: FaceName = end.end.face.ok_or("end.face")?;
    let bay = ways.bay_at(place.key(), face, end_lateral_m(at, end.name))?;
    Ok(bay.or_else(|| ways.bay_around(context, place.key())))
}

/// The ends that can be reached, each with the bay behind it; an end of which nobody knows the bay is said.
fn ends_in_bays<'a>(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'a>,
    outcomes: &mut Outcomes,
) -> Vec<(EndAt<'a>, usize)> {
    let mut ends = Vec::new();
    for end in at.ends().filter(|end| end.end.kind != Some(EndKind::Embedded)) {
        match bay_behind(context, ways, at, &end) {
            Ok(Some(bay)) => ends.push((end, bay)),
            // That no bay is listed there is told by the rule on ways.
            Ok(None) => {}
            Err(field) => outcomes.not_evaluated(field),
        }
    }
    ends
}

/// The kinds of duct of a tendon in a bay, each once; of a bay whose stations are not known, all.
fn ducts_in_bay<'a>(
    context: &Context<'a>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    bay: usize,
) -> Result<Vec<Found<'a, Duct>>, &'static str> {
    let [from_m, to_m] = extent_m(context, &ways.bays[bay]);
    let from_m = from_m.unwrap_or(f64::NEG_INFINITY);
    let to_m = to_m.unwrap_or(f64::INFINITY);
    let points = || at.tendon.points.iter().filter_map(|point| point.station_m);
    let first_m = points().reduce(f64::min).unwrap_or(f64::NEG_INFINITY);
    let last_m = points().reduce(f64::max).unwrap_or(f64::INFINITY);
    let lengths = context.duct_lengths(at.tendon)?;
    let is_one_kind = lengths.len() == 1;
    let mut ducts: Vec<Found<'a, Duct>> = Vec::new();
    for DuctLength { stations_m, duct } in lengths {
        let begins_m = stations_m[0].max(from_m).max(first_m);
        let ends_m = stations_m[1].min(to_m).min(last_m);
        let is_here = is_one_kind || begins_m < ends_m;
        if is_here && !ducts.iter().any(|known| known.route == duct.route) {
            ducts.push(duct);
        }
    }
    Ok(ducts)
}

/// Where an end lies across the bridge.
fn end_lateral_m(at: &TendonAt<'_>, name: EndName) -> Option<f64> {
    let point = match name {
        EndName::A => at.tendon.points.first(),
        EndName::B => at.tendon.points.last(),
    };
    point.and_then(|point| point.lateral_m)
}

/// The bays beside a place through which a tendon passes.
fn bays_beside(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    place: &str,
) -> Result<[Option<usize>; 2], &'static str> {
    let here = at
        .tendon
        .points
        .iter()
        .find(|point| point.place.as_ref().is_some_and(|link| link.key() == place));
    let lateral_m = here.or(at.tendon.points.first()).and_then(|point| point.lateral_m);
    let beside = [
        ways.bay_at(place, FaceName::Down, lateral_m)?,
        ways.bay_at(place, FaceName::Up, lateral_m)?,
    ];
    Ok(match beside {
        [None, None] => [ways.bay_around(context, place), None],
        beside => beside,
    })
}

/// Ends at which a jack stresses, by jack and bay, with how people call them.
fn jacks_by_bay(
    context: &Context<'_>,
    ways: &Ways<'_>,
    outcomes: &mut Outcomes,
) -> BTreeMap<(usize, usize), Vec<String>> {
    let mut by: BTreeMap<(usize, usize), Vec<String>> = BTreeMap::new();
    for at in context.tendons().filter(is_worked_on) {
        let stressed = jacked::ends_of(at.tendon);
        for end in at.ends() {
            // Where nobody says from which end it is stressed, an end of that kind is taken.
            let is_stressed = match stressed {
                Ok(ends) => ends.contains(&end.name),
                Err(_) => end.end.kind == Some(EndKind::Stressing),
            };
            if !is_stressed {
                continue;
            }
            let jack = end.end.jack.as_ref().and_then(|link| context.position("jacks", link.key()));
            let Some(jack) = jack else {
                outcomes.not_evaluated("end.jack");
                continue;
            };
            match bay_behind(context, ways, &at, &end) {
                Ok(Some(bay)) => {
                    by.entry((jack, bay)).or_default().push(format!(
                        "end {} of {}",
                        end.name,
                        at.mark()
                    ));
                }
                // That no bay is listed there is told by the rule on ways.
                Ok(None) => outcomes.not_evaluated("schedule.bays"),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
    by
}

/// The first of several names, and how many more there are.
fn named(names: &[String]) -> String {
    const SHOWN: usize = 4;
    let mut text = names.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", ");
    if names.len() > SHOWN {
        text.push_str(&format!(" and {} more", names.len() - SHOWN));
    }
    text
}
