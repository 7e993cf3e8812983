//! The list of all rules. A test holds it against the folders.

use crate::rule::Rule;
use crate::{duct, parts, schedule, space, strand, stressing};

/// Every rule, family by family.
pub static CATALOGUE: &[&Rule] = &[
    &schedule::unreadable_file::RULE,
    &schedule::nothing_to_check::RULE,
    &schedule::unreadable_value::RULE,
    &schedule::unknown_column::RULE,
    &schedule::duplicate_mark::RULE,
    &schedule::dangling_reference::RULE,
    &schedule::missing_field::RULE,
    &strand::area_mismatch::RULE,
    &strand::exceeds_capacity::RULE,
    &duct::area_ratio_low::RULE,
    &duct::dimensions_inconsistent::RULE,
    &parts::permanence_missing::RULE,
    &parts::permanence_unexpected::RULE,
    &parts::bonded_inaccessibly::RULE,
    &parts::cannot_pass::RULE,
    &space::missing::RULE,
    &space::stub::RULE,
    &stressing::jacking_stress_high::RULE,
    &stressing::anchorage_stress_high::RULE,
    &stressing::tendon_stress_high::RULE,
    &stressing::service_stress_high::RULE,
    &stressing::friction_unusual::RULE,
    &stressing::force_mismatch::RULE,
    &stressing::elongation_mismatch::RULE,
    &stressing::elongation_out_of_tolerance::RULE,
    &stressing::set_unusual::RULE,
    &stressing::jack_too_weak::RULE,
    &stressing::calibration_old::RULE,
    &stressing::beyond_calibration::RULE,
    &stressing::order_lopsided::RULE,
    &stressing::end_role_conflict::RULE,
    &stressing::target_missing::RULE,
];

/// The rule of this name.
#[must_use]
pub fn find(id: &str) -> Option<&'static Rule> {
    CATALOGUE.iter().copied().find(|rule| rule.id == id)
}
