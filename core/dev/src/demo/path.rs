//! The path of a tendon in space (2): straight legs between corners, an arc at each corner.

use restrand_model::schedule::TendonPoint;

/// A straight line from corner to corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Station at which it begins.
    pub from_m: f64,
    /// Length from corner to corner, m.
    pub length_m: f64,
    /// Unit vector: up-station, to the left, up.
    pub direction: [f64; 3],
}

impl Leg {
    /// Slope in elevation, positive where it rises up-station.
    #[must_use]
    pub fn pitch_rad(&self) -> f64 {
        self.direction[2].atan2(self.direction[0].hypot(self.direction[1]))
    }

    /// Turn in plan, positive to the left.
    #[must_use]
    pub fn yaw_rad(&self) -> f64 {
        self.direction[1].atan2(self.direction[0])
    }

    /// The station at a distance from the leg's lower end.
    #[must_use]
    pub fn station_m(&self, along_m: f64) -> f64 {
        self.from_m + along_m * self.direction[0]
    }

    /// The distance from the leg's lower end at a station.
    #[must_use]
    pub fn along_m(&self, station_m: f64) -> f64 {
        (station_m - self.from_m) / self.direction[0]
    }
}

/// A bend at a corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// True angle in space.
    pub angle_rad: f64,
    /// From the corner to where the arc begins, m.
    pub tangent_m: f64,
    /// Length of the arc, m.
    pub arc_m: f64,
}

/// The path of a tendon in space.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// The legs, from the lower station.
    pub legs: Vec<Leg>,
    /// The bends between them.
    pub bends: Vec<Bend>,
}

impl Path {
    /// The path through points that all state their position; a corner without a radius is sharp.
    #[must_use]
    pub fn through(points: &[TendonPoint]) -> Self {
        let places: Vec<([f64; 3], f64)> = points
            .iter()
            .filter_map(|point| {
                let place = [point.station_m?, point.lateral_m?, point.elevation_m?];
                Some((place, point.radius_m.unwrap_or(0.0)))
            })
            .collect();
        let legs: Vec<Leg> = places
            .windows(2)
            .map(|pair| {
                let (from, to) = (pair[0].0, pair[1].0);
                let way = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
                let length_m = dot(way, way).sqrt();
                Leg { from_m: from[0], length_m, direction: way.map(|part| part / length_m) }
            })
            .collect();
        let bends = legs
            .windows(2)
            .zip(places.iter().skip(1))
            .map(|(pair, (_, radius_m))| {
                let (before, after) = (pair[0].direction, pair[1].direction);
                let across = cross(before, after);
                let angle_rad = dot(across, across).sqrt().atan2(dot(before, after));
                Bend {
                    angle_rad,
                    tangent_m: radius_m * (angle_rad / 2.0).tan(),
                    arc_m: radius_m * angle_rad,
                }
            })
            .collect();
        Self { legs, bends }
    }

    /// The developed length: `Σ L − Σ (2 T − arc)`, m.
    #[must_use]
    pub fn developed_m(&self) -> f64 {
        let legs: f64 = self.legs.iter().map(|leg| leg.length_m).sum();
        let cut_off: f64 = self.bends.iter().map(|bend| 2.0 * bend.tangent_m - bend.arc_m).sum();
        legs - cut_off
    }

    /// The straight length at the lower and at the upper end, m.
    #[must_use]
    pub fn straight_m(&self) -> Option<[f64; 2]> {
        let tangent = |bend: Option<&Bend>| bend.map_or(0.0, |bend| bend.tangent_m);
        Some([
            self.legs.first()?.length_m - tangent(self.bends.first()),
            self.legs.last()?.length_m - tangent(self.bends.last()),
        ])
    }

    /// The station at a distance along the legs from the lower end; beyond the ends, on their straight lines.
    #[must_use]
    pub fn station_m(&self, mut along_m: f64) -> Option<f64> {
        let (last, before) = self.legs.split_last()?;
        for leg in before {
            if along_m <= leg.length_m {
                return Some(leg.station_m(along_m));
            }
            along_m -= leg.length_m;
        }
        Some(last.station_m(along_m))
    }

    /// The distance along the legs from the lower end at a station.
    #[must_use]
    pub fn along_m(&self, station_m: f64) -> Option<f64> {
        let (last, before) = self.legs.split_last()?;
        let mut passed = 0.0;
        for leg in before {
            let along = leg.along_m(station_m);
            if along <= leg.length_m {
                return Some(passed + along);
            }
            passed += leg.length_m;
        }
        Some(passed + last.along_m(station_m))
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}
