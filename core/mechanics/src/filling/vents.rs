//! Where vents and drains belong, in the order in which the filler reaches them.

use super::profile::{Extreme, ExtremeKind, ProfilePoint, check, extremes};
use crate::misfit::{Argument, Misfit, number};

/// What a fitting is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FittingKind {
    /// At a crest: lets air and the first filler out, and is closed when good filler comes.
    Vent,
    /// At a low: lets water out before filling.
    Drain,
    /// At the highest place of the cap or anchorage at an end of the profile.
    EndVent,
}

/// A fitting on the tendon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitting {
    /// What it is for.
    pub kind: FittingKind,
    /// Station, m: for a vent on a level stretch, the end that the filler reaches last.
    pub at_m: f64,
    /// Elevation of the tendon there, m.
    pub elevation_m: f64,
    /// How far the filler comes from the inlet to get there, m.
    pub along_m: f64,
}

/// The fittings of one tendon.
#[derive(Debug, Clone, PartialEq)]
pub struct Fittings {
    /// Elevation of the tendon at the inlet, m.
    pub inlet_elevation_m: f64,
    /// Whether the inlet is at a low of the profile, and so drains it too.
    pub inlet_at_low: bool,
    /// How much the highest point of the profile is above the inlet, m.
    pub rise_m: f64,
    /// The fittings towards smaller stations, the first that the filler reaches first.
    pub down: Vec<Fitting>,
    /// The fittings towards greater stations, the first that the filler reaches first.
    pub up: Vec<Fitting>,
}

/// Places vents at crests and ends and drains at lows, in the order in which the filler reaches them from an inlet.
///
/// # Formula
/// Crests and lows by [`extremes`]; distance along the profile `Σ √(Δx² + Δz²)`.
/// Each end has a vent, which serves a crest there too; a low at the inlet needs no drain of its own.
/// A level crest is vented where the filler comes last: at its far end, and at both ends where the inlet is on it.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x, z | station and elevation of the points | m |
///
/// # Validity
/// As [`extremes`]. Distances lack what the tendon goes sideways. Filler flows both ways from the inlet;
/// on a falling stretch it runs ahead and may lock air in, which is why the crest before it must be vented.
///
/// # Source
/// Customary: vents at every high point and at the ends, drains at low points. Distances derived.
///
/// # Errors
/// [`Misfit`] as [`extremes`], and if the inlet is not on the profile.
///
/// ```
/// use restrand_mechanics::filling::{fittings, FittingKind, ProfilePoint};
/// let points = [(0.0, 3.0), (20.0, 1.0), (40.0, 2.5), (60.0, 1.0), (80.0, 3.0)]
///     .map(|(station_m, elevation_m)| ProfilePoint { station_m, elevation_m });
/// let told = fittings(&points, 20.0, 0.01)?;
/// assert!(told.inlet_at_low);
/// assert_eq!(told.down.iter().map(|one| one.kind).collect::<Vec<_>>(), [FittingKind::EndVent]);
/// assert_eq!(
///     told.up.iter().map(|one| (one.kind, one.at_m)).collect::<Vec<_>>(),
///     [(FittingKind::Vent, 40.0), (FittingKind::Drain, 60.0), (FittingKind::EndVent, 80.0)]
/// );
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn fittings(
    points: &[ProfilePoint],
    inlet_station_m: f64,
    level_m: f64,
) -> Result<Fittings, Misfit> {
    check(points)?;
    let (start, end) = (points[0], points[points.len() - 1]);
    let argument = Argument::new("inlet_station_m");
    let inlet = number(argument, inlet_station_m)?;
    if inlet < start.station_m || inlet > end.station_m {
        let (least, most) = (start.station_m, end.station_m);
        return Err(Misfit::NotWithin { argument, value: inlet, least, most });
    }
    let found = extremes(points, level_m)?;
    let at_inlet = |extreme: &Extreme| extreme.from_m <= inlet && inlet <= extreme.to_m;
    let way = Way::new(points, inlet);
    let mut down = Vec::new();
    let mut up = Vec::new();
    for extreme in &found {
        match extreme.kind {
            ExtremeKind::Low if at_inlet(extreme) => {}
            ExtremeKind::Low => {
                let branch = if extreme.at_m > inlet { &mut up } else { &mut down };
                branch.push(way.fitting(FittingKind::Drain, extreme.at_m));
            }
            ExtremeKind::Crest => {
                // At an end of the profile the end's own vent serves.
                let (from_m, to_m) = (extreme.from_m, extreme.to_m);
                if from_m <= inlet && from_m > start.station_m {
                    down.push(way.fitting(FittingKind::Vent, from_m));
                }
                // A crest that is one point at the inlet has its vent already.
                let another = from_m > inlet || to_m > from_m;
                if to_m >= inlet && to_m < end.station_m && another {
                    up.push(way.fitting(FittingKind::Vent, to_m));
                }
            }
        }
    }
    down.push(way.fitting(FittingKind::EndVent, start.station_m));
    up.push(way.fitting(FittingKind::EndVent, end.station_m));
    for branch in [&mut down, &mut up] {
        branch.sort_by(|a, b| a.along_m.total_cmp(&b.along_m));
    }
    let highest_m = points.iter().map(|point| point.elevation_m).fold(f64::MIN, f64::max);
    let inlet_elevation_m = way.elevation_m(inlet);
    Ok(Fittings {
        inlet_elevation_m,
        inlet_at_low: found.iter().any(|one| one.kind == ExtremeKind::Low && at_inlet(one)),
        rise_m: highest_m - inlet_elevation_m,
        down,
        up,
    })
}

/// Distances along the profile.
struct Way<'a> {
    points: &'a [ProfilePoint],
    /// Distance of each point from the first.
    along_m: Vec<f64>,
    inlet_along_m: f64,
}

impl<'a> Way<'a> {
    fn new(points: &'a [ProfilePoint], inlet: f64) -> Self {
        let mut along_m = vec![0.0];
        for pair in points.windows(2) {
            let step = (pair[1].station_m - pair[0].station_m)
                .hypot(pair[1].elevation_m - pair[0].elevation_m);
            along_m.push(along_m[along_m.len() - 1] + step);
        }
        let mut way = Self { points, along_m, inlet_along_m: 0.0 };
        way.inlet_along_m = way.at(inlet).0;
        way
    }

    /// Distance from the first point, and elevation.
    fn at(&self, station_m: f64) -> (f64, f64) {
        let after = self.points.partition_point(|point| point.station_m <= station_m);
        let right = after.clamp(1, self.points.len() - 1);
        let (a, b) = (self.points[right - 1], self.points[right]);
        let share = ((station_m - a.station_m) / (b.station_m - a.station_m)).clamp(0.0, 1.0);
        let between = |from: f64, to: f64| from * (1.0 - share) + to * share;
        (
            between(self.along_m[right - 1], self.along_m[right]),
            between(a.elevation_m, b.elevation_m),
        )
    }

    fn elevation_m(&self, station_m: f64) -> f64 {
        self.at(station_m).1
    }

    fn fitting(&self, kind: FittingKind, at_m: f64) -> Fitting {
        let (along_m, elevation_m) = self.at(at_m);
        Fitting { kind, at_m, elevation_m, along_m: (along_m - self.inlet_along_m).abs() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<ProfilePoint> {
        let point = |&(station_m, elevation_m)| ProfilePoint { station_m, elevation_m };
        list.iter().map(point).collect()
    }

    fn kinds(branch: &[Fitting]) -> Vec<(FittingKind, f64)> {
        branch.iter().map(|fitting| (fitting.kind, fitting.at_m)).collect()
    }

    #[test]
    fn a_vent_on_a_level_crest_is_where_the_filler_comes_last() {
        use FittingKind::{Drain, EndVent, Vent};
        let profile = points(&[(0.0, 2.0), (10.0, 0.0), (20.0, 2.0), (30.0, 2.0), (40.0, 0.5)]);
        let told = fittings(&profile, 10.0, 0.01).unwrap();
        assert_eq!(kinds(&told.up), [(Vent, 30.0), (Drain, 40.0), (EndVent, 40.0)]);
        let told = fittings(&profile, 40.0, 0.01).unwrap();
        assert_eq!(kinds(&told.down), [(Vent, 20.0), (Drain, 10.0), (EndVent, 0.0)]);
        assert_eq!(kinds(&told.up), [(EndVent, 40.0)]);
        assert!(told.inlet_at_low);
        assert!((told.rise_m - 1.5).abs() < 1e-12);
    }

    #[test]
    fn an_inlet_on_a_level_crest_leaves_air_at_both_ends_of_it() {
        use FittingKind::{EndVent, Vent};
        let profile = points(&[(0.0, 0.0), (10.0, 2.0), (30.0, 2.0), (40.0, 0.0)]);
        for inlet in [10.0, 20.0, 25.0, 30.0] {
            let told = fittings(&profile, inlet, 0.01).unwrap();
            let vents = |branch: &[Fitting]| {
                let vents = branch.iter().filter(|fitting| fitting.kind == Vent);
                vents.map(|fitting| (fitting.at_m, fitting.along_m)).collect::<Vec<_>>()
            };
            assert_eq!(vents(&told.down), [(10.0, inlet - 10.0)]);
            assert_eq!(vents(&told.up), [(30.0, 30.0 - inlet)]);
        }
        // A crest at an end of the profile has that end's vent, and one that is a point has one vent.
        let shelf = points(&[(0.0, 2.0), (20.0, 2.0), (30.0, 0.0)]);
        let told = fittings(&shelf, 12.0, 0.01).unwrap();
        assert_eq!(kinds(&told.down), [(EndVent, 0.0)]);
        assert_eq!(kinds(&told.up)[0], (Vent, 20.0));
        let peak = points(&[(0.0, 0.0), (10.0, 2.0), (20.0, 0.0)]);
        let told = fittings(&peak, 10.0, 0.01).unwrap();
        let all = told.down.iter().chain(&told.up);
        assert_eq!(all.filter(|fitting| fitting.kind == Vent).count(), 1);
    }

    #[test]
    fn a_low_that_is_not_the_inlet_is_drained() {
        let profile = points(&[(0.0, 2.0), (10.0, 0.0), (20.0, 2.0)]);
        let told = fittings(&profile, 4.0, 0.01).unwrap();
        assert!(!told.inlet_at_low);
        assert_eq!(told.up[0].kind, FittingKind::Drain);
        assert!((told.up[0].along_m - 6.0f64.hypot(1.2)).abs() < 1e-12);
    }

    #[test]
    fn a_level_tendon_has_vents_at_its_ends() {
        let told = fittings(&points(&[(0.0, 1.0), (50.0, 1.0)]), 0.0, 0.0).unwrap();
        assert_eq!(kinds(&told.down), [(FittingKind::EndVent, 0.0)]);
        assert_eq!(kinds(&told.up), [(FittingKind::EndVent, 50.0)]);
    }

    #[test]
    fn an_inlet_beside_the_profile_is_refused() {
        let profile = points(&[(0.0, 2.0), (10.0, 0.0)]);
        for bad in [-0.1, 10.1, f64::NAN] {
            assert!(fittings(&profile, bad, 0.0).is_err());
        }
    }
}
