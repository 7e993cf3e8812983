//! What a flared form (diabolo) needs on each of its sides.

use std::f64::consts::FRAC_PI_2;

use crate::misfit::{Argument, Misfit, not_negative, positive};

/// An angle of a leg to the form's axis, from 0 to π/2.
fn side(name: &'static str, value: f64) -> Result<f64, Misfit> {
    let argument = Argument::new(name);
    if not_negative(argument, value)? > FRAC_PI_2 {
        return Err(Misfit::NotWithin { argument, value, least: 0.0, most: FRAC_PI_2 });
    }
    Ok(value)
}

/// Returns the angle that one side of a form must guide.
///
/// # Formula
/// `θ = φ + δ`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | φ | angle of that side's leg to the form's axis, [`angle_to_axis_rad`](crate::path::angle_to_axis_rad), `leg_to_axis_rad` | rad |
/// | δ | tolerance of leg and form together, `tolerance_rad` | rad |
/// | θ | angle to be guided | rad |
///
/// # Validity
/// Each side by itself. `α/2 + δ` holds only where the form's axis bisects the legs; with one leg along the axis the other side needs `α + δ`.
/// The tolerance may lie in any plane, so it counts in full.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if an angle is not finite or negative, or their sum is beyond a right angle.
///
/// ```
/// use restrand_mechanics::deviator::side_angle_rad;
/// assert!((side_angle_rad(0.0390, 0.02)? - 0.0590).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn side_angle_rad(leg_to_axis_rad: f64, tolerance_rad: f64) -> Result<f64, Misfit> {
    let leg = side("leg_to_axis_rad", leg_to_axis_rad)?;
    let tolerance = side("tolerance_rad", tolerance_rad)?;
    side("leg_to_axis_rad + tolerance_rad", leg + tolerance)
}

/// Returns the length that a flared form must have at least, along its axis.
///
/// # Formula
/// `L = l0 + R (sin θ1 + sin θ2)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R | radius of the wall, `wall_radius_mm` | mm |
/// | l0 | straight length of the throat, `throat_length_mm`; 0 where there is none | mm |
/// | θ1, θ2 | angles to be guided, [`side_angle_rad`], `rear_rad`, `span_rad` | rad |
///
/// # Validity
/// Both flares have one radius and are tangent to the axis at the throat. Then the duct leaves the wall inside the form on both sides.
///
/// # Source
/// Derived: on an arc that begins along the axis, the place where it is inclined by θ lies R sin θ further along.
///
/// # Errors
/// [`Misfit`] if the radius is not greater than zero, the throat's length is negative, or an angle is not from 0 to π/2.
///
/// ```
/// use restrand_mechanics::deviator::least_length_mm;
/// let length = least_length_mm(4000.0, 0.0, 0.0590, 0.0564)?;
/// assert!((length - 461.0).abs() < 0.5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn least_length_mm(
    wall_radius_mm: f64,
    throat_length_mm: f64,
    rear_rad: f64,
    span_rad: f64,
) -> Result<f64, Misfit> {
    let radius = positive(Argument::new("wall_radius_mm"), wall_radius_mm)?;
    let throat = not_negative(Argument::new("throat_length_mm"), throat_length_mm)?;
    let sines = side("rear_rad", rear_rad)?.sin() + side("span_rad", span_rad)?.sin();
    Ok(throat + radius * sines)
}

/// Returns the clear bore that one exit of a flared form must have at least.
///
/// # Formula
/// `De = Dt + 2R (1 - cos θ)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Dt | clear bore of the throat, `throat_mm` | mm |
/// | R | radius of the wall, `wall_radius_mm` | mm |
/// | θ | angle to be guided on that side, [`side_angle_rad`], `side_rad` | rad |
///
/// # Validity
/// At the place where the duct leaves the wall, which is the exit of a form of just the least length.
/// A longer form must go on opening at θ or more up to its end.
///
/// # Source
/// Derived: the rise of an arc, on both sides of the axis, because the leg may lie to any side.
///
/// # Errors
/// [`Misfit`] if the bore or radius is not greater than zero, or the angle is not from 0 to π/2.
///
/// ```
/// use restrand_mechanics::deviator::exit_bore_mm;
/// assert!((exit_bore_mm(150.0, 4000.0, 0.0590)? - 163.9).abs() < 0.05);
/// assert!((exit_bore_mm(150.0, 4000.0, 0.12)? - 207.5).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn exit_bore_mm(throat_mm: f64, wall_radius_mm: f64, side_rad: f64) -> Result<f64, Misfit> {
    let throat = positive(Argument::new("throat_mm"), throat_mm)?;
    let radius = positive(Argument::new("wall_radius_mm"), wall_radius_mm)?;
    // 1 - cos θ as 2 sin²(θ/2), which keeps its digits at small angles.
    let half = (side("side_rad", side_rad)? / 2.0).sin();
    Ok(throat + 4.0 * radius * half * half)
}

/// Returns the angle by which one side of a form guides more than it must; negative where the duct bears on the edge.
///
/// # Formula
/// `reserve = θf - θ`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | θf | angle to its axis up to which the flare guides, `flare_rad` | rad |
/// | θ | angle to be guided on that side, [`side_angle_rad`], `side_rad` | rad |
///
/// # Validity
/// Each side by itself; the lesser of both governs the form.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if an angle is not from 0 to π/2.
///
/// ```
/// use restrand_mechanics::deviator::angle_reserve_rad;
/// assert!((angle_reserve_rad(0.12, 0.0590)? - 0.061).abs() < 1e-12);
/// assert!(angle_reserve_rad(0.05, 0.0590)? < 0.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn angle_reserve_rad(flare_rad: f64, side_rad: f64) -> Result<f64, Misfit> {
    Ok(side("flare_rad", flare_rad)? - side("side_rad", side_rad)?)
}

/// Returns the radius of the tendon's axis over a wall.
///
/// # Formula
/// `Rt = R + Do/2`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R | radius of the wall, convex to the tendon, `wall_radius_mm` | mm |
/// | Do | outside diameter of the duct, `duct_outer_mm` | mm |
///
/// # Validity
/// The duct bears on the wall over the whole bend, and its axis is the tendon's. Strands lie eccentrically in the duct, at less than this radius.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if the radius or diameter is not greater than zero.
///
/// ```
/// use restrand_mechanics::deviator::tendon_radius_mm;
/// assert_eq!(tendon_radius_mm(4000.0, 125.0)?, 4062.5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tendon_radius_mm(wall_radius_mm: f64, duct_outer_mm: f64) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("wall_radius_mm"), wall_radius_mm)?
        + positive(Argument::new("duct_outer_mm"), duct_outer_mm)? / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_side_with_more_angle_needs_more() {
        let alpha = 0.1;
        let bisected = least_length_mm(3000.0, 0.0, alpha / 2.0, alpha / 2.0).unwrap();
        let one_level = least_length_mm(3000.0, 0.0, 0.0, alpha).unwrap();
        // The length hardly differs, the exit and the reserve of one side do.
        assert!((bisected - one_level).abs() < 1.0);
        let exit = |side| exit_bore_mm(150.0, 3000.0, side).unwrap();
        assert!(exit(alpha) - 150.0 > 3.9 * (exit(alpha / 2.0) - 150.0));
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
            assert!(side_angle_rad(bad, 0.02).is_err() && side_angle_rad(0.02, bad).is_err());
            assert!(least_length_mm(bad, 0.0, 0.1, 0.1).is_err());
            assert!(least_length_mm(4000.0, bad, 0.1, 0.1).is_err());
            assert!(least_length_mm(4000.0, 0.0, bad, 0.1).is_err());
            assert!(least_length_mm(4000.0, 0.0, 0.1, bad).is_err());
            assert!(exit_bore_mm(bad, 4000.0, 0.1).is_err());
            assert!(exit_bore_mm(150.0, bad, 0.1).is_err());
            assert!(exit_bore_mm(150.0, 4000.0, bad).is_err());
            assert!(angle_reserve_rad(bad, 0.1).is_err() && angle_reserve_rad(0.1, bad).is_err());
            assert!(
                tendon_radius_mm(bad, 125.0).is_err() && tendon_radius_mm(4000.0, bad).is_err()
            );
        }
        assert!(side_angle_rad(1.0, 0.6).is_err());
    }
}
