//! The face of an anchorage, seen from behind along its axis, with what stands beside it.

use restrand_model::schedule::{EndKind, EndName, Permanence, Role};
use restrand_plan::StepId;
use restrand_rules::EndAt;
use restrand_rules::ends::{EndAxis, JackBody, OnAxis, What};

use super::beside::{Figure, figures};
use super::canvas::{
    CONTENT, Hatch, Label, Lanes, Pen, Point, Rect, Sample, Scene, View, bar, fitting,
};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind};

/// Draws it.
pub(super) fn drawing(subject: &Subject<'_, '_>, end: &EndAt<'_>) -> Drawing {
    let mut scene = Scene::default();
    let scale = draw(subject, end, &mut scene);
    let numbers = subject.numbers();
    let looking = looking(end);
    subject.done(
        Called {
            kind: Kind::Face,
            of: Some(end.call()),
            step: Some(StepId::JackIn),
            shows: format!("face of the anchorage at {}, looking {looking}", end.call()),
            scales: scale.into_iter().collect(),
            units: format!("dimensions in {}", numbers.unit_words("value_mm")),
            description: format!(
                "The anchorage seen from behind along its axis, looking {looking}: bearing plate, wedge plate and cap as \
                 circles, the jack's outline, the clear distances above, below and to both sides, and the caps and \
                 ducts of other tendons that stay in place."
            ),
        },
        scene,
    )
}

const fn looking(end: &EndAt<'_>) -> &'static str {
    match end.name {
        EndName::A => "up-station, left is left",
        EndName::B => "down-station, left is on the right",
    }
}

fn draw(subject: &Subject<'_, '_>, end: &EndAt<'_>, scene: &mut Scene) -> Option<f64> {
    let context = subject.context();
    let numbers = subject.numbers();
    let parts = context.end_parts(end);
    let anchorage = context.anchorage(end.end).map(|found| found.record);
    let outer = |role: Role| {
        let part = parts.iter().find(|part| part.part.role == Some(role))?;
        part.part.rear_outer_mm
    };
    let plate = outer(Role::BearingPlate);
    let wedge = outer(Role::WedgePlate).or(anchorage.and_then(|one| one.wedge_plate_outer_mm));
    let cap = outer(Role::Cap).or(anchorage.and_then(|one| one.cap_outer_mm));
    let Some(greatest) = [plate, wedge, cap].into_iter().flatten().reduce(f64::max) else {
        scene.lacks("part.rear_outer_mm", "the anchorage's face");
        nothing(scene, "No diameter of the anchorage is stated: nothing can be drawn");
        return None;
    };
    let is_stressed = !matches!(end.end.kind, Some(EndKind::Dead | EndKind::Embedded));
    let jack = context.jack(end.end.jack.as_ref()).filter(|_| is_stressed);
    let body = jack.as_ref().and_then(|jack| match JackBody::of(jack.record, anchorage) {
        Ok(body) => Some(body),
        Err(field) => {
            scene.lacks(field, "the jack's outline");
            None
        }
    });
    if is_stressed && jack.is_none() {
        scene.lacks("end.jack", "the jack's outline");
    }
    let sides = context.room(subject.at, end).sides.map(|side| side.clear_mm());
    for (field, side, word) in [
        ("removal_space.up_mm", sides[0], "above"),
        ("removal_space.down_mm", sides[1], "below"),
        ("removal_space.left_mm", sides[2], "to the left"),
        ("removal_space.right_mm", sides[3], "to the right"),
    ] {
        if side.is_none() {
            scene.lacks(field, format!("what ends the room {word}"));
        }
    }
    // Sides that lie far away are not drawn to their end.
    let reach = greatest.max(body.map_or(0.0, |body| 2.0 * body.radius_mm)) * 1.6;
    let shown =
        sides.map(|side| side.map_or(reach * 0.6, |mm| mm + 20.0).clamp(greatest * 0.7, reach));
    let needs = body.map_or([0.0; 4], |body| sides_of(&body));
    let shown: [f64; 4] = std::array::from_fn(|side| shown[side].max(needs[side] + 30.0));
    let beside = neighbours(subject, end, scene);
    // Caps that stand near are in the view.
    let shown = reaching(shown, sides, &beside);
    // What is left of the paper's width shows more of the room.
    let [up, down, ..] = shown;
    let scale = fitting(&[(shown[2] + shown[3], WIDE_MM), (up + down, 135.0)]);
    let rest = (WIDE_MM * scale - shown[2] - shown[3]).max(0.0) / 2.0;
    let wider = |side: usize| {
        let most = sides[side].map_or(f64::INFINITY, |mm| mm + 20.0);
        (shown[side] + rest).min(most).max(shown[side])
    };
    let shown = [up, down, wider(2), wider(3)];
    let [_, _, left, right] = shown;
    // Left of the bridge is on the right for one who looks down-station.
    let sign = match end.name {
        EndName::A => -1.0,
        EndName::B => 1.0,
    };
    let across = left + right;
    let before = if sign < 0.0 { left } else { right };
    let view = View {
        zero: [
            f64::midpoint(CONTENT.left, CONTENT.right) - across / scale / 2.0 + before / scale,
            CONTENT.top + 8.0 + up / scale,
        ],
        scale,
    };
    let at = |to_left: f64, to_up: f64| view.at(sign * to_left, to_up);
    let frame = Rect::round(&[at(left, up), at(-right, -down)]);
    walls(scene, sides, shown, &at, frame);
    draw_neighbours(subject, scene, &beside, &at, frame);
    let middle = at(0.0, 0.0);
    let circles = [
        (plate, "bearing plate", Pen::Edge, Hatch::White),
        (wedge, "wedge plate", Pen::Edge, Hatch::None),
        (cap, "cap", Pen::Hidden, Hatch::None),
        (anchorage.and_then(|one| one.bearing_bore_mm), "bore", Pen::Hidden, Hatch::None),
        (
            anchorage.and_then(|one| one.hole_circle_mm),
            "circle of the outer holes",
            Pen::Axis,
            Hatch::None,
        ),
    ];
    let mut turn = 0.6_f64;
    for (diameter, words, pen, fill) in circles {
        let Some(diameter) = diameter else { continue };
        scene.circle(middle, diameter / 2.0 / scale, pen, fill);
        let (sin, cos) = turn.sin_cos();
        let radius = diameter / 2.0 / scale;
        let words = format!("{words} Ø {}", numbers.mm(diameter));
        scene.label(Label::circle(middle, radius, [cos, -sin], words));
        turn += 0.55;
    }
    scene.means(Sample::Line(Pen::Edge), "edge in sight, or end of the room as stated");
    scene.means(Sample::Line(Pen::Hidden), "edge behind, or the cap once it is on");
    for line in [[at(left, 0.0), at(-right, 0.0)], [at(0.0, up), at(0.0, -down)]] {
        scene.line(&line, Pen::Axis);
    }
    scene.means(Sample::Line(Pen::Axis), "axes, circle of holes");
    if let Some(body) = body {
        scene.circle(middle, body.radius_mm / scale, Pen::Beside, Hatch::None);
        let words = format!("jack Ø {}", numbers.mm(2.0 * body.radius_mm));
        scene.label(Label::circle(middle, body.radius_mm / scale, [-0.8, 0.6], words));
        hoses(scene, &body, &at, numbers);
        scene.means(Sample::Line(Pen::Beside), "the jack, or what stays near");
    }
    if !parts.iter().any(|part| part.part.permanence == Some(Permanence::Permanent)) {
        scene.lacks("anchorage.parts", "the parts that stay");
    }
    dimensions(scene, sides, shown, &at, frame, numbers);
    // Names have the paper beside the view, too.
    scene.place_labels(Rect { left: CONTENT.left, right: CONTENT.right, ..frame.grown(10.0) });
    let bottom = scene.bottom() + 3.0;
    let (unit_mm, unit) = numbers.bar(false);
    bar(scene, [CONTENT.left + 4.0, bottom], scale, unit_mm, unit);
    if let Some(distance_mm) = end.end.edge_distance_mm {
        scene.note(format!("Nearest edge of the concrete, as stated: {} from the axis; the schedule does not say on which side.", numbers.length(distance_mm)));
    }
    if let Some(distance_mm) = anchorage.and_then(|one| one.centre_distance_mm) {
        scene.note(format!(
            "Centre distance that the anchorage asks for: {}.",
            numbers.length(distance_mm)
        ));
    }
    Some(scale)
}

/// Width of the view, mm on paper.
const WIDE_MM: f64 = 270.0;

/// How far a jack reaches up, down, left and right, hoses included.
fn sides_of(body: &JackBody) -> [f64; 4] {
    use restrand_model::schedule::Side;
    let mut sides = [body.radius_mm; 4];
    if let Some((side, room_mm)) = body.hoses {
        match side {
            Side::Up => sides[0] += room_mm,
            Side::Down => sides[1] += room_mm,
            Side::Left => sides[2] += room_mm,
            Side::Right => sides[3] += room_mm,
            Side::Rear => {}
        }
    }
    sides
}

type At<'r> = &'r dyn Fn(f64, f64) -> [f64; 2];

/// The four sides of the room, hatched outside.
fn walls(scene: &mut Scene, sides: [Option<f64>; 4], shown: [f64; 4], at: At<'_>, frame: Rect) {
    let [up, down, left, right] = shown;
    const THICK_MM: f64 = 5.0;
    let mut wall = |one: [f64; 2], other: [f64; 2], out: [f64; 2]| {
        let away = |point: [f64; 2]| [point[0] + out[0] * THICK_MM, point[1] + out[1] * THICK_MM];
        scene.fill(&[one, other, away(other), away(one)], Hatch::Concrete);
        scene.line(&[one, other], Pen::Edge);
        scene.means(Sample::Fill(Hatch::Concrete), "outside of the clear room, as stated");
    };
    let within = |side: Option<f64>, shown: f64| side.filter(|side| *side <= shown);
    if let Some(mm) = within(sides[0], up) {
        let y = at(0.0, mm)[1];
        wall([frame.left, y], [frame.right, y], [0.0, -1.0]);
    }
    if let Some(mm) = within(sides[1], down) {
        let y = at(0.0, -mm)[1];
        wall([frame.left, y], [frame.right, y], [0.0, 1.0]);
    }
    let top = within(sides[0], up).map_or(frame.top, |mm| at(0.0, mm)[1]);
    let bottom = within(sides[1], down).map_or(frame.bottom, |mm| at(0.0, -mm)[1]);
    for (side, shown, to_left) in [(sides[2], left, 1.0), (sides[3], right, -1.0)] {
        if let Some(mm) = within(side, shown) {
            let x = at(to_left * mm, 0.0)[0];
            let out = if x < at(0.0, 0.0)[0] { -1.0 } else { 1.0 };
            wall([x, top], [x, bottom], [out, 0.0]);
        }
    }
}

fn hoses(scene: &mut Scene, body: &JackBody, at: At<'_>, numbers: super::numbers::Numbers) {
    use restrand_model::schedule::Side;
    let Some((side, room_mm)) = body.hoses else { return };
    let (to_left, to_up) = match side {
        Side::Up => (0.0, 1.0),
        Side::Down => (0.0, -1.0),
        Side::Left => (1.0, 0.0),
        Side::Right => (-1.0, 0.0),
        Side::Rear => {
            scene.note(format!(
                "Hoses leave the jack at the rear and need {} there.",
                numbers.length(room_mm)
            ));
            return;
        }
    };
    let radius = body.radius_mm;
    let half = radius * 0.35;
    let point =
        |out: f64, aside: f64| at(to_left * out + to_up * aside, to_up * out + to_left * aside);
    scene.shape(
        &[
            point(radius, -half),
            point(radius + room_mm, -half),
            point(radius + room_mm, half),
            point(radius, half),
        ],
        Pen::Beside,
        Hatch::None,
    );
    let words = format!("hoses {}", numbers.mm(room_mm));
    // The middle of the outer side lies on an axis, on which a leader is not seen.
    let corners = [half * 0.7, -half * 0.7].map(|aside| point(radius + room_mm, aside));
    let named = Label::new(corners[0], [0.0, -to_up - to_left.abs()], words);
    scene.label(Label { or_at: vec![(corners[1], 0.0)], ..named });
}

/// What stands near and is in place.
fn neighbours(subject: &Subject<'_, '_>, end: &EndAt<'_>, scene: &mut Scene) -> Vec<Figure> {
    let axis = match EndAxis::of(subject.context(), subject.at, end) {
        Ok(axis) => axis,
        Err(field) => {
            scene.lacks(field, "the tendons that stand near");
            return Vec::new();
        }
    };
    let behind = subject.context().room(subject.at, end).behind;
    let behind_mm = behind.map_or(1000.0, |behind| behind.mm);
    let stretch = OnAxis { from_mm: 0.0, to_mm: behind_mm.max(1.0), radius_mm: 1.0 };
    const NEAR_MM: f64 = 3000.0;
    let standing = &subject.drawings.standing;
    if let Some(field) = standing.unknown() {
        scene.lacks(field, "some of the tendons that stand near");
    }
    // What ends at the face has its cap to be seen by.
    const SHORT_MM: f64 = 60.0;
    let mut figures = figures(standing.near(subject.at.position, &axis, stretch, NEAR_MM));
    figures.retain(|figure| {
        let [from_mm, to_mm] = figure.ends_mm();
        matches!(figure.what, What::Cap(_)) || (to_mm[0] - from_mm[0]).abs() >= SHORT_MM
    });
    figures
}

/// The sides of the view, mm, wide enough for the caps that stand near; no further than the room goes.
fn reaching(mut shown: [f64; 4], sides: [Option<f64>; 4], beside: &[Figure]) -> [f64; 4] {
    const NEAR_MM: f64 = 1500.0;
    const ROUND_MM: f64 = 60.0;
    let caps = beside.iter().filter(|figure| matches!(figure.what, What::Cap(_)));
    for near in caps.flat_map(|cap| &cap.stretches) {
        let [_, up, left] = near.from_mm;
        if up.hypot(left) > NEAR_MM {
            continue;
        }
        for (side, out) in [(0, up), (1, -up), (2, left), (3, -left)] {
            let most = sides[side].map_or(f64::INFINITY, |mm| mm + 20.0);
            let wanted = out + near.radius_mm + ROUND_MM;
            shown[side] = shown[side].max(wanted.min(most));
        }
    }
    shown
}

fn draw_neighbours(
    subject: &Subject<'_, '_>,
    scene: &mut Scene,
    beside: &[Figure],
    at: At<'_>,
    frame: Rect,
) {
    let on_paper = |mm: f64| (at(0.0, 0.0)[1] - at(0.0, mm)[1]).abs();
    for figure in beside {
        let seen: Vec<(Point, f64)> = figure
            .circles()
            .into_iter()
            .map(|(mm, radius_mm)| (at(mm[2], mm[1]), on_paper(radius_mm)))
            .filter(|(point, radius)| {
                frame.holds(Rect::new(point[0], point[1], point[0], point[1]).grown(radius * 0.5))
            })
            .collect();
        let Some((&(named, radius), others)) = seen.split_first() else { continue };
        for (point, radius) in &seen {
            scene.circle(*point, *radius, Pen::Beside, Hatch::None);
        }
        let ends = figure.ends_mm().map(|one| at(one[2], one[1]));
        if let (What::Leg(_), Some(seen)) = (figure.what, frame.clip(ends[0], ends[1])) {
            scene.line(&seen, Pen::Axis);
        }
        scene.means(Sample::Line(Pen::Beside), "the jack, or what stays near");
        let mark = subject.context().tendons().nth(figure.tendon).map(|at| at.mark());
        let mark = mark.unwrap_or_default();
        let what = match figure.what {
            What::Leg(_) => format!("duct of {mark}"),
            What::Cap(_) => format!("cap of {mark}"),
        };
        let apart = format!("axes {} apart", subject.numbers().about(figure.apart_mm()));
        let named = Label::circle(named, radius, [0.0, -1.0], what).and(apart);
        let or_at = others.iter().map(|(point, _)| (*point, 0.0)).collect();
        scene.label(Label { or_at, ..named });
    }
}

fn dimensions(
    scene: &mut Scene,
    sides: [Option<f64>; 4],
    shown: [f64; 4],
    at: At<'_>,
    frame: Rect,
    numbers: super::numbers::Numbers,
) {
    let [up, down, left, right] = shown;
    let words = ["above", "below", "to the left of", "to the right of"];
    let beyond = |scene: &mut Scene, index: usize, mm: f64| {
        scene.note(format!(
            "The room {} the axis goes on to {}.",
            words[index],
            numbers.length(mm)
        ));
    };
    let mut wanted = Vec::new();
    for (index, side, shown, sign) in [(0, sides[0], up, 1.0), (1, sides[1], down, -1.0)] {
        let Some(mm) = side else { continue };
        if mm > shown {
            beyond(scene, index, mm);
            continue;
        }
        let (from, to) = (at(0.0, 0.0)[1], at(0.0, sign * mm)[1]);
        wanted.push(([frame.left, from], [frame.left, to], numbers.mm(mm)));
    }
    scene.dimensions(Lanes::left(frame.left - 12.0), std::mem::take(&mut wanted));
    for (index, side, shown, sign) in [(2, sides[2], left, 1.0), (3, sides[3], right, -1.0)] {
        let Some(mm) = side else { continue };
        if mm > shown {
            beyond(scene, index, mm);
            continue;
        }
        let (from, to) = (at(0.0, 0.0)[0], at(sign * mm, 0.0)[0]);
        wanted.push(([from, frame.bottom], [to, frame.bottom], numbers.mm(mm)));
    }
    scene.dimensions(Lanes::below(frame.bottom + 12.0), wanted);
}
