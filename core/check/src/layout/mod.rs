//! What follows from a schedule in space, for formats that show models: axes, seats, and the bodies at ends.
//!
//! The mechanics is that of the rules: what a model shows is what they judge.

mod bodies;
mod course;

use restrand_kit::layout::{Frame, Layout, Seat, Triple, Unlaid};
use restrand_mechanics::path::{Direction, Point};
use restrand_model::reflect::Date;
use restrand_model::route::Route;
use restrand_model::schedule::Schedule;
use restrand_rules::ends::EndAxis;
use restrand_rules::works::Along;
use restrand_rules::{Context, Rulebook, TendonAt};

use course::Axis;

/// Lays a schedule out in space; margins and gear of stubs and jacks are the rulebook's.
#[must_use]
pub fn layout(schedule: &Schedule, book: &Rulebook) -> Layout {
    // Nothing that is laid out has an age, so that no day shows in it.
    let context = Context::new(schedule, &[], &[], book, Date::EPOCH);
    let mut layout = Layout::default();
    for (index, place) in schedule.places.iter().enumerate() {
        let seat = place.station_m.ok_or("place.station_m").and_then(|m| on_line(&context, m));
        layout.take_seat(Route::to("places", index), seat);
    }
    for at in context.tendons() {
        tendon(&context, &at, &mut layout);
    }
    layout
}

/// Takes what was laid out, or says what was not.
trait Takes {
    fn take_seat(&mut self, route: Route, seat: Result<Frame, &'static str>);
    fn lacks(&mut self, route: Route, what: &str, field: &str);
}

impl Takes for Layout {
    fn take_seat(&mut self, route: Route, seat: Result<Frame, &'static str>) {
        match seat {
            Ok(frame) => self.seats.push(Seat { route, frame }),
            Err(field) => self.lacks(route, "place in space", field),
        }
    }

    fn lacks(&mut self, route: Route, what: &str, field: &str) {
        self.unlaid.push(Unlaid { route, what: what.to_owned(), field: field.to_owned() });
    }
}

fn tendon(context: &Context<'_>, at: &TendonAt<'_>, layout: &mut Layout) {
    let laid = match context.path(at) {
        Ok(laid) => laid,
        Err(none) => return layout.lacks(at.route.clone(), "axis", none.field()),
    };
    let axis = Axis::of(&laid.path);
    layout.courses.push(axis.course(at.route.clone()));
    let along = Along::of(context, at);
    let runs = at.route.field("duct_runs");
    for (index, run) in at.tendon.duct_runs.iter().enumerate() {
        let route = runs.item(index);
        let cut = run.from_m.ok_or("duct_run.from_m").and_then(|from_m| {
            let to_m = run.to_m.ok_or("duct_run.to_m")?;
            let along = along.as_ref().map_err(|field| *field)?;
            axis.cut(along.at_m(from_m.min(to_m)), along.at_m(from_m.max(to_m)))
                .ok_or("duct_run.from_m")
        });
        match cut {
            Ok(cut) => layout.courses.push(cut.course(route)),
            Err(field) => layout.lacks(route, "axis", field),
        }
    }
    let deviators = at.route.field("deviators");
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let place = context.place(deviator.place.as_ref()).ok_or("deviator.place");
        let seat = place.and_then(|place| {
            let station_m = place.record.station_m.ok_or("place.station_m")?;
            let along = along.as_ref().map_err(|field| *field)?;
            let [before, after] = laid.directions_at(index).ok_or("deviator.place")?;
            let at_m = axis.corner_line(along.at_m(station_m)).ok_or("place.station_m")?;
            let mean = [before.x + after.x, before.y + after.y, before.z + after.z];
            frame(at_m, mean).ok_or("tendon.points")
        });
        layout.take_seat(deviators.item(index), seat);
    }
    for end in at.ends() {
        let axis = match EndAxis::of(context, at, &end) {
            Ok(axis) => axis,
            Err(field) => {
                layout.lacks(end.route, "place in space", field);
                continue;
            }
        };
        let frame =
            Frame { at_m: point(axis.at), along: direction(axis.rear), up: direction(axis.up) };
        layout.seats.push(Seat { route: end.route.clone(), frame });
        bodies::at_end(context, at, &end, &axis, frame, layout);
    }
}

/// The axes of what stands on the line of the bridge, at elevation zero.
fn on_line(context: &Context<'_>, station_m: f64) -> Result<Frame, &'static str> {
    const STATION: &str = "place.station_m";
    let alignment = context.alignment().map_err(|none| none.field())?;
    let at = alignment.point(station_m, 0.0, 0.0).map_err(|_| STATION)?;
    let heading_rad = alignment.heading_rad(station_m).map_err(|_| STATION)?;
    let (sin, cos) = heading_rad.sin_cos();
    Ok(Frame { at_m: point(at), along: [cos, sin, 0.0], up: [0.0, 0.0, 1.0] })
}

/// Axes along a direction, the third as upright as can be; none along a plumb line.
fn frame(at_m: Triple, along: Triple) -> Option<Frame> {
    let along = unit(along)?;
    let left = unit([-along[1], along[0], 0.0])?;
    Some(Frame { at_m, along, up: cross(along, left) })
}

fn unit(of: Triple) -> Option<Triple> {
    let length = of[0].hypot(of[1]).hypot(of[2]);
    (length > 0.0).then(|| of.map(|share| share / length))
}

fn cross(a: Triple, b: Triple) -> Triple {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn dot(a: Triple, b: Triple) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

const fn point(point: Point) -> Triple {
    [point.x_m, point.y_m, point.z_m]
}

const fn direction(direction: Direction) -> Triple {
    [direction.x, direction.y, direction.z]
}
