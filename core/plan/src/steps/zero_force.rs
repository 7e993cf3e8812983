//! That no force is left is shown, not taken for granted.

use crate::plan::{Blocked, Step};
use crate::tendon::Known;

pub(super) fn write(_: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
    step.say("The last strand is slack; the gap of the cut neither closes nor opens over a watch of some minutes; strands at both anchorages are loose in their wedges, or do not answer to a light pull");
    step.say("Where the tendon is bonded in between, the same is shown for each bonded length");
    step.hold("The engineer in charge has seen that the force is zero. Until then every restraint stays where it is, and so does every cap but one whose place a restraint or the jack has taken");
    step.beware("A strand may hang in hard filler or be wedged in a deviator, and let go later");
}
