//! An opening on a way, as one looks through it, with what passes it; and how a rod is fed through it.

mod feed;
mod passing;

use restrand_model::schedule::OpeningPlane;
use restrand_plan::Plan;
use restrand_rules::TendonAt;
use restrand_rules::ways::{Body, clear_mm};

use super::canvas::{
    CONTENT, Hatch, Label, Lanes, Pen, Point, Rect, Sample, Scene, View, bar, fitting,
};
use super::numbers::Numbers;
use super::subject::{Called, named, nothing};
use super::{Drawing, Drawings, Kind, Passage, Thing};
use passing::Passed;

/// Draws each opening once with each thing that passes it.
pub(super) fn all<'p, 'a: 'p>(
    drawings: &Drawings<'_, 'a>,
    planned: impl Iterator<Item = (&'p TendonAt<'a>, &'p Plan)>,
) -> Vec<Passage> {
    let passings = passing::all(drawings, planned);
    let draw = |(passed, of): (Passed, _)| Passage { drawing: drawing(drawings, &passed), of };
    passings.into_iter().map(draw).collect()
}

/// Draws one opening; nothing where the schedule has none at the position.
pub(super) fn one<'p, 'a: 'p>(
    drawings: &Drawings<'_, 'a>,
    opening: usize,
    thing: Option<Thing>,
    planned: impl Iterator<Item = (&'p TendonAt<'a>, &'p Plan)>,
) -> Option<Drawing> {
    drawings.ways.openings.get(opening)?;
    let of_plans = passing::all(drawings, planned).into_iter().map(|(passed, _)| passed);
    // Of several things the last is the thinnest rod: what is asked for without a thing is a piece, rather than a jack.
    let same = of_plans
        .into_iter()
        .rfind(|passed| passed.opening == opening && (thing.is_none() || passed.thing == thing));
    Some(drawing(drawings, &same.unwrap_or_else(|| Passed::without_plans(opening, thing))))
}

fn drawing(drawings: &Drawings<'_, '_>, passed: &Passed) -> Drawing {
    let mut scene = Scene::default();
    let numbers = drawings.numbers;
    let id = drawings.ways.call(passed.opening);
    let scales = draw(drawings, passed, &mut scene);
    let plane = match drawings.ways.openings[passed.opening].plane {
        Some(OpeningPlane::Wall) => "in a wall, seen along the bridge",
        Some(OpeningPlane::Floor) => "in a floor, seen from above",
        Some(OpeningPlane::Roof) => "in a roof, seen from above",
        None => "in a plane that is not stated",
    };
    let what = match passed.thing {
        Some(Thing::Jack(jack)) => Some(format!("jack {}", call_jack(drawings, jack))),
        Some(Thing::Rod { diameter_mm }) => {
            Some(format!("{}, Ø {}", passed.kinds(), numbers.mm(diameter_mm)))
        }
        None => None,
    };
    let (with, shown, slug) = match (&what, passed.thing) {
        (Some(what), Some(Thing::Rod { diameter_mm })) => (
            format!(" with {what}"),
            ", with the outline of one in it, the clear dimensions, and a section in which the longest is fed through",
            format!("rods {diameter_mm}"),
        ),
        (Some(what), _) => (
            format!(" with {what}"),
            ", with the jack's outline in it and the clear dimensions",
            what.clone(),
        ),
        (None, _) => (String::new(), ", with the clear dimensions", "alone".to_owned()),
    };
    let of = match &what {
        Some(what) => format!("{id}, {what}"),
        None => id.clone(),
    };
    // The opening's position keeps names apart whose letters are alike.
    let name = named(&format!("o{}", passed.opening + 1), [id.as_str(), slug.as_str()]);
    drawings.done(
        name,
        format!("Opening {id}{with}"),
        None,
        Called {
            kind: Kind::Opening,
            of: Some(of),
            step: None,
            shows: String::new(),
            scales,
            units: format!("dimensions in {}", numbers.unit_words("value_mm")),
            description: format!("Opening {id} {plane}{shown}."),
        },
        scene,
    )
}

fn call_jack(drawings: &Drawings<'_, '_>, jack: usize) -> String {
    let record = drawings.context.schedule.jacks.get(jack);
    let id = record.and_then(|jack| jack.id.as_deref());
    id.map_or_else(|| format!("#{}", jack + 1), str::to_owned)
}

/// The outline of what passes.
enum Outline {
    Box { size_mm: [f64; 2], sling_mm: f64, words: String },
    Round { diameter_mm: f64 },
}

/// Width of the view through the opening, and height of both views, mm on paper.
const WIDE_MM: f64 = 105.0;
const HIGH_MM: f64 = 104.0;

fn draw(drawings: &Drawings<'_, '_>, passed: &Passed, scene: &mut Scene) -> Vec<f64> {
    let ways = &drawings.ways;
    let record = &ways.openings[passed.opening];
    let numbers = drawings.numbers;
    let (size_mm, is_round) = match clear_mm(record) {
        Ok(clear) => clear,
        Err(field) => {
            scene.lacks(field, "the opening");
            nothing(scene, "Nothing can be drawn: a size of the opening is not stated");
            return Vec::new();
        }
    };
    let outline = match outline(drawings, passed, scene) {
        Ok(outline) => outline,
        Err(field) => {
            scene.lacks(field, "what passes");
            None
        }
    };
    let body = match &outline {
        Some(Outline::Box { size_mm: [width, height], sling_mm, .. }) => {
            [*width, height + sling_mm]
        }
        Some(Outline::Round { diameter_mm }) => [*diameter_mm; 2],
        None => [0.0; 2],
    };
    let is_wall = record.plane == Some(OpeningPlane::Wall);
    let sill_mm = record.sill_mm.filter(|_| is_wall && !is_round);
    let [width, height] = size_mm;
    let around = 0.1 * width.max(height);
    let wide = width.max(body[0]) + 2.0 * around;
    let high = height.max(body[1]) + 2.0 * around + sill_mm.unwrap_or(0.0);
    let scale = fitting(&[(wide, WIDE_MM), (high, HIGH_MM)]);
    let low = -(height.max(body[1]) - height) / 2.0 - around - sill_mm.unwrap_or(0.0);
    let middle = CONTENT.left + 32.0 + WIDE_MM / 2.0;
    let view = View {
        zero: [middle - width / 2.0 / scale, CONTENT.top + 4.0 + (high + low) / scale],
        scale,
    };
    let rect = |left: f64, bottom: f64, right: f64, top: f64| {
        [view.at(left, top), view.at(right, top), view.at(right, bottom), view.at(left, bottom)]
    };
    let surround = around * 0.8;
    let floor = -sill_mm.unwrap_or(surround).max(surround * 0.2);
    scene.fill(&rect(-surround, floor, width + surround, height + surround), Hatch::Concrete);
    scene.means(Sample::Fill(Hatch::Concrete), "concrete round the opening");
    if is_round {
        let middle = view.at(width / 2.0, height / 2.0);
        scene.circle(middle, width / 2.0 / scale, Pen::Edge, Hatch::White);
    } else {
        scene.shape(&rect(0.0, 0.0, width, height), Pen::Edge, Hatch::White);
    }
    scene.means(Sample::Line(Pen::Edge), "clear edge of the opening, faces of the concrete");
    if let Some(sill_mm) = sill_mm {
        let floor = [view.at(-surround, -sill_mm), view.at(width + surround, -sill_mm)];
        scene.line(&floor, Pen::Edge);
        scene.label(Label::new(view.at(width + surround * 0.5, -sill_mm), [1.0, 0.2], "floor"));
    }
    body_in(scene, &view, outline.as_ref(), [width, height], numbers);
    let seen = Rect::round(&rect(-surround, floor - around, width + surround, height + surround));
    let room = Rect::new(CONTENT.left, seen.top, seen.right + 30.0, seen.bottom);
    scene.place_labels(room);
    dimensions(scene, &view, (size_mm, is_round), sill_mm, outline.as_ref(), surround, numbers);
    let bottom = scene.bottom() + 3.0;
    let (unit_mm, unit) = numbers.bar(false);
    bar(scene, [CONTENT.left + 4.0, bottom], scale, unit_mm, unit);
    let mut scales = vec![scale];
    let beside = seen.right.max(middle + WIDE_MM / 2.0) + 34.0;
    match passed.thing {
        Some(Thing::Rod { diameter_mm }) => {
            let room = Rect::new(
                beside,
                CONTENT.top + 4.0,
                CONTENT.right - 4.0,
                CONTENT.top + 4.0 + HIGH_MM,
            );
            scales.extend(feed::draw(drawings, passed, diameter_mm, room, scene));
        }
        _ => scene.notes_from([
            beside.max(f64::midpoint(CONTENT.left, CONTENT.right)),
            CONTENT.top + 6.0,
        ]),
    }
    said(drawings, passed, scene);
    scales
}

fn outline(
    drawings: &Drawings<'_, '_>,
    passed: &Passed,
    scene: &mut Scene,
) -> Result<Option<Outline>, &'static str> {
    let ways = &drawings.ways;
    let numbers = drawings.numbers;
    match passed.thing {
        None => Ok(None),
        Some(Thing::Rod { diameter_mm }) => Ok(Some(Outline::Round { diameter_mm })),
        Some(Thing::Jack(jack)) => {
            let record = drawings.context.schedule.jacks.get(jack).ok_or("end.jack")?;
            let body = Body::jack(record)?;
            let door = ways.doors.iter().find(|door| door.opening == passed.opening);
            let door = door.ok_or("opening.from_bay")?;
            let passing = body.passing(ways, door)?;
            let how = if passing.is_upright { "hanging upright" } else { "hanging level" };
            scene.note(match passing.spare_mm {
                spare if spare < 0.0 => format!(
                    "The jack does not pass: {} are short in its best attitude, {how}.",
                    numbers.about(-spare)
                ),
                spare => format!("The jack passes {how}, with {} to spare.", numbers.about(spare)),
            });
            if passing.is_turned {
                scene.note("It passes only turned in the opening, and is drawn along its sides.");
            }
            Ok(Some(Outline::Box {
                size_mm: passing.outline_mm,
                // From above a sling is not seen.
                sling_mm: match ways.openings[passed.opening].plane {
                    Some(OpeningPlane::Wall) => passing.sling_mm,
                    _ => 0.0,
                },
                words: format!("jack {}", call_jack(drawings, jack)),
            }))
        }
    }
}

fn body_in(
    scene: &mut Scene,
    view: &View,
    outline: Option<&Outline>,
    [width, height]: [f64; 2],
    numbers: Numbers,
) {
    let Some(outline) = outline else { return };
    match outline {
        Outline::Round { diameter_mm } => {
            let middle = view.at(width / 2.0, height / 2.0);
            scene.circle(middle, view.length(diameter_mm / 2.0), Pen::Edge, Hatch::Leaves);
            let words = format!("Ø {}", numbers.mm(*diameter_mm));
            let edge = view
                .at(width / 2.0 + diameter_mm / 2.0 * 0.7, height / 2.0 + diameter_mm / 2.0 * 0.7);
            scene.label(Label::new(edge, [1.0, -0.5], words));
        }
        Outline::Box { size_mm: [wide, high], sling_mm, words } => {
            scene.means(Sample::Line(Pen::Beside), "outline of what passes");
            let left = (width - wide) / 2.0;
            let bottom = (height - high - sling_mm) / 2.0;
            let shape = [
                view.at(left, bottom + high),
                view.at(left + wide, bottom + high),
                view.at(left + wide, bottom),
                view.at(left, bottom),
            ];
            scene.shape(&shape, Pen::Beside, Hatch::None);
            let middle = view.at(width / 2.0, bottom + high / 2.0);
            scene.label(Label::area(middle, words.clone()));
            if *sling_mm > 0.0 {
                let hook = view.at(width / 2.0, bottom + high + sling_mm);
                for corner in [shape[0], shape[1]] {
                    scene.line(&[corner, hook], Pen::Thin);
                }
                scene.means(Sample::Line(Pen::Thin), "sling, dimensions");
            }
        }
    }
}

fn dimensions(
    scene: &mut Scene,
    view: &View,
    ([width, height], is_round): ([f64; 2], bool),
    sill_mm: Option<f64>,
    outline: Option<&Outline>,
    surround: f64,
    numbers: Numbers,
) {
    let low = -sill_mm.unwrap_or(surround).max(surround * 0.2);
    let edge = view.at(0.0, low)[1];
    let below = Lanes::below(edge + 7.0);
    let left_edge = view.at(-surround, 0.0)[0];
    let left = Lanes::left(left_edge - 5.0);
    let words = |mm: f64| match is_round {
        true => format!("Ø {}", numbers.mm(mm)),
        false => numbers.mm(mm),
    };
    let x = |mm: f64| -> Point { [view.at(mm, 0.0)[0], edge] };
    let y = |x: f64, mm: f64| -> Point { [x, view.at(0.0, mm)[1]] };
    let mut level = vec![(x(0.0), x(width), words(width))];
    let mut upright = Vec::new();
    if !is_round {
        upright.push((y(left_edge, 0.0), y(left_edge, height), numbers.mm(height)));
        if let Some(sill_mm) = sill_mm.filter(|mm| *mm > 0.0) {
            upright.push((y(left_edge, -sill_mm), y(left_edge, 0.0), numbers.mm(sill_mm)));
        }
    }
    scene.dimensions(left, upright);
    if let Some(Outline::Box { size_mm: [wide, high], sling_mm, .. }) = outline {
        let from = (width - wide) / 2.0;
        level.push((x(from), x(from + wide), numbers.mm(*wide)));
        let bottom = (height - high - sling_mm) / 2.0;
        let edge = view.at(width + surround, 0.0)[0];
        let mut upright = vec![(y(edge, bottom), y(edge, bottom + high), numbers.mm(*high))];
        if *sling_mm > 0.0 {
            let top = bottom + high;
            upright.push((y(edge, top), y(edge, top + sling_mm), numbers.mm(*sling_mm)));
        }
        scene.dimensions(Lanes::right(edge + 9.0), upright);
    }
    scene.dimensions(below, level);
}

/// What is told of the opening in words.
fn said(drawings: &Drawings<'_, '_>, passed: &Passed, scene: &mut Scene) {
    let numbers = drawings.numbers;
    let record = &drawings.ways.openings[passed.opening];
    for line in passed.lines(drawings) {
        scene.note(line);
    }
    if let Some(below) = record.below.as_deref() {
        scene.note(format!("Under the opening lies: {below}."));
    }
    let hoist = record
        .hoist_limit_kg
        .map(|limit_kg| format!("Hoist limit: {}.", numbers.with_unit("value_kg", limit_kg, 0)));
    let depth = record
        .depth_mm
        .map(|depth_mm| format!("Depth of the opening: {}.", numbers.length(depth_mm)));
    let both: Vec<String> = hoist.into_iter().chain(depth).collect();
    if !both.is_empty() {
        scene.note(both.join(" "));
    }
}
