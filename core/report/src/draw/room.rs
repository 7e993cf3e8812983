//! The room behind an anchorage, seen from the side: walls, obstacles, neighbours, the stub, and the jack at full stroke.

use restrand_model::schedule::{EndKind, EndName};
use restrand_plan::StepId;
use restrand_rules::EndAt;
use restrand_rules::ends::{
    self, Clear, EndAxis, JackBody, OnAxis, OwnBox, What, clear_behind, recess_around,
};
use restrand_rules::works;

use super::beside::figures;
use super::canvas::{CONTENT, Hatch, Label, Lanes, Pen, Rect, Sample, Scene, View, bar, fitting};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind};

/// Draws it.
pub(super) fn drawing(subject: &Subject<'_, '_>, end: &EndAt<'_>) -> Drawing {
    let mut scene = Scene::default();
    let scale = draw(subject, end, &mut scene);
    let numbers = subject.numbers();
    let behind = subject.context().room(subject.at, end).behind;
    let description = format!(
        "The room behind the bearing plate, seen from the side, rear on the {}. Clear length behind the plate: {}. The \
         stub before and after it is drawn out and the jack at full stroke are outlined; lengths from the plate's face \
         are dimensioned below.",
        match end.name {
            EndName::A => "left",
            EndName::B => "right",
        },
        match behind {
            None => "not stated".to_owned(),
            Some(Clear { mm, bay: None }) => numbers.length(mm),
            Some(Clear { mm, bay: Some(bay) }) => {
                let bay = subject.context().ways().call_bay(bay);
                format!("not stated; {} as bay {bay} gives it", numbers.length(mm))
            }
        }
    );
    subject.done(
        Called {
            kind: Kind::Room,
            of: Some(end.call()),
            step: Some(StepId::JackIn),
            shows: format!("room behind the anchorage at {}, with the stub", end.call()),
            scales: scale.into_iter().collect(),
            units: format!("dimensions in {}", numbers.unit_words("value_mm")),
            description,
        },
        scene,
    )
}

/// How thick a wall is drawn, mm on paper.
const WALL_MM: f64 = 5.0;

/// Lengths from the bearing plate's face that are dimensioned, with their words.
struct Lengths(Vec<(f64, f64, String)>);

fn draw(subject: &Subject<'_, '_>, end: &EndAt<'_>, scene: &mut Scene) -> Option<f64> {
    let context = subject.context();
    let numbers = subject.numbers();
    let room = context.room(subject.at, end);
    let behind_mm = room.behind.map(|behind| behind.mm);
    let [up_mm, down_mm, ..] = room.sides.map(|side| side.clear_mm());
    for (field, value, what) in [
        ("removal_space.behind_mm", behind_mm, "the wall behind the anchorage"),
        ("removal_space.up_mm", up_mm, "what ends the room above the axis"),
        ("removal_space.down_mm", down_mm, "what ends the room below the axis"),
    ] {
        if value.is_none() {
            scene.lacks(field, what);
        }
    }
    let stub = works::planned_stub(context, subject.at, end);
    let needs = jack_needs(subject, end, scene);
    let anchorage = context.anchorage(end.end);
    let jack = context.jack(end.end.jack.as_ref());
    let body = jack
        .as_ref()
        .map(|jack| JackBody::of(jack.record, anchorage.as_ref().map(|found| found.record)));
    let body = match body {
        Some(Ok(body)) => Some(body),
        Some(Err(field)) if needs.is_some() => {
            scene.lacks(field, "the jack");
            None
        }
        _ => None,
    };
    let is_stressed = !matches!(end.end.kind, Some(EndKind::Dead | EndKind::Embedded));
    let is_lacking_jack = is_stressed && (needs.is_none() || body.is_none());
    let cut_mm = stub.as_ref().ok().map(|stub| stub.cut_mm);
    let most_mm = needs.as_ref().map(ends::JackNeeds::most_mm);
    let rear = [behind_mm, most_mm, stub.as_ref().ok().map(|stub| stub.rearmost_mm)];
    let rear = rear.into_iter().flatten().fold(300.0, f64::max) + 120.0;
    let low = cut_mm.unwrap_or(-400.0).min(-200.0) - 80.0;
    let radius = body.map_or(0.0, |body| body.radius_mm);
    let radius = radius.max(stub.as_ref().map_or(0.0, |stub| stub.radius_mm)).max(150.0);
    // A room that is open far above or below is not drawn to its end.
    let most = (rear - low) * 0.42;
    let shown =
        |clear_mm: Option<f64>| clear_mm.unwrap_or(radius + 250.0).min(most).max(radius + 60.0);
    let (above, below) = (shown(up_mm), shown(down_mm));
    let scale =
        fitting(&[(rear - low, CONTENT.right - CONTENT.left - 40.0), (above + below, 118.0)]);
    let sign = match end.name {
        EndName::A => -1.0,
        EndName::B => 1.0,
    };
    let width = (rear - low) / scale;
    let left = CONTENT.left + (CONTENT.right - CONTENT.left - width) / 2.0;
    let lowest = if sign > 0.0 { low } else { -rear };
    let top = CONTENT.top + 6.0;
    let view = View { zero: [left - lowest / scale, top + above / scale], scale };
    let at = |along: f64, up: f64| view.at(sign * along, up);
    let rect = |from: f64, to: f64, bottom: f64, top: f64| {
        [at(from, top), at(to, top), at(to, bottom), at(from, bottom)]
    };
    let frame = Rect::round(&rect(low, rear, -below, above));
    // The concrete in front, as far as the view goes.
    let hollow = stub.as_ref().map_or(radius.min(110.0), |stub| stub.radius_mm.min(110.0));
    scene.fill(&rect(low, 0.0, hollow, above), Hatch::Concrete);
    scene.fill(&rect(low, 0.0, -below, -hollow), Hatch::Concrete);
    scene.line(&[at(0.0, above), at(0.0, -below)], Pen::Edge);
    scene.means(Sample::Fill(Hatch::Concrete), "concrete, or what ends the room as stated");
    walls(scene, &rect, (behind_mm, up_mm, down_mm), [above, below], rear, scale);
    recess(subject, end, scene, &at);
    obstacles(subject, end, scene, &rect, [rear, above, below]);
    neighbours(subject, end, scene, &at, frame, rear);
    scene.line(&[at(low, 0.0), at(rear, 0.0)], Pen::Axis);
    scene.means(Sample::Line(Pen::Axis), "axis");
    let mut lengths = Lengths(Vec::new());
    match &stub {
        Ok(stub) => draw_stub(scene, stub, &rect, &at, &mut lengths, numbers),
        Err(field) => {
            scene.lacks(field, "the stub");
            let middle = at(f64::midpoint(low, rear) * 0.5, 0.0);
            scene.label(Label::area(middle, "stub not drawn: a field is not stated"));
        }
    }
    if is_lacking_jack {
        let middle = at(rear * 0.5, 0.0);
        scene.label(Label {
            towards: [0.0, 1.0],
            ..Label::area(middle, "jack not drawn: a field is not stated")
        });
    }
    if let (Some(needs), Some(body)) = (&needs, body) {
        draw_jack(scene, needs, &body, &rect, &at, &mut lengths);
    }
    scene.place_labels(frame);
    let edge = frame.bottom;
    let lanes = Lanes::below(edge + WALL_MM + 5.0);
    if let Ok(clear) = clear_behind(context, subject.at, end, radius) {
        let words = match clear.obstacle {
            Some(_) => "clear, as far as an obstacle",
            None => "clear behind the plate",
        };
        // What is longer than the clear length does not fit, before any room for hands.
        for (from_mm, to_mm, what) in &lengths.0 {
            if *from_mm == 0.0 && *to_mm > clear.clear_mm {
                scene.note(format!(
                    "Too long for the clear length by {}: {what}.",
                    numbers.about(to_mm - clear.clear_mm)
                ));
            }
        }
        lengths.0.push((0.0, clear.clear_mm, words.to_owned()));
        if let (Some(_), Some(behind_mm)) = (clear.obstacle, behind_mm) {
            lengths.0.push((0.0, behind_mm, "behind the plate".to_owned()));
        }
    }
    let wanted = lengths.0.iter().map(|(from, to, words)| {
        let words = format!("{words} {}", numbers.bare("value_mm", to - from, 0));
        ([at(*from, 0.0)[0], edge], [at(*to, 0.0)[0], edge], words)
    });
    scene.dimensions(lanes, wanted.collect());
    let beside = at(rear, 0.0)[0];
    let side = if sign > 0.0 {
        Lanes::right(beside + WALL_MM + 6.0)
    } else {
        Lanes::left(beside - WALL_MM - 2.0)
    };
    let mut wanted = Vec::new();
    for (clear_mm, shown, up) in [(up_mm, above, 1.0), (down_mm, below, -1.0)] {
        let Some(clear_mm) = clear_mm else { continue };
        if clear_mm <= shown {
            let (from, to) = (at(0.0, 0.0)[1], at(0.0, up * clear_mm)[1]);
            wanted.push(([beside, from], [beside, to], numbers.mm(clear_mm)));
        } else {
            let way = if up > 0.0 { "above" } else { "below" };
            scene.note(format!("The room {way} the axis goes on to {}.", numbers.length(clear_mm)));
        }
    }
    scene.dimensions(side, wanted);
    let bottom = scene.bottom() + 3.0;
    let (unit_mm, unit) = numbers.bar(false);
    bar(scene, [CONTENT.left + 4.0, bottom], scale, unit_mm, unit);
    scene.note("Lengths are from the bearing plate's face along the anchorage's axis; room for hands and hoses is in the plan's table, not in these outlines.");
    if frame.width() < 1.0 {
        nothing(scene, "Nothing can be drawn");
    }
    Some(scale)
}

fn jack_needs(
    subject: &Subject<'_, '_>,
    end: &EndAt<'_>,
    scene: &mut Scene,
) -> Option<ends::JackNeeds> {
    let is_stressed = !matches!(end.end.kind, Some(EndKind::Dead | EndKind::Embedded));
    if !is_stressed {
        scene.note("The end is not stressed: no jack comes to it.");
        return None;
    }
    match subject.context().jack_needs(subject.at, end) {
        Ok(needs) => {
            if let Err(field) = needs.stroke {
                scene.lacks(field, "the jack at full stroke and as it is taken off");
            }
            Some(needs)
        }
        Err(field) => {
            scene.lacks(field, "the jack");
            None
        }
    }
}

type Corners<'r> = &'r dyn Fn(f64, f64, f64, f64) -> [[f64; 2]; 4];
type At<'r> = &'r dyn Fn(f64, f64) -> [f64; 2];

fn walls(
    scene: &mut Scene,
    rect: Corners<'_>,
    (behind_mm, up_mm, down_mm): (Option<f64>, Option<f64>, Option<f64>),
    [above, below]: [f64; 2],
    rear: f64,
    scale: f64,
) {
    let thick = WALL_MM * scale;
    let end = behind_mm.unwrap_or(rear);
    if let Some(behind_mm) = behind_mm {
        let wall =
            rect(behind_mm, (behind_mm + thick).min(rear.max(behind_mm + 1.0)), -below, above);
        scene.fill(&wall, Hatch::Concrete);
        scene.line(&[wall[0], wall[3]], Pen::Edge);
    }
    for (clear_mm, shown, sign) in [(up_mm, above, 1.0), (down_mm, below, -1.0)] {
        let Some(clear_mm) = clear_mm.filter(|clear_mm| *clear_mm <= shown) else { continue };
        let wall = rect(0.0, end, sign * clear_mm, sign * (clear_mm + thick));
        scene.fill(&wall, Hatch::Concrete);
        scene.line(&[wall[3], wall[2]], Pen::Edge);
    }
}

fn recess(subject: &Subject<'_, '_>, end: &EndAt<'_>, scene: &mut Scene, at: At<'_>) {
    match recess_around(subject.context(), subject.at, end) {
        Ok(Some(recess)) => {
            let tilt = recess.tilt_up_rad.tan();
            for (away, sign) in [(recess.up_mm, 1.0), (recess.down_mm, -1.0)] {
                let to = sign * away - recess.depth_mm * tilt;
                scene.line(&[at(0.0, sign * away), at(recess.depth_mm, to)], Pen::Edge);
            }
            scene.note("The anchorage sits in a recess, whose walls are drawn.");
        }
        Ok(None) => {}
        Err(field) => scene.lacks(field, "the recess in which the anchorage sits"),
    }
}

fn obstacles(
    subject: &Subject<'_, '_>,
    end: &EndAt<'_>,
    scene: &mut Scene,
    rect: Corners<'_>,
    [rear, above, below]: [f64; 3],
) {
    let obstacles = match subject.context().obstacles(subject.at, end) {
        Ok(obstacles) => obstacles,
        Err(field) => return scene.lacks(field, "what is in the way behind the anchorage"),
    };
    for obstacle in obstacles {
        // Seen from the side, its slices are one.
        let over = |range: fn(&OwnBox) -> [f64; 2]| {
            obstacle
                .boxes
                .iter()
                .map(range)
                .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], one| {
                    [low.min(one[0]), high.max(one[1])]
                })
        };
        let [from_mm, to_mm] = over(|one| one.along_mm).map(|mm| mm.min(rear));
        let [bottom, top] = over(|one| one.up_mm).map(|mm| mm.clamp(-below, above));
        if top <= bottom || to_mm <= from_mm {
            continue;
        }
        let shape = rect(from_mm, to_mm, bottom, top);
        scene.shape(&shape, Pen::Edge, Hatch::Unknown);
        scene.means(Sample::Fill(Hatch::Unknown), "obstacle");
        let aside = obstacle.boxes.iter().map(OwnBox::aside_mm).fold(f64::INFINITY, f64::min);
        let name = obstacle.name.as_str();
        let words = if aside > 0.0 { format!("{name}, beside the axis") } else { name.to_owned() };
        let middle =
            [f64::midpoint(shape[0][0], shape[2][0]), f64::midpoint(shape[0][1], shape[2][1])];
        scene.label(Label::new(middle, [0.0, -1.0], words));
    }
}

/// What stands near and is in place, as it is seen from the side.
fn neighbours(
    subject: &Subject<'_, '_>,
    end: &EndAt<'_>,
    scene: &mut Scene,
    at: At<'_>,
    frame: Rect,
    rear: f64,
) {
    let Ok(axis) = EndAxis::of(subject.context(), subject.at, end) else { return };
    /// Bodies further away than this are in no one's way, mm.
    const NEAR_MM: f64 = 600.0;
    let stretch = OnAxis { from_mm: 0.0, to_mm: rear, radius_mm: 1.0 };
    let standing = &subject.drawings.standing;
    if let Some(field) = standing.unknown() {
        scene.lacks(field, "some of the tendons that stand near");
    }
    for figure in figures(standing.near(subject.at.position, &axis, stretch, NEAR_MM)) {
        let [from, to] = figure.ends_mm();
        let along = [from, to].map(|mm| at(mm[0], mm[1]));
        let away = [along[1][0] - along[0][0], along[1][1] - along[0][1]];
        let length = away[0].hypot(away[1]);
        // What ends at the face has its cap to be seen by.
        if length < 1.2 {
            continue;
        }
        // A side of it, out to where each stretch is as wide as its duct.
        let side = |sign: f64| -> Vec<[f64; 2]> {
            let stretches = figure.stretches.iter().flat_map(|near| {
                let radius = (at(0.0, 0.0)[1] - at(0.0, near.radius_mm)[1]).abs();
                let out = sign * radius / length;
                [near.from_mm, near.to_mm].map(|mm| {
                    let point = at(mm[0], mm[1]);
                    [point[0] - out * away[1], point[1] + out * away[0]]
                })
            });
            stretches.collect()
        };
        let (one, other) = (side(-1.0), side(1.0));
        // A cap has its ends in the room, a duct goes on.
        let seen: Vec<_> = match figure.what {
            What::Cap(_) => frame.runs(&[one[0], one[1], other[1], other[0], one[0]]),
            What::Leg(_) => [one, other].iter().flat_map(|side| frame.runs(side)).collect(),
        };
        for run in &seen {
            scene.line(run, Pen::Beside);
        }
        let is_seen = !seen.is_empty();
        if !is_seen {
            continue;
        }
        scene.means(
            Sample::Line(Pen::Beside),
            "what stays near, or a place to which something moves",
        );
        let mark = subject.context().tendons().nth(figure.tendon).map(|at| at.mark());
        let mark = mark.unwrap_or_default();
        let side = f64::midpoint(from[2], to[2]);
        let side = match side {
            side if side > 20.0 => {
                format!(", {} to the left", subject.numbers().about(side))
            }
            side if side < -20.0 => {
                format!(", {} to the right", subject.numbers().about(-side))
            }
            _ => String::new(),
        };
        let what = match figure.what {
            What::Leg(_) => format!("duct of {mark}{side}"),
            What::Cap(_) => format!("cap of {mark}{side}"),
        };
        if let Some(ends) = frame.clip(along[0], along[1]) {
            let middle =
                [f64::midpoint(ends[0][0], ends[1][0]), f64::midpoint(ends[0][1], ends[1][1])];
            scene.label(Label::new(middle, [0.0, -1.0], what));
        }
    }
}

fn draw_stub(
    scene: &mut Scene,
    stub: &works::PlannedStub,
    rect: Corners<'_>,
    at: At<'_>,
    lengths: &mut Lengths,
    numbers: super::numbers::Numbers,
) {
    let half = stub.radius_mm;
    scene.shape(&rect(stub.cut_mm, stub.rearmost_mm, -half, half), Pen::Hidden, Hatch::None);
    scene.means(Sample::Line(Pen::Hidden), "stub before it is drawn out, at its greatest width");
    scene.label(Label::new(
        at(stub.cut_mm * 0.5, -half),
        [0.0, 1.0],
        "stub before it is drawn out",
    ));
    lengths.0.push((stub.cut_mm, stub.rearmost_mm, "stub".to_owned()));
    let plan = &stub.plan;
    let room = plan.room_mm;
    if room > 0.0 {
        let length = stub.length_mm().min(room);
        scene.shape(&rect(room - length, room, -half, half), Pen::Beside, Hatch::None);
        scene.label(Label::new(at(room - length / 2.0, half), [0.0, -1.0], "stub drawn out"));
        scene.means(
            Sample::Line(Pen::Beside),
            "what stays near, or a place to which something moves",
        );
        lengths.0.push((0.0, room, "room to draw into".to_owned()));
    }
    use restrand_rules::works::StubPulls;
    match works::pulls(plan) {
        StubPulls::One { spare_mm } => scene.note(format!(
            "The stub comes out in one pull, with {} to spare.",
            numbers.about(spare_mm)
        )),
        StubPulls::Several { pulls, piece_mm } => scene.note(format!(
            "The stub comes out in {pulls} pulls; pieces of {} are cut behind the bearing plate.",
            numbers.about(piece_mm)
        )),
        StubPulls::None { more_mm } => scene.note(format!(
            "The stub does not come out of this room: {} more are needed.",
            numbers.about(more_mm)
        )),
    }
}

fn draw_jack(
    scene: &mut Scene,
    needs: &ends::JackNeeds,
    body: &JackBody,
    rect: Corners<'_>,
    at: At<'_>,
    lengths: &mut Lengths,
) {
    if let Ok(stroke) = needs.stroke {
        for one in body.stretches(needs.head_rear_mm, stroke.stressing_mm) {
            scene.shape(
                &rect(one.from_mm, one.to_mm, -one.radius_mm, one.radius_mm),
                Pen::Dashed,
                Hatch::None,
            );
        }
        scene.label(Label::new(
            at(needs.head_rear_mm + needs.retracted_mm * 0.4, body.radius_mm),
            [0.0, -1.0],
            "jack at full stroke",
        ));
        scene.means(Sample::Line(Pen::Dashed), "jack at full stroke, hoses at its rear included");
        lengths.0.push((0.0, stroke.stressing_mm, "jack at full stroke".to_owned()));
    }
}
