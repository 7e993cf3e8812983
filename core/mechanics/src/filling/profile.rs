//! Crests and lows of a tendon's profile.

use crate::misfit::{Argument, Misfit, above, not_negative, number};

/// A point of a tendon's axis seen from the side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfilePoint {
    /// Station, m.
    pub station_m: f64,
    /// Elevation, m.
    pub elevation_m: f64,
}

/// Which way a profile turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExtremeKind {
    /// Higher than what is beside it: air gathers here.
    Crest,
    /// Lower than what is beside it: water gathers here.
    Low,
}

/// A crest or a low; an end of the profile is one too.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// Crest or low.
    pub kind: ExtremeKind,
    /// Station of the highest or lowest point, the first of several, m.
    pub at_m: f64,
    /// Station of the first point of the stretch around it that counts as level, m.
    pub from_m: f64,
    /// Station of the last point of that stretch, m.
    pub to_m: f64,
    /// Elevation of the highest or lowest point, m.
    pub elevation_m: f64,
    /// How much the profile rises or falls at least to the extremes beside it, m.
    pub swing_m: f64,
}

pub(super) fn check(points: &[ProfilePoint]) -> Result<(), Misfit> {
    if points.len() < 2 {
        return Err(Misfit::NotAbove {
            argument: Argument::new("number of points"),
            value: points.len() as f64,
            floor: 1.0,
            floor_is: "a single point",
        });
    }
    for (index, point) in points.iter().enumerate() {
        let argument = Argument::of("points", index, "station_m");
        number(argument, point.station_m)?;
        number(Argument::of("points", index, "elevation_m"), point.elevation_m)?;
        if index > 0 {
            above(argument, point.station_m, points[index - 1].station_m, "the station before")?;
        }
    }
    Ok(())
}

/// Finds the crests and lows of a profile, in the order of the stations; they alternate.
///
/// An empty list means that the whole profile counts as level.
///
/// # Formula
/// A crest is a highest point from which the profile falls by more than ε on both sides, or on one side where it is the first or last extreme;
/// a low likewise. The stretch of neighbouring points within ε of it belongs to it.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | ε | difference of elevation that counts as level, `level_m` | m |
///
/// # Validity
/// Points joined by straight lines, stations growing. A bent run comes as its sampled points, close enough that its crest is among them.
/// Where the profile swings by less than 2 ε, the stretches of a crest and a low beside it may overlap.
///
/// # Source
/// Derived: turning points with a threshold.
///
/// # Errors
/// [`Misfit`] if there are fewer than two points, stations do not grow, `level_m` is negative, or a number is not finite.
///
/// ```
/// use restrand_mechanics::filling::{extremes, ExtremeKind, ProfilePoint};
/// let points = [(99.35, 51.40), (113.0, 50.40), (127.0, 50.40), (141.0, 51.75)]
///     .map(|(station_m, elevation_m)| ProfilePoint { station_m, elevation_m });
/// let found = extremes(&points, 0.005)?;
/// assert_eq!(found.len(), 3);
/// assert_eq!(found[1].kind, ExtremeKind::Low);
/// assert_eq!((found[1].from_m, found[1].to_m), (113.0, 127.0));
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn extremes(points: &[ProfilePoint], level_m: f64) -> Result<Vec<Extreme>, Misfit> {
    check(points)?;
    let level = not_negative(Argument::new("level_m"), level_m)?;
    let turns = turns(points, level);
    let z = |index: usize| points[index].elevation_m;
    Ok(turns
        .iter()
        .enumerate()
        .map(|(order, &(kind, index))| {
            let near = |other: &usize| (z(*other) - z(index)).abs() <= level;
            let first = (0..index).rev().take_while(near).last().unwrap_or(index);
            let last = (index + 1..points.len()).take_while(near).last().unwrap_or(index);
            let before = order.checked_sub(1).map(|other| turns[other].1);
            let after = turns.get(order + 1).map(|other| other.1);
            let swing_m = [before, after]
                .into_iter()
                .flatten()
                .map(|other| (z(other) - z(index)).abs())
                .fold(f64::INFINITY, f64::min);
            Extreme {
                kind,
                at_m: points[index].station_m,
                from_m: points[first].station_m,
                to_m: points[last].station_m,
                elevation_m: z(index),
                swing_m,
            }
        })
        .collect())
}

/// The turning points, alternating; there are none or at least two.
fn turns(points: &[ProfilePoint], level: f64) -> Vec<(ExtremeKind, usize)> {
    let z = |index: usize| points[index].elevation_m;
    let mut found = Vec::new();
    // The highest and the lowest point since the last turn that is sure.
    let (mut high, mut low) = (0, 0);
    let mut last: Option<ExtremeKind> = None;
    for index in 1..points.len() {
        if z(index) > z(high) {
            high = index;
        }
        if z(index) < z(low) {
            low = index;
        }
        // After a low the profile goes up, and only a fall from its highest point makes that one a crest.
        if last != Some(ExtremeKind::Crest) && z(high) - z(index) > level {
            found.push((ExtremeKind::Crest, high));
            last = Some(ExtremeKind::Crest);
            (high, low) = (index, index);
        } else if last != Some(ExtremeKind::Low) && z(index) - z(low) > level {
            found.push((ExtremeKind::Low, low));
            last = Some(ExtremeKind::Low);
            (high, low) = (index, index);
        }
    }
    match last {
        Some(ExtremeKind::Crest) => found.push((ExtremeKind::Low, low)),
        Some(ExtremeKind::Low) => found.push((ExtremeKind::Crest, high)),
        None => {}
    }
    found
}

/// Returns the low at which an inlet belongs: the lowest one, the first of several equal ones; `None` where the profile is level.
///
/// From the lowest point the filler rises on both sides and drives the air before it, as far as the next crest.
///
/// # Formula
/// The low of least elevation.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | | see [`extremes`] | |
///
/// # Validity
/// As [`extremes`]. Whether the place can be reached is another matter.
///
/// # Source
/// Customary: inlets at low points. Derived for which of several.
///
/// # Errors
/// As [`extremes`].
///
/// ```
/// use restrand_mechanics::filling::{inlet_extreme, ProfilePoint};
/// let points = [(0.0, 3.0), (20.0, 1.0), (40.0, 3.0), (60.0, 0.8), (80.0, 2.0)]
///     .map(|(station_m, elevation_m)| ProfilePoint { station_m, elevation_m });
/// assert_eq!(inlet_extreme(&points, 0.01)?.expect("not level").at_m, 60.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn inlet_extreme(points: &[ProfilePoint], level_m: f64) -> Result<Option<Extreme>, Misfit> {
    Ok(extremes(points, level_m)?
        .into_iter()
        .filter(|extreme| extreme.kind == ExtremeKind::Low)
        .min_by(|a, b| a.elevation_m.total_cmp(&b.elevation_m)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(elevations: &[f64]) -> Vec<ProfilePoint> {
        let stations = (0..elevations.len()).map(|index| index as f64);
        stations
            .zip(elevations)
            .map(|(station_m, &elevation_m)| ProfilePoint { station_m, elevation_m })
            .collect()
    }

    fn places(elevations: &[f64], level_m: f64) -> Vec<(ExtremeKind, f64)> {
        let found = extremes(&points(elevations), level_m).unwrap();
        found.iter().map(|extreme| (extreme.kind, extreme.at_m)).collect()
    }

    #[test]
    fn ripples_below_the_threshold_are_no_crests() {
        use ExtremeKind::{Crest, Low};
        let rippled = [0.0, 1.0, 0.95, 2.0, 1.95, 1.0];
        assert_eq!(places(&rippled, 0.1), [(Low, 0.0), (Crest, 3.0), (Low, 5.0)]);
        assert_eq!(places(&rippled, 0.0).len(), 5);
        assert!(places(&[1.0, 1.05, 1.0, 0.98], 0.1).is_empty());
    }

    #[test]
    fn a_level_start_belongs_to_the_first_extreme() {
        let found = extremes(&points(&[1.0, 1.05, 0.0, 2.0]), 0.1).unwrap();
        assert_eq!(found[0].kind, ExtremeKind::Crest);
        assert_eq!((found[0].from_m, found[0].at_m, found[0].to_m), (0.0, 1.0, 1.0));
        assert!((found[1].swing_m - 1.05).abs() < 1e-12);
    }

    #[test]
    fn bad_points_are_refused() {
        let good = points(&[0.0, 1.0, 0.0]);
        assert!(extremes(&good[..1], 0.0).is_err());
        assert!(extremes(&good, -0.1).is_err());
        let mut backwards = good.clone();
        backwards.swap(0, 1);
        assert!(extremes(&backwards, 0.0).is_err());
        for bad in [f64::NAN, f64::INFINITY, 1e300] {
            let mut wrong = good.clone();
            wrong[1].elevation_m = bad;
            assert!(extremes(&wrong, 0.0).is_err());
        }
    }
}
