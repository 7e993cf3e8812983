//! That no force is left is shown, not taken for granted.

use crate::plan::{Blocked, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, _: &mut Vec<Blocked>) {
    if super::release::is_at_anchorage(known) {
        step.say(match known.is_sheathed() || !known.may_be_hard() {
            true => "At the end that released, every strand lies loose and follows a pull by hand; no cap is opened at the other end to look",
            false => "At the end that released, no wedge holds a strand any more; hard filler may hold them further on, and no cap is opened at the other end to look",
        });
    } else {
        step.say("In the window the last strand is parted; then the clamps and ties beside it are eased by little and little, by a jack, a winch or a valve that is worked from a distance and with nobody near, for while they hold they keep the ends still as well");
        step.say("The ends of the strands neither close nor draw apart, before and after the clamps are eased, over a watch as long as the engineer in charge sets; no cap is opened to look");
    }
    step.say("A second sign is seen, independent of the first: the free lengths hang slack and give way to a line that is pulled from a distance, never to a hand, or a strain gauge on the strands, fixed and read before the release, has dropped by the strain of the whole force at its place and stands still there. A gauge that was set to zero on the stressed tendon says nothing as long as it stands at zero");
    if known.is_sheathed() {
        step.say("Sheathed strands go slack one by one: each is seen for itself, at both sides of the window");
    } else if known.may_be_hard() {
        step.say("Hard filler holds strands between any two places: the first cut in each further free length is made as the release is, from an opening of its own in the duct, clamped and screened, strand by strand, and both signs are seen there before the rest is cut");
    }
    step.takes("A mark on each side of the cut and a rule between them; a strain gauge on the strands beside the window, fixed and read before the release");
    step.hold(match super::release::is_at_anchorage(known) {
        true => "The engineer in charge has seen that the force is zero. Until then every restraint stays where it is, and so does every cap but one whose place a restraint or the jack has taken",
        false => "The engineer in charge has seen that the force is zero. Until then every restraint stays where it is but for the easing of clamps, and so does every cap",
    });
    step.beware("A strand may hang in hard filler or be wedged in a deviator, and let go later, with little force left and without a warning: nobody stands in its line, even after this step");
}
