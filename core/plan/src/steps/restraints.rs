//! What holds the tendon and its parts while it is released.

use restrand_finding::Fact;

use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
    match known.replacement().and_then(|own| own.restraints.clone()) {
        Some(text) => {
            step.say(
                Line::from("As the schedule states: {restraints}")
                    .with(Fact::text("restraints", text)),
            );
            step.rests_on(known.at.route.field("replacement").field("restraints"));
        }
        None => step.lacks("replacement.restraints", None, "restraints each side of the first cut"),
    }
    step.takes("Clamps, slings or chains, and blankets or plates for each side of the first cut, laid out for the energy in the list of hazards");
    if !super::release::is_at_anchorage(known) {
        step.say("On each side of the first cut, close to it, the tendon is clamped and tied to concrete that holds it, and covered");
    }
    for end in &known.ends {
        let call = end.call();
        match &end.end.release_restraint {
            Some(text) => {
                step.say(
                    Line::from("At {end}: {restraint}")
                        .with(Fact::text("end", call))
                        .with(Fact::text("restraint", &**text)),
                );
                step.rests_on(end.route.field("release_restraint"));
            }
            None => step.lacks(
                "end.release_restraint",
                Some(call),
                "what holds the end while the tendon is released",
            ),
        }
        if end.end.released_here == Some(true) {
            step.say(
                Line::from("The release is made at {end}: its cap comes off only once the stated restraint or the jack holds in its place")
                    .with(Fact::text("end", end.call())),
            );
        }
    }
    let released: Vec<_> =
        known.ends.iter().filter(|end| end.end.released_here == Some(true)).collect();
    if released.is_empty() && !super::release::is_at_anchorage(known) {
        step.say("Both caps stay on");
    }
    step.hold("Restraints, clamps and covers are in place and signed for; nobody stands behind either anchorage, nor beside the first cut");
    step.beware("Wedges, strands and plates may be thrown out rearward, behind both anchorages");
}
