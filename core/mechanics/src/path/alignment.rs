//! The bridge's line in plan: lines and circular arcs, tangent to one another.

use super::Point;
use crate::misfit::{Argument, Misfit, above, number, positive};

/// What two lengths that should be one may differ by, m: sums of decimals are not exact.
pub const JOINT_M: f64 = 1e-6;

/// Where an alignment begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Station of its first point, m.
    pub station_m: f64,
    /// Place of that point in plan, m.
    pub x_m: f64,
    /// Place of that point in plan, m.
    pub y_m: f64,
    /// Direction up-station, from x towards y (to the left), rad.
    pub heading_rad: f64,
}

/// A line or a circular arc in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// Length along the alignment, m.
    pub length_m: f64,
    /// Radius, positive where the centre lies to the left, m; none for a line.
    pub radius_m: Option<f64>,
}

/// The line from which stations, laterals and elevations are laid off.
#[derive(Debug, Clone, PartialEq)]
pub enum Alignment {
    /// Straight over the whole bridge: x is the station, y the lateral.
    Straight,
    /// Elements in order of station, each tangent to the one before.
    Curved {
        /// Where the first element begins.
        start: Start,
        /// The elements.
        elements: Vec<Element>,
    },
}

/// A place of the alignment: the point on it, its heading, and what it bends with there.
struct Footing {
    x_m: f64,
    y_m: f64,
    heading_rad: f64,
    radius: Option<(usize, f64)>,
}

impl Footing {
    /// The place so much further along.
    fn along(&self, length_m: f64) -> Result<Self, Misfit> {
        let (turn, chord_m) = match self.radius {
            None => (0.0, length_m),
            Some((index, radius_m)) => {
                let argument = Argument::of("elements", index, "turn_rad");
                let turn = number(argument, length_m / radius_m)?;
                // The chord, not differences of sine and cosine: it keeps its digits on the flattest arcs.
                (turn, 2.0 * radius_m * (turn / 2.0).sin())
            }
        };
        let (sin, cos) = (self.heading_rad + turn / 2.0).sin_cos();
        Ok(Self {
            x_m: self.x_m + chord_m * cos,
            y_m: self.y_m + chord_m * sin,
            heading_rad: self.heading_rad + turn,
            radius: self.radius,
        })
    }
}

impl Element {
    fn check(&self, index: usize) -> Result<(), Misfit> {
        positive(Argument::of("elements", index, "length_m"), self.length_m)?;
        if let Some(radius_m) = self.radius_m {
            let argument = Argument::of("elements", index, "radius_m");
            number(argument, radius_m)?;
            positive(argument, radius_m.abs())?;
        }
        Ok(())
    }
}

impl Alignment {
    fn footing(&self, argument: Argument, station_m: f64) -> Result<Footing, Misfit> {
        let station_m = number(argument, station_m)?;
        let Self::Curved { start, elements } = self else {
            return Ok(Footing { x_m: station_m, y_m: 0.0, heading_rad: 0.0, radius: None });
        };
        for (name, value) in [
            ("start.station_m", start.station_m),
            ("start.x_m", start.x_m),
            ("start.y_m", start.y_m),
            ("start.heading_rad", start.heading_rad),
        ] {
            number(Argument::new(name), value)?;
        }
        let length_m: f64 = elements.iter().map(|element| element.length_m).sum();
        let wanted_m = station_m - start.station_m;
        for (index, element) in elements.iter().enumerate() {
            element.check(index)?;
        }
        // A place a rounding beyond an end belongs to the element there.
        if elements.is_empty() || wanted_m < -JOINT_M || wanted_m > length_m + JOINT_M {
            return Err(Misfit::NotWithin {
                argument,
                value: station_m,
                least: start.station_m,
                most: start.station_m + length_m,
            });
        }
        let mut at = Footing {
            x_m: start.x_m,
            y_m: start.y_m,
            heading_rad: start.heading_rad,
            radius: None,
        };
        let mut left_m = wanted_m;
        for (index, element) in elements.iter().enumerate() {
            at.radius = element.radius_m.map(|radius_m| (index, radius_m));
            if left_m <= element.length_m || index + 1 == elements.len() {
                return at.along(left_m);
            }
            at = at.along(element.length_m)?;
            left_m -= element.length_m;
        }
        unreachable!("the last element takes what is left");
    }

    /// As [`Alignment::point`], for one item of a list.
    pub(super) fn place(
        &self,
        named: impl Fn(&'static str) -> Argument,
        [station_m, lateral_m, elevation_m]: [f64; 3],
    ) -> Result<Point, Misfit> {
        let foot = self.footing(named("station_m"), station_m)?;
        let lateral_m = number(named("lateral_m"), lateral_m)?;
        let z_m = number(named("elevation_m"), elevation_m)?;
        if let Some((index, radius_m)) = foot.radius {
            // Beyond the centre of an arc a point has another station.
            let inward_m = lateral_m * radius_m.signum();
            let argument = Argument::of("elements", index, "radius_m");
            above(argument, radius_m.abs(), inward_m, "lateral_m to the inside")?;
        }
        let (sin, cos) = foot.heading_rad.sin_cos();
        Ok(Point { x_m: foot.x_m - lateral_m * sin, y_m: foot.y_m + lateral_m * cos, z_m })
    }

    /// Stretches of the alignment between two stations, each with its radius.
    pub(super) fn stretches(&self, from_m: f64, to_m: f64) -> Vec<Element> {
        let Self::Curved { start, elements } = self else {
            return vec![Element { length_m: to_m - from_m, radius_m: None }];
        };
        let mut begin_m = start.station_m;
        let mut found = Vec::new();
        for (index, element) in elements.iter().enumerate() {
            let end_m = begin_m + element.length_m;
            let upper_m = if index + 1 == elements.len() { to_m } else { end_m.min(to_m) };
            let lower_m = if index == 0 { from_m } else { begin_m.max(from_m) };
            if upper_m - lower_m > JOINT_M {
                found.push(Element { length_m: upper_m - lower_m, radius_m: element.radius_m });
            }
            begin_m = end_m;
        }
        found
    }

    /// Returns the heading at a station: the direction up-station in plan, from x towards y.
    ///
    /// # Formula
    /// `h = h0 + Σ s / R`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | h0, h | heading at the start and at `station_m` | rad |
    /// | s, R | length travelled on each arc, its signed radius | m |
    ///
    /// # Validity
    /// Lines and circular arcs, tangent at their joints; no transition curves. A full turn is not taken off.
    ///
    /// # Source
    /// Geometry.
    ///
    /// # Errors
    /// [`Misfit`] if a number is not finite, a length or radius is zero, or the station lies off the alignment.
    ///
    /// ```
    /// use restrand_mechanics::path::{Alignment, Element, Start};
    /// let bridge = Alignment::Curved {
    ///     start: Start { station_m: 100.0, x_m: 0.0, y_m: 0.0, heading_rad: 0.0 },
    ///     elements: vec![
    ///         Element { length_m: 40.0, radius_m: None },
    ///         Element { length_m: 60.0, radius_m: Some(-300.0) },
    ///     ],
    /// };
    /// assert_eq!(bridge.heading_rad(140.0)?, 0.0);
    /// assert_eq!(bridge.heading_rad(170.0)?, -0.1);
    /// assert!(bridge.heading_rad(99.0).is_err());
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn heading_rad(&self, station_m: f64) -> Result<f64, Misfit> {
        Ok(self.footing(Argument::new("station_m"), station_m)?.heading_rad)
    }

    /// Returns the point in space of a station, a lateral offset and an elevation.
    ///
    /// # Formula
    /// `(x, y) = foot(station) + lateral · (-sin h, cos h)`; `z = elevation`
    ///
    /// The foot moves along an arc by its chord `2R sin(s/2R)` in direction `h + s/2R`.
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | station, lateral, elevation | `station_m`, `lateral_m` (+ left, square to the alignment, level), `elevation_m` | m |
    /// | h | heading at the station | rad |
    /// | s, R | length on an arc, its signed radius | m |
    ///
    /// # Validity
    /// As [`Alignment::heading_rad`]. The point lies on the alignment's side of an arc's centre.
    ///
    /// # Source
    /// Geometry.
    ///
    /// # Errors
    /// [`Misfit`] as [`Alignment::heading_rad`], or if the lateral reaches an arc's centre.
    ///
    /// ```
    /// use restrand_mechanics::path::{Alignment, Point};
    /// let point = Alignment::Straight.point(113.0, 1.0, 50.4)?;
    /// assert_eq!(point, Point { x_m: 113.0, y_m: 1.0, z_m: 50.4 });
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn point(&self, station_m: f64, lateral_m: f64, elevation_m: f64) -> Result<Point, Misfit> {
        self.place(Argument::new, [station_m, lateral_m, elevation_m])
    }
}

// The tests' numbers are exact in binary.
#[cfg(test)]
#[allow(clippy::float_cmp)]
mod tests {
    use std::f64::consts::FRAC_PI_2;

    use super::*;

    fn quarter(radius_m: f64) -> Alignment {
        Alignment::Curved {
            start: Start { station_m: 0.0, x_m: 10.0, y_m: 20.0, heading_rad: 0.0 },
            elements: vec![Element {
                length_m: FRAC_PI_2 * radius_m.abs(),
                radius_m: Some(radius_m),
            }],
        }
    }

    fn near(point: Point, x_m: f64, y_m: f64) {
        assert!((point.x_m - x_m).abs() < 1e-9 && (point.y_m - y_m).abs() < 1e-9, "{point:?}");
    }

    #[test]
    fn a_quarter_to_the_left_and_to_the_right() {
        let end_m = FRAC_PI_2 * 100.0;
        // The left of the end of a left turn lies towards its centre.
        near(quarter(100.0).point(end_m, 10.0, 0.0).unwrap(), 100.0, 120.0);
        near(quarter(-100.0).point(end_m, 10.0, 0.0).unwrap(), 120.0, -80.0);
    }

    #[test]
    fn a_lateral_beyond_the_centre_has_another_station() {
        let misfit = quarter(100.0).point(1.0, 100.0, 0.0).unwrap_err().to_string();
        assert!(misfit.starts_with("elements[0].radius_m is 100: more than lateral_m"), "{misfit}");
        assert!(quarter(100.0).point(1.0, -100.0, 0.0).is_ok());
        assert!(quarter(-100.0).point(1.0, -100.0, 0.0).is_err());
    }

    #[test]
    fn the_last_station_is_on_the_alignment_whatever_its_decimals() {
        let tenths = Alignment::Curved {
            start: Start { station_m: 0.0, x_m: 0.0, y_m: 0.0, heading_rad: 0.0 },
            elements: vec![Element { length_m: 0.1, radius_m: None }; 10],
        };
        assert!(tenths.point(1.0, 0.0, 0.0).is_ok());
        assert!(tenths.point(1.01, 0.0, 0.0).is_err());
        assert!(tenths.point(-0.01, 0.0, 0.0).is_err());
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 1e300, 0.0] {
            let with = |start_bad: f64, length_m, radius_m| Alignment::Curved {
                start: Start { station_m: 0.0, x_m: start_bad, y_m: 0.0, heading_rad: 0.0 },
                elements: vec![Element { length_m, radius_m: Some(radius_m) }],
            };
            assert!(with(0.0, bad, 100.0).point(0.0, 0.0, 0.0).is_err());
            assert!(with(0.0, 10.0, bad).point(0.0, 0.0, 0.0).is_err());
            if bad != 0.0 {
                assert!(with(bad, 10.0, 100.0).point(0.0, 0.0, 0.0).is_err());
                assert!(Alignment::Straight.point(bad, 0.0, 0.0).is_err());
                assert!(Alignment::Straight.point(0.0, bad, 0.0).is_err());
                assert!(Alignment::Straight.point(0.0, 0.0, bad).is_err());
            }
        }
        let none = Alignment::Curved {
            start: Start { station_m: 0.0, x_m: 0.0, y_m: 0.0, heading_rad: 0.0 },
            elements: Vec::new(),
        };
        assert!(none.heading_rad(0.0).is_err());
    }
}
