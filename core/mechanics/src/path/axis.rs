//! Directions as pitch and yaw, and the angle between directions.

use std::f64::consts::FRAC_PI_2;

use super::{Direction, Vector};
use crate::misfit::{Argument, Misfit, number, positive};

/// A direction as two angles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PitchYaw {
    /// Slope in elevation against the level, positive upward, rad.
    pub pitch_rad: f64,
    /// Turn in plan against the alignment's heading, positive to the left, rad.
    pub yaw_rad: f64,
}

/// Returns the pitch of a direction, and its yaw against the alignment's heading.
///
/// # Formula
/// `pitch = atan2(uz, √(ux² + uy²))`; `yaw = atan2(uy cos h - ux sin h, ux cos h + uy sin h)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u | direction | |
/// | h | the alignment's heading at the station, `heading_rad` | rad |
///
/// # Validity
/// Any direction that is not upright; an upright one has no yaw.
/// Pitch is taken against the length in plan, so it is a little less than the slope seen in a side view along the station.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a number is not finite, the direction is no direction, or it is upright.
///
/// ```
/// use restrand_mechanics::path::{direction, pitch_yaw, Point};
/// let leg = direction(
///     Point { x_m: 127.0, y_m: 1.0, z_m: 50.4 },
///     Point { x_m: 141.0, y_m: 0.75, z_m: 51.75 },
/// )?;
/// let turned = pitch_yaw(leg, 0.0)?;
/// assert!((turned.pitch_rad - 0.0961).abs() < 5e-5);
/// assert!((turned.yaw_rad + 0.0179).abs() < 5e-5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn pitch_yaw(direction: Direction, heading_rad: f64) -> Result<PitchYaw, Misfit> {
    let u = direction.check("direction")?;
    let (sin, cos) = number(Argument::new("heading_rad"), heading_rad)?.sin_cos();
    let level = positive(Argument::new("level share of the direction"), u.x.hypot(u.y))?;
    Ok(PitchYaw {
        pitch_rad: u.z.atan2(level),
        yaw_rad: (u.y * cos - u.x * sin).atan2(u.x * cos + u.y * sin),
    })
}

/// Returns the direction of an axis given by pitch, and by yaw against the alignment's heading.
///
/// # Formula
/// `n = (cos p · cos(h + y), cos p · sin(h + y), sin p)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p, y | `pitch_rad` (+ up), `yaw_rad` (+ left) | rad |
/// | h | the alignment's heading at the station, `heading_rad` | rad |
///
/// # Validity
/// Yaw first, about the upright; then pitch, about the level line square to it. No roll.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if an angle is not finite or the pitch is steeper than upright.
///
/// ```
/// use restrand_mechanics::path::{axis, pitch_yaw, PitchYaw};
/// let n = axis(PitchYaw { pitch_rad: 0.05, yaw_rad: -0.01 }, 0.3)?;
/// let back = pitch_yaw(n, 0.3)?;
/// assert!((back.pitch_rad - 0.05).abs() < 1e-12 && (back.yaw_rad + 0.01).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn axis(turned: PitchYaw, heading_rad: f64) -> Result<Direction, Misfit> {
    let argument = Argument::new("pitch_rad");
    let pitch = number(argument, turned.pitch_rad)?;
    if pitch.abs() > FRAC_PI_2 {
        return Err(Misfit::NotWithin {
            argument,
            value: pitch,
            least: -FRAC_PI_2,
            most: FRAC_PI_2,
        });
    }
    let yaw = number(Argument::new("yaw_rad"), turned.yaw_rad)?;
    let heading = number(Argument::new("heading_rad"), heading_rad)?;
    Ok(turned_by(pitch, heading + yaw))
}

/// The direction of a pitch and a heading.
pub(super) fn turned_by(pitch_rad: f64, heading_rad: f64) -> Direction {
    let ((sin_p, cos_p), (sin_h, cos_h)) = (pitch_rad.sin_cos(), heading_rad.sin_cos());
    Direction { x: cos_p * cos_h, y: cos_p * sin_h, z: sin_p }
}

pub(super) fn between_rad(a: Vector, b: Vector) -> f64 {
    a.cross(b).length().atan2(a.dot(b))
}

/// Returns the true angle between two directions in space, from 0 to π: the deviation between two legs.
///
/// # Formula
/// `α = atan2(|u1 × u2|, u1 · u2)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u1, u2 | directions of the legs, `before` and `after`, both along the tendon | |
/// | α | deviation | rad |
///
/// # Validity
/// Any two directions. Unlike arccos(u1 · u2) it keeps its digits at small angles.
/// The sum of the changes of pitch and yaw is larger and not the deviation.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if one of them is no direction.
///
/// ```
/// use restrand_mechanics::path::{angle_between_rad, direction, Point};
/// let [a, b, c] = [
///     Point { x_m: 0.0, y_m: 0.0, z_m: 0.0 },
///     Point { x_m: 20.0, y_m: 0.5, z_m: -2.0 },
///     Point { x_m: 40.0, y_m: 0.2, z_m: -2.0 },
/// ];
/// let angle = angle_between_rad(direction(a, b)?, direction(b, c)?)?;
/// assert!((angle - 0.107_340).abs() < 5e-7);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn angle_between_rad(before: Direction, after: Direction) -> Result<f64, Misfit> {
    Ok(between_rad(before.check("before")?.vector(), after.check("after")?.vector()))
}

/// Returns the angle of a leg to the axis of a form or anchorage, from 0 to π/2.
///
/// # Formula
/// `φ = atan2(|u × n|, |u · n|)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u | direction of the leg, `leg` | |
/// | n | direction of the axis, `axis` | |
///
/// # Validity
/// An axis is a line: in which sense leg and axis are taken does not matter, so a tendon listed from its other end gives the same.
/// Half the deviation holds only where the axis bisects the legs and lies in their plane; a level axis at one level leg gives 0 and α.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if one of them is no direction.
///
/// ```
/// use restrand_mechanics::path::{angle_to_axis_rad, axis, direction, PitchYaw, Point};
/// let leg = direction(
///     Point { x_m: 99.35, y_m: 0.75, z_m: 51.4 },
///     Point { x_m: 113.0, y_m: 1.0, z_m: 50.4 },
/// )?;
/// let form = axis(PitchYaw { pitch_rad: -0.035, yaw_rad: 0.01 }, 0.0)?;
/// assert!((angle_to_axis_rad(leg, form)? - 0.0390).abs() < 5e-5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn angle_to_axis_rad(leg: Direction, axis: Direction) -> Result<f64, Misfit> {
    let (u, n) = (leg.check("leg")?.vector(), axis.check("axis")?.vector());
    Ok(u.cross(n).length().atan2(u.dot(n).abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_has_no_sense_but_a_leg_has() {
        let along = Direction { x: 1.0, y: 0.0, z: 0.0 };
        let back = Direction { x: -1.0, y: 0.0, z: 0.0 };
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-15);
        near(angle_to_axis_rad(along, back).unwrap(), 0.0);
        near(angle_between_rad(along, back).unwrap(), std::f64::consts::PI);
    }

    #[test]
    fn the_smallest_angles_keep_their_digits() {
        let level = axis(PitchYaw { pitch_rad: 0.0, yaw_rad: 0.0 }, 0.0).unwrap();
        let tilted = axis(PitchYaw { pitch_rad: 1e-9, yaw_rad: 0.0 }, 0.0).unwrap();
        assert!((angle_between_rad(level, tilted).unwrap() - 1e-9).abs() < 1e-20);
    }

    #[test]
    fn what_is_no_direction_is_refused() {
        let along = Direction { x: 1.0, y: 0.0, z: 0.0 };
        for bad in [f64::NAN, f64::INFINITY, 2.0, 0.0, 1e300] {
            let wrong = Direction { x: bad, y: 0.0, z: 0.0 };
            assert!(pitch_yaw(wrong, 0.0).is_err());
            assert!(angle_between_rad(along, wrong).is_err());
            assert!(angle_to_axis_rad(wrong, along).is_err());
        }
        assert!(pitch_yaw(Direction { x: 0.0, y: 0.0, z: 1.0 }, 0.0).is_err());
        for bad in [f64::NAN, 1.6] {
            assert!(axis(PitchYaw { pitch_rad: bad, yaw_rad: 0.0 }, 0.0).is_err());
        }
        assert!(axis(PitchYaw { pitch_rad: 0.0, yaw_rad: f64::NAN }, 0.0).is_err());
        assert!(axis(PitchYaw { pitch_rad: 0.0, yaw_rad: 0.0 }, f64::NAN).is_err());
    }
}
