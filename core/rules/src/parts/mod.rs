//! Rules on parts: split, bond, passing.

pub(crate) mod bent_piece_jams;
pub(crate) mod bonded_inaccessibly;
pub(crate) mod breakout_needed;
pub(crate) mod cannot_pass;
pub(crate) mod forms_clash;
pub(crate) mod guide_pipe_play;
pub(crate) mod joint_in_form;
pub(crate) mod nesting_impossible;
pub(crate) mod not_gauged;
pub(crate) mod permanence_missing;
pub(crate) mod permanence_unexpected;
pub(crate) mod role_missing;
pub(crate) mod seal_missing;
pub(crate) mod tendon_coupler;
pub(crate) mod tolerance_eats_gap;
pub(crate) mod tube_through_permanent;
