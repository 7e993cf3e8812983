//! The replacement plan of a tendon, from the schedule and the rulebook in force: a draft for the engineer in charge.
//!
//! Each step is a file that says what is done, with which numbers, what has to hold before the work goes on,
//! what to beware of, and what in the schedule it rests on.
//! What the schedule does not state stays a hole with what it blocks; no number is invented.
//! How a plan is shown, and in which units, is decided where it is rendered.

mod about;
mod bonds;
mod ceiling;
mod cuts;
mod energy;
mod gauge;
mod hazards;
mod heed;
mod in_hand;
mod plan;
mod steps;
mod tendon;
mod uses;
mod way;

pub use cuts::{Between, Bound, CutPlan, Misplaced, Out, PlannedCut};
pub use plan::{
    Blocked, Cell, Column, Hazard, HazardKind, Hole, Line, Missing, Plan, Step, StepId, Table, Told,
};
pub use way::{Carried, WayTaken};

use restrand_model::schedule::Status;
use restrand_rules::{Context, TendonAt};

/// The plan of a tendon.
#[must_use]
pub fn plan(context: &Context<'_>, at: &TendonAt<'_>) -> Plan {
    let mut plan = Plan::of(at.mark(), at.route.clone());
    if at.tendon.status == Some(Status::Removed) {
        plan.not_for = Some("the tendon is out already");
        return plan;
    }
    let is_in_place = at.tendon.status.is_none_or(|status| status == Status::InUse);
    if !is_in_place {
        plan.not_for = Some("no tendon is in place: only the steps that bring one in are shown");
    } else if at.stays() {
        plan.not_for = Some("the schedule says that the tendon need not be replaceable");
        return plan;
    }
    let tendon = tendon::Known::of(context, at);
    let steps = steps::ALL
        .iter()
        .filter(|(id, _)| is_in_place || *id == StepId::Measures || *id >= StepId::Gauging);
    for (id, write) in steps {
        let mut step = Step::new(*id);
        write(&tendon, &mut step, &mut plan.blocked);
        for hole in step.holes.clone() {
            plan.note(hole, *id);
        }
        plan.steps.push(step);
    }
    plan.hazards = hazards::of(&tendon, &plan.steps);
    plan.in_hand = in_hand::of(&tendon, &plan.steps);
    plan.about = about::of(&tendon, &plan.steps);
    plan.uses = uses::of(&tendon, &plan.steps);
    plan.cuts = tendon.cuts;
    for blocked in &plan.blocked {
        let step = plan.steps.iter_mut().find(|step| step.id == blocked.step);
        if let Some(step) = step {
            step.stops.push(blocked.stop());
        }
    }
    plan.stop();
    plan
}
