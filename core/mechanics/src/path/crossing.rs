//! Where a straight line between two points crosses the cross-section of a station.

use super::{Alignment, Point};
use crate::misfit::{Argument, Misfit, positive, within};

/// How far beyond its ends a line may be crossed, as a share of it: a station at an end is not exact.
const ROUNDING: f64 = 1e-9;

/// Where a line crosses the cross-section of a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Lateral offset there, positive to the left, m.
    pub lateral_m: f64,
    /// Elevation there, m.
    pub elevation_m: f64,
    /// How far along the line it is, from 0 at its first point to 1.
    pub share: f64,
}

/// Returns where the straight line between two points crosses the cross-section of a station.
///
/// # Formula
/// `t = (F - A)·d / (B - A)·d`; `P = A + t (B - A)`; `lateral = (P - F)·n`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | A, B | points, `from`, `to` | m |
/// | F | the alignment's point at the station, `station_m` | m |
/// | d, n | the alignment's direction there, and to its left, level | |
/// | t | share of the line, [`Crossing::share`] | |
///
/// # Validity
/// The cross-section is upright and square to the alignment. On a curved bridge a straight leg lies off the line
/// that its laterals make: by the rise over the chord at most, [`rise_over_chord_m`](super::rise_over_chord_m).
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a number is not finite, the station lies off the alignment, the line does not run up-station there,
/// or the cross-section lies beyond one of its points.
///
/// ```
/// use restrand_mechanics::path::{crossing, Alignment};
/// let bridge = Alignment::Straight;
/// let (from, to) = (bridge.point(100.0, 1.0, 50.0)?, bridge.point(110.0, 2.0, 48.0)?);
/// let at = crossing(&bridge, from, to, 105.0)?;
/// assert_eq!((at.lateral_m, at.elevation_m, at.share), (1.5, 49.0, 0.5));
/// assert!(crossing(&bridge, from, to, 111.0).is_err());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn crossing(
    alignment: &Alignment,
    from: Point,
    to: Point,
    station_m: f64,
) -> Result<Crossing, Misfit> {
    let along = from.check("from")?.to(to.check("to")?);
    let foot = alignment.point(station_m, 0.0, 0.0)?;
    let (sin, cos) = alignment.heading_rad(station_m)?.sin_cos();
    let [x, y, z] = along.0;
    let onward = positive(Argument::new("way up-station, m"), x * cos + y * sin)?;
    let reach = (foot.x_m - from.x_m) * cos + (foot.y_m - from.y_m) * sin;
    let share = within(Argument::new("share"), reach / onward, -ROUNDING, 1.0 + ROUNDING)?;
    let share = share.clamp(0.0, 1.0);
    let (off_x, off_y) = (from.x_m + share * x - foot.x_m, from.y_m + share * y - foot.y_m);
    Ok(Crossing { lateral_m: off_y * cos - off_x * sin, elevation_m: from.z_m + share * z, share })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::{Element, Start, rise_over_chord_m};

    #[test]
    fn a_chord_on_a_bend_lies_inside_by_its_rise() {
        let bend = Alignment::Curved {
            start: Start { station_m: 100.0, x_m: 5.0, y_m: -3.0, heading_rad: 0.7 },
            elements: vec![Element { length_m: 60.0, radius_m: Some(200.0) }],
        };
        let (from, to) =
            (bend.point(110.0, 0.0, 1.0).unwrap(), bend.point(150.0, 0.0, 3.0).unwrap());
        let middle = crossing(&bend, from, to, 130.0).unwrap();
        // The chord of an arc of 0.2 rad.
        let rise_m = rise_over_chord_m(200.0, 2.0 * 200.0 * 0.1_f64.sin()).unwrap();
        assert!((middle.lateral_m - rise_m).abs() < 1e-9, "{middle:?} {rise_m}");
        assert!((middle.elevation_m - 2.0).abs() < 1e-9);
        for (station_m, share) in [(110.0, 0.0), (150.0, 1.0)] {
            let end = crossing(&bend, from, to, station_m).unwrap();
            assert!((end.share - share).abs() < 1e-9 && end.lateral_m.abs() < 1e-9);
        }
    }

    #[test]
    fn what_is_not_crossed_is_refused() {
        let bridge = Alignment::Straight;
        let (from, to) =
            (bridge.point(0.0, 0.0, 0.0).unwrap(), bridge.point(9.0, 0.0, 0.0).unwrap());
        for bad in [f64::NAN, f64::INFINITY, -1.0, 9.1] {
            assert!(crossing(&bridge, from, to, bad).is_err());
        }
        // Down-station, and upright.
        assert!(crossing(&bridge, to, from, 4.0).is_err());
        let above = bridge.point(0.0, 0.0, 5.0).unwrap();
        assert!(crossing(&bridge, from, above, 0.0).is_err());
    }
}
