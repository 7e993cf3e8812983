//! Tails cut, caps on.

use restrand_finding::Fact;

use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, _: &mut Vec<Blocked>) {
    for end in &known.ends {
        let call = end.call();
        match end.end.tail_mm {
            Some(tail_mm) => {
                step.say(
                    Line::from("At {end} the tails are cut {tail_mm} behind the wedge plate, by disc, and the cap goes on with a new seal")
                        .with(Fact::text("end", call))
                        .with(Fact::given("tail_mm", tail_mm, 0)),
                );
                step.rests_on(end.route.field("tail_mm"));
            }
            None => step.lacks("end.tail_mm", Some(call), "how long the tails stay"),
        }
    }
    if known.ends.iter().any(|end| end.end.tail_mm.is_some()) {
        step.say("Who cuts stands at the side of the anchorage, out of line with the tendon, and cuts across the axis from there, one strand after another; a plate or a screen stands behind the wedge plate but for the tail that is cut, so far off that the cap can be swung in between from the side; the cap is carried by a hoist or a table, and by nobody who leans into the line of the tendon");
    }
    step.takes("Disc cutters with guards; a plate or a screen behind each wedge plate, fixed so that it holds; a wrench for the bolts of the caps, long enough to be turned from the side");
    step.hold("Forces, elongations and sets are within what the stressing table allows and are accepted by the engineer in charge: a strand that is cut short cannot be gripped again");
    step.hold("Before a tail is cut the screen behind its wedge plate stands; nobody is behind either anchorage in line with the tendon until both caps are on");
    step.beware("The full force is in the tendon, and only the wedges hold it: a blow, heat or a wedge that was badly seated lets a strand go rearward");
    step.beware("No flame at strands, wedges or polymer");
}
