//! Flared forms and deviation forces against walls and tendons followed step by step.

#![allow(clippy::unwrap_used)]

use std::f64::consts::FRAC_PI_2;

use proptest::prelude::*;
use restrand_mechanics::deviator::{
    angle_reserve_rad, deviation_force, equal_forces_kn, exit_bore_mm, least_length_mm,
    line_load_kn_per_m, side_angle_rad, small_angle_kn, tendon_radius_mm, unequal_forces_kn,
    web_in_plane_kn_per_m, web_out_of_plane_kn_per_m,
};
use restrand_mechanics::path::{Direction, PitchYaw, axis};

/// Follows a wall of one radius from where it lies along the axis until it is inclined so far: how far along, how far out.
fn follow_wall(radius_mm: f64, until_rad: f64) -> (f64, f64) {
    const STEPS: u32 = 5000;
    let step = radius_mm * until_rad / f64::from(STEPS);
    let (mut along, mut out) = (0.0, 0.0);
    for k in 0..STEPS {
        let inclined = until_rad * (f64::from(k) + 0.5) / f64::from(STEPS);
        along += step * inclined.cos();
        out += step * inclined.sin();
    }
    (along, out)
}

/// Adds up what an arc of tendon presses and rubs on its deviator, piece by piece, in the plane of the bend.
///
/// The legs lie at minus and plus half the deviation to the first axis, and the bend turns to the left.
fn pressed(before_kn: f64, mu: f64, radius_m: f64, angle_rad: f64) -> [f64; 2] {
    const STEPS: u32 = 4000;
    let turn = angle_rad / f64::from(STEPS);
    let mut force_kn = before_kn;
    let mut sum = [0.0; 2];
    for k in 0..STEPS {
        let heading = -angle_rad / 2.0 + turn * (f64::from(k) + 0.5);
        // Half of the piece's loss has gone at its middle.
        let at_middle = force_kn * (1.0 - mu * turn / 2.0);
        let press = at_middle / radius_m * (radius_m * turn);
        let rub = mu * press;
        sum[0] += -press * heading.sin() - rub * heading.cos();
        sum[1] += press * heading.cos() - rub * heading.sin();
        force_kn -= rub;
    }
    sum
}

fn legs(angle_rad: f64) -> (Direction, Direction) {
    let along = |yaw_rad| axis(PitchYaw { pitch_rad: 0.0, yaw_rad }, 0.0).unwrap();
    (along(-angle_rad / 2.0), along(angle_rad / 2.0))
}

proptest! {
    #[test]
    fn length_and_exit_are_those_of_a_followed_wall(
        radius_mm in 1000.0..8000.0, throat_mm in 80.0..300.0, straight_mm in 0.0..100.0,
        leg_rad in 0.0..0.3, other_rad in 0.0..0.3, tolerance_rad in 0.0..0.05,
    ) {
        let (one, other) = (
            side_angle_rad(leg_rad, tolerance_rad).unwrap(),
            side_angle_rad(other_rad, tolerance_rad).unwrap(),
        );
        let (along_one, out_one) = follow_wall(radius_mm, one);
        let (along_other, out_other) = follow_wall(radius_mm, other);
        let length = least_length_mm(radius_mm, straight_mm, one, other).unwrap();
        prop_assert!((length - straight_mm - along_one - along_other).abs() < 1e-3);
        for (side, out) in [(one, out_one), (other, out_other)] {
            prop_assert!((exit_bore_mm(throat_mm, radius_mm, side).unwrap() - throat_mm - 2.0 * out).abs() < 1e-3);
        }
        // A form that guides just this angle has nothing in reserve.
        prop_assert!(angle_reserve_rad(one, one).unwrap().abs() < 1e-15);
    }

    #[test]
    fn a_leg_leaves_the_wall_where_it_is_inclined_like_it(
        radius_mm in 1000.0..8000.0, leaves_rad in 0.0f64..0.3, duct_mm in 50.0..200.0,
    ) {
        // The wall's circle about its centre, at (0, R); the duct's axis runs outside it and then straight on.
        let tendon_mm = tendon_radius_mm(radius_mm, duct_mm).unwrap();
        let centre = [0.0, radius_mm];
        let (sin, cos) = leaves_rad.sin_cos();
        let leaves = [tendon_mm * sin, centre[1] - tendon_mm * cos];
        for k in 0..=50 {
            let on = 40.0 * f64::from(k);
            let axis = [leaves[0] + on * cos, leaves[1] + on * sin];
            let gap_mm = (axis[0] - centre[0]).hypot(axis[1] - centre[1]) - radius_mm - duct_mm / 2.0;
            prop_assert!(gap_mm >= -1e-9 && (k > 0 || gap_mm < 1e-9));
        }
    }

    #[test]
    fn more_angle_needs_more_and_leaves_less(
        radius_mm in 1000.0..8000.0, side in 0.0..0.3, more in 0.001..0.1, flare in 0.0..0.4,
    ) {
        let more = side + more;
        prop_assert!(exit_bore_mm(150.0, radius_mm, more).unwrap() > exit_bore_mm(150.0, radius_mm, side).unwrap());
        prop_assert!(
            least_length_mm(radius_mm, 0.0, 0.1, more).unwrap() > least_length_mm(radius_mm, 0.0, 0.1, side).unwrap()
        );
        prop_assert!(angle_reserve_rad(flare, more).unwrap() < angle_reserve_rad(flare, side).unwrap());
        let swapped = least_length_mm(radius_mm, 0.0, side, 0.1).unwrap();
        prop_assert!((least_length_mm(radius_mm, 0.0, 0.1, side).unwrap() - swapped).abs() < 1e-9);
    }

    #[test]
    fn the_unit_of_length_does_not_matter(
        radius_mm in 1000.0..8000.0, throat_mm in 80.0..300.0, side in 0.0..0.3, factor in 0.03f64..30.0,
    ) {
        let length = least_length_mm(radius_mm, throat_mm, side, 0.1).unwrap();
        let scaled = least_length_mm(radius_mm * factor, throat_mm * factor, side, 0.1).unwrap();
        prop_assert!((scaled / factor / length - 1.0).abs() < 1e-12);
        let exit = exit_bore_mm(throat_mm, radius_mm, side).unwrap();
        let scaled = exit_bore_mm(throat_mm * factor, radius_mm * factor, side).unwrap();
        prop_assert!((scaled / factor / exit - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_force_is_what_the_arc_presses_and_rubs(
        before_kn in 100.0..9000.0, mu in 0.0..0.4, radius_m in 2.0..10.0, angle_rad in 0.001..0.6,
    ) {
        let [x, y] = pressed(before_kn, mu, radius_m, angle_rad);
        let after_kn = before_kn * (-mu * angle_rad).exp();
        let (u1, u2) = legs(angle_rad);
        let force = deviation_force(u1, u2, before_kn, after_kn).unwrap();
        let close = 1e-5 * before_kn * angle_rad;
        prop_assert!((force.x_kn - x).abs() < close && (force.y_kn - y).abs() < close, "{force:?} {x} {y}");
        prop_assert!(force.z_kn == 0.0);
        prop_assert!((force.magnitude_kn - x.hypot(y)).abs() < close);
        prop_assert!((unequal_forces_kn(before_kn, after_kn, angle_rad).unwrap() - x.hypot(y)).abs() < close);
    }

    #[test]
    fn without_friction_the_bisector_and_the_sum_of_line_loads(
        force_kn in 100.0..9000.0, radius_m in 2.0..10.0, angle_rad in 0.001..0.6,
    ) {
        let [x, y] = pressed(force_kn, 0.0, radius_m, angle_rad);
        let equal = equal_forces_kn(force_kn, angle_rad).unwrap();
        prop_assert!(x.abs() < 1e-6 * force_kn && (equal - y).abs() < 1e-5 * y);
        let load = line_load_kn_per_m(force_kn, radius_m).unwrap();
        let small = small_angle_kn(force_kn, angle_rad).unwrap();
        prop_assert!((load * radius_m * angle_rad / small - 1.0).abs() < 1e-12);
        let above = small / equal - 1.0;
        prop_assert!(above >= 0.0 && (above - angle_rad * angle_rad / 24.0).abs() < 2e-4);
    }

    #[test]
    fn the_magnitude_does_not_depend_on_the_frame(
        a in (-0.3..0.3, -0.3..0.3), b in (-0.3..0.3, -0.3..0.3), heading in -3.0..3.0,
        before_kn in 0.0..9000.0, after_kn in 0.0..9000.0,
    ) {
        let along = |(pitch_rad, yaw_rad), heading| axis(PitchYaw { pitch_rad, yaw_rad }, heading).unwrap();
        let here = deviation_force(along(a, 0.0), along(b, 0.0), before_kn, after_kn).unwrap();
        let there = deviation_force(along(a, heading), along(b, heading), before_kn, after_kn).unwrap();
        prop_assert!((here.magnitude_kn - there.magnitude_kn).abs() < 1e-8);
        prop_assert!((here.z_kn - there.z_kn).abs() < 1e-8);
        let (sin, cos) = f64::sin_cos(heading);
        prop_assert!((there.x_kn - (here.x_kn * cos - here.y_kn * sin)).abs() < 1e-8);
        let angle = restrand_mechanics::path::angle_between_rad(along(a, 0.0), along(b, 0.0)).unwrap();
        let cosines = before_kn * before_kn + after_kn * after_kn - 2.0 * before_kn * after_kn * angle.cos();
        prop_assert!((here.magnitude_kn * here.magnitude_kn - cosines).abs() < 1e-3);
        prop_assert!((unequal_forces_kn(before_kn, after_kn, angle).unwrap() - here.magnitude_kn).abs() < 1e-6);
    }

    #[test]
    fn the_load_in_a_web_is_shared_by_its_slope(
        force_kn in 100.0..9000.0, radius_m in 50.0..900.0, slope in 0.0..FRAC_PI_2,
    ) {
        let whole = line_load_kn_per_m(force_kn, radius_m).unwrap();
        let level = web_in_plane_kn_per_m(force_kn, radius_m, slope).unwrap();
        let other = web_in_plane_kn_per_m(force_kn, radius_m, FRAC_PI_2 - slope).unwrap();
        prop_assert!((level.hypot(other) / whole - 1.0).abs() < 1e-12);
        let spread = web_out_of_plane_kn_per_m(force_kn, radius_m).unwrap();
        prop_assert!((spread * std::f64::consts::PI / whole - 1.0).abs() < 1e-12);
    }
}
