//! Whatever numbers come in, the functions of the deviator give finite numbers or a misfit.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::deviator::{
    angle_reserve_rad, deviation_force, equal_forces_kn, exit_bore_mm, least_length_mm,
    line_load_kn_per_m, side_angle_rad, small_angle_kn, tendon_radius_mm, unequal_forces_kn,
    web_in_plane_kn_per_m, web_out_of_plane_kn_per_m,
};
use restrand_mechanics::path::Direction;

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => 0.0..5000.0,
        4 => 0.0..1.0,
        1 => -2.0..2.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12), Just(1.0)],
        1 => ANY,
    ]
}

proptest! {
    #[test]
    fn forms(a in number(), b in number(), c in number(), d in number()) {
        let positive = [
            side_angle_rad(a, b),
            least_length_mm(a, b, c, d),
            exit_bore_mm(a, b, c),
            tendon_radius_mm(a, b),
        ];
        for value in positive.into_iter().flatten() {
            prop_assert!(value.is_finite() && value >= 0.0);
        }
        if let Ok(reserve) = angle_reserve_rad(a, b) {
            prop_assert!(reserve.abs() < 1.6);
        }
    }

    #[test]
    fn forces(a in number(), b in number(), c in number(), before in prop::array::uniform3(number())) {
        let results = [
            equal_forces_kn(a, b),
            unequal_forces_kn(a, b, c),
            small_angle_kn(a, b),
            line_load_kn_per_m(a, b),
            web_in_plane_kn_per_m(a, b, c),
            web_out_of_plane_kn_per_m(a, b),
        ];
        for value in results.into_iter().flatten() {
            prop_assert!(value.is_finite() && value >= 0.0);
        }
        let [x, y, z] = before;
        let along = Direction { x: 1.0, y: 0.0, z: 0.0 };
        for before in [Direction { x, y, z }, along] {
            if let Ok(force) = deviation_force(before, along, a, b) {
                prop_assert!([force.x_kn, force.y_kn, force.z_kn].iter().all(|share| share.is_finite()));
                prop_assert!(force.magnitude_kn.is_finite() && force.magnitude_kn >= 0.0);
            }
        }
    }
}
