//! Rules on the replacement itself: release, cuts, order, and the bridge while a tendon is out.

pub(crate) mod cap_before_release;
pub(crate) mod cut_in_form;
pub(crate) mod history_incomplete;
pub(crate) mod order_unusual;
pub(crate) mod piece_too_long_or_heavy;
pub(crate) mod release_undefined;
pub(crate) mod reserve_low;
pub(crate) mod restriction_missing;
pub(crate) mod section_effects;
pub(crate) mod too_many_out;

use restrand_finding::Outcomes;
use restrand_model::schedule::Status;

use crate::context::TendonAt;

/// Whether a tendon is in place and has to be replaceable; else it is said why a rule does not look at it.
fn is_to_be_replaced(at: &TendonAt<'_>, outcomes: &mut Outcomes) -> bool {
    if at.stays() {
        outcomes.not_applicable("the tendon need not be replaceable");
        return false;
    }
    if !matches!(at.tendon.status, None | Some(Status::InUse)) {
        outcomes.not_applicable("the tendon is not in place");
        return false;
    }
    true
}
