//! The steps of a replacement in their order, a file for each.

mod anchor_stubs;
mod deviator_stubs;
mod filling;
mod gauging;
mod jack_in;
mod measures;
mod new_parts;
mod pieces;
mod rear_parts;
mod record;
pub(crate) mod release;
mod restraints;
mod strands;
pub(crate) mod stressing;
mod survey;
mod tails_and_caps;
mod takes;
mod tendon_out;
mod zero_force;

use crate::plan::{Blocked, Step, StepId};
use crate::tendon::Known;

/// Writes a step; what stands against it goes to the list.
pub(crate) type Write = fn(&Known<'_, '_>, &mut Step, &mut Vec<Blocked>);

/// All steps, in the order in which they are taken.
pub(crate) const ALL: &[(StepId, Write)] = &[
    (StepId::Measures, measures::write),
    (StepId::Survey, survey::write),
    (StepId::Restraints, restraints::write),
    (StepId::Release, release::write),
    (StepId::ZeroForce, zero_force::write),
    (StepId::Pieces, pieces::write),
    (StepId::DeviatorStubs, deviator_stubs::write),
    (StepId::AnchorStubs, anchor_stubs::write),
    (StepId::Gauging, gauging::write),
    (StepId::NewParts, new_parts::write),
    (StepId::Strands, strands::write),
    (StepId::JackIn, jack_in::write),
    (StepId::Stressing, stressing::write),
    (StepId::TailsAndCaps, tails_and_caps::write),
    (StepId::Filling, filling::write),
    (StepId::Record, record::write),
];
