//! The force of a deviated tendon on the concrete.

use std::f64::consts::PI;

use crate::misfit::{Argument, Misfit, not_negative};
use crate::path::{Direction, Vector};

/// A force of the tendon on the concrete, in the frame of the legs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviationForce {
    /// Along x, kN.
    pub x_kn: f64,
    /// Along y, to the left of x, kN.
    pub y_kn: f64,
    /// Upward, kN.
    pub z_kn: f64,
    /// Its magnitude, kN.
    pub magnitude_kn: f64,
}

fn deviation(angle_rad: f64) -> Result<f64, Misfit> {
    let argument = Argument::new("angle_rad");
    if not_negative(argument, angle_rad)? > PI {
        return Err(Misfit::NotWithin { argument, value: angle_rad, least: 0.0, most: PI });
    }
    Ok(angle_rad)
}

/// Returns the force of a tendon on its deviator from the forces on both sides.
///
/// # Formula
/// `F = P2·u2 - P1·u1`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u1, u2 | directions of the legs `before` and `after` the deviator, both along the tendon | |
/// | P1, P2 | forces in these legs, `before_kn`, `after_kn` | kN |
/// | F | force on the concrete; the concrete's on the tendon is its opposite | kN |
///
/// # Validity
/// The tendon's weight is left out. What friction takes is in it, as the part along the tendon.
/// On a curved bridge the components are in the frame of the plan, not of the station.
///
/// # Source
/// Equilibrium of the tendon between two cuts beside the deviator.
///
/// # Errors
/// [`Misfit`] if a force is negative or not finite, or a direction is none.
///
/// ```
/// use restrand_mechanics::deviator::deviation_force;
/// use restrand_mechanics::path::{direction, Point};
/// let [a, b, c] = [
///     Point { x_m: 0.0, y_m: 0.0, z_m: 4.0 },
///     Point { x_m: 3.0, y_m: 0.0, z_m: 0.0 },
///     Point { x_m: 9.0, y_m: 0.0, z_m: 0.0 },
/// ];
/// let force = deviation_force(direction(a, b)?, direction(b, c)?, 1000.0, 900.0)?;
/// assert!((force.x_kn - 300.0).abs() < 1e-9 && (force.z_kn - 800.0).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn deviation_force(
    before: Direction,
    after: Direction,
    before_kn: f64,
    after_kn: f64,
) -> Result<DeviationForce, Misfit> {
    let before_kn = not_negative(Argument::new("before_kn"), before_kn)?;
    let after_kn = not_negative(Argument::new("after_kn"), after_kn)?;
    let (u1, u2) = (before.check("before")?.vector(), after.check("after")?.vector());
    let force: Vector = u2.times(after_kn).plus(u1.times(-before_kn));
    let Vector([x_kn, y_kn, z_kn]) = force;
    Ok(DeviationForce { x_kn, y_kn, z_kn, magnitude_kn: force.length() })
}

/// Returns the deviation force of a tendon with the same force on both sides.
///
/// # Formula
/// `F = 2P sin(α/2)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | force in both legs, `force_kn` | kN |
/// | α | deviation in space, `angle_rad` | rad |
///
/// # Validity
/// No friction. It points along the bisector, to the inside of the bend.
/// With friction the greater side's force does not make it an upper value: see [`unequal_forces_kn`].
///
/// # Source
/// Equilibrium.
///
/// # Errors
/// [`Misfit`] if the force is negative or not finite, or the angle not from 0 to π.
///
/// ```
/// use restrand_mechanics::deviator::equal_forces_kn;
/// assert!((equal_forces_kn(3975.75, 0.15)? - 595.80).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn equal_forces_kn(force_kn: f64, angle_rad: f64) -> Result<f64, Misfit> {
    unequal_forces_kn(force_kn, force_kn, angle_rad)
}

/// Returns the deviation force of a tendon with different forces on the two sides.
///
/// # Formula
/// `F = √((P1 - P2)² + 4·P1·P2·sin²(α/2))`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P1, P2 | forces in the legs, `one_kn`, `other_kn` | kN |
/// | α | deviation in space, `angle_rad` | rad |
///
/// # Validity
/// As [`deviation_force`], of which it is the magnitude. It may exceed `2P sin(α/2)` of the greater force at small angles,
/// because the difference of the forces goes into the concrete too.
///
/// # Source
/// The law of cosines, written so that it keeps its digits.
///
/// # Errors
/// [`Misfit`] if a force is negative or not finite, or the angle not from 0 to π.
///
/// ```
/// use restrand_mechanics::deviator::unequal_forces_kn;
/// assert!((unequal_forces_kn(3975.75, 3858.25, 0.15)? - 598.58).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn unequal_forces_kn(one_kn: f64, other_kn: f64, angle_rad: f64) -> Result<f64, Misfit> {
    let one = not_negative(Argument::new("one_kn"), one_kn)?;
    let other = not_negative(Argument::new("other_kn"), other_kn)?;
    let across = 2.0 * (one * other).sqrt() * (deviation(angle_rad)? / 2.0).sin();
    Ok((one - other).hypot(across))
}

/// Returns the deviation force by the usual formula for small angles.
///
/// # Formula
/// `F = P·α`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | force, `force_kn` | kN |
/// | α | deviation in space, `angle_rad` | rad |
///
/// # Validity
/// Small angles; above [`equal_forces_kn`] by `α²/24`: 0.1 % at 0.15 rad, 1 % at 0.49 rad.
/// It is also the sum of the line loads P/R over the arc.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if the force is negative or not finite, or the angle not from 0 to π.
///
/// ```
/// use restrand_mechanics::deviator::small_angle_kn;
/// assert!((small_angle_kn(3975.75, 0.15)? - 596.36).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn small_angle_kn(force_kn: f64, angle_rad: f64) -> Result<f64, Misfit> {
    Ok(not_negative(Argument::new("force_kn"), force_kn)? * deviation(angle_rad)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_tendon_presses_only_by_its_loss() {
        let u = Direction { x: 0.6, y: 0.0, z: 0.8 };
        let force = deviation_force(u, u, 1000.0, 950.0).unwrap();
        assert!((force.magnitude_kn - 50.0).abs() < 1e-9 && force.x_kn < 0.0);
        assert!((unequal_forces_kn(1000.0, 950.0, 0.0).unwrap() - 50.0).abs() < 1e-9);
    }

    #[test]
    fn bad_numbers_are_refused() {
        let u = Direction { x: 1.0, y: 0.0, z: 0.0 };
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
            assert!(deviation_force(u, u, bad, 1.0).is_err());
            assert!(deviation_force(u, u, 1.0, bad).is_err());
            assert!(unequal_forces_kn(bad, 1.0, 0.1).is_err());
            assert!(unequal_forces_kn(1.0, bad, 0.1).is_err());
            assert!(unequal_forces_kn(1.0, 1.0, bad).is_err());
            assert!(equal_forces_kn(bad, 0.1).is_err() && equal_forces_kn(1.0, bad).is_err());
            assert!(small_angle_kn(bad, 0.1).is_err() && small_angle_kn(1.0, bad).is_err());
        }
        let none = Direction { x: 0.0, y: 0.0, z: 0.0 };
        assert!(deviation_force(none, u, 1.0, 1.0).is_err());
        assert!(deviation_force(u, none, 1.0, 1.0).is_err());
        assert!(small_angle_kn(1.0, 3.2).is_err());
    }
}
