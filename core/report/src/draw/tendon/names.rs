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
    scene: &mut Scene,
    frame: Rect,
    on_paper: &dyn Fn(&[f64; 3]) -> Point,
) {
    /// A stretch on paper that is too short for a name, mm.
    const SHORT_MM: f64 = 24.0;
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
        let seen = points.windows(2).filter_map(|pair| frame.clip(pair[0], pair[1]));
        let seen: Vec<[Point; 2]> = seen.collect();
        for ends in &seen {
            scene.line(ends, Pen::Beside);
            scene.means(Sample::Line(Pen::Beside), "axis of another tendon in place");
        }
        let longest = seen
            .iter()
            .max_by(|one, other| (one[1][0] - one[0][0]).total_cmp(&(other[1][0] - other[0][0])));
        if let Some([from, to]) = longest {
            // Of those that only begin or end in the view the names would lie over one another.
            if (to[0] - from[0]).abs() < SHORT_MM {
                short.push(other.mark());
                continue;
            }
            // Names of neighbours do not stand over one another.
            #[expect(clippy::cast_precision_loss, reason = "less than four")]
            let share = 0.3 + 0.12 * (other.position % 4) as f64;
            let at = [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
            scene.label(Label::new(at, [0.3, -1.0], other.mark()));
        }
    }
    if !short.is_empty() {
        scene.note(format!("At the edges of the plan, without their names: {}.", short.join(", ")));
    }
}
