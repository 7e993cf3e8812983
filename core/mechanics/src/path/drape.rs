//! Parabolas from the points that a drawing gives.

use super::{JOINT_M, Parabola};
use crate::misfit::{Argument, Misfit, above, number};

/// A point of a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfilePoint {
    /// Length along the tendon in plan, from any origin, m.
    pub along_m: f64,
    /// Elevation, m.
    pub elevation_m: f64,
}

/// Returns the parabola through three points.
///
/// # Formula
/// `d1 = (zm - z0)/h1`; `d2 = (z1 - zm)/h2`; `c = (d2 - d1)/(h1 + h2)`; `t0 = d1 - c·h1`; `t1 = d2 + c·h2`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | z0, zm, z1 | elevations at `start`, `middle`, `end` | m |
/// | h1, h2 | lengths in plan from start to middle, middle to end | m |
/// | t0, t1 | slopes at start and end | |
///
/// # Validity
/// The middle point is any point between the others, not necessarily the lowest or highest; the slope there follows from the three.
///
/// # Source
/// Newton's divided differences.
///
/// # Errors
/// [`Misfit`] if a number is not finite, the points are out of order or nearer than [`JOINT_M`].
///
/// ```
/// use restrand_mechanics::path::{parabola_through, ProfilePoint};
/// let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
/// let cable = parabola_through(at(0.0, 0.1), at(5.0, 0.0), at(10.0, 0.1))?;
/// assert!((cable.from_slope + 0.04).abs() < 1e-12 && (cable.to_slope - 0.04).abs() < 1e-12);
/// assert!((cable.length_m()? - 10.002_666).abs() < 5e-7);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn parabola_through(
    start: ProfilePoint,
    middle: ProfilePoint,
    end: ProfilePoint,
) -> Result<Parabola, Misfit> {
    let h1 = step_m(start, middle)?;
    let h2 = step_m(middle, end)?;
    let d1 = (middle.elevation_m - start.elevation_m) / h1;
    let d2 = (end.elevation_m - middle.elevation_m) / h2;
    let c = (d2 - d1) / (h1 + h2);
    Parabola {
        from_m: start.along_m,
        to_m: end.along_m,
        from_elevation_m: start.elevation_m,
        from_slope: d1 - c * h1,
        to_slope: d2 + c * h2,
    }
    .checked()
}

/// Returns the two parabolas that meet with a level tangent at a low or high point.
///
/// # Formula
/// `t0 = 2 (zv - z0)/h1`; `tv = 0`; `t1 = 2 (z1 - zv)/h2`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | z0, zv, z1 | elevations at `start`, `vertex`, `end` | m |
/// | h1, h2 | lengths in plan from start to vertex, vertex to end | m |
/// | t0, tv, t1 | slopes there | |
///
/// # Validity
/// The usual drape of an internal tendon between two places where its elevation is given and the lowest or highest point between.
/// One parabola cannot have a stated vertex off its middle; two can. Where the vertex is neither lowest nor highest the curve is level there all the same.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a number is not finite, the points are out of order or nearer than [`JOINT_M`].
///
/// ```
/// use restrand_mechanics::path::{parabolas_level_at, ProfilePoint};
/// let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
/// let [down, up] = parabolas_level_at(at(0.0, 1.0), at(16.0, 0.2), at(40.0, 1.4))?;
/// assert!((down.from_slope + 0.1).abs() < 1e-12 && down.to_slope == 0.0);
/// assert!(up.from_slope == 0.0 && (up.to_slope - 0.1).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn parabolas_level_at(
    start: ProfilePoint,
    vertex: ProfilePoint,
    end: ProfilePoint,
) -> Result<[Parabola; 2], Misfit> {
    let h1 = step_m(start, vertex)?;
    let h2 = step_m(vertex, end)?;
    let before = Parabola {
        from_m: start.along_m,
        to_m: vertex.along_m,
        from_elevation_m: start.elevation_m,
        from_slope: 2.0 * (vertex.elevation_m - start.elevation_m) / h1,
        to_slope: 0.0,
    };
    let after = Parabola {
        from_m: vertex.along_m,
        to_m: end.along_m,
        from_elevation_m: vertex.elevation_m,
        from_slope: 0.0,
        to_slope: 2.0 * (end.elevation_m - vertex.elevation_m) / h2,
    };
    Ok([before.checked()?, after.checked()?])
}

/// The length in plan from one point to the next.
fn step_m(from: ProfilePoint, to: ProfilePoint) -> Result<f64, Misfit> {
    for point in [from, to] {
        number(Argument::new("along_m"), point.along_m)?;
        number(Argument::new("elevation_m"), point.elevation_m)?;
    }
    let step_m = to.along_m - from.along_m;
    above(Argument::new("length in plan"), step_m, JOINT_M, "the least length, m")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_points_of_a_parabola_give_it_back() {
        let whole = Parabola {
            from_m: 3.0,
            to_m: 43.0,
            from_elevation_m: 2.0,
            from_slope: -0.2,
            to_slope: 0.15,
        };
        let at =
            |along_m| ProfilePoint { along_m, elevation_m: whole.elevation_at_m(along_m).unwrap() };
        let back = parabola_through(at(3.0), at(11.0), at(43.0)).unwrap();
        assert!((back.from_slope - whole.from_slope).abs() < 1e-12);
        assert!((back.to_slope - whole.to_slope).abs() < 1e-12);
    }

    #[test]
    fn bad_points_are_refused() {
        let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
        for bad in [f64::NAN, f64::INFINITY, 1e300] {
            for wrong in [at(bad, 0.0), at(0.0, bad)] {
                assert!(parabola_through(wrong, at(5.0, 0.0), at(9.0, 0.0)).is_err());
                assert!(parabolas_level_at(wrong, at(5.0, 0.0), at(9.0, 0.0)).is_err());
            }
        }
        assert!(parabola_through(at(0.0, 1.0), at(5.0, 1.0), at(4.0, 1.0)).is_err());
        assert!(parabolas_level_at(at(0.0, 1.0), at(0.0, 1.0), at(4.0, 1.0)).is_err());
        // So steep that it is no profile.
        assert!(parabola_through(at(0.0, 0.0), at(1e-5, 1e9), at(2e-5, 0.0)).is_err());
    }
}
