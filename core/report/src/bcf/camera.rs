//! Where a camera stands to look at a place of the bridge.
//!
//! Coordinates are those of a model written from the schedule: x along the straight bridge or the first axis of the
//! plan, y to the left of it, z up, in metres.

use std::collections::HashMap;

use restrand_kit::layout::{Course, Frame, Triple};
use restrand_model::route::{Route, Step};
use restrand_model::schedule::Schedule;
use restrand_rules::Rulebook;

/// An orthogonal camera.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Camera {
    /// Where it stands, m.
    pub(crate) at_m: Triple,
    /// Where it looks; its length is 1.
    pub(crate) along: Triple,
    /// What is up in its picture; its length is 1.
    pub(crate) up: Triple,
    /// What its picture shows from bottom to top, m.
    pub(crate) height_m: f64,
}

/// Width of the picture over its height.
pub(crate) const ASPECT_RATIO: f64 = 1.5;

/// What is shown around an anchorage or a place, from bottom to top, m.
const AROUND_M: f64 = 4.0;
/// How far from it the camera stands, in heights of its picture.
const AWAY: f64 = 2.0;

/// Cameras over the schedule of one input.
pub(crate) struct Cameras {
    seats: HashMap<Route, Frame>,
    courses: HashMap<Route, Box3>,
}

impl Cameras {
    /// Lays the schedule out.
    pub(crate) fn of(schedule: &Schedule, book: &Rulebook) -> Self {
        let layout = restrand_check::layout(schedule, book);
        let courses: HashMap<_, _> = layout
            .courses
            .into_iter()
            .map(|course| (course.route.clone(), Box3::around(&course)))
            .collect();
        let mut seats: HashMap<_, _> =
            layout.seats.into_iter().map(|seat| (seat.route, seat.frame)).collect();
        // A place stands on the line of the bridge; people look at it where tendons are.
        if let Some(whole) = Box3::of_all(courses.values()) {
            let middle_m = (whole.low[2] + whole.high[2]) / 2.0;
            for index in 0..schedule.places.len() {
                if let Some(frame) = seats.get_mut(&Route::to("places", index)) {
                    frame.at_m[2] = middle_m;
                }
            }
        }
        Self { seats, courses }
    }

    /// A camera that looks at the record at the end of the route, or at the one it belongs to; none where the schedule
    /// does not say where that stands.
    pub(crate) fn at(&self, route: &Route) -> Option<Camera> {
        (1..=route.steps().len()).rev().find_map(|length| {
            let route = route.up_to(length);
            if let Some(frame) = self.seats.get(&route) {
                return seated(frame, is_end(&route));
            }
            self.courses.get(&route).map(Box3::seen)
        })
    }

    /// A camera over the whole bridge; none where no tendon is laid out.
    pub(crate) fn over_all(&self) -> Option<Camera> {
        Box3::of_all(self.courses.values()).as_ref().map(Box3::seen)
    }
}

fn is_end(route: &Route) -> bool {
    matches!(route.steps(), [.., Step::Field("ends"), Step::Field(_)])
}

/// At an end from behind the bearing plate, else from the right of the axis; a little aside and above.
fn seated(frame: &Frame, is_end: bool) -> Option<Camera> {
    let left = cross(frame.up, frame.along);
    let (along, aside) = if is_end { (2.0, 1.0) } else { (-1.0, -1.0) };
    let of = |share: Triple, part: f64| share.map(|one| one * part);
    let away = sum(sum(of(frame.along, along), of(left, aside)), of(frame.up, 1.0));
    look_at(frame.at_m, away, AROUND_M)
}

/// A box along the bridge's axes.
struct Box3 {
    low: Triple,
    high: Triple,
}

impl Box3 {
    fn around(course: &Course) -> Self {
        let mut around = Self { low: course.start_m, high: course.start_m };
        for piece in &course.pieces {
            for point in [Some(piece.to_m), piece.through_m].into_iter().flatten() {
                around.take(&Self { low: point, high: point });
            }
        }
        around
    }

    fn of_all<'b>(boxes: impl Iterator<Item = &'b Self>) -> Option<Self> {
        boxes.fold(None, |all: Option<Self>, one| {
            let mut all = all.unwrap_or(Self { low: one.low, high: one.high });
            all.take(one);
            Some(all)
        })
    }

    fn take(&mut self, other: &Self) {
        for axis in 0..3 {
            self.low[axis] = self.low[axis].min(other.low[axis]);
            self.high[axis] = self.high[axis].max(other.high[axis]);
        }
    }

    /// A camera that sees all of it, from the right of its longer side and above.
    fn seen(&self) -> Camera {
        let middle = sum(self.low, self.high).map(|share| share / 2.0);
        let size = sum(self.high, self.low.map(|share| -share));
        let right = if size[0] >= size[1] { [0.0, -1.0, 0.5] } else { [1.0, 0.0, 0.5] };
        let length = size[0].hypot(size[1]).hypot(size[2]);
        let height_m = (length / ASPECT_RATIO * 1.1).max(AROUND_M);
        look_at(middle, right, height_m).unwrap_or_else(anywhere)
    }
}

/// A camera for models of which nothing says where the place is: it looks up-station at the origin.
pub(crate) const fn anywhere() -> Camera {
    Camera {
        at_m: [-AROUND_M * AWAY, 0.0, 0.0],
        along: [1.0, 0.0, 0.0],
        up: [0.0, 0.0, 1.0],
        height_m: AROUND_M,
    }
}

/// A camera that looks back at a point from this side; none straight from above.
fn look_at(point: Triple, from: Triple, height_m: f64) -> Option<Camera> {
    let away = unit(from)?;
    let along = away.map(|share| -share);
    // To the right in the picture is level; up is square to both.
    let right = unit([along[1], -along[0], 0.0])?;
    let at_m = sum(point, away.map(|share| share * height_m * AWAY));
    Some(Camera { at_m, along, up: cross(right, along), height_m })
}

fn unit(of: Triple) -> Option<Triple> {
    /// Shorter than any way that a direction can be told from.
    const NOTHING: f64 = 1e-9;
    let length = of[0].hypot(of[1]).hypot(of[2]);
    (length > NOTHING).then(|| of.map(|share| share / length))
}

fn cross(a: Triple, b: Triple) -> Triple {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn sum(a: Triple, b: Triple) -> Triple {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn looks_at(camera: Camera, point: Triple) {
        let ahead = sum(camera.at_m, camera.along.map(|share| share * camera.height_m * AWAY));
        for (seen, meant) in ahead.into_iter().zip(point) {
            assert!((seen - meant).abs() < 1e-9, "{ahead:?}");
        }
        let dot: f64 = camera.along.iter().zip(camera.up).map(|(a, b)| a * b).sum();
        assert!(dot.abs() < 1e-12);
        assert!(camera.up[2] > 0.0);
    }

    #[test]
    fn an_end_is_seen_from_behind_its_plate() {
        // An end at the lower station: away from the span is down-station.
        let frame = Frame { at_m: [10.0, 2.0, 3.0], along: [-1.0, 0.0, 0.0], up: [0.0, 0.0, 1.0] };
        let camera = seated(&frame, true).unwrap();
        looks_at(camera, frame.at_m);
        assert!(camera.at_m[0] < 10.0 && camera.at_m[2] > 3.0, "{camera:?}");
    }

    #[test]
    fn what_lies_in_a_box_fits_into_the_picture() {
        let camera = Box3 { low: [0.0, 0.0, 4.0], high: [40.0, 1.0, 5.0] }.seen();
        looks_at(camera, [20.0, 0.5, 4.5]);
        assert!(camera.height_m * ASPECT_RATIO > 40.0);
        // From the right of the bridge, which lies along x.
        assert!(camera.at_m[1] < 0.0 && camera.along[1] > 0.0, "{camera:?}");
    }
}
