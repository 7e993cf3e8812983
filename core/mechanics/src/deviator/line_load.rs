//! The load of a curved tendon per length, and its components in a curved web.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::misfit::{Argument, Misfit, not_negative, number, positive};

/// Returns the load of a curved tendon on what it bears on, per length of arc.
///
/// # Formula
/// `p = P/R`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | force of the whole tendon, `force_kn` | kN |
/// | R | radius of the tendon's axis, `radius_m` | m |
/// | p | load, towards the centre | kN/m |
///
/// # Validity
/// The whole tendon; limits quoted for the wall of a duct are mostly per strand, about a tenth of it.
///
/// # Source
/// Equilibrium.
///
/// # Errors
/// [`Misfit`] if the force is negative, a number is not finite, or the radius is not greater than zero.
///
/// ```
/// use restrand_mechanics::deviator::line_load_kn_per_m;
/// assert_eq!(line_load_kn_per_m(3975.75, 3.0)?, 1325.25);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn line_load_kn_per_m(force_kn: f64, radius_m: f64) -> Result<f64, Misfit> {
    Ok(not_negative(Argument::new("force_kn"), force_kn)?
        / positive(Argument::new("radius_m"), radius_m)?)
}

/// Returns the sideways load of a tendon in the web of a bridge that is curved in plan.
///
/// # Formula
/// `F = P cos θ / R`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | force, `force_kn` | kN |
/// | R | radius of the tendon's axis in plan, `radius_m` | m |
/// | θ | slope of the web against the upright, `web_slope_rad` | rad |
///
/// # Validity
/// A tendon inside a web, curved with the bridge; the load lies in the plane of curvature.
///
/// # Source
/// Caltrans, Memo to Designers 11-31 (October 2012).
///
/// # Errors
/// [`Misfit`] if the force is negative, a number is not finite, the radius is not greater than zero, or the slope is beyond level.
///
/// ```
/// use restrand_mechanics::deviator::web_in_plane_kn_per_m;
/// // 2000 kip at a radius of 800 ft in a web sloped by 20°: 2.349 kip/ft.
/// let load = web_in_plane_kn_per_m(2000.0 * 4.448_222, 800.0 * 0.3048, 20.0_f64.to_radians())?;
/// assert!((load * 0.3048 / 4.448_222 - 2.349).abs() < 5e-4);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn web_in_plane_kn_per_m(
    force_kn: f64,
    radius_m: f64,
    web_slope_rad: f64,
) -> Result<f64, Misfit> {
    let argument = Argument::new("web_slope_rad");
    let slope = number(argument, web_slope_rad)?;
    if slope.abs() > FRAC_PI_2 {
        return Err(Misfit::NotWithin {
            argument,
            value: slope,
            least: -FRAC_PI_2,
            most: FRAC_PI_2,
        });
    }
    Ok(line_load_kn_per_m(force_kn, radius_m)? * slope.cos())
}

/// Returns the load by which the strands of a curved tendon spread against each other, out of the plane of curvature.
///
/// # Formula
/// `F = P/(π R)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | force, `force_kn` | kN |
/// | R | radius of the tendon's axis, `radius_m` | m |
///
/// # Validity
/// Strands bundled in a round duct in concrete, flattened towards the inside of the curve.
///
/// # Source
/// AASHTO LRFD, out-of-plane force effects (from memory).
///
/// # Errors
/// [`Misfit`] if the force is negative, a number is not finite, or the radius is not greater than zero.
///
/// ```
/// use restrand_mechanics::deviator::web_out_of_plane_kn_per_m;
/// let load = web_out_of_plane_kn_per_m(3975.75, 3.0)?;
/// assert!((load - 1325.25 / std::f64::consts::PI).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn web_out_of_plane_kn_per_m(force_kn: f64, radius_m: f64) -> Result<f64, Misfit> {
    Ok(line_load_kn_per_m(force_kn, radius_m)? / PI)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -2.0, 1e300] {
            assert!(line_load_kn_per_m(bad, 3.0).is_err());
            assert!(line_load_kn_per_m(1.0, bad).is_err());
            assert!(web_in_plane_kn_per_m(1.0, 3.0, bad).is_err());
            assert!(web_in_plane_kn_per_m(bad, 3.0, 0.1).is_err());
            assert!(web_out_of_plane_kn_per_m(1.0, bad).is_err());
        }
        assert!(line_load_kn_per_m(1.0, 0.0).is_err());
    }
}
