//! Stations of a tendon against lengths along it.

use crate::context::{Context, TendonAt};

/// Stations of a tendon against lengths along it, from corner to corner.
///
/// Arcs at deviators are a few tenths of a millimetre shorter than the corners, which no saw sees.
#[derive(Debug, Clone, PartialEq)]
pub struct Along {
    /// Station and length from end a of each point.
    points: Vec<[f64; 2]>,
}

impl Along {
    /// The stations and lengths of a tendon that is laid out.
    ///
    /// # Errors
    /// The field without which it is not.
    pub fn of(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Self, &'static str> {
        let laid = context.path(at).map_err(|none| none.field())?;
        let tendon = at.tendon;
        let mut along_m = 0.0;
        let mut points = Vec::with_capacity(tendon.points.len());
        for (index, point) in tendon.points.iter().enumerate() {
            let station_m = point.station_m.ok_or("tendon_point.station_m")?;
            points.push([station_m, along_m]);
            along_m += laid.path.legs.get(index).map_or(0.0, |leg| leg.length_m);
        }
        Ok(Self { points })
    }

    /// The length of the tendon, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.points.last().map_or(0.0, |[_, along_m]| *along_m)
    }

    /// The stations of its ends, m.
    #[must_use]
    pub fn stations_m(&self) -> [f64; 2] {
        let station = |point: Option<&[f64; 2]>| point.map_or(0.0, |[station_m, _]| *station_m);
        [station(self.points.first()), station(self.points.last())]
    }

    /// The length from end a at a station, m; beyond an end, that of the end.
    #[must_use]
    pub fn at_m(&self, station_m: f64) -> f64 {
        self.between(station_m, 0, 1)
    }

    /// The station at a length from end a, m; beyond an end, that of the end.
    #[must_use]
    pub fn station_m(&self, along_m: f64) -> f64 {
        self.between(along_m, 1, 0)
    }

    fn between(&self, at: f64, from: usize, to: usize) -> f64 {
        let leg = self.points.windows(2).find(|pair| at <= pair[1][from]);
        let Some([first, second]) = leg else {
            return self.points.last().map_or(0.0, |point| point[to]);
        };
        let share = ((at - first[from]) / (second[from] - first[from])).clamp(0.0, 1.0);
        first[to] + (second[to] - first[to]) * share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stations_and_lengths_lead_to_one_another() {
        let along = Along { points: vec![[100.0, 0.0], [110.0, 10.5], [130.0, 31.0]] };
        assert_eq!(along.length_m(), 31.0);
        assert_eq!(along.stations_m(), [100.0, 130.0]);
        for station_m in [100.0, 104.0, 110.0, 121.5, 130.0] {
            assert!((along.station_m(along.at_m(station_m)) - station_m).abs() < 1e-12);
        }
        assert_eq!(along.at_m(105.0), 5.25);
        assert_eq!((along.at_m(90.0), along.at_m(140.0)), (0.0, 31.0));
    }
}
