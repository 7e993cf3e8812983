//! Elevation and plan of a tendon in the bridge, with places, forms, cuts and pieces.

mod line;
mod names;
mod strip;

use restrand_model::schedule::Place;
use restrand_plan::{Between, StepId};
use restrand_rules::{extent_m, works};

use super::canvas::{
    Anchor, CONTENT, Hatch, Lanes, Pen, Point, Rect, Sample, Scene, TEXT_MM, View, bar, fitting,
};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind, marks};
use line::{Line, bays};
use names::{name_bays, names, others};
use strip::strip;

/// Draws it.
pub(super) fn drawing(subject: &Subject<'_, '_>) -> Drawing {
    let mut scene = Scene::default();
    let mut scales = Vec::new();
    match Line::of(subject) {
        Ok(line) => scales.push(draw(subject, &line, &mut scene)),
        Err(field) => {
            scene.lacks(field, "the tendon in the bridge");
            nothing(&mut scene, "The tendon is not laid out: a field is not stated");
        }
    }
    let numbers = subject.numbers();
    let description = describe(subject);
    subject.done(
        Called {
            kind: Kind::Tendon,
            of: None,
            step: Some(StepId::Pieces),
            shows: "elevation and plan, cuts and pieces".to_owned(),
            scales,
            units: format!("stations and lengths in {}", numbers.unit_words("value_m")),
            description,
        },
        scene,
    )
}

fn describe(subject: &Subject<'_, '_>) -> String {
    let mut words = String::from(
        "Elevation above and plan below, both developed along the alignment. The tendon is a wide line between its \
         anchorages; places are hatched bands. ",
    );
    match &subject.plan.cuts {
        Ok(plan) => {
            let pieces = plan.outs.iter().filter(|out| out.between == Between::Piece).count();
            words.push_str(&format!(
                "A strip over the elevation shows {} cuts in their order and {pieces} pieces, numbered up-station.",
                plan.cuts.len()
            ));
        }
        Err(_) => words.push_str("Cuts and pieces are not known."),
    }
    words
}

/// An elevation lower than this has no room for names in it, mm on paper.
const LOW_MM: f64 = 18.0;
/// Room beyond both ends of the tendon, m.
const BEYOND_M: f64 = 1.2;

fn draw(subject: &Subject<'_, '_>, line: &Line, scene: &mut Scene) -> f64 {
    let (first, last) = (line.points[0][0], line.points[line.points.len() - 1][0]);
    let stations = [first - BEYOND_M, last + BEYOND_M];
    let bays = bays(subject, stations);
    let range = |axis: usize, more: &mut dyn Iterator<Item = f64>| {
        let own = line.points.iter().map(|point| point[axis]);
        own.chain(more).fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| {
            [low.min(value), high.max(value)]
        })
    };
    let floors = bays.iter().filter_map(|bay| bay.floor);
    let mut heights =
        floors.flat_map(|([one, other], high)| [one, other, one + high, other + high]);
    let heights = range(2, &mut heights).map(|m| m * 1000.0);
    let mut widths = bays.iter().filter_map(|bay| bay.laterals).flatten();
    let widths = range(1, &mut widths).map(|m| m * 1000.0);
    let along_mm = (stations[1] - stations[0]) * 1000.0;
    let room = CONTENT.right - CONTENT.left - 14.0;
    const HIGH_MM: f64 = 92.0;
    let scale =
        fitting(&[(along_mm, room), (heights[1] - heights[0] + widths[1] - widths[0], HIGH_MM)]);
    let width = along_mm / scale;
    let left = CONTENT.left + 7.0 + (room - width) / 2.0;
    let strip = strip(subject, scene, [left, left + width], (stations[0], scale));
    let x = |station_m: f64| left + (station_m - stations[0]) * 1000.0 / scale;
    let pad = 3.0;
    let high = (heights[1] - heights[0]) / scale;
    // Elevation.
    let is_low = high < LOW_MM;
    let top = strip + if is_low { 15.0 } else { 8.5 };
    scene.text([left, strip + 6.0], Anchor::Start, TEXT_MM, "Elevation");
    let elevation = View { zero: [left, top + pad + heights[1] / scale], scale };
    let frame = Rect::new(left, top, left + width, top + high + 2.0 * pad);
    places(subject, line, scene, frame, &x);
    for bay in &bays {
        if let Some(([one, other], high_m)) = bay.floor {
            for up_m in [0.0, high_m] {
                let at =
                    |station_m: f64, z_m: f64| [x(station_m), elevation.at(0.0, z_m * 1000.0)[1]];
                let (from, to) =
                    (at(bay.stations[0], one + up_m), at(bay.stations[1], other + up_m));
                if let Some(ends) = frame.clip(from, to) {
                    scene.line(&ends, Pen::Edge);
                }
            }
            scene.means(Sample::Line(Pen::Edge), "floor, ceiling or side of a bay, as stated");
        }
    }
    let side = |point: &[f64; 3]| [x(point[0]), elevation.at(0.0, point[2] * 1000.0)[1]];
    tendon(subject, line, scene, &side, scale);
    names(subject, line, scene, frame, &x);
    name_bays(&bays, scene, frame, &x, is_low);
    scene.place_labels(frame.grown(1.0));
    // Plan.
    let wide = (widths[1] - widths[0]) / scale;
    let top = frame.bottom + 13.5;
    scene.text([left, top - 2.0], Anchor::Start, TEXT_MM, "Plan, left is up");
    let plan = View { zero: [left, top + pad + widths[1] / scale], scale };
    let frame = Rect::new(left, top, left + width, top + wide + 2.0 * pad);
    places(subject, line, scene, frame, &x);
    for bay in &bays {
        for lateral_m in bay.laterals.into_iter().flatten() {
            let y = plan.at(0.0, lateral_m * 1000.0)[1];
            if let Some(ends) = frame.clip([x(bay.stations[0]), y], [x(bay.stations[1]), y]) {
                scene.line(&ends, Pen::Edge);
            }
        }
    }
    others(subject, line, scene, frame, &|point| [x(point[0]), plan.at(0.0, point[1] * 1000.0)[1]]);
    let above = |point: &[f64; 3]| [x(point[0]), plan.at(0.0, point[1] * 1000.0)[1]];
    tendon(subject, line, scene, &above, scale);
    // Points of the tendon with their stations, and the lengths between them.
    let lanes = Lanes::below(frame.bottom + 6.0);
    let numbers = subject.numbers();
    let mut ends: Vec<[f64; 2]> =
        line.points.windows(2).map(|pair| [pair[0][0], pair[1][0]]).collect();
    ends.push([first, last]);
    let wanted = ends
        .iter()
        .map(|[from, to]| ([x(*from), frame.bottom], [x(*to), frame.bottom], numbers.m(to - from)));
    scene.dimensions(lanes, wanted.collect());
    scene.place_labels(frame.grown(1.0));
    let bottom = scene.bottom() + 3.5;
    let (unit_mm, unit) = numbers.bar(true);
    let table = points(subject, scene, [CONTENT.left, bottom]);
    bar(scene, [table.right + 8.0, bottom], scale, unit_mm, unit);
    scene.notes_from([table.right + 8.0, bottom + 13.0]);
    scene.note("Places are drawn between their faces and over the height of the view; their outline is not in the schedule.");
    scene.note("Stations, laterals and elevations of the tendon's points are those of the schedule; lengths below the plan are differences of stations.");
    scale
}

/// The tendon's points as the schedule states them.
fn points(subject: &Subject<'_, '_>, scene: &mut Scene, at: Point) -> Rect {
    let numbers = subject.numbers();
    let m = |value: Option<f64>, digits: u8| {
        value.map_or(String::new(), |m| numbers.bare("value_m", m, digits))
    };
    let rows: Vec<Vec<String>> = subject
        .at
        .tendon
        .points
        .iter()
        .map(|point| {
            vec![
                point.id.as_deref().unwrap_or_default().to_owned(),
                point.place.as_ref().map_or(String::new(), |place| place.key().to_owned()),
                m(point.station_m, 3),
                m(point.lateral_m, 3),
                m(point.elevation_m, 3),
                m(point.radius_m, 4),
            ]
        })
        .collect();
    let titles = ["point", "place", "station", "lateral", "elevation", "radius"];
    scene.table(at, CONTENT.right - at[0], &titles, &rows)
}

/// Places as bands between their faces.
fn places(
    subject: &Subject<'_, '_>,
    line: &Line,
    scene: &mut Scene,
    frame: Rect,
    x: &dyn Fn(f64) -> f64,
) {
    for (_, [down_m, up_m]) in bands(subject, line) {
        let (one, other) = (x(down_m).max(frame.left), x(up_m).min(frame.right));
        if other <= one {
            continue;
        }
        let corners =
            [[one, frame.top], [other, frame.top], [other, frame.bottom], [one, frame.bottom]];
        scene.fill(&corners, Hatch::Concrete);
        for side in [one, other] {
            scene.line(&[[side, frame.top], [side, frame.bottom]], Pen::Thin);
        }
        scene.means(Sample::Fill(Hatch::Concrete), "place: concrete between its faces");
    }
}

/// The places that the tendon names or passes, with their faces, m.
fn bands<'a>(subject: &Subject<'_, 'a>, line: &Line) -> Vec<(&'a Place, [f64; 2])> {
    let context = subject.context();
    let tendon = subject.at.tendon;
    let held = context.held(subject.at).unwrap_or_default();
    let ends = subject.at.ends().filter_map(|end| end.end.place.as_ref()).map(|link| link.key());
    let points = tendon.points.iter().filter_map(|point| point.place.as_ref());
    let deviators = tendon.deviators.iter().filter_map(|one| one.place.as_ref());
    let names: Vec<String> = ends
        .chain(points.map(|link| link.key()))
        .chain(deviators.map(|link| link.key()))
        .map(str::to_owned)
        .chain(held.iter().map(|held| held.place.clone()))
        .collect();
    context
        .schedule
        .places
        .iter()
        .filter(|place| place.id.as_deref().is_some_and(|id| names.iter().any(|name| name == id)))
        .filter_map(|place| {
            let lateral_m = line.at(place.station_m.unwrap_or(line.points[0][0]))[0];
            Some((place, extent_m(place, lateral_m)?))
        })
        .collect()
}

/// The tendon with its anchorages, forms and cuts, in one view.
fn tendon(
    subject: &Subject<'_, '_>,
    line: &Line,
    scene: &mut Scene,
    on_paper: &dyn Fn(&[f64; 3]) -> Point,
    scale: f64,
) {
    let context = subject.context();
    let path: Vec<Point> = line.path.iter().map(on_paper).collect();
    scene.line(&path, Pen::Tendon);
    scene.means(Sample::Line(Pen::Tendon), "the tendon's axis");
    let full = |station_m: f64| {
        let [lateral_m, elevation_m] = line.at(station_m);
        [station_m, lateral_m, elevation_m]
    };
    let direction = |station_m: f64| {
        let (one, other) = (on_paper(&full(station_m - 0.05)), on_paper(&full(station_m + 0.05)));
        let away = [other[0] - one[0], other[1] - one[1]];
        let length = away[0].hypot(away[1]).max(1e-9);
        away.map(|share| share / length)
    };
    for (end, sign) in [(0, 1.0), (line.points.len() - 1, -1.0)] {
        let along = direction(line.points[end][0]).map(|share| sign * share);
        marks::anchorage(scene, on_paper(&line.points[end]), along);
    }
    scene.means(Sample::Anchorage, "anchorage, at its bearing plate");
    for index in 0..subject.at.tendon.deviators.len() {
        let Ok(deviated) = works::deviated(context, subject.at, index) else { continue };
        let Some(form) = deviated.form else { continue };
        let Some(length_mm) = form.length_mm else { continue };
        let half_m = length_mm / 2000.0;
        let Some(station_m) = station(subject, index) else { continue };
        let along = direction(station_m);
        let at = on_paper(&full(station_m));
        let wide = |bore: Option<f64>| bore.map(|mm| mm / scale / 2.0);
        let (Some(throat), Some(rear), Some(span)) =
            (wide(form.throat_mm), wide(form.exit_rear_mm), wide(form.exit_span_mm))
        else {
            continue;
        };
        let point = |away: f64, aside: f64| {
            [at[0] + along[0] * away - along[1] * aside, at[1] + along[1] * away + along[0] * aside]
        };
        let half = half_m * 1000.0 / scale;
        for sign in [-1.0, 1.0] {
            scene.line(
                &[point(-half, sign * rear), point(0.0, sign * throat), point(half, sign * span)],
                Pen::Edge,
            );
        }
        scene.means(Sample::Line(Pen::Edge), "bore of a form, straight from throat to exit");
    }
    if let Ok(plan) = &subject.plan.cuts {
        for cut in &plan.cuts {
            marks::cut(scene, on_paper(&full(cut.station_m)), direction(cut.station_m));
        }
    }
}

/// The station at which a deviator's form stands.
fn station(subject: &Subject<'_, '_>, index: usize) -> Option<f64> {
    use restrand_rules::DeviatorSpot;
    let laid = subject.context().path(subject.at).ok()?;
    match laid.deviators.get(index)? {
        DeviatorSpot::Corner(bend) => subject.at.tendon.points.get(bend + 1)?.station_m,
        DeviatorSpot::OnLeg(_) => {
            let deviator = &subject.at.tendon.deviators[index];
            subject.context().place(deviator.place.as_ref())?.record.station_m
        }
        DeviatorSpot::OffPath | DeviatorSpot::Unknown(_) => None,
    }
}
