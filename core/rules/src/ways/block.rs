//! What is in the way in a bay.

use restrand_model::schedule::BayObstacle;

/// An obstacle in a bay as a box along the alignment: on each axis the lower and the higher end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Stations, m.
    pub stations_m: [f64; 2],
    /// Lateral positions, m.
    pub laterals_m: [f64; 2],
    /// Elevations, m.
    pub elevations_m: [f64; 2],
}

impl Block {
    /// The box of an obstacle.
    ///
    /// # Errors
    /// The field without which it has none.
    pub fn of(obstacle: &BayObstacle) -> Result<Self, &'static str> {
        let range = |one: Option<f64>, other: Option<f64>, field| {
            let (one, other) = (one.ok_or(field)?, other.ok_or(field)?);
            Ok([one.min(other), one.max(other)])
        };
        Ok(Self {
            stations_m: range(obstacle.from_m, obstacle.to_m, "bay_obstacle.from_m")?,
            laterals_m: range(
                obstacle.lateral_from_m,
                obstacle.lateral_to_m,
                "bay_obstacle.lateral_from_m",
            )?,
            elevations_m: range(
                obstacle.elevation_from_m,
                obstacle.elevation_to_m,
                "bay_obstacle.elevation_from_m",
            )?,
        })
    }

    /// From a point beside it to its surface, negative inside, m.
    #[must_use]
    pub fn distance(&self, point: [f64; 2]) -> f64 {
        let beyond = |value: f64, [low, high]: [f64; 2]| (low - value).max(value - high);
        let (across, upright) =
            (beyond(point[0], self.laterals_m), beyond(point[1], self.elevations_m));
        if across < 0.0 && upright < 0.0 {
            across.max(upright)
        } else {
            across.max(0.0).hypot(upright.max(0.0))
        }
    }
}
