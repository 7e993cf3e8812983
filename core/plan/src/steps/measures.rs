//! What is done on the bridge before anybody touches the tendon.

use restrand_finding::Fact;
use restrand_model::route::Route;
use restrand_model::schedule::Status;
use restrand_rules::ways::{lacking_for_people_mm, sides, spare_for_people_mm};

use super::tendon_out;
use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let is_in_place = known.tendon.status.is_none_or(|status| status == Status::InUse);
    let project = known.project();
    let replacement = known.replacement();
    let project_route = Route::root().field("project");
    let own = known.at.route.field("replacement");
    match replacement
        .and_then(|own| own.live_load_restriction.clone())
        .map(|text| (text, own.field("live_load_restriction")))
        .or_else(|| {
            let text = project?.live_load_restriction.clone()?;
            Some((text, project_route.field("live_load_restriction")))
        }) {
        Some((text, route)) => {
            step.say(
                Line::from("Traffic while the tendon is out: {restriction}")
                    .with(Fact::text("restriction", text)),
            );
            step.rests_on(route);
        }
        None => {
            step.lacks("project.live_load_restriction", None, "traffic while the tendon is out")
        }
    }
    match replacement
        .and_then(|own| own.measures_while_out.clone())
        .map(|text| (text, own.field("measures_while_out")))
        .or_else(|| {
            let text = project?.measures_while_out.clone()?;
            Some((text, project_route.field("measures_while_out")))
        }) {
        Some((text, route)) => {
            step.say(
                Line::from("Further measures of the owner: {measures}")
                    .with(Fact::text("measures", text)),
            );
            step.rests_on(route);
        }
        None => {
            step.lacks("project.measures_while_out", None, "props, monitoring and other measures")
        }
    }
    match is_in_place {
        true => out(known, step, blocked),
        false => added(known, step),
    }
    people(known, step, blocked);
    step.hold("Traffic, props and readings are as stated, and a first reading is on record");
    step.takes("Barriers, signs and signals; survey marks and a level, and whatever else the readings need");
    step.beware("Nothing is lifted over traffic or over people");
    step.beware("Boxes and chambers are confined spaces: air is measured, every way out is kept free, somebody stays outside");
}

/// The bridge without the tendon.
fn out(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let project_route = Route::root().field("project");
    let own = known.at.route.field("replacement");
    let most = known.project().and_then(|project| project.tendons_out);
    match most {
        Some(1) => {
            step.say("One tendon of the whole bridge may be out at once, and that is this one: no other is released before it is stressed again, whatever the sections below would allow");
            step.rests_on(project_route.field("tendons_out"));
        }
        Some(most) => {
            step.say(
                Line::from("At the same time {tendons_out} of the bridge's tendons may be out, this one included")
                    .with(Fact::given("tendons_out", f64::from(most), 0)),
            );
            step.rests_on(project_route.field("tendons_out"));
        }
        None => step.lacks("project.tendons_out", None, "how many tendons may be out at once"),
    }
    match known.replacement().and_then(|own| own.others_out) {
        Some(0) if most == Some(1) => step.rests_on(own.field("others_out")),
        // The bridge's own number holds.
        Some(others) if most.is_some_and(|most| others >= most) => {
            step.beware(
                Line::from("The tendon states {others_out} beside it, more than the bridge allows: what the bridge states holds")
                    .with(Fact::given("others_out", f64::from(others), 0)),
            );
            step.rests_on(own.field("others_out"));
        }
        Some(others) => {
            step.say(
                Line::from(match others {
                    1 => "Beside this tendon {others_out} other may be out, as it states itself",
                    _ => "Beside this tendon {others_out} others may be out, as it states itself",
                })
                .with(Fact::given("others_out", f64::from(others), 0)),
            );
            step.rests_on(own.field("others_out"));
        }
        None => {}
    }
    if let Some(stressed) =
        step.known_all(known.stressed(), None, "the force that the bridge loses")
    {
        step.say(
            Line::from("The tendon holds up to {lost_kn}; with it the bridge loses that axial force, and what it does about the section's centroid")
                .with(Fact::computed("lost_kn", stressed.greatest_kn(), 0)),
        );
    }
    tendon_out::write(known, step, blocked);
    step.hold("The engineer in charge has checked the bridge without this tendon, at every station and with secondary moments, for the loads that stay on it");
}

/// The bridge with a tendon more.
fn added(known: &Known<'_, '_>, step: &mut Step) {
    let pull = known.pull.as_ref().map_err(Vec::as_slice);
    if let Some(pull) = step.known_all(pull, None, "the force that the bridge takes up") {
        step.say(
            Line::from("The bridge takes up a tendon more: up to {added_kn}, and what that does about the section's centroid and at anchorages and deviators")
                .with(Fact::computed("added_kn", pull.jacking_kn, 0)),
        );
    }
    step.hold("All that must be in hand before work starts is on site, has been measured and fits");
    step.hold("The engineer in charge has checked the bridge with this further tendon, at every station and with secondary moments, its anchorages and deviators for the added force, while it is stressed and after");
}

/// Whether people get to every bay in which they work, and somebody hurt is carried out.
fn people(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let (Some(short), Some(long)) =
        (known.limit("people_opening_short_mm"), known.limit("people_opening_long_mm"))
    else {
        return;
    };
    let ways = &known.ways;
    let needed_mm = [short.value, long.value];
    let reached = ways.widest(|door| spare_for_people_mm(&ways.openings[door.opening], needed_mm));
    let bays = known.worked_in();
    if bays.is_empty() {
        step.lacks(known.no_bay(), None, "how people get to their work, and out again");
    }
    let mut told: Vec<usize> = Vec::new();
    for bay in bays {
        let name = ways.call_bay(bay);
        let Some(reach) = reached[bay] else {
            step.lacks(
                "schedule.openings",
                Some(name),
                "how people get to their work there, and out again",
            );
            continue;
        };
        let opening = ways.doors[reach.binds].opening;
        let record = &ways.openings[opening];
        let Some([shorter, longer]) = sides(record).filter(|_| reach.spare_mm < 0.0) else {
            continue;
        };
        if told.contains(&opening) {
            continue;
        }
        told.push(opening);
        let facts = |line: Line| {
            line.with(Fact::text("bay", name.as_str()))
                .with(Fact::text("opening", ways.call(opening)))
                .with(Fact::given("short_mm", shorter.mm, 0))
                .with(Fact::given("long_mm", longer.mm, 0))
                .with(Fact::limit("least_short_mm", short.value, 1, short.citation.clone()))
                .with(Fact::limit("least_long_mm", long.value, 1, long.citation.clone()))
        };
        let mut remedy = facts(Line::from(""));
        let names = [("more_mm", "{more_mm} more "), ("other_more_mm", "{other_more_mm} more ")];
        let lacking = lacking_for_people_mm(record, needed_mm);
        for ((side, more_mm), (name, words)) in lacking.into_iter().zip(names) {
            remedy.text.push_str(if remedy.text.is_empty() { "" } else { " and " });
            remedy.text.push_str(words);
            remedy.text.push_str(side.word);
            remedy = remedy.with(Fact::computed(name, more_mm, 1));
        }
        remedy.text.push_str(" at {opening}, {least_short_mm} by {least_long_mm} in all, or another way in and out that is listed");
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("on the best way for people to {bay} opening {opening} is {short_mm} by {long_mm} clear, and people with gear, or somebody who is carried out, need {least_short_mm} by {least_long_mm}")),
            remedy,
            place: Route::to("openings", opening),
        });
    }
}
