//! A parabola in elevation, over the tendon's own length in plan.

use super::mean::mean;
use super::{JOINT_M, Run, RunKind};
use crate::misfit::{Argument, Misfit, above, number, positive};

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
    use crate::path::mean::NARROW;

    const DRAPE: Parabola = Parabola {
        from_m: 3.0,
        to_m: 43.0,
        from_elevation_m: 2.0,
        from_slope: -0.2,
        to_slope: 0.15,
    };

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
    }
}
