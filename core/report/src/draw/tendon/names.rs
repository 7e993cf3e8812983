//! Names of places, bays and other tendons.

use restrand_model::schedule::{EndName, Status};

use super::bands;
use super::line::{Bay, Line};
use crate::draw::canvas::{Label, Pen, Point, Rect, Sample, Scene, TEXT_MM, text_width_mm};
use crate::draw::subject::Subject;

/// Names of places, forms and anchorages under the elevation's frame.
pub(super) fn names(
    subject: &Subject<'_, '_>,
    line: &Line,
    scene: &mut Scene,
    frame: Rect,
    x: &dyn Fn(f64) -> f64,
) {
    let mut below = Vec::new();
    for (place, [down_m, up_m]) in bands(subject, line) {
        let id = place.id.as_deref().unwrap_or_default();
        let of_place = |link: Option<&str>| link == Some(id);
        let form = subject
            .at
            .tendon
            .deviators
            .iter()
            .find(|deviator| of_place(deviator.place.as_ref().map(|link| link.key())));
        let form = form.and_then(|deviator| deviator.form.as_ref()).map(|link| link.key());
        let end =
            subject.at.ends().find(|end| of_place(end.end.place.as_ref().map(|link| link.key())));
        let anchorage = end.and_then(|end| Some((end.name, end.end.anchorage.as_ref()?.key())));
        let more = match (form, anchorage) {
            (_, Some((name, anchorage))) => format!(" end {name}: {anchorage}"),
            (Some(form), None) => format!(": {form}"),
            (None, None) => String::new(),
        };
        let middle = f64::midpoint(x(down_m), x(up_m)).clamp(frame.left, frame.right);
        // A place that lies elsewhere than the end which names it is named at the end.
        let is_away = x(up_m) < frame.left || x(down_m) > frame.right;
        let own = anchorage.filter(|_| is_away).map(|(name, _)| match name {
            EndName::A => line.points[0][0],
            EndName::B => line.points[line.points.len() - 1][0],
        });
        let middle = own.map_or(middle, x);
        below.push((middle, format!("{id}{more}")));
    }
    scene.row(frame.bottom, false, 1.8, [frame.left - 10.0, frame.right + 10.0], &below);
}

/// Names of bays in the elevation, or over it where it is low.
pub(super) fn name_bays(
    bays: &[Bay],
    scene: &mut Scene,
    frame: Rect,
    x: &dyn Fn(f64) -> f64,
    is_low: bool,
) {
    let middle = |bay: &Bay| {
        f64::midpoint(x(bay.stations[0]).max(frame.left), x(bay.stations[1]).min(frame.right))
    };
    if is_low {
        let above: Vec<(f64, String)> =
            bays.iter().map(|bay| (middle(bay), bay.name.clone())).collect();
        scene.row(frame.top, true, 0.6, [frame.left - 10.0, frame.right + 10.0], &above);
        return;
    }
    let mut narrow = Vec::new();
    for bay in bays {
        let [from, to] = bay.stations.map(|station_m| x(station_m).clamp(frame.left, frame.right));
        // A name that has no room in its bay would stand in another one.
        if to - from < text_width_mm(&bay.name, TEXT_MM) {
            narrow.push(bay.name.as_str());
            continue;
        }
        scene.label(Label::area([middle(bay), frame.bottom - 5.0], bay.name.clone()));
    }
    if !narrow.is_empty() {
        scene.note(format!(
            "At the ends of the elevation, without their names: {}.",
            narrow.join(", ")
        ));
    }
}

/// Axes of other tendons in place, in plan.
pub(super) fn others(
    subject: &Subject<'_, '_>,
    line: &Line,
    scene: &mut Scene,
    frame: Rect,
    on_paper: &dyn Fn(&[f64; 3]) -> Point,
) {
    /// A stretch on paper that is too short for a name, mm.
    const SHORT_MM: f64 = 40.0;
    let mut seen: Vec<Seen> = Vec::new();
    let mut short = Vec::new();
    for other in subject.context().tendons() {
        let is_in = matches!(other.tendon.status, None | Some(Status::InUse));
        if !is_in || other.position == subject.at.position {
            continue;
        }
        let points: Option<Vec<Point>> = other
            .tendon
            .points
            .iter()
            .map(|point| Some(on_paper(&[point.station_m?, point.lateral_m?, 0.0])))
            .collect();
        let Some(points) = points else { continue };
        let stretches = points.windows(2).filter_map(|pair| frame.clip(pair[0], pair[1]));
        let stretches: Vec<[Point; 2]> = stretches.collect();
        for ends in &stretches {
            scene.line(ends, Pen::Beside);
            scene.means(Sample::Line(Pen::Beside), "axis of another tendon in place");
        }
        // Of those that only begin or end in the view the names would lie over one another.
        let length = |[from, to]: &[Point; 2]| (to[0] - from[0]).abs();
        match stretches.iter().map(length).sum::<f64>() {
            0.0 => {}
            long if long < SHORT_MM => short.push(other.mark()),
            _ => seen.push(Seen { mark: other.mark(), stretches }),
        }
    }
    let own: Vec<Point> = line.points.iter().map(on_paper).collect();
    let own: Vec<[Point; 2]> = own.windows(2).map(|pair| [pair[0], pair[1]]).collect();
    name_others(&seen, &own, scene);
    if !short.is_empty() {
        scene.note(format!("At the edges of the plan, without their names: {}.", short.join(", ")));
    }
}

/// What is seen of another tendon.
struct Seen {
    mark: String,
    stretches: Vec<[Point; 2]>,
}

impl Seen {
    /// Points at which it may be named, the middle of its stretches first.
    fn points(&self) -> impl Iterator<Item = Point> {
        const SHARES: [f64; 7] = [0.5, 0.38, 0.62, 0.26, 0.74, 0.14, 0.86];
        SHARES.into_iter().flat_map(|share| {
            self.stretches.iter().map(move |[from, to]| {
                [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]
            })
        })
    }

    /// How far from a point it passes, straight up or down; far where it does not pass there.
    fn aside(stretches: &[[Point; 2]], at: Point) -> f64 {
        let aside = stretches.iter().filter_map(|[from, to]| {
            let share = (at[0] - from[0]) / (to[0] - from[0]);
            let is_there = (-1e-9..=1.0 + 1e-9).contains(&share);
            is_there.then(|| (from[1] + share * (to[1] - from[1]) - at[1]).abs())
        });
        aside.fold(f64::INFINITY, f64::min)
    }
}

/// Names tendons, each where it lies apart from the others; those that lie on one another all along have one label.
fn name_others(seen: &[Seen], own: &[[Point; 2]], scene: &mut Scene) {
    /// Lines nearer than this are one to the eye, mm on paper.
    const APART_MM: f64 = 1.0;
    /// What it costs to be named where another line is as near.
    const UNCLEAR: f64 = 8.0;
    let is_on = |one: &Seen, other: &[[Point; 2]]| {
        one.points().all(|point| Seen::aside(other, point) < APART_MM)
    };
    let mut is_named = vec![false; seen.len()];
    for (index, one) in seen.iter().enumerate() {
        if std::mem::replace(&mut is_named[index], true) {
            continue;
        }
        let mut marks = vec![one.mark.as_str()];
        let mut together = vec![index];
        for (other, more) in seen.iter().enumerate().skip(index + 1) {
            if !is_named[other] && is_on(one, &more.stretches) && is_on(more, &one.stretches) {
                is_named[other] = true;
                marks.push(&more.mark);
                together.push(other);
            }
        }
        let cost = |point: Point| {
            let others = seen.iter().enumerate().filter(|(other, _)| !together.contains(other));
            let others = others.map(|(_, other)| other.stretches.as_slice());
            let is_near = |other: &[[Point; 2]]| Seen::aside(other, point) < APART_MM;
            if others.chain([own]).any(is_near) { UNCLEAR } else { 0.0 }
        };
        let mut points: Vec<(Point, f64)> =
            one.points().map(|point| (point, cost(point))).collect();
        points.sort_by(|one, other| one.1.total_cmp(&other.1));
        let Some((at, _)) = points.first().copied() else { continue };
        points.remove(0);
        let named = Label::new(at, [0.3, -1.0], marks.join(", "));
        scene.label(Label { or_at: points, ..named });
    }
}
