//! Energy, recoil, pieces and volumes against sums over many short slices.

// Helpers outside a test function unwrap too.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use restrand_mechanics::filling::{
    Annulus, ExtremeKind, FittingKind, Hollow, ProfilePoint, annulus_litres, extremes, fittings,
    hollow_litres,
};
use restrand_mechanics::removal::{ForceRun, pieces, releases_by_bond};

fn near(ours: f64, other: f64, share: f64) -> Result<(), TestCaseError> {
    let slack = share * ours.abs().max(other.abs()).max(1e-9);
    prop_assert!((ours - other).abs() <= slack, "{ours} is not {other}");
    Ok(())
}

/// The area of a disc by strips across it, without π.
fn disc(diameter: f64) -> f64 {
    const STRIPS: u32 = 2000;
    let r = diameter / 2.0;
    (0..STRIPS)
        .map(|strip| {
            // Strips that are narrow near the rim, where the disc's edge is steep.
            let edge = |i: u32| {
                let share = f64::from(i) / f64::from(STRIPS);
                r * (1.0 - (1.0 - share) * (1.0 - share) * (1.0 - share))
            };
            let (a, b) = (edge(strip), edge(strip + 1));
            let middle = f64::midpoint(a, b);
            4.0 * (b - a) * (r * r - middle * middle).sqrt()
        })
        .sum()
}

proptest! {
    #[test]
    fn a_cone_is_a_pile_of_discs(length_mm in 10.0..3000.0f64, a in 50.0..300.0f64, b in 50.0..300.0f64, gap in 1.0..60.0f64) {
        const SLICES: u32 = 500;
        // A disc of any size is the same share of its square.
        let share = disc(1.0);
        let pile = |a: f64, b: f64| -> f64 {
            (0..SLICES)
                .map(|slice| {
                    let at = (f64::from(slice) + 0.5) / f64::from(SLICES);
                    let d = a * (1.0 - at) + b * at;
                    share * d * d * length_mm / f64::from(SLICES) / 1e6
                })
                .sum()
        };
        let cone = hollow_litres(&Hollow { length_mm, start_inner_mm: a, end_inner_mm: b }).unwrap();
        near(cone, pile(a, b), 1e-4)?;
        let ring = annulus_litres(&Annulus {
            length_mm, start_inner_mm: a + gap, end_inner_mm: b + gap, start_outer_mm: a, end_outer_mm: b,
        }).unwrap();
        near(ring, pile(a + gap, b + gap) - pile(a, b), 1e-3)?;
        let other_end = hollow_litres(&Hollow { length_mm, start_inner_mm: b, end_inner_mm: a }).unwrap();
        near(cone, other_end, 1e-12)?;
        let inches = hollow_litres(&Hollow {
            length_mm: length_mm / 25.4, start_inner_mm: a / 25.4, end_inner_mm: b / 25.4,
        }).unwrap();
        near(cone, inches * 25.4 * 25.4 * 25.4, 1e-12)?;
    }

    #[test]
    fn a_release_is_the_sum_of_many_springs(
        runs in prop::collection::vec((1.0..30.0f64, 500.0..4000.0f64, 500.0..4000.0f64), 1..5),
        cuts in prop::collection::vec(0.05..0.95f64, 0..4),
    ) {
        const SPRINGS: u32 = 2000;
        let (area, e) = (2850.0, 195_000.0);
        let runs: Vec<ForceRun> = runs.into_iter()
            .map(|(length_m, start_force_kn, end_force_kn)| ForceRun { length_m, start_force_kn, end_force_kn })
            .collect();
        let whole_m: f64 = runs.iter().map(|run| run.length_m).sum();
        let mut bonds: Vec<f64> = cuts.iter().map(|share| share * whole_m).collect();
        bonds.sort_by(f64::total_cmp);
        bonds.dedup_by(|a, b| *a - *b < 0.1);
        let parts = releases_by_bond(&runs, &bonds, area, e).unwrap();
        let mut ends = bonds.clone();
        ends.push(whole_m);
        let force = |at_m: f64| {
            let mut start = 0.0;
            for run in &runs {
                if at_m <= start + run.length_m {
                    return run.start_force_kn + (run.end_force_kn - run.start_force_kn) * (at_m - start) / run.length_m;
                }
                start += run.length_m;
            }
            runs[runs.len() - 1].end_force_kn
        };
        let mut from = 0.0;
        for (part, to) in parts.iter().zip(ends) {
            // Each spring of length s mm gives 1/2 F times its own stretch F s / A E, in N and mm.
            let s = (to - from) * 1000.0 / f64::from(SPRINGS);
            let (mut energy, mut stretch) = (0.0, 0.0);
            for spring in 0..SPRINGS {
                let newtons = 1000.0 * force(from + (f64::from(spring) + 0.5) * s / 1000.0);
                let own = newtons * s / (area * e);
                energy += newtons * own / 2.0;
                stretch += own;
            }
            near(part.energy_kj, energy / 1e6, 5e-3)?;
            near(part.recoil_mm, stretch, 5e-3)?;
            from = to;
        }
        // The chord of a falling force never gives less than its middle all along.
        let more: Vec<ForceRun> = runs.iter().map(|run| ForceRun { start_force_kn: run.start_force_kn + 1.0, ..*run }).collect();
        let (before, after) = (releases_by_bond(&runs, &[], area, e).unwrap(), releases_by_bond(&more, &[], area, e).unwrap());
        prop_assert!(after[0].energy_kj > before[0].energy_kj && after[0].recoil_mm > before[0].recoil_mm);
    }

    #[test]
    fn pieces_are_the_fewest(length_m in 0.1..100.0f64, longest_m in 0.1..10.0f64) {
        let cut = pieces(length_m, longest_m).unwrap();
        let mut left = length_m;
        let mut counted = 0;
        while left > 1e-7 {
            left -= longest_m;
            counted += 1;
        }
        prop_assert_eq!(cut.count, counted);
        prop_assert!(cut.each_m <= longest_m * (1.0 + 1e-8));
    }

    #[test]
    fn crests_and_lows_are_those_that_one_sees(elevations in prop::collection::vec(0u32..30, 2..20), level in 0u32..6) {
        let points: Vec<ProfilePoint> = elevations.iter().enumerate()
            .map(|(at, z)| ProfilePoint { station_m: at as f64, elevation_m: f64::from(*z) })
            .collect();
        let found = extremes(&points, f64::from(level)).unwrap();
        let z = |at: f64| elevations.iter().enumerate().find(|(index, _)| *index as f64 == at).unwrap().1;
        // No part of the profile between two neighbours swings against their slope by more than the level.
        let ends: Vec<f64> = found.iter().map(|one| one.at_m).collect();
        for (pair, one) in ends.windows(2).zip(&found) {
            let between: Vec<i64> = (0..elevations.len()).filter(|index| (*index as f64) >= pair[0] && (*index as f64) <= pair[1])
                .map(|index| i64::from(elevations[index])).collect();
            let sign = if one.kind == ExtremeKind::Low { 1 } else { -1 };
            for (index, before) in between.iter().enumerate() {
                for after in &between[index..] {
                    prop_assert!(sign * (before - after) <= i64::from(level));
                }
            }
            prop_assert!(z(pair[0]).abs_diff(*z(pair[1])) > level);
        }
        // Every swing greater than the level is between some two of them.
        if found.is_empty() {
            let (least, most) = (elevations.iter().min().unwrap(), elevations.iter().max().unwrap());
            prop_assert!(most - least <= level);
        }
        // Seen from the other end they are the same, but for which of equal points is told.
        let back: Vec<ProfilePoint> = points.iter().rev()
            .map(|point| ProfilePoint { station_m: -point.station_m, ..*point }).collect();
        let kinds = |list: &[restrand_mechanics::filling::Extreme]| list.iter().map(|one| (one.kind, one.elevation_m as i64)).collect::<Vec<_>>();
        let mut reversed = kinds(&extremes(&back, f64::from(level)).unwrap());
        reversed.reverse();
        prop_assert_eq!(reversed, kinds(&found));
    }

    #[test]
    fn every_crest_is_vented_and_every_low_drained_once(
        elevations in prop::collection::vec(0u32..30, 2..20), inlet in 0.0..1.0f64,
    ) {
        let points: Vec<ProfilePoint> = elevations.iter().enumerate()
            .map(|(at, z)| ProfilePoint { station_m: at as f64, elevation_m: f64::from(*z) })
            .collect();
        let last = (points.len() - 1) as f64;
        let inlet_m = inlet * last;
        let told = fittings(&points, inlet_m, 0.0).unwrap();
        let all: Vec<_> = told.down.iter().chain(&told.up).collect();
        for one in extremes(&points, 0.0).unwrap() {
            let wanted = match one.kind {
                ExtremeKind::Low if one.from_m <= inlet_m && inlet_m <= one.to_m => continue,
                ExtremeKind::Low => vec![FittingKind::Drain],
                ExtremeKind::Crest => vec![FittingKind::Vent, FittingKind::EndVent],
            };
            let here = all.iter().filter(|fitting| {
                wanted.contains(&fitting.kind) && fitting.at_m >= one.from_m && fitting.at_m <= one.to_m
            }).count();
            prop_assert!(here >= 1, "{one:?} of {told:?}");
        }
        for branch in [&told.down, &told.up] {
            prop_assert!(branch.is_sorted_by(|a, b| a.along_m <= b.along_m));
            prop_assert_eq!(branch.iter().filter(|one| one.kind == FittingKind::EndVent).count(), 1);
        }
    }
}
