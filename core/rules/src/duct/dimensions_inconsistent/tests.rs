//! Rounding, swapped diameters, the one that is wrong, and sizes as people write them.

use restrand_mechanics::tables::pipe::Schedule;

use super::pipe::{nominal_size, schedule};
use super::*;

const NOTHING: Stated = Stated {
    material: Material::Polymer,
    outer_mm: None,
    wall_mm: None,
    inner_mm: None,
    dimension_ratio: None,
    schedule_wall_mm: None,
};

#[test]
fn a_difference_up_to_the_tolerance_is_rounding() {
    let duct = |inner_mm| Stated {
        material: Material::Steel,
        outer_mm: Some(114.3),
        wall_mm: Some(6.0),
        inner_mm: Some(inner_mm),
        ..NOTHING
    };
    for (inner_mm, told) in [(102.3, 0), (102.59, 0), (102.6, 0), (102.61, 1), (101.99, 1)] {
        let agreement = agree(&duct(inner_mm), 0.3).unwrap();
        assert_eq!(agreement.disagreements.len(), told, "{inner_mm}");
    }
}

#[test]
fn diameters_that_agree_the_other_way_round_seem_to_be_swapped() {
    let swapped =
        |wall_mm| Stated { outer_mm: Some(110.2), wall_mm, inner_mm: Some(125.0), ..NOTHING };
    assert!(matches!(exchanged(&swapped(Some(7.4)), 0.3), Exchanged::Agree));
    assert!(matches!(exchanged(&swapped(Some(6.0)), 0.3), Exchanged::Disagree));
    assert!(matches!(exchanged(&swapped(None), 0.3), Exchanged::Alone));
}

#[test]
fn a_value_that_three_others_contradict_is_the_one() {
    let stated = Stated {
        outer_mm: Some(125.0),
        wall_mm: Some(9.2),
        inner_mm: Some(110.2),
        dimension_ratio: Some(17.0),
        ..NOTHING
    };
    let agreement = agree(&stated, 0.3).unwrap();
    assert_eq!(most_likely_wrong(&stated, &agreement, 0.3), (Dimension::Wall, true));
}

#[test]
fn sizes_and_schedules_are_read_as_people_write_them() {
    for text in ["3.5", "3-1/2", "NPS 3 1/2", "3 1/2 in", "3-1/2\""] {
        assert_eq!(nominal_size(text), Some(3.5), "{text}");
    }
    for text in ["", "PE125", "-4", "4/0", "nan"] {
        assert_eq!(nominal_size(text), None, "{text}");
    }
    for text in ["40", "Sch 40", "SCH. 40", "schedule 40", "S40"] {
        assert_eq!(schedule(text), Some(Schedule::S40), "{text}");
    }
    assert_eq!(schedule("10S"), None);
}
