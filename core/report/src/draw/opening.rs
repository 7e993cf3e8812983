//! An opening on a way, as one looks through it, with what passes it.

use restrand_model::schedule::OpeningPlane;
use restrand_plan::{Carried, StepId, WayTaken};
use restrand_rules::ways::{Body, Fed, clear_mm, longest_fed_mm};

use super::canvas::{CONTENT, Hatch, Label, Lanes, Pen, Sample, Scene, View, bar, fitting};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind, call};

/// Draws it.
pub(super) fn drawing(
    subject: &Subject<'_, '_>,
    step: StepId,
    ways: &[&WayTaken],
    opening: usize,
) -> Drawing {
    let mut scene = Scene::default();
    let name = subject.drawings.ways.call(opening);
    let what = call(&ways[0].what);
    let scale = draw(subject, ways, opening, &mut scene);
    let numbers = subject.numbers();
    let plane = match subject.drawings.ways.openings[opening].plane {
        Some(OpeningPlane::Wall) => "in a wall, seen along the bridge",
        Some(OpeningPlane::Floor) => "in a floor, seen from above",
        Some(OpeningPlane::Roof) => "in a roof, seen from above",
        None => "in a plane that is not stated",
    };
    subject.done(
        Called {
            kind: Kind::Opening,
            of: Some(format!("{name}, {what}")),
            step,
            shows: format!("opening {name} with the {what}"),
            scales: scale.into_iter().collect(),
            units: format!("dimensions in {}", numbers.unit_words("value_mm")),
            description: format!(
                "Opening {name} {plane}, with the outline of the {what} in it and the clear dimensions."
            ),
        },
        scene,
    )
}

/// The outline of what passes.
enum Outline {
    Box { size_mm: [f64; 2], sling_mm: f64, words: String },
    Round { diameter_mm: f64 },
}

fn draw(
    subject: &Subject<'_, '_>,
    taken: &[&WayTaken],
    opening: usize,
    scene: &mut Scene,
) -> Option<f64> {
    let way = taken[0];
    let ways = &subject.drawings.ways;
    let record = &ways.openings[opening];
    let numbers = subject.numbers();
    let (size_mm, is_round) = match clear_mm(record) {
        Ok(clear) => clear,
        Err(field) => {
            scene.lacks(field, "the opening");
            nothing(scene, "Nothing can be drawn: a size of the opening is not stated");
            return None;
        }
    };
    let outline = match outline(subject, way, opening, scene) {
        Ok(outline) => outline,
        Err(field) => {
            scene.lacks(field, format!("the {}", call(&way.what)));
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
    let around = 0.14 * width.max(height);
    let wide = width.max(body[0]) + 2.0 * around;
    let high = height.max(body[1]) + 2.0 * around + sill_mm.unwrap_or(0.0);
    let scale = fitting(&[(wide, 150.0), (high, 115.0)]);
    let low = -(height.max(body[1]) - height) / 2.0 - around - sill_mm.unwrap_or(0.0);
    let view = View {
        zero: [
            f64::midpoint(CONTENT.left, CONTENT.right) - width / 2.0 / scale,
            CONTENT.top + 10.0 + (high + low) / scale,
        ],
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
        scene.circle(
            view.at(width / 2.0, height / 2.0),
            width / 2.0 / scale,
            Pen::Edge,
            Hatch::White,
        );
    } else {
        scene.shape(&rect(0.0, 0.0, width, height), Pen::Edge, Hatch::White);
    }
    scene.means(Sample::Line(Pen::Edge), "clear edge of the opening");
    if let Some(sill_mm) = sill_mm {
        let floor = [view.at(-surround, -sill_mm), view.at(width + surround, -sill_mm)];
        scene.line(&floor, Pen::Edge);
        scene.label(Label::new(view.at(width + surround * 0.5, -sill_mm), [1.0, 0.2], "floor"));
    }
    body_in(scene, &view, outline.as_ref(), [width, height], numbers);
    let region = super::canvas::Rect::round(&rect(
        -surround - 90.0 * scale,
        floor - around,
        width + surround + 90.0 * scale,
        height + surround,
    ));
    scene.place_labels(region);
    dimensions(scene, &view, (size_mm, is_round), sill_mm, outline.as_ref(), surround, numbers);
    let bottom = scene.bottom() + 3.0;
    let (unit_mm, unit) = numbers.bar(false);
    bar(scene, [CONTENT.left + 4.0, bottom], scale, unit_mm, unit);
    said(subject, taken, opening, scene);
    Some(scale)
}

fn outline(
    subject: &Subject<'_, '_>,
    way: &WayTaken,
    opening: usize,
    scene: &mut Scene,
) -> Result<Option<Outline>, &'static str> {
    let ways = &subject.drawings.ways;
    let numbers = subject.numbers();
    match &way.what {
        Carried::Piece { diameter_mm, .. } => {
            Ok(Some(Outline::Round { diameter_mm: *diameter_mm }))
        }
        Carried::Jack(name) => {
            let end = subject.at.ends().find(|end| end.name == *name).ok_or("tendon.ends")?;
            let jack = subject.context().jack(end.end.jack.as_ref()).ok_or("end.jack")?;
            let body = Body::jack(jack.record)?;
            let door = ways.doors.iter().find(|door| door.opening == opening);
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
                sling_mm: match ways.openings[opening].plane {
                    Some(OpeningPlane::Wall) => passing.sling_mm,
                    _ => 0.0,
                },
                words: format!("jack {}", jack.record.id.as_deref().unwrap_or_default()),
            }))
        }
    }
}

fn body_in(
    scene: &mut Scene,
    view: &View,
    outline: Option<&Outline>,
    [width, height]: [f64; 2],
    numbers: super::numbers::Numbers,
) {
    let Some(outline) = outline else { return };
    scene.means(Sample::Line(Pen::Beside), "outline of what passes");
    match outline {
        Outline::Round { diameter_mm } => {
            let middle = view.at(width / 2.0, height / 2.0);
            scene.circle(middle, view.length(diameter_mm / 2.0), Pen::Beside, Hatch::Leaves);
            let words = format!("piece Ø {}", numbers.mm(*diameter_mm));
            let edge = view
                .at(width / 2.0 + diameter_mm / 2.0 * 0.7, height / 2.0 + diameter_mm / 2.0 * 0.7);
            scene.label(Label::new(edge, [1.0, -0.5], words));
        }
        Outline::Box { size_mm: [wide, high], sling_mm, words } => {
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
            scene.label(Label::new(middle, [0.0, -1.0], words.clone()));
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
    numbers: super::numbers::Numbers,
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
    let x = |mm: f64| [view.at(mm, 0.0)[0], edge];
    let y = |x: f64, mm: f64| [x, view.at(0.0, mm)[1]];
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

fn said(subject: &Subject<'_, '_>, taken: &[&WayTaken], opening: usize, scene: &mut Scene) {
    let ways = &subject.drawings.ways;
    let record = &ways.openings[opening];
    let numbers = subject.numbers();
    for way in taken {
        let order: Vec<String> = way.openings.iter().map(|one| ways.call(*one)).collect();
        let what = match &way.what {
            Carried::Jack(end) => format!("The jack to end {end}"),
            Carried::Piece { bay, length_mm, .. } => {
                format!("Pieces from {bay}, up to {} long", numbers.about(*length_mm))
            }
        };
        scene.note(format!(
            "{what}: by {}; {} binds.",
            order.join(", then "),
            ways.call(way.binds)
        ));
    }
    if let Carried::Piece { diameter_mm, .. } = &taken[0].what {
        let door = ways.doors.iter().find(|door| door.opening == opening);
        let longest = door.map(|door| {
            longest_fed_mm(&mut Fed::default(), subject.context(), ways, door, *diameter_mm)
        });
        match longest {
            Some(Ok(Some(longest_mm))) => scene.note(format!(
                "The opening with its rooms takes pieces up to {}.",
                numbers.about(longest_mm)
            )),
            Some(Ok(None)) => scene.note("The piece is too thick for the opening."),
            Some(Err(field)) => scene.lacks(field, "how long a piece the opening takes"),
            None => {}
        }
    }
    if let Some(below) = record.below.as_deref() {
        scene.note(format!("Under the opening lies: {below}."));
    }
    if let Some(limit_kg) = record.hoist_limit_kg {
        scene.note(format!("Hoist limit: {}.", numbers.with_unit("value_kg", limit_kg, 0)));
    }
    if let Some(depth_mm) = record.depth_mm {
        scene.note(format!("Depth of the opening: {}.", numbers.length(depth_mm)));
    }
}
