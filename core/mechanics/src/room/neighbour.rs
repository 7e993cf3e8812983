//! How near two cylinders come: the jack, and a live tendon or a cap beside it.

use crate::misfit::{Argument, Misfit, number, positive};

/// A cylinder in the anchorage's axes: along, up, left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cylinder {
    /// One end of its axis: along, up, left, mm.
    pub from_mm: [f64; 3],
    /// The other end, mm.
    pub to_mm: [f64; 3],
    /// Radius, mm.
    pub radius_mm: f64,
}

/// Where two cylinders are nearest to each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearestPlace {
    /// Distance of the two axes there, mm.
    pub axes_mm: f64,
    /// Distance of the surfaces, mm; negative where they overlap.
    pub gap_mm: f64,
    /// The place on the first one's axis, from its `from_mm`, mm.
    pub along_one_mm: f64,
    /// The place on the other one's axis, from its `from_mm`, mm.
    pub along_other_mm: f64,
}

impl Cylinder {
    fn check(&self, [from, to, radius]: [&'static str; 3]) -> Result<(), Misfit> {
        for value in self.from_mm {
            number(Argument::new(from), value)?;
        }
        for value in self.to_mm {
            number(Argument::new(to), value)?;
        }
        positive(Argument::new(radius), self.radius_mm)?;
        Ok(())
    }
}

/// Finds where two cylinders are nearest, and how near.
///
/// # Formula
/// `g = min |P(s) - Q(t)| - r1 - r2` over both axes' stretches: the least of the common perpendicular, where it falls on both,
/// and of each end to the other axis.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P, Q | points of the two axes, [`Cylinder`] | mm |
/// | r1, r2 | radii | mm |
/// | g | gap of the surfaces | mm |
///
/// # Validity
/// Exact where the nearest place is within both lengths. At an end the cylinder counts as rounded out by its radius, so
/// what stands before a flat end is nearer here than it is, and the gap is never overstated. A bent tendon is several cylinders.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a coordinate is not finite or a radius not greater than zero.
///
/// ```
/// use restrand_mechanics::room::{nearest, Cylinder};
/// let jack = Cylinder { from_mm: [125.0, 0.0, 0.0], to_mm: [1225.0, 0.0, 0.0], radius_mm: 225.0 };
/// let live = Cylinder { from_mm: [0.0, 0.0, 450.0], to_mm: [3000.0, 0.0, 420.0], radius_mm: 62.5 };
/// let place = nearest(&jack, &live)?;
/// assert!((place.gap_mm - 150.2).abs() < 0.1);
/// assert_eq!(place.along_one_mm, 1100.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn nearest(one: &Cylinder, other: &Cylinder) -> Result<NearestPlace, Misfit> {
    one.check(["one.from_mm", "one.to_mm", "one.radius_mm"])?;
    other.check(["other.from_mm", "other.to_mm", "other.radius_mm"])?;
    let u = minus(one.to_mm, one.from_mm);
    let v = minus(other.to_mm, other.from_mm);
    let between = minus(one.from_mm, other.from_mm);
    let (uu, vv, uv) = (dot(u, u), dot(v, v), dot(u, v));
    let (uw, vw) = (dot(u, between), dot(v, between));
    // The share of an axis where it is nearest to a point of the other.
    let on_one = |t: f64| if uu > 0.0 { ((uv * t - uw) / uu).clamp(0.0, 1.0) } else { 0.0 };
    let on_other = |s: f64| if vv > 0.0 { ((uv * s + vw) / vv).clamp(0.0, 1.0) } else { 0.0 };
    let mut shares =
        vec![(0.0, on_other(0.0)), (1.0, on_other(1.0)), (on_one(0.0), 0.0), (on_one(1.0), 1.0)];
    // Parallel axes have no common perpendicular, and an end is as near as any place.
    let skewness = uu * vv - uv * uv;
    if skewness > 0.0 {
        let s = ((uv * vw - vv * uw) / skewness).clamp(0.0, 1.0);
        shares.push((s, on_other(s)));
    }
    let mut best: Option<(f64, (f64, f64))> = None;
    for (s, t) in shares {
        let apart: [f64; 3] = std::array::from_fn(|i| between[i] + s * u[i] - t * v[i]);
        let distance = dot(apart, apart).sqrt();
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, (s, t)));
        }
    }
    let (axes_mm, (s, t)) = best.unwrap_or_default();
    Ok(NearestPlace {
        axes_mm,
        gap_mm: axes_mm - one.radius_mm - other.radius_mm,
        along_one_mm: s * uu.sqrt(),
        along_other_mm: t * vv.sqrt(),
    })
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
