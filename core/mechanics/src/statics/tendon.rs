//! A tendon in a beam: its line, its force, its primary moments and the loads that it is equal to.

use super::beam::{check_cuts, joined};
use super::effects::Cut;
use super::load::Load;
use super::piece::Piece;
use crate::misfit::{Argument, LARGEST, Misfit, SAME_PLACE_M, above, not_negative, number};

/// A stretch of a tendon's line: straight, or a parabola.
///
/// Only eccentricities count, so where the centroid bends or steps the line bends or steps against it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Station of its start, m.
    pub from_m: f64,
    /// Station of its end, m.
    pub to_m: f64,
    /// How far the tendon is below the centroid at the start, m; negative above it.
    pub from_eccentricity_m: f64,
    /// How far the tendon is below the centroid at the end, m; negative above it.
    pub to_eccentricity_m: f64,
    /// How far the middle of the run is below the straight line between its ends, m: 0 for a straight run, negative for a hog.
    pub sag_m: f64,
}

/// The force at one place of a tendon; between two of them it runs straight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxialPoint {
    /// Station, m. Two points at one station are a jump, as friction at a deviator makes it.
    pub station_m: f64,
    /// The force's component along the beam, `P cos θ`, kN.
    pub axial_kn: f64,
}

/// A tendon, from anchorage to anchorage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tendon<'a> {
    /// Its line, one run after another.
    pub runs: &'a [Run],
    /// Its force, at stations that do not fall, from its start or before it to its end or beyond it.
    pub axial: &'a [AxialPoint],
}

/// What a tendon does at a cut by itself, without the supports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrimaryAt {
    /// Force along the beam, pressing, kN; 0 where there is no tendon.
    pub axial_kn: f64,
    /// Primary moment, kNm.
    pub primary_knm: f64,
}

/// A stretch of one run with the force straight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Leg {
    pub(super) moment: Piece,
    axial: [f64; 2],
}

impl Leg {
    fn axial_at(&self, station_m: f64) -> f64 {
        let share = self.moment.share(station_m);
        self.axial[0] * (1.0 - share) + self.axial[1] * share
    }
}

impl Tendon<'_> {
    /// The stretches between all places where line or force changes.
    pub(super) fn legs(&self) -> Result<Vec<Leg>, Misfit> {
        let joints = self.joints()?;
        let axial = self.snapped_axial(&joints)?;
        let mut legs = Vec::with_capacity(self.runs.len() + axial.len());
        let mut next = 0;
        for (run, ends) in self.runs.iter().zip(joints.windows(2)) {
            let mut from_m = ends[0];
            while from_m < ends[1] {
                // The first point beyond the leg's start; there is one before or at it.
                while next < axial.len() && axial[next].station_m <= from_m {
                    next += 1;
                }
                let (before, after) = (axial[next - 1], axial[next.min(axial.len() - 1)]);
                let to_m = ends[1].min(after.station_m);
                let between = |x: f64| {
                    let share = (x - before.station_m) / (after.station_m - before.station_m);
                    before.axial_kn * (1.0 - share) + after.axial_kn * share
                };
                legs.push(leg(
                    run,
                    [ends[0], ends[1]],
                    [from_m, to_m],
                    [between(from_m), between(to_m)],
                ));
                from_m = to_m;
            }
        }
        Ok(legs)
    }

    /// Stations of the runs' ends.
    fn joints(&self) -> Result<Vec<f64>, Misfit> {
        let mut joints = Vec::with_capacity(self.runs.len() + 1);
        for (index, run) in self.runs.iter().enumerate() {
            let name = |name| Argument::of("runs", index, name);
            number(name("from_m"), run.from_m)?;
            number(name("to_m"), run.to_m)?;
            number(name("from_eccentricity_m"), run.from_eccentricity_m)?;
            number(name("to_eccentricity_m"), run.to_eccentricity_m)?;
            number(name("sag_m"), run.sag_m)?;
            match joints.last() {
                None => joints.push(run.from_m),
                Some(&reached) => joined(name("from_m"), run.from_m, reached, reached)?,
            }
            let start = joints[joints.len() - 1];
            above(name("to_m"), run.to_m, start + SAME_PLACE_M, "from_m")?;
            joints.push(run.to_m);
        }
        if joints.is_empty() {
            let (argument, value) = (Argument::new("number of runs"), 0.0);
            return Err(Misfit::NotPositive { argument, value });
        }
        Ok(joints)
    }

    /// The force's points, with stations that are meant to be one made one.
    ///
    /// Otherwise a jump that is a rounding beside a deviator would be a force that acts over no length.
    fn snapped_axial(&self, joints: &[f64]) -> Result<Vec<AxialPoint>, Misfit> {
        let mut points: Vec<AxialPoint> = Vec::with_capacity(self.axial.len());
        for (index, point) in self.axial.iter().enumerate() {
            let argument = Argument::of("axial", index, "station_m");
            let mut station_m = number(argument, point.station_m)?;
            not_negative(Argument::of("axial", index, "axial_kn"), point.axial_kn)?;
            let after = joints.partition_point(|joint| *joint < station_m);
            let near = |joint: &&f64| (**joint - station_m).abs() <= SAME_PLACE_M;
            let beside = [after.checked_sub(1), Some(after)].into_iter().flatten();
            if let Some(joint) = beside.filter_map(|index| joints.get(index)).find(near) {
                station_m = *joint;
            }
            if let Some(last) = points.last() {
                joined(argument, station_m, last.station_m, LARGEST)?;
                if station_m - last.station_m <= SAME_PLACE_M {
                    station_m = last.station_m;
                }
            }
            points.push(AxialPoint { station_m, ..*point });
        }
        let (start, end) = (joints[0], joints[joints.len() - 1]);
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            let (argument, value) = (Argument::new("number of axial points"), 0.0);
            return Err(Misfit::NotPositive { argument, value });
        };
        let argument = Argument::of("axial", 0, "station_m");
        joined(argument, first.station_m, -LARGEST, start)?;
        let argument = Argument::of("axial", points.len() - 1, "station_m");
        joined(argument, last.station_m, end, LARGEST)?;
        Ok(points)
    }
}

/// `-H e` over a part of a run: the run's parabola times the force's straight line.
fn leg(run: &Run, run_ends: [f64; 2], ends: [f64; 2], axial: [f64; 2]) -> Leg {
    let run_length = run_ends[1] - run_ends[0];
    let start = (ends[0] - run_ends[0]) / run_length;
    let part = (ends[1] - ends[0]) / run_length;
    let rise = run.to_eccentricity_m - run.from_eccentricity_m;
    // e = e0 + e1 ξ + e2 ξ² over the part.
    let e0 = run.from_eccentricity_m * (1.0 - start)
        + run.to_eccentricity_m * start
        + 4.0 * run.sag_m * start * (1.0 - start);
    let e1 = part * (rise + 4.0 * run.sag_m * (1.0 - 2.0 * start));
    let e2 = -4.0 * run.sag_m * part * part;
    let (h0, h1) = (axial[0], axial[1] - axial[0]);
    // The sum with zero keeps a minus sign off a zero.
    let c = [-h0 * e0, -(h0 * e1 + h1 * e0), -(h0 * e2 + h1 * e1), -h1 * e2].map(|c| c + 0.0);
    Leg { moment: Piece { from_m: ends[0], to_m: ends[1], c }, axial }
}

/// Returns a tendon's axial force and primary moment at each cut.
///
/// # Formula
/// `N = H`; `M = -H e`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | H | component of the tendon's force along the beam, `P cos θ` | kN |
/// | e | eccentricity, positive below the centroid | m |
/// | N, M | axial force, pressing; primary moment, sagging | kN, kNm |
///
/// # Validity
/// Any beam, determinate or not; on an indeterminate one, secondary moments come on top: see [`Beam::under_tendon`](super::Beam::under_tendon).
/// With eccentricities to the side instead of downward it gives the lateral moments.
///
/// # Source
/// Equilibrium of a cut through beam and tendon.
///
/// # Errors
/// [`Misfit`] if there is no run, runs do not follow one another, the force is negative or not given from end to end,
/// its stations fall, or a number is not finite.
///
/// ```
/// use restrand_mechanics::statics::{primary, AxialPoint, Cut, Run, Side, Tendon};
/// let run = |from_m, to_m, from_eccentricity_m, to_eccentricity_m| Run {
///     from_m, to_m, from_eccentricity_m, to_eccentricity_m, sag_m: 0.0,
/// };
/// let runs = [run(0.0, 13.0, 0.2, 1.2), run(13.0, 27.0, 1.2, 1.2), run(27.0, 40.0, 1.2, -0.15)];
/// let point = |station_m, axial_kn| AxialPoint { station_m, axial_kn };
/// let axial = [
///     point(0.0, 3475.0), point(13.0, 3475.0), point(13.0, 3480.0),
///     point(27.0, 3480.0), point(27.0, 3414.0), point(40.0, 3414.0),
/// ];
/// let told = primary(&Tendon { runs: &runs, axial: &axial }, &[Cut { station_m: 20.0, side: Side::Up }])?;
/// assert_eq!(told[0].axial_kn, 3480.0);
/// assert!((told[0].primary_knm + 4176.0).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn primary(tendon: &Tendon<'_>, cuts: &[Cut]) -> Result<Vec<PrimaryAt>, Misfit> {
    check_cuts(cuts)?;
    let legs = tendon.legs()?;
    Ok(cuts
        .iter()
        .map(|&cut| {
            // The only leg that can hold the cut is the first that ends beyond it.
            let first = legs.partition_point(|leg| cut.is_past(leg.moment.to_m));
            let held = legs.get(first).filter(|leg| leg.moment.holds(cut));
            held.map_or(PrimaryAt { axial_kn: 0.0, primary_knm: 0.0 }, |leg| PrimaryAt {
                axial_kn: leg.axial_at(cut.station_m),
                primary_knm: leg.moment.at(cut.station_m),
            })
        })
        .collect())
}

/// Returns the loads across a beam that a tendon is equal to; they are in equilibrium with each other.
///
/// # Formula
/// From the primary moment `M = -H e`: spread load `-M''`, force `-Δ(M')` where its slope jumps, couple `ΔM` where it jumps itself.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | H, e | as [`primary`] | kN, m |
/// | M', M'' | slope and curvature of the moment line | kN, kN/m |
///
/// # Validity
/// As [`primary`]. Loads along the beam (anchorage forces, friction) are the jumps and slopes of H and are not listed; their
/// eccentricity is in the couples. A straight run gives no load between its ends, so an external tendon acts at anchorages and deviators only.
/// Loads of less than a billionth of the greatest are rounding and left out.
///
/// # Source
/// Lin's load-balancing view (from memory); derived from equilibrium.
///
/// # Errors
/// As [`primary`].
///
/// ```
/// use restrand_mechanics::statics::{equivalent_loads, AxialPoint, Load, Run, Tendon};
/// let hanging = Run {
///     from_m: 0.0, to_m: 20.0, from_eccentricity_m: 0.0, to_eccentricity_m: 0.0, sag_m: 0.5,
/// };
/// let axial = [AxialPoint { station_m: 0.0, axial_kn: 3000.0 }, AxialPoint { station_m: 20.0, axial_kn: 3000.0 }];
/// let loads = equivalent_loads(&Tendon { runs: &[hanging], axial: &axial })?;
/// // 4 H f / L down at each anchorage, 8 H f / L² up between them.
/// assert_eq!(loads, [
///     Load::Point { at_m: 0.0, down_kn: 300.0 },
///     Load::Spread { from_m: 0.0, to_m: 20.0, from_kn_per_m: -30.0, to_kn_per_m: -30.0 },
///     Load::Point { at_m: 20.0, down_kn: 300.0 },
/// ]);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn equivalent_loads(tendon: &Tendon<'_>) -> Result<Vec<Load>, Misfit> {
    let legs = tendon.legs()?;
    let pieces: Vec<Piece> = legs.iter().map(|leg| leg.moment).collect();
    let ends = || pieces.iter().flat_map(|piece| [(piece, 0.0), (piece, 1.0)]);
    let least = |values: f64| values * 1e-9;
    let moment_noise =
        least(ends().map(|(piece, share)| piece.at_share(share).abs()).fold(0.0, f64::max));
    let force_noise =
        least(ends().map(|(piece, share)| piece.slope_at_share(share).abs()).fold(0.0, f64::max));

    let mut loads = Vec::new();
    let joint =
        |before: Option<&Piece>, after: Option<&Piece>, at_m: f64, loads: &mut Vec<Load>| {
            let jump = |f: fn(&Piece, f64) -> f64| {
                after.map_or(0.0, |piece| f(piece, 0.0)) - before.map_or(0.0, |piece| f(piece, 1.0))
            };
            let clockwise_knm = jump(Piece::at_share);
            if clockwise_knm.abs() > moment_noise {
                loads.push(Load::Couple { at_m, clockwise_knm });
            }
            let down_kn = -jump(Piece::slope_at_share);
            if down_kn.abs() > force_noise {
                loads.push(Load::Point { at_m, down_kn });
            }
        };
    let mut before: Option<&Piece> = None;
    for piece in &pieces {
        joint(before, Some(piece), piece.from_m, &mut loads);
        let (from, to) = (-piece.bend_at_share(0.0), -piece.bend_at_share(1.0));
        if from.abs().max(to.abs()) * piece.length_m() > force_noise {
            loads.push(Load::Spread {
                from_m: piece.from_m,
                to_m: piece.to_m,
                from_kn_per_m: from,
                to_kn_per_m: to,
            });
        }
        before = Some(piece);
    }
    if let Some(last) = before {
        joint(before, None, last.to_m, &mut loads);
    }
    Ok(loads)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statics::Side;

    fn run(from_m: f64, to_m: f64, from: f64, to: f64) -> Run {
        Run { from_m, to_m, from_eccentricity_m: from, to_eccentricity_m: to, sag_m: 0.0 }
    }

    fn point(station_m: f64, axial_kn: f64) -> AxialPoint {
        AxialPoint { station_m, axial_kn }
    }

    #[test]
    fn a_jump_that_is_a_rounding_beside_its_deviator_is_at_it() {
        let runs = [run(0.0, 10.0, 0.0, 1.0), run(10.0, 20.0, 1.0, 0.0)];
        for off in [-1e-10, 0.0, 1e-10] {
            let axial =
                [point(0.0, 100.0), point(10.0 + off, 100.0), point(10.0, 90.0), point(20.0, 90.0)];
            let tendon = Tendon { runs: &runs, axial: &axial };
            assert_eq!(tendon.legs().unwrap().len(), 2);
            let loads = equivalent_loads(&tendon).unwrap();
            assert_eq!(loads.len(), 4, "{loads:?}");
        }
    }

    #[test]
    fn beyond_its_anchorages_a_tendon_does_nothing() {
        let runs = [run(0.0, 10.0, 0.5, 0.5)];
        let axial = [point(0.0, 100.0), point(10.0, 100.0)];
        let tendon = Tendon { runs: &runs, axial: &axial };
        let at = |station_m, side| primary(&tendon, &[Cut { station_m, side }]).unwrap()[0];
        for (station_m, side) in
            [(-1.0, Side::Up), (0.0, Side::Down), (10.0, Side::Up), (11.0, Side::Down)]
        {
            assert_eq!(at(station_m, side), PrimaryAt { axial_kn: 0.0, primary_knm: 0.0 });
        }
        for (station_m, side) in [(0.0, Side::Up), (5.0, Side::Up), (10.0, Side::Down)] {
            assert_eq!(at(station_m, side), PrimaryAt { axial_kn: 100.0, primary_knm: -50.0 });
        }
    }

    #[test]
    fn a_cut_a_rounding_beside_a_jump_is_at_it() {
        // An anchorage at 0.3, a deviator at 113.3 that keeps 200 kN.
        let axial =
            [point(0.3, 3500.0), point(113.3, 3500.0), point(113.3, 3300.0), point(120.0, 3300.0)];
        let runs = [run(0.3, 113.3, 0.0, 1.0), run(113.3, 120.0, 1.0, 0.0)];
        let tendon = Tendon { runs: &runs, axial: &axial };
        let at = |station_m, side| {
            let told = primary(&tendon, &[Cut { station_m, side }]).unwrap()[0];
            // Beyond the end of a run its line does not go on.
            assert!(told.primary_knm <= 0.0 && told.primary_knm >= -told.axial_kn);
            told.axial_kn.round()
        };
        for off in [-1e-10, -1e-12, 0.0, 1e-12, 1e-10] {
            for (station_m, before_kn, after_kn) in
                [(0.3, 0.0, 3500.0), (113.3, 3500.0, 3300.0), (120.0, 3300.0, 0.0)]
            {
                assert_eq!(at(station_m + off, Side::Down), before_kn, "{station_m} {off}");
                assert_eq!(at(station_m + off, Side::Up), after_kn, "{station_m} {off}");
            }
        }
        // What is no rounding is another place.
        for (off, axial_kn) in [(-1e-8, 3500.0), (1e-8, 3300.0)] {
            for side in [Side::Down, Side::Up] {
                assert_eq!(at(113.3 + off, side), axial_kn);
            }
        }
    }

    #[test]
    fn a_sum_of_stations_cuts_where_the_tendon_ends() {
        let tendon = Tendon {
            runs: &[run(0.0, 0.3, 0.5, 0.5)],
            axial: &[point(0.0, 3500.0), point(0.3, 3500.0)],
        };
        let at =
            |station_m, side| primary(&tendon, &[Cut { station_m, side }]).unwrap()[0].axial_kn;
        assert_eq!(at(0.1 + 0.2, Side::Down), 3500.0);
        assert_eq!(at(0.1 + 0.2, Side::Up), 0.0);
    }

    #[test]
    fn a_tendon_that_cannot_be_is_refused() {
        let runs = [run(0.0, 10.0, 0.5, 0.5), run(10.0, 20.0, 0.5, 0.0)];
        let axial = [point(0.0, 100.0), point(20.0, 100.0)];
        let refused = |runs: &[Run], axial: &[AxialPoint]| {
            equivalent_loads(&Tendon { runs, axial }).unwrap_err().to_string()
        };
        assert!(refused(&[], &axial).starts_with("number of runs"));
        assert!(refused(&runs, &[]).starts_with("number of axial points"));
        assert!(refused(&runs, &axial[..1]).starts_with("axial[0].station_m"));
        assert!(refused(&runs, &[point(1.0, 1.0), axial[1]]).starts_with("axial[0].station_m"));
        assert!(refused(&runs, &[axial[1], axial[0]]).starts_with("axial[1].station_m"));
        assert!(refused(&runs, &[axial[0], point(20.0, -1.0)]).starts_with("axial[1].axial_kn"));
        let gap = [runs[0], run(11.0, 20.0, 0.5, 0.0)];
        assert!(refused(&gap, &axial).starts_with("runs[1].from_m"));
        let back = [runs[0], run(10.0, 9.0, 0.5, 0.0)];
        assert!(refused(&back, &axial).starts_with("runs[1].to_m"));
        let bad = [Run { sag_m: f64::NAN, ..runs[0] }, runs[1]];
        assert!(refused(&bad, &axial).starts_with("runs[0].sag_m"));
    }
}
