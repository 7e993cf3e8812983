//! What loads weigh, against what hoists and people carry.

use restrand_finding::Fact;
use restrand_model::route::Route;
use restrand_model::schedule::{FaceName, OpeningPlane};
use restrand_rules::{EndAt, works};

use super::Load;
use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

/// The mass of a load against what may be hoisted through an opening in a floor or a roof; `instead` is what else
/// frees it.
pub(super) fn hoisted_through(
    known: &Known<'_, '_>,
    opening: usize,
    load: &Load,
    instead: &str,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let record = &known.ways.openings[opening];
    if !matches!(record.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof)) {
        return;
    }
    let name = known.ways.call(opening);
    let Some(limit_kg) = record.hoist_limit_kg else {
        return step.lacks("opening.hoist_limit_kg", Some(name), "what may be hoisted through it");
    };
    let Some(mass_kg) = load.mass_kg else { return };
    let share = known.context.limit(works::HOIST_SHARE).value;
    let facts = |line: Line| {
        line.with(Fact::text("opening", name.as_str()))
            .with(Fact::text("what", load.what.as_str()))
            .with(Fact::text("instead", instead))
            .with(Fact::given("mass_kg", mass_kg, 0))
            .with(Fact::given("limit_kg", limit_kg, 0))
            .with(Fact::computed("used_kg", limit_kg * share, 0))
            .with(Fact::computed("needed_kg", mass_kg / share, 0))
            .with(Fact::computed("hoist_share", share, 2))
    };
    if mass_kg > limit_kg {
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(
                "{what} weighs {mass_kg}, and {limit_kg} may be hoisted through {opening}",
            )),
            remedy: facts(Line::from("a hoist for {needed_kg}, {instead}, or another way")),
            place: Route::to("openings", opening).field("hoist_limit_kg"),
        });
    } else if mass_kg > limit_kg * share {
        step.beware(facts(Line::from("Through {opening} {limit_kg} may be hoisted, and {used_kg}, {hoist_share} of it, are used at most: {what} weighs {mass_kg}")));
    }
}

/// What is heavier than people carry is told with what carries it instead.
pub(crate) fn by_hand(known: &Known<'_, '_>, what: &str, mass_kg: Option<f64>, step: &mut Step) {
    let most_kg = known.project().and_then(|project| project.hand_carry_kg);
    let (Some(mass_kg), Some(most_kg)) = (mass_kg, most_kg) else { return };
    if mass_kg <= most_kg {
        return;
    }
    step.beware(
        Line::from("Nobody carries {what}: {carried_kg}, and two people carry {hand_carry_kg}. From bay to bay it goes on a trolley or rails and over each sill by a hoist or a ramp that is in place before it is free; or it is cut lighter where it lies")
            .with(Fact::text("what", what))
            .with(Fact::computed("carried_kg", mass_kg, 0))
            .with(Fact::given("hand_carry_kg", most_kg, 0)),
    );
}

/// What hangs from hoist points beside a place, on the side of an end, against what they carry. What is said to stand on
/// something hangs from none where they are too weak.
pub(crate) fn hoisted(
    known: &Known<'_, '_>,
    end: &EndAt<'_>,
    call: &str,
    (what, stands): (&str, bool),
    mass_kg: f64,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let Some(place) = known.context.place(end.end.place.as_ref()) else { return };
    let is_behind = |station_m: f64| match (end.end.face, place.record.station_m) {
        (Some(FaceName::Up), Some(place_m)) => station_m >= place_m,
        (Some(FaceName::Down), Some(place_m)) => station_m <= place_m,
        _ => true,
    };
    let points = place.record.hoist_points.iter();
    let behind: Vec<_> = points.filter(|point| point.station_m.is_none_or(is_behind)).collect();
    let share = known.context.limit(works::HOIST_SHARE).value;
    let most = behind.iter().filter_map(|point| Some((point, point.capacity_kg?)));
    let most = most.max_by(|(_, one), (_, other)| one.total_cmp(other));
    let facts = |line: Line| {
        line.with(Fact::text("end", call))
            .with(Fact::text("what", what))
            .with(Fact::computed("mass_kg", mass_kg, 0))
    };
    match most {
        Some((point, capacity_kg)) => {
            let name = point.id.as_deref().unwrap_or("the hoist point");
            let used_kg = capacity_kg * share;
            let facts = |line: Line| {
                facts(line)
                    .with(Fact::text("point", name))
                    .with(Fact::computed("used_kg", used_kg, 0))
                    .with(Fact::given("capacity_kg", capacity_kg, 0))
                    .with(Fact::computed("needed_kg", mass_kg / share, 0))
                    .with(Fact::computed("hoist_share", share, 2))
            };
            if mass_kg <= used_kg {
                step.takes(facts(Line::from("At {end} {what} hangs from {point}: {mass_kg} of {used_kg}, which is {hoist_share} of its {capacity_kg}")));
            } else if mass_kg <= capacity_kg {
                step.beware(facts(Line::from("At {end} {what} weighs {mass_kg}, and {used_kg} are used of {point} at most, {hoist_share} of its {capacity_kg}: it stands on something, or comes in parts")));
            } else if stands {
                step.beware(facts(Line::from("At {end} {what} weighs {mass_kg}, and {point}, the strongest hoist point there, carries {capacity_kg}: it hangs from none, on its way to what carries it either")));
            } else {
                blocked.push(Blocked {
                    step: step.id,
                    constraint: facts(Line::from("at {end} {what} weighs {mass_kg}, and {point}, the strongest hoist point there, carries {capacity_kg}")),
                    remedy: facts(Line::from("a hoist point for {needed_kg} at {end}, stated with what it is fixed to; or parts that are lighter")),
                    place: place.route.field("hoist_points"),
                });
            }
            step.rests_on(place.route.field("hoist_points"));
        }
        None => step.lacks(
            match behind.is_empty() {
                true => "place.hoist_points",
                false => "hoist_point.capacity_kg",
            },
            Some(call.to_owned()),
            "what carries plates, bars and jack there",
        ),
    }
}
