//! The jack behind an anchorage in its three cases: threaded on, at full stroke, taken off; each against the clear length.

use restrand_model::schedule::{Anchorage, EndKind, EndName};
use restrand_plan::StepId;
use restrand_rules::EndAt;
use restrand_rules::ends::{JackBody, JackNeeds, clear_behind};
use restrand_rules::works::JACK_ROOM;

use super::canvas::{
    Anchor, CONTENT, Hatch, Lanes, Pen, Sample, Scene, TEXT_MM, View, bar, fitting,
};
use super::numbers::Numbers;
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind};

/// Draws it; nothing for an end that is not stressed.
pub(super) fn drawing(subject: &Subject<'_, '_>, end: &EndAt<'_>) -> Option<Drawing> {
    if matches!(end.end.kind, Some(EndKind::Dead | EndKind::Embedded)) {
        return None;
    }
    let mut scene = Scene::default();
    let scale = match cases(subject, end, &mut scene) {
        Ok(cases) => Some(draw(subject, end, &cases, &mut scene)),
        Err(field) => {
            scene.lacks(field, "the jack");
            nothing(&mut scene, "The jack is not drawn: a field is not stated");
            None
        }
    };
    let numbers = subject.numbers();
    let drawing = subject.done(
        Called {
            kind: Kind::Jack,
            of: Some(end.call()),
            step: Some(StepId::JackIn),
            shows: format!("jack at {}: threading on, stressing, taking off", end.call()),
            scales: scale.into_iter().collect(),
            units: format!("dimensions in {}", numbers.unit_words("value_mm")),
            description: format!(
                "Three views of the jack from the side, one under the other, rear on the {}: over the whole tail as it is \
                 threaded on, at full stroke, and as it is taken off over the tail that has grown. Each has its length \
                 from the bearing plate's face, alone and with room for hands and hoses, and the clear length.",
                match end.name {
                    EndName::A => "left",
                    EndName::B => "right",
                }
            ),
        },
        scene,
    );
    Some(drawing)
}

/// The jack, and where it goes.
struct Cases {
    needs: JackNeeds,
    body: JackBody,
    /// Radii of the wedge plate and of the circle of its outermost strands, where they are stated, mm.
    plate_mm: Option<f64>,
    strands_mm: Option<f64>,
    all: Vec<Case>,
}

/// One of the cases; positions from the bearing plate's face on the anchorage's axis, mm.
struct Case {
    title: &'static str,
    /// Where the jack's nose is.
    begins_mm: f64,
    /// Where its rear is.
    reaches_mm: f64,
    /// Where the tail ends.
    tail_mm: f64,
}

fn cases(
    subject: &Subject<'_, '_>,
    end: &EndAt<'_>,
    scene: &mut Scene,
) -> Result<Cases, &'static str> {
    let context = subject.context();
    let needs = context.jack_needs(subject.at, end)?;
    let jack = context.jack(end.end.jack.as_ref()).ok_or("end.jack")?;
    let anchorage = context.anchorage(end.end).map(|found| found.record);
    let body = JackBody::of(jack.record, anchorage)?;
    let head_mm = needs.head_rear_mm;
    let mut all = vec![Case {
        title: "Threading on, over the whole tail",
        begins_mm: needs.threading_mm - needs.retracted_mm,
        reaches_mm: needs.threading_mm,
        tail_mm: head_mm + needs.tail_mm,
    }];
    match needs.stroke {
        Ok(stroke) => {
            let tail_mm = stroke.taking_off_mm - needs.retracted_mm;
            all.push(Case {
                title: "Stressing, at full stroke",
                begins_mm: head_mm,
                reaches_mm: stroke.stressing_mm,
                tail_mm,
            });
            all.push(Case {
                title: "Taking off, over the tail that has grown",
                begins_mm: tail_mm,
                reaches_mm: stroke.taking_off_mm,
                tail_mm,
            });
        }
        Err(field) => scene.lacks(field, "the jack at full stroke and as it is taken off"),
    }
    let half = |field: fn(&Anchorage) -> Option<f64>| anchorage.and_then(field).map(|mm| mm / 2.0);
    let plate_mm = half(|anchorage| anchorage.wedge_plate_outer_mm);
    let strands_mm = half(|anchorage| anchorage.hole_circle_mm);
    if plate_mm.is_none() {
        scene.lacks("anchorage.wedge_plate_outer_mm", "the wedge plate under the jack");
    }
    if strands_mm.is_none() {
        scene.lacks("anchorage.hole_circle_mm", "the strands of the tail");
    }
    Ok(Cases { needs, body, plate_mm, strands_mm, all })
}

/// How much of the concrete in front is shown, mm.
const FRONT_MM: f64 = 220.0;
/// How thick what ends the room is drawn, mm on paper.
const WALL_MM: f64 = 4.0;
/// From one view to the next, beside the jack's own height: title and lanes of dimensions, mm on paper.
const BETWEEN_MM: f64 = 27.0;
/// Height of the three jacks together, and room for the notes beside them, mm on paper.
const HIGH_MM: f64 = 96.0;
const NOTES_MM: f64 = 118.0;

fn draw(subject: &Subject<'_, '_>, end: &EndAt<'_>, cases: &Cases, scene: &mut Scene) -> f64 {
    let numbers = subject.numbers();
    let hand_mm = subject.context().limit(JACK_ROOM).value;
    let radius_mm = cases.body.radius_mm;
    let clear = clear_behind(subject.context(), subject.at, end, radius_mm);
    let clear_mm = match &clear {
        Ok(clear) => Some(clear.clear_mm),
        Err(field) => {
            scene.lacks(field, "what ends the room behind the jack");
            None
        }
    };
    let rear_mm = cases.all.iter().map(|case| case.reaches_mm + hand_mm).chain(clear_mm);
    let rear_mm = rear_mm.fold(300.0, f64::max);
    let half_mm = 1.25 * radius_mm;
    let scale = fitting(&[
        (rear_mm + FRONT_MM, CONTENT.right - CONTENT.left - 24.0 - NOTES_MM),
        (6.0 * half_mm, HIGH_MM),
    ]);
    let sign = match end.name {
        EndName::A => -1.0,
        EndName::B => 1.0,
    };
    let width = (rear_mm + FRONT_MM) / scale;
    let left = f64::midpoint(CONTENT.left, CONTENT.right - NOTES_MM) - width / 2.0;
    let lowest = if sign > 0.0 { -FRONT_MM } else { -rear_mm };
    let half = half_mm / scale;
    let mut top = CONTENT.top + 1.0;
    for case in &cases.all {
        let view = View { zero: [left - lowest / scale, top + 6.0 + half], scale };
        let at = |along: f64, up: f64| view.at(sign * along, up);
        let rect = |from: f64, to: f64, high: f64| {
            [at(from, high), at(to, high), at(to, -high), at(from, -high)]
        };
        scene.text([left, top + 3.6], Anchor::Start, TEXT_MM, case.title);
        ends(scene, &rect, clear_mm, half_mm, scale);
        if let Some(plate_mm) = cases.plate_mm {
            scene.shape(&rect(0.0, cases.needs.head_rear_mm, plate_mm), Pen::Edge, Hatch::Leaves);
            scene.means(Sample::Fill(Hatch::Leaves), "wedge plate with what is under it");
        }
        for one in cases.body.stretches(case.begins_mm, case.reaches_mm) {
            scene.shape(&rect(one.from_mm, one.to_mm, one.radius_mm), Pen::Edge, Hatch::None);
        }
        scene.means(Sample::Line(Pen::Edge), "jack, hoses at its rear included; faces");
        if let Some(strands_mm) = cases.strands_mm {
            for up in [strands_mm, -strands_mm] {
                let tail = [at(cases.needs.head_rear_mm, up), at(case.tail_mm, up)];
                scene.line(&tail, Pen::Hidden);
            }
            scene.means(Sample::Line(Pen::Hidden), "outermost strands of the tail");
        }
        scene.line(&[at(-FRONT_MM, 0.0), at(rear_mm, 0.0)], Pen::Axis);
        scene.means(Sample::Line(Pen::Axis), "axis");
        let edge = top + 6.0 + 2.0 * half;
        let mut lengths =
            vec![(case.reaches_mm, "jack"), (case.reaches_mm + hand_mm, "with hands and hoses")];
        lengths.extend(clear_mm.map(|clear_mm| (clear_mm, "clear")));
        let x = |mm: f64| [at(mm, 0.0)[0], edge];
        let mut wanted: Vec<_> = lengths
            .iter()
            .map(|(to_mm, words)| {
                let words = format!("{words} {}", numbers.bare("value_mm", *to_mm, 0));
                (x(0.0), x(*to_mm), words)
            })
            .collect();
        if let Some(clear_mm) = clear_mm {
            // What is left, or what is short, between what is needed and what there is.
            let need_mm = case.reaches_mm + hand_mm;
            let left_mm = clear_mm - need_mm;
            let word = if left_mm < 0.0 { "short" } else { "spare" };
            let words = format!("{word} {}", numbers.bare("value_mm", left_mm.abs(), 0));
            wanted.push((x(need_mm), x(clear_mm), words));
        }
        scene.dimensions(Lanes::below(edge + 5.0), wanted);
        if let Some(clear_mm) = clear_mm {
            let short_mm = case.reaches_mm - clear_mm;
            let short_of_hands_mm = short_mm + hand_mm;
            if short_mm > 0.0 {
                scene.note(format!(
                    "{}: too long for the clear length by {}.",
                    case.title,
                    numbers.about(short_mm)
                ));
            } else if short_of_hands_mm > 0.0 {
                scene.note(format!(
                    "{}: {} are short of room for hands and hoses.",
                    case.title,
                    numbers.about(short_of_hands_mm)
                ));
            }
        }
        top = scene.bottom().max(edge + BETWEEN_MM - 6.0) + 2.0;
    }
    if let Ok(clear) = &clear
        && clear.obstacle.is_some()
    {
        scene.note("The clear length ends at an obstacle, and not at what the room ends at.");
    }
    binds(cases, hand_mm, numbers, scene);
    scene.notes_from([CONTENT.right - NOTES_MM, CONTENT.top + 6.0]);
    let bottom = scene.bottom() + 3.0;
    let (unit_mm, unit) = numbers.bar(false);
    bar(scene, [CONTENT.left + 4.0, bottom], scale, unit_mm, unit);
    scene.note(format!(
        "Lengths are from the bearing plate's face along the anchorage's axis. Room for hands and hoses: {}, after the \
         rulebook in force.",
        numbers.about(hand_mm)
    ));
    scale
}

/// Which of the cases asks for most.
fn binds(cases: &Cases, hand_mm: f64, numbers: Numbers, scene: &mut Scene) {
    let most = cases.all.iter().max_by(|one, other| one.reaches_mm.total_cmp(&other.reaches_mm));
    if let Some(most) = most.filter(|_| cases.all.len() > 1) {
        let (case, _) = most.title.split_once(',').unwrap_or((most.title, ""));
        let needs = numbers.about(most.reaches_mm + hand_mm);
        scene.note(format!("{case} binds: it needs {needs}, room for hands and hoses included."));
    }
}

type Corners<'r> = &'r dyn Fn(f64, f64, f64) -> [[f64; 2]; 4];

/// The concrete in front, and what ends the room.
fn ends(scene: &mut Scene, rect: Corners<'_>, clear_mm: Option<f64>, half_mm: f64, scale: f64) {
    let front = rect(-FRONT_MM, 0.0, half_mm);
    scene.fill(&front, Hatch::Concrete);
    scene.line(&[front[1], front[2]], Pen::Edge);
    if let Some(clear_mm) = clear_mm {
        let wall = rect(clear_mm, clear_mm + WALL_MM * scale, half_mm);
        scene.fill(&wall, Hatch::Concrete);
        scene.line(&[wall[0], wall[3]], Pen::Edge);
    }
    scene.means(Sample::Fill(Hatch::Concrete), "concrete, or what ends the clear length");
}
