//! Where a camera stands to look at a place of the bridge.
//!
//! Coordinates are those of a model written from the schedule: x along the straight bridge or the first axis of the
//! plan, y to the left of it, z up, in metres.

use restrand_model::reflect::Date;
use restrand_model::route::{Route, Step};
use restrand_model::schedule::Schedule;
use restrand_rules::ends::EndAxis;
use restrand_rules::{Context, Rulebook, TendonAt};

/// Shares along x, y and z.
pub(crate) type Triple = [f64; 3];

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
pub(crate) struct Cameras<'a> {
    context: Context<'a>,
}

impl<'a> Cameras<'a> {
    /// Lays the schedule out.
    pub(crate) fn of(schedule: &'a Schedule, book: &'a Rulebook) -> Self {
        // Where something stands has no age, so that no day shows in it.
        Self { context: Context::new(schedule, &[], &[], book, Date::EPOCH) }
    }

    /// A camera that looks at the record at the end of the route, or at the one it belongs to; none where the schedule
    /// does not say where that stands.
    pub(crate) fn at(&self, route: &Route) -> Option<Camera> {
        match route.steps() {
            [Step::Field("tendons"), Step::Item(tendon), rest @ ..] => {
                self.of_end(*tendon, rest).or_else(|| self.of_tendon(*tendon, rest))
            }
            [Step::Field("places"), Step::Item(place), ..] => {
                let place = self.context.schedule.places.get(*place)?;
                let station_m = place.station_m?;
                let elevation_m = self.elevation_at(place.id.as_deref()).unwrap_or(0.0);
                self.of_point(station_m, 0.0, elevation_m)
            }
            _ => None,
        }
    }

    /// A camera over the whole bridge; none where no tendon is laid out.
    pub(crate) fn over_all(&self) -> Option<Camera> {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for at in self.context.tendons() {
            for leg in self.context.path(&at).ok().into_iter().flat_map(|laid| &laid.path.legs) {
                for point in [leg.from, leg.to] {
                    for (axis, value) in [point.x_m, point.y_m, point.z_m].into_iter().enumerate() {
                        low[axis] = low[axis].min(value);
                        high[axis] = high[axis].max(value);
                    }
                }
            }
        }
        low.iter().all(|value| value.is_finite()).then(|| beside(low, high))
    }

    fn tendon(&self, position: usize) -> Option<TendonAt<'a>> {
        let tendon = self.context.schedule.tendons.get(position)?;
        Some(TendonAt { tendon, route: Route::to("tendons", position), position })
    }

    fn of_end(&self, tendon: usize, rest: &[Step]) -> Option<Camera> {
        let [Step::Field("ends"), Step::Field(name), ..] = rest else {
            return None;
        };
        let at = self.tendon(tendon)?;
        let end = at.ends().find(|end| end.route.steps().last() == Some(&Step::Field(name)))?;
        let axis = EndAxis::of(&self.context, &at, &end).ok()?;
        // From behind the bearing plate, a little to the left and above.
        let from = |share: fn(&EndAxis) -> Triple, part: f64| share(&axis).map(|one| one * part);
        let back = from(|axis| [axis.rear.x, axis.rear.y, axis.rear.z], 2.0);
        let left = from(|axis| [axis.left.x, axis.left.y, axis.left.z], 1.0);
        let up = from(|axis| [axis.up.x, axis.up.y, axis.up.z], 1.0);
        let away = sum(sum(back, left), up);
        look_at([axis.at.x_m, axis.at.y_m, axis.at.z_m], away, AROUND_M)
    }

    /// A deviator, a point or the whole of a tendon.
    fn of_tendon(&self, tendon: usize, rest: &[Step]) -> Option<Camera> {
        let at = self.tendon(tendon)?;
        let points = &at.tendon.points;
        let point = match rest {
            [Step::Field("points"), Step::Item(point), ..] => points.get(*point),
            [Step::Field("deviators"), Step::Item(deviator), ..] => {
                let place = at.tendon.deviators.get(*deviator)?.place.as_ref();
                points.iter().find(|point| place.is_some() && point.place.as_ref() == place)
            }
            _ => None,
        };
        if let Some(point) = point
            && let (Some(station_m), Some(elevation_m)) = (point.station_m, point.elevation_m)
        {
            return self.of_point(station_m, point.lateral_m.unwrap_or(0.0), elevation_m);
        }
        let legs = &self.context.path(&at).ok()?.path.legs;
        let (from, to) = (legs.first()?.from, legs.last()?.to);
        Some(beside([from.x_m, from.y_m, from.z_m], [to.x_m, to.y_m, to.z_m]))
    }

    fn of_point(&self, station_m: f64, lateral_m: f64, elevation_m: f64) -> Option<Camera> {
        let alignment = self.context.alignment().ok()?;
        let at = alignment.point(station_m, lateral_m, elevation_m).ok()?;
        let (sin, cos) = alignment.heading_rad(station_m).ok()?.sin_cos();
        // Up-station, from the right and above.
        look_at([at.x_m, at.y_m, at.z_m], [sin - cos, -cos - sin, 1.0], AROUND_M)
    }

    /// The elevation of a tendon that is anchored or deviated at a place.
    fn elevation_at(&self, place: Option<&str>) -> Option<f64> {
        let points = self.context.schedule.tendons.iter().flat_map(|tendon| &tendon.points);
        let of = |link: &restrand_model::reflect::Link<_>| place == Some(link.key());
        points.filter(|point| point.place.as_ref().is_some_and(of)).find_map(|p| p.elevation_m)
    }
}

/// A camera for models in which nothing says where the place is: from above the origin.
pub(crate) fn anywhere() -> Camera {
    beside([0.0; 3], [1.0, 0.0, 0.0])
}

/// A camera that sees all between two points, from the right of the way between them and above.
fn beside(from: Triple, to: Triple) -> Camera {
    let middle = sum(from, to).map(|share| share / 2.0);
    let way = sum(to, from.map(|share| -share));
    let level = way[0].hypot(way[1]);
    let right = if level > 0.0 { [way[1] / level, -way[0] / level] } else { [0.0, -1.0] };
    let height_m = (way[0].hypot(way[1]).hypot(way[2]) / ASPECT_RATIO * 1.1).max(AROUND_M);
    look_at(middle, [right[0], right[1], 0.5], height_m).unwrap_or(Camera {
        at_m: sum(middle, [0.0, 0.0, height_m]),
        along: [0.0, 0.0, -1.0],
        up: [0.0, 1.0, 0.0],
        height_m,
    })
}

/// A camera that looks back at a point from this side; none straight from above.
fn look_at(point: Triple, from: Triple, height_m: f64) -> Option<Camera> {
    let away = unit(from)?;
    let along = away.map(|share| -share);
    // To the right in the picture is level; up is square to both.
    let right = unit([along[1], -along[0], 0.0])?;
    let up = [
        right[1] * along[2] - right[2] * along[1],
        right[2] * along[0] - right[0] * along[2],
        right[0] * along[1] - right[1] * along[0],
    ];
    let at_m = sum(point, away.map(|share| share * height_m * AWAY));
    Some(Camera { at_m, along, up, height_m })
}

fn unit(of: Triple) -> Option<Triple> {
    let length = of[0].hypot(of[1]).hypot(of[2]);
    (length > 1e-9).then(|| of.map(|share| share / length))
}

fn sum(a: Triple, b: Triple) -> Triple {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_camera_looks_at_its_point_with_its_head_up() {
        let point = [10.0, 2.0, 3.0];
        let camera = look_at(point, [1.0, 2.0, 0.5], 4.0).unwrap();
        let ahead = sum(camera.at_m, camera.along.map(|share| share * 8.0));
        for (seen, meant) in ahead.into_iter().zip(point) {
            assert!((seen - meant).abs() < 1e-9, "{ahead:?}");
        }
        let dot: f64 = camera.along.iter().zip(camera.up).map(|(a, b)| a * b).sum();
        assert!(dot.abs() < 1e-12);
        assert!(camera.up[2] > 0.0);
    }

    #[test]
    fn what_lies_between_two_points_fits_into_the_picture() {
        let camera = beside([0.0, 0.0, 5.0], [40.0, 0.0, 5.0]);
        assert!(camera.height_m * ASPECT_RATIO > 40.0);
        // From the right of the bridge, which lies along x.
        assert!(camera.at_m[1] < 0.0 && camera.along[1] > 0.0, "{camera:?}");
    }
}
