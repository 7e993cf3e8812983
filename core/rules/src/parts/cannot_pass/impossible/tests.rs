//! Which field an argument of the mechanics is.

use super::*;

#[test]
fn an_argument_is_told_by_the_field_of_its_name() {
    for name in [
        "from_mm",
        "to_mm",
        "rear_outer_mm",
        "span_outer_mm",
        "greatest_outer_mm",
        "greatest_outer_at_mm",
        "tolerance_mm",
        "ovality_mm",
        "rear_inner_mm",
        "span_inner_mm",
        "seam_mm",
        "wall_radius_mm",
    ] {
        assert!(Part::INFO.field(name).is_some(), "{name}");
        assert_eq!(part_field(name), format!("part.{name}"));
    }
}
