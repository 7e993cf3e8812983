//! Which bay lies over a station.

use std::collections::BTreeSet;

/// The first bay over each stretch of the bridge: bays may overlap, and there may be none.
#[derive(Debug, Clone, Default)]
pub(super) struct Stretches {
    /// The stations at which bays begin or end, in order.
    bounds: Vec<Bound>,
}

/// A station at which a bay begins or ends.
#[derive(Debug, Clone, Copy)]
struct Bound {
    station_m: f64,
    /// The first bay at the station itself.
    here: Option<usize>,
    /// The first bay from here to the next bound.
    beyond: Option<usize>,
}

impl Stretches {
    /// The stretches of bays of which it is known where they begin and end, m, the lower first.
    pub(super) fn of(bays: impl Iterator<Item = (usize, [f64; 2])>) -> Self {
        let mut begins: Vec<(f64, usize)> = Vec::new();
        let mut ends: Vec<(f64, usize)> = Vec::new();
        for (bay, [from_m, to_m]) in bays {
            begins.push((from_m, bay));
            ends.push((to_m, bay));
        }
        let mut stations_m: Vec<f64> = begins.iter().chain(&ends).map(|bound| bound.0).collect();
        stations_m.sort_by(f64::total_cmp);
        stations_m.dedup();
        for list in [&mut begins, &mut ends] {
            list.sort_by(|one, other| one.0.total_cmp(&other.0));
        }
        let (mut begins, mut ends) = (begins.iter().peekable(), ends.iter().peekable());
        let mut over = BTreeSet::new();
        let bounds = stations_m.into_iter().map(|station_m| {
            while let Some((_, bay)) = begins.next_if(|(begin_m, _)| *begin_m <= station_m) {
                over.insert(*bay);
            }
            let here = over.first().copied();
            while let Some((_, bay)) = ends.next_if(|(end_m, _)| *end_m <= station_m) {
                over.remove(bay);
            }
            Bound { station_m, here, beyond: over.first().copied() }
        });
        Self { bounds: bounds.collect() }
    }

    /// The first bay over a station, its ends included.
    pub(super) fn over(&self, station_m: f64) -> Option<usize> {
        let after = self.bounds.partition_point(|bound| bound.station_m <= station_m);
        let last = self.bounds.get(after.checked_sub(1)?)?;
        if last.station_m < station_m { last.beyond } else { last.here }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_bay_is_the_one_that_looking_at_each_of_them_finds() {
        // Side by side, with a gap, one in another, several from one station, one of no length.
        let bays = [
            [10.0, 20.0],
            [2.0, 6.0],
            [20.0, 30.0],
            [12.0, 14.0],
            [5.0, 25.0],
            [28.0, 28.0],
            [2.0, 40.0],
            [50.0, 60.0],
        ];
        let stretches = Stretches::of(bays.into_iter().enumerate());
        for half_m in 0..130_u8 {
            let station_m = f64::from(half_m) / 2.0;
            let holds = |[from_m, to_m]: &[f64; 2]| (*from_m..=*to_m).contains(&station_m);
            assert_eq!(stretches.over(station_m), bays.iter().position(holds), "{station_m}");
        }
        assert_eq!(Stretches::of(std::iter::empty()).over(0.0), None);
    }
}
