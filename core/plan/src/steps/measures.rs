//! What is done on the bridge before anybody touches the tendon.

use restrand_finding::Fact;

use super::tendon_out;
use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let project = known.project();
    let replacement = known.replacement();
    let project_route = restrand_model::route::Route::root().field("project");
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
    let most = project.and_then(|project| project.tendons_out);
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
    match replacement.and_then(|own| own.others_out) {
        Some(0) if most == Some(1) => step.rests_on(own.field("others_out")),
        Some(others) => {
            step.say(
                Line::from(
                    "Beside this tendon {others_out} others may be out, as it states itself",
                )
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
    step.hold("Traffic, props and readings are as stated, and a first reading is on record");
    step.takes("Barriers, signs and signals; survey marks and a level, and whatever else the readings need");
    step.beware("Nothing is lifted over traffic or over people");
    step.beware("Boxes and chambers are confined spaces: air is measured, every way out is kept free, somebody stays outside");
}
