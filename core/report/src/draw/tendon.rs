//! Elevation and plan of a tendon in the bridge, with places, forms, cuts and pieces.

use restrand_model::schedule::{CutPlace, EndName, Place, Status};
use restrand_plan::{Between, StepId};
use restrand_rules::{extent_m, ways, works};

use super::canvas::{
    Anchor, CONTENT, Hatch, Label, Lanes, Pen, Point, Rect, Sample, Scene, TEXT_MM, View, arc, bar,
    fitting,
};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind, marks};

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
            step: StepId::Pieces,
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

/// A tendon as stations, laterals and elevations, its bends drawn round.
struct Line {
    /// Station, lateral, elevation, m.
    points: Vec<[f64; 3]>,
    /// The same with the bends.
    path: Vec<[f64; 3]>,
}

impl Line {
    fn of(subject: &Subject<'_, '_>) -> Result<Self, &'static str> {
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
    fn at(&self, station_m: f64) -> [f64; 2] {
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
struct Bay {
    name: String,
    stations: [f64; 2],
    /// Floor at both ends and height, where stated.
    floor: Option<([f64; 2], f64)>,
    /// From right to left.
    laterals: Option<[f64; 2]>,
}

fn bays(subject: &Subject<'_, '_>, [from_m, to_m]: [f64; 2]) -> Vec<Bay> {
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

/// An elevation lower than this has no room for names in it, mm on paper.
const LOW_MM: f64 = 16.0;
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
    const HIGH_MM: f64 = 108.0;
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
    let top = strip + if is_low { 14.0 } else { 8.0 };
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
    let top = frame.bottom + 12.0;
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
    others(subject, scene, frame, &|point| [x(point[0]), plan.at(0.0, point[1] * 1000.0)[1]]);
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
    let bar = bar(scene, [CONTENT.left + 2.0, bottom + 3.0], scale, unit_mm, unit);
    points(subject, scene, [CONTENT.left + bar.max(60.0) + 24.0, bottom]);
    scene.note("Places are drawn between their faces and over the height of the view; their outline is not in the schedule.");
    scene.note("Stations, laterals and elevations of the tendon's points are those of the schedule; lengths below the plan are differences of stations.");
    scale
}

/// The tendon's points as the schedule states them.
fn points(subject: &Subject<'_, '_>, scene: &mut Scene, at: Point) {
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
    scene.table(at, CONTENT.right - at[0], &titles, &rows);
}

/// The strip of cuts and pieces; returns where it ends.
fn strip(
    subject: &Subject<'_, '_>,
    scene: &mut Scene,
    [left, right]: [f64; 2],
    (from_m, scale): (f64, f64),
) -> f64 {
    let plan = match &subject.plan.cuts {
        Ok(plan) => plan,
        Err(field) => {
            scene.lacks(field, "cuts and pieces");
            return CONTENT.top;
        }
    };
    let Ok(along) = works::Along::of(subject.context(), subject.at) else {
        return CONTENT.top;
    };
    let x = |along_m: f64| left + (along.station_m(along_m) - from_m) * 1000.0 / scale;
    let cuts: Vec<(f64, String)> = plan
        .cuts
        .iter()
        .enumerate()
        .map(|(index, cut)| {
            let released = if cut.purpose == CutPlace::Release { "R" } else { "" };
            (x(cut.along_m), format!("{}{released}", index + 1))
        })
        .collect();
    // Rows of numbers stand over the strip: they are counted first, on paper that is thrown away.
    let mut trial = Scene::default();
    let (highest, _) = trial.row(0.0, true, 2.0, [left - 8.0, right + 8.0], &cuts);
    let top = CONTENT.top + 5.0 - highest;
    const HIGH_MM: f64 = 5.5;
    let bottom = top + HIGH_MM;
    scene.text(
        [left, CONTENT.top + 2.0],
        Anchor::Start,
        TEXT_MM,
        "Cuts by number, pieces from cut to cut",
    );
    let (_, left_out) = scene.row(top, true, 2.0, [left - 8.0, right + 8.0], &cuts);
    let mut pieces = 0;
    let mut below = Vec::new();
    for out in &plan.outs {
        let (one, other) = (x(out.along_m[0]), x(out.along_m[1]));
        let shape = [[one, top], [other, top], [other, bottom], [one, bottom]];
        match &out.between {
            Between::Piece => {
                pieces += 1;
                scene.shape(&shape, Pen::Edge, Hatch::White);
                let number = pieces.to_string();
                if !scene.between([one, bottom], [other, top], &number) {
                    below.push((f64::midpoint(one, other), number));
                }
            }
            Between::Stub(held) => {
                scene.shape(&shape, Pen::Edge, Hatch::Leaves);
                below.push((f64::midpoint(one, other), held.place.clone()));
            }
        }
    }
    match plan.stubs_along_m {
        Ok([from_m, to_m]) => {
            let stubs = [(0.0, from_m, "stub a"), (to_m, along.length_m(), "stub b")];
            for (from_m, to_m, name) in stubs {
                let (one, other) = (x(from_m), x(to_m));
                scene.shape(
                    &[[one, top], [other, top], [other, bottom], [one, bottom]],
                    Pen::Edge,
                    Hatch::Leaves,
                );
                below.push((f64::midpoint(one, other), name.to_owned()));
            }
        }
        Err(field) => scene.lacks(field, "the stubs at the anchorages"),
    }
    let (lowest, more) = scene.row(bottom, false, 1.6, [left - 8.0, right + 8.0], &below);
    scene.means(Sample::Cut, "cut across the tendon");
    scene.means(Sample::Fill(Hatch::White), "piece of the free length, numbered up-station");
    scene.means(Sample::Fill(Hatch::Leaves), "stub, drawn out of its place");
    scene.note("Cuts are numbered in the order in which they are made; R releases the tendon.");
    if left_out + more > 0 {
        scene.note(format!(
            "{} numbers have no room at this scale; the tables of the plan have them all.",
            left_out + more
        ));
    }
    lowest.max(bottom)
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
    let held = works::held(context, subject.at).unwrap_or_default();
    let ends = subject.at.ends().filter_map(|end| end.end.place.as_ref()).map(|link| link.key());
    let points = tendon.points.iter().filter_map(|point| point.place.as_ref());
    let deviators = tendon.deviators.iter().filter_map(|one| one.place.as_ref());
    let names: Vec<String> = ends
        .chain(points.map(|link| link.key()))
        .chain(deviators.map(|link| link.key()))
        .map(str::to_owned)
        .chain(held.into_iter().map(|held| held.place))
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

/// Names of places, forms and anchorages under the elevation's frame.
fn names(
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
fn name_bays(bays: &[Bay], scene: &mut Scene, frame: Rect, x: &dyn Fn(f64) -> f64, is_low: bool) {
    let middle = |bay: &Bay| {
        f64::midpoint(x(bay.stations[0]).max(frame.left), x(bay.stations[1]).min(frame.right))
    };
    if is_low {
        let above: Vec<(f64, String)> =
            bays.iter().map(|bay| (middle(bay), bay.name.clone())).collect();
        scene.row(frame.top, true, 0.6, [frame.left - 10.0, frame.right + 10.0], &above);
        return;
    }
    for bay in bays {
        scene.label(Label::area([middle(bay), frame.bottom - 5.0], bay.name.clone()));
    }
}

/// Axes of other tendons in place, in plan.
fn others(
    subject: &Subject<'_, '_>,
    scene: &mut Scene,
    frame: Rect,
    on_paper: &dyn Fn(&[f64; 3]) -> Point,
) {
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
            // Names of neighbours do not stand over one another.
            #[expect(clippy::cast_precision_loss, reason = "less than four")]
            let share = 0.3 + 0.12 * (other.position % 4) as f64;
            let at = [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
            scene.label(Label::new(at, [0.3, -1.0], other.mark()));
        }
    }
}
