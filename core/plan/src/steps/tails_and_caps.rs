//! Tails cut, caps on.

use restrand_finding::Fact;

use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, _: &mut Vec<Blocked>) {
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
    step.takes("Disc cutters with guards; a wrench for the bolts of the caps");
    step.hold("Forces, elongations and sets are within what the stressing table allows and are accepted by the engineer in charge: a strand that is cut short cannot be gripped again");
    step.beware("No flame at strands, wedges or polymer");
}
