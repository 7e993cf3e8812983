//! What was done is written down, for the next time.

use crate::plan::{Blocked, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, _: &mut Vec<Blocked>) {
    step.say("Enter in the schedule: day, jack and its calibration, measured force, elongation and set at each end, lift-off, filled volume, gauging of each permanent part, room measured at each end, and what was found of the old tendon");
    step.say("Set the tendon's stage to replaced, and add to its history who did what and why");
    step.rests_on(known.at.route.field("history"));
    step.hold("The schedule with the new data is checked again, and handed to the owner");
}
