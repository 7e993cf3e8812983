//! How near two cones come: trumpets that are cast in beside each other.

use super::neighbour::{Cylinder, NearestPlace, nearest};
use crate::SMALLEST;
use crate::misfit::{Argument, Misfit, positive};

/// A cone in space, cut off at both ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cone {
    /// One end of its axis, mm.
    pub from_mm: [f64; 3],
    /// The other end, mm.
    pub to_mm: [f64; 3],
    /// Radius at the first end, mm.
    pub from_radius_mm: f64,
    /// Radius at the other end, mm.
    pub to_radius_mm: f64,
}

impl Cone {
    fn at(&self, share: f64) -> ([f64; 3], f64) {
        let between = |from: f64, to: f64| from + (to - from) * share;
        (
            std::array::from_fn(|i| between(self.from_mm[i], self.to_mm[i])),
            between(self.from_radius_mm, self.to_radius_mm),
        )
    }

    /// The cylinder of the greatest or the least radius round the same axis.
    const fn cylinder(&self, radius_mm: f64) -> Cylinder {
        Cylinder { from_mm: self.from_mm, to_mm: self.to_mm, radius_mm }
    }

    const fn is_cylinder(&self) -> bool {
        (self.from_radius_mm - self.to_radius_mm).abs() < SMALLEST
    }

    fn length_mm(&self) -> f64 {
        self.from_mm.iter().zip(self.to_mm).map(|(a, b)| (b - a) * (b - a)).sum::<f64>().sqrt()
    }

    /// Where on its axis the cone is nearest to a point, as a share of its length.
    ///
    /// Of a point beside the axis by `d` that is where the distance grows as fast as the radius does: further towards
    /// the wide end than the foot of the point by `d m / sqrt(1 - m^2)`, with `m` as the slope of the radius.
    fn nearest_to(&self, point_mm: [f64; 3]) -> f64 {
        let length_mm = self.length_mm();
        let widens_mm = self.to_radius_mm - self.from_radius_mm;
        // As steep as that the wide end is nearest to any point; so it is where there is no length.
        if widens_mm.abs() >= length_mm {
            return if widens_mm > 0.0 { 1.0 } else { 0.0 };
        }
        let (mut foot_mm, mut square_mm2) = (0.0, 0.0);
        for (point_mm, (from_mm, to_mm)) in
            point_mm.into_iter().zip(self.from_mm.into_iter().zip(self.to_mm))
        {
            let away_mm = point_mm - from_mm;
            foot_mm += away_mm * (to_mm - from_mm) / length_mm;
            square_mm2 += away_mm * away_mm;
        }
        let beside_mm = (square_mm2 - foot_mm * foot_mm).max(0.0).sqrt();
        let slope = widens_mm / length_mm;
        let at_mm = foot_mm + beside_mm * slope / (1.0 - slope * slope).sqrt();
        (at_mm / length_mm).clamp(0.0, 1.0)
    }
}

/// Finds where two cones are nearest, and how near.
///
/// # Formula
/// `g = min |P(s) - Q(t)| - r1(s) - r2(t)` over both axes' stretches
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P, Q | points of the two axes, [`Cone`] | mm |
/// | r1, r2 | radii there, which run straight from end to end | mm |
/// | g | gap of the surfaces | mm |
///
/// The distance of two points that run straight is convex in where they are, and radii that run straight keep it so. For
/// a point of one axis the nearest of the other follows in closed form; along the first the least is found by narrowing
/// down, to a thousandth of a millimetre.
///
/// # Validity
/// A radius is taken square to its axis. A cone of slope `a` is wider than that to a body beside it by the share
/// `1/cos a - 1`: a part in a thousand for a trumpet that opens one in twenty-two. At an end the cone counts as rounded
/// out by its radius, as in [`nearest`].
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a coordinate is not finite or a radius not greater than zero.
///
/// ```
/// use restrand_mechanics::room::{nearest_of_cones, Cone};
/// let trumpet = |y: f64| Cone {
///     from_mm: [0.0, y, 0.0], to_mm: [600.0, y, 0.0], from_radius_mm: 110.0, to_radius_mm: 80.0,
/// };
/// // Side by side they are nearest at their wide ends.
/// let place = nearest_of_cones(&trumpet(0.0), &trumpet(215.0))?;
/// assert!((place.gap_mm + 5.0).abs() < 0.001);
/// assert!(place.along_one_mm < 1.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn nearest_of_cones(one: &Cone, other: &Cone) -> Result<NearestPlace, Misfit> {
    for (name, radius_mm) in [
        ("one.from_radius_mm", one.from_radius_mm),
        ("one.to_radius_mm", one.to_radius_mm),
        ("other.from_radius_mm", other.from_radius_mm),
        ("other.to_radius_mm", other.to_radius_mm),
    ] {
        positive(Argument::new(name), radius_mm)?;
    }
    let widest = nearest(
        &one.cylinder(one.from_radius_mm.max(one.to_radius_mm)),
        &other.cylinder(other.from_radius_mm.max(other.to_radius_mm)),
    )?;
    if one.is_cylinder() && other.is_cylinder() {
        return Ok(widest);
    }
    let apart = |s: f64| {
        let (p, one_mm) = one.at(s);
        let t = other.nearest_to(p);
        let (q, other_mm) = other.at(t);
        let axes_mm: f64 = p.iter().zip(q).map(|(p, q)| (p - q) * (p - q)).sum::<f64>().sqrt();
        (t, axes_mm, axes_mm - one_mm - other_mm)
    };
    let s = lowest(|s| apart(s).2);
    let (t, axes_mm, gap_mm) = apart(s);
    Ok(NearestPlace {
        axes_mm,
        gap_mm,
        along_one_mm: s * one.length_mm(),
        along_other_mm: t * other.length_mm(),
    })
}

/// Where a convex function is least between 0 and 1.
fn lowest(of: impl Fn(f64) -> f64) -> f64 {
    /// Each step leaves two thirds of the stretch: a part in ten million of it in the end.
    const STEPS: u32 = 40;
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..STEPS {
        let third = (high - low) / 3.0;
        let (one, two) = (low + third, high - third);
        if of(one) <= of(two) {
            high = two;
        } else {
            low = one;
        }
    }
    // The ends themselves are where parts are widest.
    [0.0, 1.0, f64::midpoint(low, high)]
        .into_iter()
        .map(|share| (share, of(share)))
        .fold((0.0, f64::INFINITY), |best, next| if next.1 < best.1 { next } else { best })
        .0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A fixed sequence of numbers between 0 and 1.
    struct Numbers(u64);

    impl Numbers {
        fn next(&mut self) -> f64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 11) as f64 / (1_u64 << 53) as f64
        }
    }

    /// Against all pairs of a grid on both axes, which is never nearer.
    #[test]
    fn no_pair_of_a_grid_is_nearer() {
        let mut numbers = Numbers(7);
        for _ in 0..200 {
            let mut point = || std::array::from_fn(|_| numbers.next() * 1000.0);
            let (a, b, c, d) = (point(), point(), point(), point());
            let mut radius = || 20.0 + numbers.next() * 150.0;
            let mut cone = |from_mm, to_mm| Cone {
                from_mm,
                to_mm,
                from_radius_mm: radius(),
                to_radius_mm: radius(),
            };
            let (one, other) = (cone(a, b), cone(c, d));
            let found = nearest_of_cones(&one, &other).unwrap();
            let mut least = f64::INFINITY;
            for i in 0..=200 {
                for j in 0..=200 {
                    let ((p, r), (q, s)) =
                        (one.at(f64::from(i) / 200.0), other.at(f64::from(j) / 200.0));
                    let axes: f64 =
                        p.iter().zip(q).map(|(p, q)| (p - q) * (p - q)).sum::<f64>().sqrt();
                    least = least.min(axes - r - s);
                }
            }
            assert!(found.gap_mm <= least + 1e-6, "{found:?} {least}");
            // Half a step of the grid on each axis is as far as it may miss.
            assert!(found.gap_mm >= least - 10.0, "{found:?} {least}");
        }
    }

    #[test]
    fn cylinders_are_cones_too() {
        let one = Cone {
            from_mm: [0.0; 3],
            to_mm: [900.0, 0.0, 0.0],
            from_radius_mm: 80.0,
            to_radius_mm: 80.0,
        };
        let other = Cone {
            from_mm: [450.0, -300.0, 200.0],
            to_mm: [450.0, 300.0, 200.0],
            from_radius_mm: 100.0,
            to_radius_mm: 100.0,
        };
        let place = nearest_of_cones(&one, &other).unwrap();
        assert!((place.gap_mm - 20.0).abs() < 1e-9, "{place:?}");
    }
}
