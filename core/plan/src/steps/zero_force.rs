//! That no force is left is shown, not taken for granted.

use crate::plan::{Blocked, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
    if super::release::is_at_anchorage(known) {
        step.say(match known.is_sheathed() || !known.may_be_hard() {
            true => "At the end that released, every strand lies loose and follows a pull by hand; no cap is opened at the other end to look",
            false => "At the end that released, no wedge holds a strand any more; hard filler may hold them further on, and no cap is opened at the other end to look",
        });
    } else {
        step.say("In the window the last strand is parted, and its ends neither close nor draw apart over a watch of some minutes; no cap is opened to look");
    }
    step.say("A second sign is seen, independent of the first: the free lengths hang slack and can be moved aside, or a gauge on the tendon, read from before the release on, stands still at its zero");
    if known.is_sheathed() {
        step.say("Sheathed strands go slack one by one: each is seen for itself, at both sides of the window");
    } else if known.may_be_hard() {
        step.say("Hard filler holds strands between any two places: both signs are seen in each free length, and in each bonded length, before it is cut");
    }
    step.takes("A mark on each side of the cut and a rule between them; a gauge on the tendon, read from before the release on");
    step.hold("The engineer in charge has seen that the force is zero. Until then every restraint stays where it is, and so does every cap but one whose place a restraint or the jack has taken");
    step.beware("A strand may hang in hard filler or be wedged in a deviator, and let go later, with little force left and without a warning: nobody stands in its line, even after this step");
}
