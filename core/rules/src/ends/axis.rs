//! The anchorage's axis in space, with the anchorage's own axes: along, up, left.

use restrand_mechanics::path::{Direction, PitchYaw, Point, axis, pitch_yaw};
use restrand_model::schedule::EndName;

use crate::context::{Context, EndAt, TendonAt};

/// Three directions square to one another: up-station along an axis, up, and to the left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Up-station along the axis.
    pub ahead: Direction,
    /// Upward, square to it.
    pub up: Direction,
    /// To the left, seen looking up-station; square to both, and level.
    pub left: Direction,
}

impl Frame {
    /// The frame of an axis that goes up-station; none of one that stands upright.
    #[must_use]
    pub fn along(ahead: Direction) -> Option<Self> {
        let level = ahead.x.hypot(ahead.y);
        if level <= 0.0 {
            return None;
        }
        // Up-station, left and up make a right-handed frame, whichever way the rear lies.
        let left = Direction { x: -ahead.y / level, y: ahead.x / level, z: 0.0 };
        let up = Direction {
            x: -ahead.z * left.y,
            y: ahead.z * left.x,
            z: ahead.x * left.y - ahead.y * left.x,
        };
        Some(Self { ahead, up, left })
    }

    /// The shares of a direction along, up and to the left.
    #[must_use]
    pub fn own(&self, direction: Direction) -> [f64; 3] {
        [self.ahead, self.up, self.left]
            .map(|own| own.x * direction.x + own.y * direction.y + own.z * direction.z)
    }
}

/// The axis of an anchorage in space.
///
/// Positions on it are 0 at the bearing plate's face and positive rearward, away from the span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndAxis {
    /// Where it meets the bearing plate's face.
    pub at: Point,
    /// Rearward along it.
    pub rear: Direction,
    /// Upward, square to it.
    pub up: Direction,
    /// To the left, seen looking up-station; square to both.
    pub left: Direction,
    /// Slope of the axis going rearward, positive upward, rad.
    pub rear_pitch_rad: f64,
    /// Turn of the axis going rearward against the alignment, positive to the left seen looking up-station, rad.
    pub rear_turn_rad: f64,
}

impl EndAxis {
    /// The axis of an end: as the end states its slope and turn, and as the tendon arrives where it does not.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn of(
        context: &Context<'_>,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
    ) -> Result<Self, &'static str> {
        const POINTS: &str = "tendon.points";
        let laid = context.path(at).map_err(|none| none.field())?;
        let (legs, points) = (&laid.path.legs, &at.tendon.points);
        let (leg, place, point) = match end.name {
            EndName::A => legs.first().zip(points.first()).map(|(leg, p)| (leg, leg.from, p)),
            EndName::B => legs.last().zip(points.last()).map(|(leg, p)| (leg, leg.to, p)),
        }
        .ok_or(POINTS)?;
        let station_m = point.station_m.ok_or("tendon_point.station_m")?;
        let alignment = context.alignment().map_err(|none| none.field())?;
        let heading_rad = alignment.heading_rad(station_m).map_err(|_| POINTS)?;
        let arrives = pitch_yaw(leg.along, heading_rad).map_err(|_| POINTS)?;
        let turned = PitchYaw {
            pitch_rad: end.end.pitch_rad.unwrap_or(arrives.pitch_rad),
            yaw_rad: end.end.yaw_rad.unwrap_or(arrives.yaw_rad),
        };
        let ahead = axis(turned, heading_rad).map_err(|_| "end.pitch_rad")?;
        let Frame { up, left, .. } = Frame::along(ahead).ok_or("end.pitch_rad")?;
        let sign = match end.name {
            EndName::A => -1.0,
            EndName::B => 1.0,
        };
        let rear = Direction { x: sign * ahead.x, y: sign * ahead.y, z: sign * ahead.z };
        Ok(Self {
            at: place,
            rear,
            up,
            left,
            rear_pitch_rad: sign * turned.pitch_rad,
            rear_turn_rad: sign * turned.yaw_rad,
        })
    }

    /// A point in space in the anchorage's own axes: along, up, left, mm.
    #[must_use]
    pub fn own_mm(&self, point: Point) -> [f64; 3] {
        let away = [point.x_m - self.at.x_m, point.y_m - self.at.y_m, point.z_m - self.at.z_m];
        [self.rear, self.up, self.left].map(|direction| {
            let share = [direction.x, direction.y, direction.z];
            away.iter().zip(share).map(|(away_m, share)| away_m * share).sum::<f64>() * 1000.0
        })
    }

    /// The point in space at a position on the axis.
    #[must_use]
    pub fn point(&self, along_mm: f64) -> Point {
        let along_m = along_mm / 1000.0;
        Point {
            x_m: self.at.x_m + along_m * self.rear.x,
            y_m: self.at.y_m + along_m * self.rear.y,
            z_m: self.at.z_m + along_m * self.rear.z,
        }
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::reflect::Date;
    use restrand_model::schedule::{End, Ends, Project, Schedule, Tendon, TendonPoint};

    use super::*;
    use crate::book::Rulebook;

    fn axes(b: End) -> [EndAxis; 2] {
        let point = |station_m: f64, lateral_m: f64, elevation_m: f64| TendonPoint {
            station_m: Some(station_m),
            lateral_m: Some(lateral_m),
            elevation_m: Some(elevation_m),
            ..TendonPoint::default()
        };
        let schedule = Schedule {
            project: Some(Box::new(Project {
                alignment_straight: Some(true),
                ..Project::default()
            })),
            tendons: vec![Tendon {
                points: vec![point(100.0, 1.0, 50.0), point(104.0, 1.0, 53.0)],
                ends: Some(Box::new(Ends {
                    a: Some(Box::default()),
                    b: Some(Box::new(b)),
                    ..Ends::default()
                })),
                ..Tendon::default()
            }],
            ..Schedule::default()
        };
        let book = Rulebook::default();
        let context = Context::new(&schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
        let at = context.tendons().next().unwrap();
        let found: Vec<_> =
            at.ends().map(|end| EndAxis::of(&context, &at, &end).unwrap()).collect();
        found.try_into().unwrap()
    }

    #[test]
    fn a_direction_has_shares_along_up_and_to_the_left() {
        // Of a frame that rises by 3 in 4.
        let frame = Frame::along(Direction { x: 0.8, y: 0.0, z: 0.6 }).unwrap();
        let near = |[x, y, z]: [f64; 3], asked: [f64; 3]| {
            let own = frame.own(Direction { x, y, z });
            assert!(own.iter().zip(asked).all(|(is, asked)| (is - asked).abs() < 1e-12), "{own:?}");
        };
        near([1.0, 0.0, 0.0], [0.8, -0.6, 0.0]);
        near([0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
        near([0.0, 0.0, 1.0], [0.6, 0.8, 0.0]);
        near([0.6, 0.8, 0.0], [0.48, -0.36, 0.8]);
    }

    #[test]
    fn rear_lies_away_from_the_span_and_left_is_left_at_both_ends() {
        let [a, b] = axes(End::default());
        let near = |is: [f64; 3], asked: [f64; 3]| {
            assert!(is.iter().zip(asked).all(|(is, asked)| (is - asked).abs() < 1e-9), "{is:?}");
        };
        // A leg of 4 along and 3 up: rearward is down and back at a, up and on at b.
        let behind_a = Point { x_m: 99.2, y_m: 1.5, z_m: 49.4 };
        near(a.own_mm(behind_a), [1000.0, 0.0, 500.0]);
        let behind_b = Point { x_m: 104.8, y_m: 1.5, z_m: 53.6 };
        near(b.own_mm(behind_b), [1000.0, 0.0, 500.0]);
        // Up is square to the axis: back and up at both.
        let above = Point { x_m: 104.0 - 0.6, y_m: 1.0, z_m: 53.0 + 0.8 };
        near(b.own_mm(above), [0.0, 1000.0, 0.0]);
        near(a.own_mm(a.point(700.0)), [700.0, 0.0, 0.0]);
    }

    #[test]
    fn a_stated_slope_holds_over_the_legs() {
        let [_, b] = axes(End { pitch_rad: Some(0.0), ..End::default() });
        assert!((b.rear.x - 1.0).abs() < 1e-12 && b.rear.z.abs() < 1e-12);
    }
}
