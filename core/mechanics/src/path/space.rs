//! Points and directions in space, and the little vector arithmetic that they need.

use crate::misfit::{Argument, Misfit, number, positive};

/// How far the length of a direction may be from 1; more than rounding makes is a slip.
const UNIT: f64 = 1e-6;

/// A point in space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Along the straight bridge, or the first axis of the plan, m.
    pub x_m: f64,
    /// To the left of x in plan, m.
    pub y_m: f64,
    /// Upward, m.
    pub z_m: f64,
}

/// A direction in space; its length is 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// Share along x.
    pub x: f64,
    /// Share along y.
    pub y: f64,
    /// Share along z.
    pub z: f64,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Vector(pub(crate) [f64; 3]);

impl Vector {
    pub(crate) fn dot(self, other: Self) -> f64 {
        self.0.iter().zip(other.0).map(|(a, b)| a * b).sum()
    }

    pub(crate) fn cross(self, other: Self) -> Self {
        let ([a, b, c], [d, e, f]) = (self.0, other.0);
        Self([b * f - c * e, c * d - a * f, a * e - b * d])
    }

    pub(crate) fn length(self) -> f64 {
        let [x, y, z] = self.0;
        x.hypot(y).hypot(z)
    }

    pub(crate) fn times(self, factor: f64) -> Self {
        Self(self.0.map(|share| share * factor))
    }

    pub(crate) fn plus(self, other: Self) -> Self {
        let ([a, b, c], [d, e, f]) = (self.0, other.0);
        Self([a + d, b + e, c + f])
    }

    /// As a direction; the length must be far from zero.
    pub(crate) fn direction(self) -> Direction {
        let [x, y, z] = self.times(1.0 / self.length()).0;
        Direction { x, y, z }
    }
}

impl Point {
    pub(crate) fn check(self, name: &'static str) -> Result<Self, Misfit> {
        for value in [self.x_m, self.y_m, self.z_m] {
            number(Argument::new(name), value)?;
        }
        Ok(self)
    }

    pub(crate) fn to(self, other: Self) -> Vector {
        Vector([other.x_m - self.x_m, other.y_m - self.y_m, other.z_m - self.z_m])
    }

    pub(crate) fn moved(self, by: Vector) -> Self {
        let [x, y, z] = by.0;
        Self { x_m: self.x_m + x, y_m: self.y_m + y, z_m: self.z_m + z }
    }
}

impl Direction {
    pub(crate) fn vector(self) -> Vector {
        Vector([self.x, self.y, self.z])
    }

    /// The direction with its length made exactly 1, if it is a direction.
    pub(crate) fn check(self, name: &'static str) -> Result<Self, Misfit> {
        let argument = Argument::new(name);
        for share in [self.x, self.y, self.z] {
            number(argument, share)?;
        }
        let length = self.vector().length();
        if (length - 1.0).abs() > UNIT {
            return Err(Misfit::NotWithin {
                argument,
                value: length,
                least: 1.0 - UNIT,
                most: 1.0 + UNIT,
            });
        }
        Ok(self.vector().direction())
    }
}

/// Returns the direction from one point to another.
///
/// # Formula
/// `u = (p2 - p1) / |p2 - p1|`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p1, p2 | points, `from`, `to` | m |
/// | u | unit tangent of the straight line | |
///
/// # Validity
/// Two different points.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a coordinate is not finite or the points are one.
///
/// ```
/// use restrand_mechanics::path::{direction, Point};
/// let from = Point { x_m: 0.0, y_m: 1.0, z_m: 5.0 };
/// let u = direction(from, Point { x_m: 3.0, y_m: 1.0, z_m: 1.0 })?;
/// assert!((u.x - 0.6).abs() < 1e-12 && (u.z + 0.8).abs() < 1e-12);
/// assert!(direction(from, from).is_err());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn direction(from: Point, to: Point) -> Result<Direction, Misfit> {
    let between = from.check("from")?.to(to.check("to")?);
    positive(Argument::new("distance_m"), between.length())?;
    Ok(between.direction())
}
