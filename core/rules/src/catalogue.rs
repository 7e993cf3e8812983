//! The list of all rules. A test holds it against the folders.

use std::collections::HashSet;
use std::sync::LazyLock;

use restrand_finding::Correction;

use crate::context::Context;
use crate::rule::{Corrects, LimitKey, Rule};
use crate::{
    access, anchorage, deviator, duct, filler, parts, path, replacement, schedule, space, strand,
    stressing, works,
};

/// Every rule, family by family.
pub static CATALOGUE: &[&Rule] = &[
    &schedule::unreadable_file::RULE,
    &schedule::nothing_to_check::RULE,
    &schedule::unreadable_value::RULE,
    &schedule::unknown_column::RULE,
    &schedule::duplicate_mark::RULE,
    &schedule::dangling_reference::RULE,
    &schedule::missing_field::RULE,
    &schedule::unit_conflict::RULE,
    &schedule::quantity_mismatch::RULE,
    &schedule::twin_mismatch::RULE,
    &schedule::code_undeclared::RULE,
    &schedule::reserved_incomplete::RULE,
    &strand::series_mixed::RULE,
    &strand::area_mismatch::RULE,
    &strand::mass_mismatch::RULE,
    &strand::grade_mismatch::RULE,
    &strand::modulus_unusual::RULE,
    &strand::count_mismatch::RULE,
    &strand::exceeds_capacity::RULE,
    &duct::area_ratio_low::RULE,
    &duct::throat_ratio_low::RULE,
    &duct::single_element_gap::RULE,
    &duct::dimensions_inconsistent::RULE,
    &duct::size_unlisted::RULE,
    &duct::wall_thin::RULE,
    &duct::material_unfit::RULE,
    &duct::radius_small_for_polymer::RULE,
    &duct::run_broken::RULE,
    &duct::internal_limits::RULE,
    &filler::volume_mismatch::RULE,
    &filler::vent_missing::RULE,
    &filler::pressure_or_rate::RULE,
    &filler::kind_not_allowed::RULE,
    &filler::time_to_fill::RULE,
    &parts::permanence_missing::RULE,
    &parts::permanence_unexpected::RULE,
    &parts::role_missing::RULE,
    &parts::bonded_inaccessibly::RULE,
    &parts::breakout_needed::RULE,
    &parts::cannot_pass::RULE,
    &parts::tolerance_eats_gap::RULE,
    &parts::bent_piece_jams::RULE,
    &parts::nesting_impossible::RULE,
    &parts::guide_pipe_play::RULE,
    &parts::seal_missing::RULE,
    &parts::joint_in_form::RULE,
    &parts::tube_through_permanent::RULE,
    &parts::tendon_coupler::RULE,
    &parts::forms_clash::RULE,
    &parts::not_gauged::RULE,
    &path::points_impossible::RULE,
    &path::kink_without_deviator::RULE,
    &path::length_mismatch::RULE,
    &path::angle_mismatch::RULE,
    &path::radius_mismatch::RULE,
    &path::radius_small::RULE,
    &path::near_concrete_or_neighbour::RULE,
    &path::unsupported_length::RULE,
    &deviator::form_missing::RULE,
    &deviator::angle_reserve::RULE,
    &deviator::form_short::RULE,
    &deviator::exit_narrow::RULE,
    &deviator::not_replaceable::RULE,
    &deviator::no_room_to_swing::RULE,
    &deviator::force_off::RULE,
    &deviator::duct_wall_left::RULE,
    &space::missing::RULE,
    &space::cap_and_tail::RULE,
    &space::stub::RULE,
    &space::stated_against_bay::RULE,
    &space::new_trumpet::RULE,
    &space::jack_thread_on::RULE,
    &space::jack_stress::RULE,
    &space::jack_take_off::RULE,
    &space::jack_envelope::RULE,
    &space::live_tendon_in_the_way::RULE,
    &space::movement_eats_room::RULE,
    &space::tail_short::RULE,
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
    &stressing::gauge_mismatch::RULE,
    &stressing::order_lopsided::RULE,
    &stressing::end_role_conflict::RULE,
    &stressing::target_missing::RULE,
    &anchorage::ledge_short::RULE,
    &anchorage::dead_end_embedded::RULE,
    &anchorage::edge_distance::RULE,
    &anchorage::straight_too_short::RULE,
    &anchorage::not_square::RULE,
    &anchorage::jack_not_listed::RULE,
    &access::no_way::RULE,
    &access::jack_does_not_pass::RULE,
    &access::piece_does_not_pass::RULE,
    &access::new_part_does_not_pass::RULE,
    &access::hoist_overloaded::RULE,
    &access::hoist_point_missing::RULE,
    &access::opening_small_for_people::RULE,
    &access::headroom_low::RULE,
    &access::openings_far_apart::RULE,
    &access::strand_place_missing::RULE,
    &access::fill_route::RULE,
    &replacement::release_undefined::RULE,
    &replacement::cap_before_release::RULE,
    &replacement::cut_in_form::RULE,
    &replacement::piece_too_long_or_heavy::RULE,
    &replacement::order_unusual::RULE,
    &replacement::too_many_out::RULE,
    &replacement::section_effects::RULE,
    &replacement::restriction_missing::RULE,
    &replacement::reserve_low::RULE,
    &replacement::history_incomplete::RULE,
];

/// Every limit that a rule compares with or the work on a tendon rests on, once, in the order of the rules.
#[must_use]
pub fn limit_keys() -> &'static [LimitKey] {
    // Gathered once: a rulebook is held against them limit by limit.
    static KEYS: LazyLock<Vec<LimitKey>> = LazyLock::new(|| {
        let mut known = HashSet::new();
        let of_rules = CATALOGUE.iter().flat_map(|rule| rule.limits);
        of_rules.chain(works::LIMITS).filter(|key| known.insert(key.name)).copied().collect()
    });
    &KEYS
}

/// The rule of this name.
#[must_use]
pub fn find(id: &str) -> Option<&'static Rule> {
    CATALOGUE.iter().copied().find(|rule| rule.id == id)
}

/// What all rules offer to correct, in the order of the catalogue.
#[must_use]
pub fn corrections(context: &Context<'_>) -> Vec<Correction> {
    let mut offered = Vec::new();
    for rule in CATALOGUE {
        if let Corrects::Offers(classes, offer) = rule.correction {
            let before = offered.len();
            offer(context, &mut offered);
            debug_assert!(
                offered[before..].iter().all(|correction| {
                    correction.rule == rule.id && classes.contains(&correction.class)
                }),
                "{} offers what its entry does not say",
                rule.id
            );
        }
    }
    offered
}
