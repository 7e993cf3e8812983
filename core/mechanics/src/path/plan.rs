//! A tendon's own line in plan: beside the alignment, or a polygon through points.

use super::{Alignment, JOINT_M};
use crate::misfit::{Argument, Misfit, above, positive};

/// A line or arc of a tendon's plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanPiece {
    /// Length in plan, m.
    pub length_m: f64,
    /// Radius, positive where the centre lies to the left, m; none for a line.
    pub radius_m: Option<f64>,
    /// Turn against the piece before, at the corner between them, positive to the left, rad; 0 where they are tangent.
    pub turn_before_rad: f64,
}

/// A point of a tendon's plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanPoint {
    /// Station, m.
    pub station_m: f64,
    /// Lateral offset, positive to the left, m.
    pub lateral_m: f64,
}

/// Returns the plan of a tendon that runs beside the alignment, at one lateral offset.
///
/// # Formula
/// `Rt = R - e`; `lt = l · (1 - e/R)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R, l | signed radius of an element, length of it between the stations | m |
/// | e | lateral offset, `lateral_m`, positive to the left | m |
/// | Rt, lt | signed radius and length of the tendon's piece | m |
///
/// # Validity
/// Between two stations of the alignment, up-station.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a number is not finite, a station lies off the alignment, the second is not beyond the first, or the offset reaches a centre.
///
/// ```
/// use restrand_mechanics::path::{plan_beside, Alignment, Element, Start};
/// let bridge = Alignment::Curved {
///     start: Start { station_m: 0.0, x_m: 0.0, y_m: 0.0, heading_rad: 0.0 },
///     elements: vec![
///         Element { length_m: 10.0, radius_m: None },
///         Element { length_m: 90.0, radius_m: Some(200.0) },
///     ],
/// };
/// let plan = plan_beside(&bridge, 5.0, 50.0, 2.0)?;
/// assert_eq!((plan[0].length_m, plan[0].radius_m), (5.0, None));
/// assert_eq!(plan[1].radius_m, Some(198.0));
/// assert!((plan[1].length_m - 39.6).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn plan_beside(
    alignment: &Alignment,
    from_station_m: f64,
    to_station_m: f64,
    lateral_m: f64,
) -> Result<Vec<PlanPiece>, Misfit> {
    alignment.place(|_| Argument::new("from_station_m"), [from_station_m, 0.0, 0.0])?;
    alignment.place(|_| Argument::new("to_station_m"), [to_station_m, 0.0, 0.0])?;
    alignment.place(|_| Argument::new("lateral_m"), [from_station_m, lateral_m, 0.0])?;
    let argument = Argument::new("to_station_m");
    above(argument, to_station_m, from_station_m + JOINT_M, "from_station_m")?;
    let pieces = alignment.stretches(from_station_m, to_station_m).into_iter().map(|element| {
        let Some(radius_m) = element.radius_m else {
            return Ok(PlanPiece {
                length_m: element.length_m,
                radius_m: None,
                turn_before_rad: 0.0,
            });
        };
        let inward_m = lateral_m * radius_m.signum();
        above(Argument::new("radius_m"), radius_m.abs(), inward_m, "lateral_m to the inside")?;
        let tendon_radius_m = radius_m - lateral_m;
        Ok(PlanPiece {
            length_m: element.length_m * (tendon_radius_m / radius_m),
            radius_m: Some(tendon_radius_m),
            turn_before_rad: 0.0,
        })
    });
    pieces.collect()
}

/// Returns the plan of a tendon that runs straight from point to point.
///
/// # Formula
/// `l = |v|`; `turn = atan2(v1 × v2, v1 · v2)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | v, v1, v2 | from a point to the next, in plan | m |
/// | turn | to the left at a point, [`PlanPiece::turn_before_rad`] | rad |
///
/// # Validity
/// Points in order along the tendon; the alignment's curve is in them.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if there are fewer than two points, a number is not finite, a point lies off the alignment, or two points are one.
///
/// ```
/// use restrand_mechanics::path::{plan_polygon, Alignment, PlanPoint};
/// let at = |station_m, lateral_m| PlanPoint { station_m, lateral_m };
/// let plan = plan_polygon(&Alignment::Straight, &[at(0.0, 1.0), at(4.0, 4.0), at(8.0, 7.0)])?;
/// assert_eq!(plan[0].length_m, 5.0);
/// assert_eq!(plan[1].turn_before_rad, 0.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn plan_polygon(alignment: &Alignment, points: &[PlanPoint]) -> Result<Vec<PlanPiece>, Misfit> {
    let argument = Argument::new("number of points");
    above(argument, points.len() as f64, 1.0, "a single point")?;
    let mut placed = Vec::with_capacity(points.len());
    for (index, point) in points.iter().enumerate() {
        let named = |name| Argument::of("points", index, name);
        placed.push(alignment.place(named, [point.station_m, point.lateral_m, 0.0])?);
    }
    let mut pieces = Vec::with_capacity(placed.len() - 1);
    let mut before: Option<(f64, f64)> = None;
    for (index, pair) in placed.windows(2).enumerate() {
        let (x, y) = (pair[1].x_m - pair[0].x_m, pair[1].y_m - pair[0].y_m);
        let length_m = positive(Argument::of("pieces", index, "length_m"), x.hypot(y))?;
        let turn = before.map_or(0.0, |(bx, by)| (bx * y - by * x).atan2(bx * x + by * y));
        pieces.push(PlanPiece { length_m, radius_m: None, turn_before_rad: turn });
        before = Some((x, y));
    }
    Ok(pieces)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::{Element, Start};

    fn bend(radius_m: f64) -> Alignment {
        Alignment::Curved {
            start: Start { station_m: 100.0, x_m: 0.0, y_m: 0.0, heading_rad: 1.0 },
            elements: vec![Element { length_m: 50.0, radius_m: Some(radius_m) }],
        }
    }

    #[test]
    fn the_outside_of_a_bend_is_longer() {
        let length_m = |radius_m, lateral_m| {
            plan_beside(&bend(radius_m), 110.0, 130.0, lateral_m).unwrap()[0].length_m
        };
        assert!((length_m(100.0, 5.0) - 19.0).abs() < 1e-12);
        assert!((length_m(100.0, -5.0) - 21.0).abs() < 1e-12);
        assert!((length_m(-100.0, 5.0) - 21.0).abs() < 1e-12);
    }

    #[test]
    fn a_polygon_on_a_bend_turns_with_it() {
        let at = |station_m| PlanPoint { station_m, lateral_m: 0.0 };
        let plan = plan_polygon(&bend(-100.0), &[at(100.0), at(120.0), at(140.0)]).unwrap();
        assert!((plan[1].turn_before_rad + 0.2).abs() < 1e-12);
        assert!((plan[1].length_m - 200.0 * 0.1_f64.sin()).abs() < 1e-9);
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 1e300] {
            assert!(plan_beside(&bend(100.0), bad, 120.0, 0.0).is_err());
            assert!(plan_beside(&bend(100.0), 100.0, bad, 0.0).is_err());
            assert!(plan_beside(&bend(100.0), 100.0, 120.0, bad).is_err());
            let points = [
                PlanPoint { station_m: 110.0, lateral_m: bad },
                PlanPoint { station_m: 120.0, lateral_m: 0.0 },
            ];
            assert!(plan_polygon(&bend(100.0), &points).is_err());
            assert!(plan_polygon(&bend(100.0), &points[1..]).is_err());
            assert!(plan_polygon(&bend(100.0), &[points[1], points[1]]).is_err());
        }
        assert!(plan_beside(&bend(100.0), 120.0, 110.0, 0.0).is_err());
        assert!(plan_beside(&bend(100.0), 110.0, 120.0, 100.0).is_err());
    }
}
