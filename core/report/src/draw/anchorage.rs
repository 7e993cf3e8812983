//! An anchorage in section along its axis: what leaves, what stays, and by which exit.

use restrand_model::schedule::{EndName, Exit, Permanence, Role};
use restrand_plan::StepId;
use restrand_rules::{Axis, EndAt, works};

use super::canvas::{CONTENT, Hatch, Label, Lanes, Pen, Rect, Sample, Scene, View, bar, fitting};
use super::parts::{self, Section};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind};

/// Draws it.
pub(super) fn drawing(subject: &Subject<'_, '_>, end: &EndAt<'_>) -> Drawing {
    let mut scene = Scene::default();
    let scale = draw(subject, end, &mut scene);
    let numbers = subject.numbers();
    let parts = subject.context().end_parts(end);
    let of =
        |permanence| parts.iter().filter(|part| part.part.permanence == Some(permanence)).count();
    let description = format!(
        "Section along the anchorage's axis, rear on the {}. {} parts stay and {} leave; a list under the section gives \
         each with its number, exit and sizes.",
        match end.name {
            EndName::A => "left",
            EndName::B => "right",
        },
        of(Permanence::Permanent),
        of(Permanence::Replaceable)
    );
    subject.done(
        Called {
            kind: Kind::Anchorage,
            of: Some(end.call()),
            step: Some(StepId::AnchorStubs),
            shows: format!("anchorage at {}, section along its axis", end.call()),
            scales: scale.into_iter().collect(),
            units: format!("dimensions in {}", numbers.unit_words("value_mm")),
            description,
        },
        scene,
    )
}

fn draw(subject: &Subject<'_, '_>, end: &EndAt<'_>, scene: &mut Scene) -> Option<f64> {
    let context = subject.context();
    let numbers = subject.numbers();
    let anchorage = context.anchorage(end.end).map(|found| found.record);
    let parts = context.end_parts(end);
    if parts.is_empty() {
        let field = if anchorage.is_some() { "anchorage.parts" } else { "end.anchorage" };
        scene.lacks(field, "the anchorage in section");
        nothing(scene, "No parts of the anchorage are stated: nothing can be drawn");
        return None;
    }
    let stretches: Vec<(f64, f64)> =
        parts.iter().filter_map(|part| Axis::Anchorage.stretch(&part.part).ok()).collect();
    let cut_mm = end.end.stub_cut_mm;
    let positions = stretches.iter().flat_map(|(from, to)| [*from, *to]).chain(cut_mm).chain([0.0]);
    let (low, high) =
        positions.fold((0.0_f64, 0.0_f64), |(low, high), at| (low.min(at), high.max(at)));
    let widest = parts.iter().flat_map(|part| {
        let part = &part.part;
        [part.rear_outer_mm, part.span_outer_mm, part.greatest_outer_mm].into_iter().flatten()
    });
    let radius = widest.fold(0.0, f64::max) / 2.0;
    if stretches.is_empty() || radius <= 0.0 {
        scene.lacks("part.from_mm", "the anchorage in section");
        nothing(scene, "No part of the anchorage states where it lies and how wide it is");
        return None;
    }
    let scale = fitting(&[(high - low, CONTENT.right - CONTENT.left - 84.0), (2.0 * radius, 58.0)]);
    let sign = match end.name {
        EndName::A => -1.0,
        EndName::B => 1.0,
    };
    let width = (high - low) / scale;
    let left = CONTENT.left + (CONTENT.right - CONTENT.left - width) / 2.0;
    let lowest = if sign > 0.0 { low } else { -high };
    let around = 7.0;
    let middle = CONTENT.top + 12.0 + around + radius / scale;
    let view = View { zero: [left - lowest / scale, middle], scale };
    let section = Section { view, sign, axis: Axis::Anchorage };
    // Concrete from the bearing plate's face to the face on the span side, as far as the view goes.
    concrete(subject, end, scene, section, radius + around * scale, low);
    let circle_mm = anchorage.and_then(|anchorage| anchorage.hole_circle_mm);
    let named = parts::draw(scene, section, parts, circle_mm);
    scene.line(
        &[section.at(low - 6.0 * scale, 0.0), section.at(high + 6.0 * scale, 0.0)],
        Pen::Axis,
    );
    scene.means(Sample::Line(Pen::Axis), "axis");
    let half = radius / scale + around;
    if let Some(cut_mm) = cut_mm {
        let at = section.at(cut_mm, 0.0);
        scene.line(&[[at[0], middle - half], [at[0], middle + half]], Pen::Dashed);
        scene.means(Sample::Line(Pen::Dashed), "cut of the stub on the span side");
    } else {
        scene.lacks("end.stub_cut_mm", "the cut of the stub");
    }
    exits(scene, section, parts, [low, high]);
    dimensions(subject, end, scene, section, half, [low, high]);
    let region = Rect::new(CONTENT.left, CONTENT.top, CONTENT.right, middle + half + 9.0);
    parts::number(scene, section, &named, region);
    let below = scene.bottom() + 3.0;
    let rows = parts::list(parts, numbers);
    let widest = CONTENT.right - CONTENT.left;
    let table = scene.table([CONTENT.left, below], widest, &parts::TITLES, &rows);
    let (unit_mm, unit) = numbers.bar(false);
    bar(scene, [table.right + 8.0, below], scale, unit_mm, unit);
    scene.notes_from([table.right + 8.0, below + 13.0]);
    scene.note("Positions are on the anchorage's axis: 0 at the bearing plate's face, positive to the rear. Faces of the concrete are drawn square to it.");
    scene.note("Sizes are nominal; tolerance, ovality and seams are in the schedule, and the check reckons with them.");
    Some(scale)
}

fn concrete(
    subject: &Subject<'_, '_>,
    end: &EndAt<'_>,
    scene: &mut Scene,
    section: Section,
    half_mm: f64,
    low_mm: f64,
) {
    let held = match subject.context().held(subject.at) {
        Ok(held) => held,
        Err(field) => return scene.lacks(field, "the concrete round the anchorage"),
    };
    let is_it = |held: &&works::Held| {
        held.is_end
            && match end.name {
                EndName::A => held.along_m[0] <= 0.0,
                EndName::B => held.along_m[0] > 0.0,
            }
    };
    let Some(held) = held.iter().find(is_it) else {
        return scene.lacks("place.thickness_mm", "the concrete round the anchorage");
    };
    let deep_mm = (held.along_m[1] - held.along_m[0]) * 1000.0;
    let shown_mm = deep_mm.min(-low_mm + 4.0 * section.view.scale);
    let corners = [
        section.at(0.0, half_mm),
        section.at(-shown_mm, half_mm),
        section.at(-shown_mm, -half_mm),
        section.at(0.0, -half_mm),
    ];
    scene.fill(&corners, Hatch::Concrete);
    scene.line(&[corners[0], corners[3]], Pen::Thin);
    // Beyond the view the concrete goes on: only a face is an edge.
    if shown_mm >= deep_mm {
        scene.line(&[corners[1], corners[2]], Pen::Edge);
    }
    // The hollow in which the parts lie.
    let hollow = parts_hollow(subject, end);
    if let Some(hollow_mm) = hollow {
        scene.fill(
            &[
                section.at(0.0, hollow_mm),
                section.at(-shown_mm, hollow_mm),
                section.at(-shown_mm, -hollow_mm),
                section.at(0.0, -hollow_mm),
            ],
            Hatch::White,
        );
    }
    scene.means(Sample::Fill(Hatch::Concrete), "concrete");
}

/// The least outer radius of the parts that are cast in: within it there is no concrete.
fn parts_hollow(subject: &Subject<'_, '_>, end: &EndAt<'_>) -> Option<f64> {
    let parts = subject.context().end_parts(end);
    parts
        .iter()
        .filter(|part| part.part.permanence == Some(Permanence::Permanent))
        .filter_map(|part| Some(part.part.rear_outer_mm?.min(part.part.span_outer_mm?) / 2.0))
        .reduce(f64::min)
}

/// Arrows beyond the ends, for what leaves to the rear and to the span.
fn exits(
    scene: &mut Scene,
    section: Section,
    parts: &[restrand_model::resolve::ResolvedPart<'_>],
    [low, high]: [f64; 2],
) {
    let by = |exit: Exit| {
        let numbers = parts.iter().enumerate().filter(|(_, part)| part.part.exit == Some(exit));
        let numbers: Vec<String> = numbers.map(|(index, _)| (index + 1).to_string()).collect();
        (!numbers.is_empty()).then(|| numbers.join(", "))
    };
    let scale = section.view.scale;
    for (exit, at, away, words) in
        [(Exit::Rear, high, 1.0, "to the rear"), (Exit::Span, low, -1.0, "to the span")]
    {
        let Some(numbers) = by(exit) else { continue };
        let from = section.at(at + away * 8.0 * scale, 0.0);
        let tip = section.at(at + away * 20.0 * scale, 0.0);
        scene.line(&[from, tip], Pen::Edge);
        scene.arrow(from, tip);
        scene.label(Label::new([f64::midpoint(from[0], tip[0]), from[1]], [0.0, -1.0], words));
        scene.note(format!("Leave {words}: parts {numbers}."));
        scene.means(Sample::Arrow, "the way out");
    }
    if let Some(numbers) = by(Exit::StrippedInPlace) {
        scene.note(format!("Stripped in place: parts {numbers}."));
    }
}

fn dimensions(
    subject: &Subject<'_, '_>,
    end: &EndAt<'_>,
    scene: &mut Scene,
    section: Section,
    half: f64,
    [low, high]: [f64; 2],
) {
    let numbers = subject.numbers();
    let parts = subject.context().end_parts(end);
    let middle = section.at(0.0, 0.0)[1];
    let lanes = Lanes::below(middle + half + 13.0);
    let edge = middle + half;
    let of_role = |role: Role| {
        parts
            .iter()
            .filter(|part| part.part.role == Some(role))
            .find_map(|part| Axis::Anchorage.stretch(&part.part).ok())
    };
    let mut lengths: Vec<(f64, f64)> = Vec::new();
    let mut add = |from: f64, to: f64| {
        if (from - to).abs() > 1e-9 && !lengths.contains(&(from, to)) {
            lengths.push((from, to));
        }
    };
    for role in [Role::WedgePlate, Role::BearingPlate] {
        if let Some((from, to)) = of_role(role) {
            add(from, to);
        }
    }
    let stays = parts.iter().filter(|part| part.part.permanence == Some(Permanence::Permanent));
    let span = stays.filter_map(|part| Axis::Anchorage.stretch(&part.part).ok());
    if let Some(furthest) = span.map(|(from, _)| from).reduce(f64::min) {
        add(furthest, 0.0);
    }
    if let Some(cut_mm) = end.end.stub_cut_mm {
        add(cut_mm, 0.0);
    }
    add(0.0, high);
    let across = lengths.iter().map(|(one, other)| {
        let (from, to) = (section.at(*one, 0.0)[0], section.at(*other, 0.0)[0]);
        ([from, edge], [to, edge], numbers.mm((one - other).abs()))
    });
    scene.dimensions(lanes, across.collect());
    // Diameters at the rear and at the span end.
    let (left, right) = (section.at(low, 0.0)[0], section.at(high, 0.0)[0]);
    let (rear, away) = if section.sign > 0.0 { (right, 1.0) } else { (right, -1.0) };
    let rear_lanes = lanes_beside(rear + away * 23.0, away);
    let span_lanes = lanes_beside(left - away * 23.0, -away);
    let diameters = |role: Role| {
        let part = parts.iter().find(|part| part.part.role == Some(role))?;
        let (from, to) = Axis::Anchorage.stretch(&part.part).ok()?;
        Some((part.part.rear_outer_mm?, to, part.part.span_outer_mm?, from))
    };
    let mut wanted = Vec::new();
    for role in [Role::WedgePlate, Role::BearingPlate] {
        if let Some((outer_mm, at_mm, ..)) = diameters(role) {
            let at = |sign: f64| section.at(at_mm, sign * outer_mm / 2.0);
            wanted.push((at(1.0), at(-1.0), format!("Ø {}", numbers.mm(outer_mm))));
        }
    }
    scene.dimensions(rear_lanes, std::mem::take(&mut wanted));
    for role in [Role::AnchoragePipe, Role::GuidePipe] {
        if let Some((.., outer_mm, at_mm)) = diameters(role) {
            let at = |sign: f64| section.at(at_mm, sign * outer_mm / 2.0);
            wanted.push((at(1.0), at(-1.0), format!("Ø {}", numbers.mm(outer_mm))));
        }
    }
    scene.dimensions(span_lanes, wanted);
    let label = |scene: &mut Scene, at_mm: f64, words: String| {
        let at = section.at(at_mm, 0.0);
        scene.label(Label::new([at[0], middle - half], [0.0, -1.0], words));
    };
    label(scene, 0.0, "0".to_owned());
    if let Some(cut_mm) = end.end.stub_cut_mm {
        label(scene, cut_mm, format!("cut at {}", numbers.mm(cut_mm)));
    }
}

fn lanes_beside(x: f64, away: f64) -> Lanes {
    if away > 0.0 { Lanes::right(x) } else { Lanes::left(x) }
}
