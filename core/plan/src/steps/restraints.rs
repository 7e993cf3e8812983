//! What holds the tendon and its parts while it is released.

use restrand_finding::Fact;
use restrand_rules::EndAt;

use super::release::{is_at_anchorage, is_by_jack};
use crate::energy;
use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
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
    const CLAMPS: &str =
        "Clamps, slings or chains, and blankets or plates for each side of the first cut";
    match energy::design(known) {
        Ok(design) => step.takes(
            Line::from(format!("{CLAMPS}, laid out for {{energy_kj}}").as_str())
                .with(Fact::computed("energy_kj", design.kj, 0)),
        ),
        Err(_) => step.takes(format!("{CLAMPS}; the energy for which they are laid out is not known, and the engineer in charge sets it").as_str()),
    }
    if !is_at_anchorage(known) {
        step.say("On each side of the first cut, close to it, the tendon is clamped and tied to concrete that holds it, and covered. The engineer in charge states whether ties stand tight or slack, and lays them out for the force that they then take; they are made so that they can be eased from a distance");
    }
    for end in &known.ends {
        at_end(known, end, step, blocked);
    }
    caps(known, step);
    step.beware("Wedges, strands and plates may be thrown out rearward, behind both anchorages, and parted strands along the tendon, out of the window");
}

/// What holds an end, and whether its cap may come off.
fn at_end(known: &Known<'_, '_>, end: &EndAt<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let call = end.call();
    let here = end.end.released_here == Some(true);
    let facts = |line: Line| line.with(Fact::text("end", call.as_str()));
    match &end.end.release_restraint {
        Some(text) => {
            step.say(
                facts(Line::from("At {end}: {restraint}")).with(Fact::text("restraint", &**text)),
            );
            step.rests_on(end.route.field("release_restraint"));
        }
        None => step.lacks(
            "end.release_restraint",
            Some(call.clone()),
            "what holds the end while the tendon is released",
        ),
    }
    if !here {
        return;
    }
    if !is_at_anchorage(known) {
        // A cap is never taken off with force behind it, whatever an end says of itself.
        if known.replacement().is_some_and(|own| own.release.is_some()) {
            blocked.push(Blocked {
                step: step.id,
                constraint: facts(Line::from("{end} is said to be released, but the stated method releases in the free length: its cap would come off with the force on")),
                remedy: facts(Line::from("state that {end} is not released, or a release at that anchorage with a restraint made for it")),
                place: end.route.field("released_here"),
            });
        }
        return;
    }
    let by_jack = is_by_jack(known);
    match &end.end.release_restraint {
        None if !by_jack => blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the release is made at {end}, and nothing is stated that holds wedges, plates and strands there in the cap's place")),
            remedy: facts(Line::from("state a restraint made for the release at {end}, or release in the free length with both caps on")),
            place: end.route.field("release_restraint"),
        }),
        Some(text) if keeps_the_cap(text) => blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the release is made at {end}, and the restraint that is stated there keeps the cap on: it is none that takes the cap's place")),
            remedy: facts(Line::from("state a restraint made for the release at {end}, or release in the free length with both caps on")),
            place: end.route.field("release_restraint"),
        }),
        _ => {}
    }
    step.hold(facts(Line::from(match by_jack {
        true => "At {end}, where it is released, the jack is on and holds the whole force before the cap's place is open behind it",
        false => "At {end}, where it is released, a restraint that was designed for that and for the energy in the list of hazards is in place and signed for by the engineer in charge: only then does the cap there come off",
    })));
}

/// Whether a restraint is told with its cap on: then it cannot be what takes the cap's place.
fn keeps_the_cap(text: &str) -> bool {
    let lower = text.to_lowercase();
    lower.split(['.', ';', ',']).any(|part| {
        let words: Vec<&str> = part
            .split(|letter: char| !letter.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        let has = |wanted: &[&str]| words.iter().any(|word| wanted.contains(word));
        let is_kept = has(&["stay", "stays", "remain", "remains", "kept", "keep", "left"]);
        let is_on = words.windows(2).any(|pair| matches!(pair, ["cap" | "caps", "on"]));
        has(&["cap", "caps"]) && (is_kept || is_on)
    })
}

/// Which caps stay on, and where people are not.
fn caps(known: &Known<'_, '_>, step: &mut Step) {
    let in_line = "nobody stands behind either anchorage, nor in line with the tendon";
    if !is_at_anchorage(known) {
        step.say("Both caps stay on until the force is shown to be zero");
        step.hold(format!("Restraints, clamps and covers are in place and signed for; {in_line}. At the window there is one person only, the one who parts the strands: beside it behind a screen, off the line of the strands, never in it").as_str());
        return;
    }
    step.say("The cap at every other end stays on until the force is shown to be zero");
    step.hold(format!("Restraints and covers are in place and signed for; {in_line}. At the anchorage that releases there is one person only, the one who works there: beside the axis behind a screen, never behind the wedge plate").as_str());
}
