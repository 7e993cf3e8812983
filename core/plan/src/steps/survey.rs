//! What is in the tendon, before a method is chosen.

use restrand_finding::Fact;
use restrand_model::schedule::Filler;

use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, _: &mut Vec<Blocked>) {
    match known.tendon.filler {
        Some(filler) => {
            step.say(
                Line::from("The schedule says: {filler}")
                    .with(Fact::text("filler", filler.to_string())),
            );
            step.rests_on(known.at.route.field("filler"));
        }
        None => step.lacks(
            "tendon.filler",
            None,
            "the method of release: taken as unknown until the survey says",
        ),
    }
    step.say("Open small windows in the duct at a low point, a high point and beside each anchorage; note filler, water, voids and the state of the strands");
    if known.is_sheathed() {
        step.say("Each strand runs in grease in a sheath of its own: what fills the duct does not hold it, and each strand gives off all its energy wherever it is cut");
        step.beware("Grease and sheaths burn: no hot work near them");
    }
    match known.tendon.filler {
        Some(Filler::CementGrout) if known.is_sheathed() => {
            step.beware("Grout dust harms lungs: water or extraction, and masks");
        }
        Some(Filler::CementGrout) => {
            step.say("Where grout is hard and whole it holds strands for a length of its own; soft, segregated or missing grout holds none: count on none");
            step.beware("Grout dust harms lungs: water or extraction, and masks");
        }
        Some(Filler::Wax | Filler::Grease) => {
            step.say(
                "Nothing bonds the strands: the tendon gives off all its energy wherever it is cut",
            );
            step.beware("Wax and grease burn: no hot work near them; hot liquid scalds and finds its way through every opening");
        }
        Some(Filler::None) => {
            step.say(
                "Nothing bonds the strands: the tendon gives off all its energy wherever it is cut",
            );
        }
        Some(Filler::Unknown) | None => {
            step.say("Until it is known, the worst of each is taken: no bond counts, it may burn, and it may be dust");
            step.beware("An unknown filler may burn: no hot work before it is known");
            step.beware("Dust of an unknown filler harms lungs: water or extraction, and masks");
        }
    }
    step.takes("Hand tools that open a duct and touch no strand; a lamp, an endoscope, bags for samples of the filler");
    step.hold("Filler and state of the strands are on record; the method of release is confirmed or changed");
    step.hold("Before a window is opened: clamps and blankets hold and cover the tendon on both sides of it, both caps are on and nobody is behind an anchorage or in line with the tendon; the duct is cut no deeper than its wall, by hand tools from beside it, and a screen stands between the strands and the face of the one who cuts");
    step.beware("No strand is nicked: the tendon is under its full force, and so is every tendon beside it, and a strand that is nicked, or that rust has left thin, parts at once and whips out of the window");
    step.beware("Where a wire or strand is found parted, bare or badly rusted nobody works on: all leave the line of the tendon, and the engineer in charge decides");
}
