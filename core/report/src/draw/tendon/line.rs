//! A tendon and the rooms that it passes, by stations, laterals and elevations.

use restrand_rules::ways;

use crate::draw::canvas::arc;
use crate::draw::subject::Subject;

/// A tendon as stations, laterals and elevations, its bends drawn round.
pub(super) struct Line {
    /// Station, lateral, elevation, m.
    pub(super) points: Vec<[f64; 3]>,
    /// The same with the bends.
    pub(super) path: Vec<[f64; 3]>,
}

impl Line {
    pub(super) fn of(subject: &Subject<'_, '_>) -> Result<Self, &'static str> {
        let laid = subject.context().path(subject.at).map_err(|none| none.field())?;
        let mut points = Vec::new();
        for point in &subject.at.tendon.points {
            points.push([
                point.station_m.ok_or("tendon_point.station_m")?,
                point.lateral_m.ok_or("tendon_point.lateral_m")?,
                point.elevation_m.ok_or("tendon_point.elevation_m")?,
            ]);
        }
        let mut path = Vec::new();
        for (index, point) in points.iter().enumerate() {
            let bend = index.checked_sub(1).and_then(|bend| laid.path.bends.get(bend));
            let Some(tangent_m) = bend.map(|bend| bend.tangent_m).filter(|m| *m > 0.0) else {
                path.push(*point);
                continue;
            };
            let towards = |other: [f64; 3]| {
                let away: [f64; 3] = std::array::from_fn(|axis| other[axis] - point[axis]);
                let length = away.iter().map(|one| one * one).sum::<f64>().sqrt();
                std::array::from_fn::<f64, 3, _>(|axis| {
                    point[axis] + away[axis] / length * tangent_m
                })
            };
            let (enters, leaves) = (towards(points[index - 1]), towards(points[index + 1]));
            path.extend(arc(enters, *point, leaves));
        }
        Ok(Self { points, path })
    }

    /// Lateral and elevation at a station, m.
    pub(super) fn at(&self, station_m: f64) -> [f64; 2] {
        let points = &self.path;
        let after = points.partition_point(|point| point[0] < station_m);
        match (after.checked_sub(1).and_then(|one| points.get(one)), points.get(after)) {
            (Some(one), Some(other)) => {
                let share = (station_m - one[0]) / (other[0] - one[0]);
                [one[1] + (other[1] - one[1]) * share, one[2] + (other[2] - one[2]) * share]
            }
            (Some(one), None) | (None, Some(one)) => [one[1], one[2]],
            (None, None) => [0.0, 0.0],
        }
    }
}

/// A room that is drawn: its name and what is known of its clear section, m.
pub(super) struct Bay {
    pub(super) name: String,
    pub(super) stations: [f64; 2],
    /// Floor at both ends and height, where stated.
    pub(super) floor: Option<([f64; 2], f64)>,
    /// From right to left.
    pub(super) laterals: Option<[f64; 2]>,
}

pub(super) fn bays(subject: &Subject<'_, '_>, [from_m, to_m]: [f64; 2]) -> Vec<Bay> {
    let context = subject.context();
    let all = context.schedule.bays.iter().filter_map(|bay| {
        let [Some(one_m), Some(other_m)] = ways::extent_m(context, bay) else { return None };
        let stations = [one_m.min(other_m), one_m.max(other_m)];
        if stations[1] <= from_m || stations[0] >= to_m {
            return None;
        }
        let slope = bay.floor_slope.unwrap_or(0.0);
        let floor = bay.floor_elevation_m.zip(bay.height_mm).map(|(floor_m, height_mm)| {
            ([floor_m, floor_m + slope * (stations[1] - stations[0])], height_mm / 1000.0)
        });
        let laterals = bay.width_mm.map(|width_mm| {
            let middle_m = bay.middle_lateral_m.unwrap_or(0.0);
            [middle_m - width_mm / 2000.0, middle_m + width_mm / 2000.0]
        });
        let laterals = laterals.filter(|_| bay.middle_lateral_m.is_some());
        Some(Bay { name: bay.id.as_deref().unwrap_or("bay").to_owned(), stations, floor, laterals })
    });
    all.collect()
}
