//! A tendon of straight legs and bends at its inner points.

use super::axis::between_rad;
use super::{Alignment, Direction, Point, Run, RunKind};
use crate::misfit::{Argument, Misfit, positive};

/// The most points that a tendon is taken with; more than this is a slip, not a tendon.
pub const MOST_POINTS: usize = 100_000;

/// What a leg may be shorter than its tangents by, as a share: bends that just meet are no misfit.
const ROUNDING: f64 = 1e-9;

/// A point of a tendon's axis: an end, or the corner where two legs would meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TendonPoint {
    /// Station, m.
    pub station_m: f64,
    /// Lateral offset, positive to the left, m.
    pub lateral_m: f64,
    /// Elevation, m.
    pub elevation_m: f64,
    /// Radius of the tendon's axis in the bend there, m; none for a bare corner. Without meaning at an end.
    pub bend_radius_m: Option<f64>,
}

/// A straight leg between two points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Its first corner.
    pub from: Point,
    /// Its last corner.
    pub to: Point,
    /// Unit tangent, in the order of the points.
    pub along: Direction,
    /// From corner to corner, m.
    pub length_m: f64,
    /// What is left straight between the bends at its ends, m; at an end of the tendon, from the anchorage's point on.
    pub straight_m: f64,
}

/// The bend at an inner point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// α: true deviation in space, rad.
    pub angle_rad: f64,
    /// Rt: radius of the tendon's axis, m; none for a bare corner.
    pub radius_m: Option<f64>,
    /// T: from the corner to each tangent point, m.
    pub tangent_m: f64,
    /// Length of the arc, m.
    pub arc_m: f64,
    /// Tangent point on the leg before.
    pub enters: Point,
    /// Tangent point on the leg after.
    pub leaves: Point,
}

/// A tendon laid out in space.
#[derive(Debug, Clone, PartialEq)]
pub struct TendonPath {
    /// The legs in order, one fewer than points.
    pub legs: Vec<Leg>,
    /// The bends in order, one for each inner point; the first is between the first two legs.
    pub bends: Vec<Bend>,
    /// Length along straight parts and arcs, m.
    pub developed_length_m: f64,
}

/// Lays a tendon out in space: legs, bends, developed length.
///
/// # Formula
/// `α = atan2(|u1 × u2|, u1 · u2)`; `T = Rt · tan(α/2)`; `arc = Rt · α`
///
/// `straight = L - T1 - T2`; `developed = Σ straight + Σ arc`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u1, u2 | unit tangents of the legs before and after a point | |
/// | α | true deviation | rad |
/// | Rt | radius of the tendon's axis, [`TendonPoint::bend_radius_m`] | m |
/// | T, arc | tangent length and arc length of a bend | m |
/// | L | leg from corner to corner | m |
///
/// # Validity
/// Straight legs, as an external tendon has; its sag is left out. Each bend is a circular arc in the plane of its two legs.
/// The radius is that of the *tendon's axis*: over a flared form whose wall has radius R it is R + Do/2.
/// Points may be listed from either end. The alignment's curve is in the points, and so in the deviations.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a number is not finite or a radius not greater than zero, a point lies off the alignment, two points are one,
/// there are fewer than two, or the tangents of two bends overlap on a leg.
///
/// ```
/// use restrand_mechanics::path::{tendon_path, Alignment, TendonPoint};
/// let point = |station_m, lateral_m, elevation_m, bend_radius_m| TendonPoint {
///     station_m, lateral_m, elevation_m, bend_radius_m,
/// };
/// let path = tendon_path(&Alignment::Straight, &[
///     point(0.0, 0.0, 0.0, None),
///     point(20.0, 0.5, -2.0, Some(3.0)),
///     point(40.0, 0.2, -2.0, None),
/// ])?;
/// assert!((path.bends[0].angle_rad - 0.107_340).abs() < 5e-7);
/// assert!((path.bends[0].tangent_m - 0.161_16).abs() < 5e-6);
/// assert!((path.developed_length_m - 40.107_91).abs() < 5e-6);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tendon_path(alignment: &Alignment, points: &[TendonPoint]) -> Result<TendonPath, Misfit> {
    if !(2..=MOST_POINTS).contains(&points.len()) {
        return Err(Misfit::NotWithin {
            argument: Argument::new("number of points"),
            value: points.len() as f64,
            least: 2.0,
            most: MOST_POINTS as f64,
        });
    }
    let mut placed = Vec::with_capacity(points.len());
    for (index, point) in points.iter().enumerate() {
        let named = |name| Argument::of("points", index, name);
        if let Some(radius_m) = point.bend_radius_m {
            positive(named("bend_radius_m"), radius_m)?;
        }
        let given = [point.station_m, point.lateral_m, point.elevation_m];
        placed.push(alignment.place(named, given)?);
    }
    let mut legs = Vec::with_capacity(placed.len() - 1);
    for (index, pair) in placed.windows(2).enumerate() {
        let (from, to) = (pair[0], pair[1]);
        let between = from.to(to);
        let length_m = positive(Argument::of("legs", index, "length_m"), between.length())?;
        let along = between.direction();
        legs.push(Leg { from, to, along, length_m, straight_m: length_m });
    }
    let bends: Vec<Bend> = legs
        .windows(2)
        .zip(&points[1..])
        .map(|(pair, point)| bend(&pair[0], &pair[1], point.bend_radius_m))
        .collect();
    for (index, leg) in legs.iter_mut().enumerate() {
        let before_m = index.checked_sub(1).map_or(0.0, |before| bends[before].tangent_m);
        let tangents_m = before_m + bends.get(index).map_or(0.0, |bend| bend.tangent_m);
        if tangents_m > leg.length_m * (1.0 + ROUNDING) {
            return Err(Misfit::NotWithin {
                argument: Argument::of("legs", index, "tangents_m"),
                value: tangents_m,
                least: 0.0,
                most: leg.length_m,
            });
        }
        leg.straight_m = (leg.length_m - tangents_m).max(0.0);
    }
    let developed_length_m = legs.iter().map(|leg| leg.straight_m).sum::<f64>()
        + bends.iter().map(|bend| bend.arc_m).sum::<f64>();
    Ok(TendonPath { legs, bends, developed_length_m })
}

fn bend(before: &Leg, after: &Leg, radius_m: Option<f64>) -> Bend {
    let (u1, u2) = (before.along.vector(), after.along.vector());
    let angle_rad = between_rad(u1, u2);
    let radius = radius_m.unwrap_or(0.0);
    let tangent_m = radius * (angle_rad / 2.0).tan();
    Bend {
        angle_rad,
        radius_m,
        tangent_m,
        arc_m: radius * angle_rad,
        enters: before.to.moved(u1.times(-tangent_m)),
        leaves: after.from.moved(u2.times(tangent_m)),
    }
}

impl TendonPath {
    /// Returns the runs in order along the tendon: straight, bend, straight, …
    ///
    /// # Formula
    /// `straight: (L - T1 - T2, 0)`; `bend: (Rt · α, α)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | L, T1, T2 | leg, tangents of the bends at its ends | m |
    /// | Rt, α | radius of the tendon's axis, true deviation | m, rad |
    ///
    /// # Validity
    /// As [`tendon_path`]. There is one run for each leg and one for each inner point, even where its length is zero.
    /// No unintended angle is added.
    ///
    /// # Source
    /// Geometry.
    ///
    /// ```
    /// use restrand_mechanics::path::{tendon_path, Alignment, RunKind, TendonPoint};
    /// let point = |station_m, elevation_m| TendonPoint {
    ///     station_m, lateral_m: 0.0, elevation_m, bend_radius_m: None,
    /// };
    /// let points = [point(0.0, 2.0), point(15.0, 0.5), point(35.0, 0.5)];
    /// let runs = tendon_path(&Alignment::Straight, &points)?.runs();
    /// assert_eq!(runs.len(), 3);
    /// assert_eq!(runs[1].kind, RunKind::Bend { point: 1 });
    /// assert_eq!(runs[1].length_m, 0.0);
    /// assert!((runs[1].angle_rad - (1.5_f64 / 15.0).atan()).abs() < 1e-12);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn runs(&self) -> Vec<Run> {
        let mut runs = Vec::with_capacity(self.legs.len() + self.bends.len());
        for (index, leg) in self.legs.iter().enumerate() {
            let kind = RunKind::Straight;
            runs.push(Run { kind, length_m: leg.straight_m, angle_rad: 0.0 });
            if let Some(bend) = self.bends.get(index) {
                let kind = RunKind::Bend { point: index + 1 };
                runs.push(Run { kind, length_m: bend.arc_m, angle_rad: bend.angle_rad });
            }
        }
        runs
    }
}

// The tests' numbers are exact in binary.
#[cfg(test)]
#[allow(clippy::float_cmp)]
mod tests {
    use super::*;

    fn at(station_m: f64, elevation_m: f64, bend_radius_m: Option<f64>) -> TendonPoint {
        TendonPoint { station_m, lateral_m: 0.0, elevation_m, bend_radius_m }
    }

    #[test]
    fn bends_that_just_meet_leave_no_straight_and_overlapping_ones_are_refused() {
        // Two right angles 2 m apart: tangents as long as the radius.
        let path = |radius| {
            let points = [
                at(0.0, 10.0, None),
                at(0.0, 0.0, Some(radius)),
                at(2.0, 0.0, Some(radius)),
                at(2.0, 10.0, None),
            ];
            tendon_path(&Alignment::Straight, &points)
        };
        let meeting = path(1.0).unwrap();
        assert!(meeting.legs[1].straight_m < 1e-12);
        let misfit = path(1.01).unwrap_err().to_string();
        assert!(misfit.starts_with("legs[1].tangents_m is 2.0"), "{misfit}");
    }

    #[test]
    fn a_bend_must_not_reach_beyond_an_anchorage() {
        let points = [at(0.0, 0.0, None), at(1.0, 0.0, Some(4.0)), at(1.0, 9.0, None)];
        assert!(tendon_path(&Alignment::Straight, &points).is_err());
    }

    #[test]
    fn a_deviator_that_does_not_deviate_keeps_its_run() {
        let points = [at(0.0, 0.0, None), at(10.0, 0.0, Some(4.0)), at(20.0, 0.0, None)];
        let path = tendon_path(&Alignment::Straight, &points).unwrap();
        assert_eq!(path.runs()[1].kind, RunKind::Bend { point: 1 });
        assert_eq!((path.runs()[1].angle_rad, path.developed_length_m), (0.0, 20.0));
    }

    #[test]
    fn bad_points_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 1e300] {
            for wrong in [
                TendonPoint { station_m: bad, ..at(0.0, 0.0, None) },
                TendonPoint { lateral_m: bad, ..at(0.0, 0.0, None) },
                TendonPoint { elevation_m: bad, ..at(0.0, 0.0, None) },
                TendonPoint { bend_radius_m: Some(bad), ..at(0.0, 0.0, None) },
                TendonPoint { bend_radius_m: Some(0.0), ..at(0.0, 0.0, None) },
            ] {
                assert!(tendon_path(&Alignment::Straight, &[wrong, at(9.0, 0.0, None)]).is_err());
            }
        }
        let one = at(1.0, 1.0, None);
        assert!(tendon_path(&Alignment::Straight, &[]).is_err());
        assert!(tendon_path(&Alignment::Straight, &[one]).is_err());
        assert!(tendon_path(&Alignment::Straight, &[one, one]).is_err());
    }
}
