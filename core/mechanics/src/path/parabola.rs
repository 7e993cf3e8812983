//! A parabola in elevation, over the tendon's own length in plan.

use super::{JOINT_M, Run, RunKind};
use crate::misfit::{Argument, Misfit, above, number, positive};

/// A point of a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfilePoint {
    /// Length along the tendon in plan, from any origin, m.
    pub along_m: f64,
    /// Elevation, m.
    pub elevation_m: f64,
}

/// A parabola with an upright axis, between two places; its slope changes evenly with the length in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parabola {
    /// Length along the tendon in plan at which it begins, m.
    pub from_m: f64,
    /// Length along the tendon in plan at which it ends, m.
    pub to_m: f64,
    /// Elevation at its beginning, m.
    pub from_elevation_m: f64,
    /// Slope dz/ds at its beginning, positive upward.
    pub from_slope: f64,
    /// Slope dz/ds at its end.
    pub to_slope: f64,
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

/// Nodes and weights of Gauss and Legendre's rule of five points on (-1, 1).
const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// Up to this share of √(1 + t²) the rule of five points is exact to the last digit, and the difference of the
/// closed form's two values is not.
const NARROW: f64 = 0.05;

/// The mean of `f` between two slopes; `integral` is its antiderivative.
fn mean([t0, t1]: [f64; 2], f: impl Fn(f64) -> f64, integral: impl Fn(f64) -> f64) -> f64 {
    if (t1 - t0).abs() > NARROW * t0.hypot(1.0) {
        return (integral(t1) - integral(t0)) / (t1 - t0);
    }
    let (middle, half) = (f64::midpoint(t0, t1), (t1 - t0) / 2.0);
    GAUSS.iter().map(|(node, weight)| weight / 2.0 * f(middle + half * node)).sum()
}

impl Parabola {
    pub(super) fn checked(self) -> Result<Self, Misfit> {
        for (name, value) in [
            ("from_m", self.from_m),
            ("to_m", self.to_m),
            ("from_elevation_m", self.from_elevation_m),
            ("from_slope", self.from_slope),
            ("to_slope", self.to_slope),
        ] {
            number(Argument::new(name), value)?;
        }
        above(Argument::new("length in plan"), self.plan_m(), JOINT_M, "the least length, m")?;
        Ok(self)
    }

    pub(super) fn plan_m(&self) -> f64 {
        self.to_m - self.from_m
    }

    fn slope(&self, along_m: f64) -> f64 {
        let share = (along_m - self.from_m) / self.plan_m();
        self.from_slope * (1.0 - share) + self.to_slope * share
    }

    fn elevation(&self, along_m: f64) -> f64 {
        let mean_slope = f64::midpoint(self.from_slope, self.slope(along_m));
        self.from_elevation_m + (along_m - self.from_m) * mean_slope
    }

    /// The part of it between two places.
    pub(super) fn part(&self, from_m: f64, to_m: f64) -> Self {
        Self {
            from_m,
            to_m,
            from_elevation_m: self.elevation(from_m),
            from_slope: self.slope(from_m),
            to_slope: self.slope(to_m),
        }
    }

    fn within(&self, along_m: f64) -> Result<f64, Misfit> {
        let argument = Argument::new("along_m");
        let value = number(argument, along_m)?;
        if value < self.from_m - JOINT_M || value > self.to_m + JOINT_M {
            return Err(Misfit::NotWithin { argument, value, least: self.from_m, most: self.to_m });
        }
        Ok(value)
    }

    /// Returns the slope dz/ds at a place.
    ///
    /// # Formula
    /// `t = t0 + (t1 - t0)(s - s0)/l`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | s, s0 | length in plan, `along_m`, and at the start | m |
    /// | l | length of the parabola in plan | m |
    /// | t0, t1, t | slopes at start, end and s | |
    ///
    /// # Validity
    /// From the start to the end of the parabola.
    ///
    /// # Source
    /// Geometry.
    ///
    /// # Errors
    /// [`Misfit`] if a number is not finite, the parabola has no length, or the place is off it.
    ///
    /// ```
    /// use restrand_mechanics::path::Parabola;
    /// let half = Parabola {
    ///     from_m: 0.0, to_m: 20.0, from_elevation_m: 2.0, from_slope: -0.125, to_slope: 0.0,
    /// };
    /// assert_eq!(half.slope_at(10.0)?, -0.0625);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn slope_at(&self, along_m: f64) -> Result<f64, Misfit> {
        Ok(self.checked()?.slope(self.within(along_m)?))
    }

    /// Returns the elevation at a place.
    ///
    /// # Formula
    /// `z = z0 + (s - s0)(t0 + t)/2`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | s, s0 | length in plan, `along_m`, and at the start | m |
    /// | t0, t | slopes at the start and at s | |
    ///
    /// # Validity
    /// As [`Parabola::slope_at`].
    ///
    /// # Source
    /// Geometry.
    ///
    /// # Errors
    /// [`Misfit`] as [`Parabola::slope_at`].
    ///
    /// ```
    /// use restrand_mechanics::path::Parabola;
    /// let half = Parabola {
    ///     from_m: 0.0, to_m: 20.0, from_elevation_m: 2.0, from_slope: -0.125, to_slope: 0.0,
    /// };
    /// assert_eq!(half.elevation_at_m(20.0)?, 0.75);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn elevation_at_m(&self, along_m: f64) -> Result<f64, Misfit> {
        Ok(self.checked()?.elevation(self.within(along_m)?))
    }

    /// Returns the length of the parabola in space.
    ///
    /// # Formula
    /// `L = l · (F(t1) - F(t0))/(t1 - t0)`, `F(t) = (t √(1 + t²) + asinh t)/2`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | l | length in plan | m |
    /// | t0, t1 | slopes at start and end | |
    ///
    /// # Validity
    /// Exact, over a straight or curved plan alike. At nearly equal slopes, where the difference loses its digits, by Gauss's rule.
    ///
    /// # Source
    /// Derived: `∫ √(1 + t²) ds`.
    ///
    /// # Errors
    /// [`Misfit`] if a number is not finite or the parabola has no length.
    ///
    /// ```
    /// use restrand_mechanics::path::Parabola;
    /// let straight = Parabola {
    ///     from_m: 0.0, to_m: 4.0, from_elevation_m: 0.0, from_slope: 0.75, to_slope: 0.75,
    /// };
    /// assert!((straight.length_m()? - 5.0).abs() < 1e-12);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn length_m(&self) -> Result<f64, Misfit> {
        let slopes = [self.checked()?.from_slope, self.to_slope];
        let integral = |t: f64| (t * t.hypot(1.0) + t.asinh()) / 2.0;
        Ok(self.plan_m() * mean(slopes, |t| t.hypot(1.0), integral))
    }

    /// Returns the length of the parabola by the usual formula for flat ones.
    ///
    /// # Formula
    /// `L = l · (1 + (t0² + t0·t1 + t1²)/6)`; with a level chord `L = l · (1 + 8/3 · (e/l)²)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | l | length in plan | m |
    /// | t0, t1 | slopes at start and end | |
    /// | e | drape at mid-length | m |
    ///
    /// # Validity
    /// Flat parabolas; always too long, by less than `l · t⁴/8`: 0.0013 % at a slope of 0.1, 0.02 % at 0.2.
    ///
    /// # Source
    /// Derived: the first terms of the series for `√(1 + t²)`.
    ///
    /// # Errors
    /// [`Misfit`] if a number is not finite or the parabola has no length.
    ///
    /// ```
    /// use restrand_mechanics::path::{parabola_through, ProfilePoint};
    /// let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
    /// let cable = parabola_through(at(0.0, 0.1), at(5.0, 0.0), at(10.0, 0.1))?;
    /// assert!((cable.flat_length_m()? - 10.0 * (1.0 + 8.0 / 3.0 * 0.0001)).abs() < 1e-9);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn flat_length_m(&self) -> Result<f64, Misfit> {
        let [t0, t1] = [self.checked()?.from_slope, self.to_slope];
        Ok(self.plan_m() * (1.0 + (t0 * t0 + t0 * t1 + t1 * t1) / 6.0))
    }

    /// Returns the parabola as a run: its length and the angle through which its tangent turns, over a plan of one curvature.
    ///
    /// # Formula
    /// `α = ∫ √((dφ/ds)² + cos² φ / Rp²) ds`, `φ = atan t`; over a straight plan `α = |atan t1 - atan t0|`
    ///
    /// In closed form with `c = |t1 - t0|`, `k = l/Rp`:
    /// `α = (G(t1) - G(t0))/(t1 - t0)`, `G(t) = k·asinh(k·t/√(c² + k²)) + c·atan(c·t/√(c² + k²(1 + t²)))`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | s, l | length in plan, of the whole parabola | m |
    /// | t, t0, t1 | slope, at start and end | |
    /// | Rp | radius of the tendon's plan, `plan_radius_m`, of either sign | m |
    /// | α | angle turned | rad |
    ///
    /// # Validity
    /// Exact. The slope of a parabola runs one way, so nothing cancels: α is the sum of absolute angle changes.
    /// For flat curves it lies between `√(αv² + αh²)` and `αv + αh` of the angles in elevation and plan.
    ///
    /// # Source
    /// Derived.
    ///
    /// # Errors
    /// [`Misfit`] if a number is not finite, the parabola has no length or the radius is zero.
    ///
    /// ```
    /// use restrand_mechanics::path::{parabola_through, ProfilePoint};
    /// let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
    /// let cable = parabola_through(at(0.0, 0.1), at(5.0, 0.0), at(10.0, 0.1))?;
    /// assert!((cable.run(None)?.angle_rad - 2.0 * 0.04_f64.atan()).abs() < 1e-12);
    /// let curved = cable.run(Some(125.0))?;
    /// assert!((curved.angle_rad - 0.08_f64.hypot(0.08)).abs() < 1e-4);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn run(&self, plan_radius_m: Option<f64>) -> Result<Run, Misfit> {
        let length_m = self.length_m()?;
        let k = match plan_radius_m {
            None => 0.0,
            Some(radius_m) => {
                let argument = Argument::new("plan_radius_m");
                let radius_m = positive(argument, number(argument, radius_m)?.abs())?;
                self.plan_m() / radius_m
            }
        };
        let slopes = [self.from_slope, self.to_slope];
        let c = (self.to_slope - self.from_slope).abs();
        let both = c.hypot(k);
        let turning = |t: f64| c.hypot(k * t.hypot(1.0)) / (1.0 + t * t);
        // Only asked for where the slopes differ, so that `both` is more than zero.
        let integral =
            |t: f64| k * (k * t / both).asinh() + c * (c * t).atan2(c.hypot(k * t.hypot(1.0)));
        Ok(Run { kind: RunKind::Curve, length_m, angle_rad: mean(slopes, turning, integral) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRAPE: Parabola = Parabola {
        from_m: 3.0,
        to_m: 43.0,
        from_elevation_m: 2.0,
        from_slope: -0.2,
        to_slope: 0.15,
    };

    #[test]
    fn three_points_of_a_parabola_give_it_back() {
        let at =
            |along_m| ProfilePoint { along_m, elevation_m: DRAPE.elevation_at_m(along_m).unwrap() };
        let back = parabola_through(at(3.0), at(11.0), at(43.0)).unwrap();
        assert!((back.from_slope - DRAPE.from_slope).abs() < 1e-12);
        assert!((back.to_slope - DRAPE.to_slope).abs() < 1e-12);
    }

    #[test]
    fn both_ways_to_the_length_agree_where_they_change_over() {
        for t0 in [-3.0, -0.2, 0.0, 0.04, 1.0] {
            let at = |share: f64| {
                let to_slope = t0 + NARROW * f64::hypot(t0, 1.0) * share;
                Parabola { from_slope: t0, to_slope, ..DRAPE }
            };
            let (below, above) = (at(1.0 - 1e-9), at(1.0 + 1e-9));
            let off = below.length_m().unwrap() / above.length_m().unwrap() - 1.0;
            assert!(off.abs() < 1e-10, "{t0}: {off}");
            for radius_m in [None, Some(80.0), Some(-5000.0)] {
                let (below, above) = (below.run(radius_m).unwrap(), above.run(radius_m).unwrap());
                let off = below.angle_rad / above.angle_rad - 1.0;
                assert!(off.abs() < 1e-8, "{t0} {radius_m:?}: {off}");
            }
        }
    }

    #[test]
    fn a_straight_slope_on_an_arc_is_a_helix() {
        let helix = Parabola { from_slope: 0.75, to_slope: 0.75, ..DRAPE };
        // Curvature of a helix: cos² φ / R over the length in space.
        let run = helix.run(Some(-100.0)).unwrap();
        assert!((run.angle_rad - 0.8 * 0.8 / 100.0 * run.length_m).abs() < 1e-12);
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 1e300] {
            for wrong in [
                Parabola { from_m: bad, ..DRAPE },
                Parabola { to_m: bad, ..DRAPE },
                Parabola { from_elevation_m: bad, ..DRAPE },
                Parabola { from_slope: bad, ..DRAPE },
                Parabola { to_slope: bad, ..DRAPE },
                Parabola { to_m: 3.0, ..DRAPE },
                Parabola { to_m: -3.0, ..DRAPE },
            ] {
                assert!(wrong.length_m().is_err() && wrong.flat_length_m().is_err());
                assert!(wrong.run(None).is_err());
                assert!(wrong.slope_at(3.0).is_err() && wrong.elevation_at_m(3.0).is_err());
            }
            assert!(DRAPE.run(Some(bad)).is_err());
            assert!(DRAPE.slope_at(bad).is_err());
        }
        assert!(DRAPE.run(Some(0.0)).is_err());
        assert!(DRAPE.slope_at(2.0).is_err() && DRAPE.elevation_at_m(44.0).is_err());
        let at = |along_m| ProfilePoint { along_m, elevation_m: 1.0 };
        assert!(parabola_through(at(0.0), at(5.0), at(4.0)).is_err());
        assert!(parabolas_level_at(at(0.0), at(0.0), at(4.0)).is_err());
    }
}
