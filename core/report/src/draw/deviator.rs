//! A deviator in section along its form's axis, from the side and from above, with the legs of the tendon.

use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Form, FormKind};
use restrand_plan::{Between, StepId};
use restrand_rules::works::{self, Deviated};
use restrand_rules::{Axis, extent_m};

use super::canvas::{
    Anchor, CONTENT, Hatch, Label, Lanes, Pen, Point, Rect, Sample, Scene, TEXT_MM, View, arc, bar,
    fitting,
};
use super::parts::{self, Section};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind};

/// Draws it.
pub(super) fn drawing(subject: &Subject<'_, '_>, index: usize) -> Drawing {
    let mut scene = Scene::default();
    let deviator = &subject.at.tendon.deviators[index];
    let place = match &deviator.place {
        Some(place) => place.key().to_owned(),
        None => format!("deviator #{}", index + 1),
    };
    let numbers = subject.numbers();
    let mut scales = Vec::new();
    let mut angle = String::new();
    match works::deviated(subject.context(), subject.at, index) {
        Ok(deviated) => {
            angle = format!(" The tendon turns by {} in space.", numbers.angle(deviated.angle_rad));
            scales.extend(draw(subject, index, &deviated, &mut scene));
        }
        Err(field) => {
            scene.lacks(field, "the deviator");
            nothing(&mut scene, "Nothing can be drawn: a field is not stated");
        }
    }
    subject.done(
        Called {
            kind: Kind::Deviator,
            of: Some(place.clone()),
            step: Some(StepId::DeviatorStubs),
            shows: format!("deviator {place}, section along the form's axis"),
            scales,
            units: format!("dimensions in {}", numbers.unit_words("value_mm")),
            description: format!(
                "Two sections along the axis of the form, from the side and from above, up-station on the right, with the \
                 duct of the tendon and both its legs.{angle}"
            ),
        },
        scene,
    )
}

/// Half of the view along the axis, over half of the form's length.
const BEYOND: f64 = 1.35;

fn draw(
    subject: &Subject<'_, '_>,
    index: usize,
    deviated: &Deviated,
    scene: &mut Scene,
) -> Option<f64> {
    let numbers = subject.numbers();
    let context = subject.context();
    let form = deviated.form.clone();
    if let Some(field) = deviated.axis_lacks {
        scene.lacks(field, "the form's axis (the views are drawn along the alignment)");
    }
    let parts = context.deviator_parts(subject.at, index);
    let station_m =
        subject.at.tendon.points.first().and_then(|point| point.station_m).unwrap_or(0.0);
    let outer_mm = context
        .duct_at(subject.at.tendon, place_station(subject, index).unwrap_or(station_m))
        .and_then(|found| found.record.outer_mm);
    if outer_mm.is_none() {
        scene.lacks("duct.outer_mm", "the duct");
    }
    let length_mm = form.as_ref().and_then(|form| form.length_mm);
    let stretches = parts.iter().filter_map(|part| Axis::Form.stretch(&part.part).ok());
    let half_mm = stretches
        .map(|(from, to)| from.abs().max(to.abs()))
        .chain(length_mm.map(|mm| mm / 2.0))
        .fold(0.0, f64::max);
    if half_mm <= 0.0 {
        scene.lacks(if form.is_some() { "form.length_mm" } else { "deviator.form" }, "the form");
    }
    let half_mm = if half_mm > 0.0 { half_mm } else { 800.0 };
    let radius = bores(form.as_ref(), parts).chain(outer_mm).fold(60.0, f64::max) / 2.0;
    let cuts = cuts(subject, index);
    let furthest = cuts.iter().flatten().fold(0.0, |most: f64, mm| most.max(mm.abs()));
    // Both cuts of the stub are in the view, unless they lie far off.
    let along = (half_mm * BEYOND).max((furthest * 1.06).min(half_mm * 2.0));
    // How far the legs leave the axis within the view.
    let away = deviated.legs.iter().flat_map(|leg| {
        let [ahead, up, left] = deviated.frame.own(*leg);
        [up / ahead, left / ahead]
    });
    let away = away.map(f64::abs).filter(|one| one.is_finite()).fold(0.0, f64::max).min(1.0);
    // A steep leg leaves the view before its end.
    let high = radius * 1.25 + (along * away - radius * 0.2).clamp(0.0, 1.2 * radius);
    let scale = fitting(&[(2.0 * along, CONTENT.right - CONTENT.left - 90.0), (2.0 * high, 48.0)]);
    let middle_x = f64::midpoint(CONTENT.left, CONTENT.right);
    let mut top = CONTENT.top + 6.0;
    for (which, title) in [(1, "From the side"), (2, "From above, left is up")] {
        let half = high / scale;
        let view = View { zero: [middle_x, top + 6.0 + half], scale };
        let section = Section { view, sign: 1.0, axis: Axis::Form };
        let frame = Rect::new(
            middle_x - along / scale,
            top + 6.0,
            middle_x + along / scale,
            top + 6.0 + 2.0 * half,
        );
        scene.text([CONTENT.left, top + 3.0], Anchor::Start, TEXT_MM, title);
        concrete(subject, index, scene, section, frame, radius);
        let named = parts::draw(scene, section, parts, None);
        if parts.is_empty() {
            form_alone(scene, section, form.as_ref(), half_mm);
        }
        let written = legs(scene, deviated, section, which, outer_mm, frame);
        scene.line(
            &[[frame.left - 4.0, view.zero[1]], [frame.right + 4.0, view.zero[1]]],
            Pen::Axis,
        );
        scene.means(Sample::Line(Pen::Axis), "axes of the form and of the legs");
        angles(subject, scene, deviated, which, written);
        for mm in cuts.iter().flatten() {
            cut(scene, deviated, section, (which, *mm), outer_mm.unwrap_or(radius), frame);
        }
        if which == 1 {
            diameters(scene, form.as_ref(), section, frame, numbers);
            parts::number(scene, section, &named, frame.grown(11.0));
        } else {
            if let Some(length_mm) = length_mm {
                let at = |sign: f64| [section.at(sign * length_mm / 2.0, 0.0)[0], frame.bottom];
                let words = numbers.mm(length_mm);
                scene
                    .dimensions(Lanes::below(frame.bottom + 6.0), vec![(at(-1.0), at(1.0), words)]);
            }
            scene.place_labels(frame.grown(11.0));
        }
        top = scene.bottom() + 5.0;
    }
    let bottom = scene.bottom() + 3.0;
    let (unit_mm, unit) = numbers.bar(false);
    if parts.is_empty() {
        bar(scene, [CONTENT.left + 4.0, bottom], scale, unit_mm, unit);
    } else {
        let rows = parts::list(parts, numbers);
        let widest = CONTENT.right - CONTENT.left;
        let table = scene.table([CONTENT.left, bottom], widest, &parts::TITLES, &rows);
        bar(scene, [table.right + 8.0, bottom], scale, unit_mm, unit);
        scene.notes_from([table.right + 8.0, bottom + 13.0]);
    }
    notes(subject, index, deviated, scene);
    if let Some([from, to]) = cuts {
        scene.note(format!("The stub is {} long from cut to cut.", numbers.about(to - from)));
    }
    Some(scale)
}

/// Where the stub of the deviator is cut, from the middle of the form along the tendon, mm; nothing where it is not known.
fn cuts(subject: &Subject<'_, '_>, index: usize) -> Option<[f64; 2]> {
    let middle_m =
        works::Along::of(subject.context(), subject.at).ok()?.at_m(place_station(subject, index)?);
    let plan = subject.plan.cuts.as_ref().ok()?;
    let stub = plan
        .outs
        .iter()
        .find(|out| matches!(&out.between, Between::Stub(held) if held.deviator == Some(index)))?;
    Some(stub.along_m.map(|along_m| (along_m - middle_m) * 1000.0))
}

/// A cut across a leg.
fn cut(
    scene: &mut Scene,
    deviated: &Deviated,
    section: Section,
    (which, at_mm): (usize, f64),
    outer_mm: f64,
    frame: Rect,
) {
    let leg = deviated.frame.own(deviated.legs[usize::from(at_mm > 0.0)]);
    let [x, y] = section.at(leg[0] * at_mm, leg[which] * at_mm);
    let away = section.at(leg[0] * (at_mm + 1.0), leg[which] * (at_mm + 1.0));
    let along = [away[0] - x, away[1] - y];
    let length = along[0].hypot(along[1]).max(1e-9);
    let half = section.view.length(outer_mm / 2.0) + 2.5;
    let aside = [-along[1] / length * half, along[0] / length * half];
    let ends = [[x - aside[0], y - aside[1]], [x + aside[0], y + aside[1]]];
    if frame.holds(Rect::round(&ends)) {
        scene.line(&ends, Pen::Dashed);
        scene.means(Sample::Line(Pen::Dashed), "cut of the stub");
    }
}

fn place_station(subject: &Subject<'_, '_>, index: usize) -> Option<f64> {
    let deviator = &subject.at.tendon.deviators[index];
    subject.context().place(deviator.place.as_ref())?.record.station_m
}

fn bores<'f>(
    form: Option<&'f Form>,
    parts: &'f [ResolvedPart<'_>],
) -> impl Iterator<Item = f64> + 'f {
    let of_form = form.into_iter().flat_map(|form| {
        [form.throat_mm, form.exit_rear_mm, form.exit_span_mm].into_iter().flatten()
    });
    let of_parts = parts.iter().flat_map(|part| {
        let part = &part.part;
        [part.rear_outer_mm, part.span_outer_mm, part.greatest_outer_mm].into_iter().flatten()
    });
    of_form.chain(of_parts)
}

/// Concrete between the faces of the place, outside of the form.
fn concrete(
    subject: &Subject<'_, '_>,
    index: usize,
    scene: &mut Scene,
    section: Section,
    frame: Rect,
    radius: f64,
) {
    let deviator = &subject.at.tendon.deviators[index];
    let place = subject.context().place(deviator.place.as_ref());
    let extent = place.as_ref().and_then(|place| {
        let [down_m, up_m] = extent_m(place.record, 0.0)?;
        let middle_m = place.record.station_m?;
        Some([(down_m - middle_m) * 1000.0, (up_m - middle_m) * 1000.0])
    });
    let Some([down_mm, up_mm]) = extent else {
        return scene.lacks("place.thickness_mm", "the concrete of the place");
    };
    let left = section.at(down_mm, 0.0)[0].max(frame.left);
    let right = section.at(up_mm, 0.0)[0].min(frame.right);
    let axis = section.at(0.0, 0.0)[1];
    let hollow = section.view.length(radius);
    for (one, other) in [(frame.top, axis - hollow), (axis + hollow, frame.bottom)] {
        if other > one {
            scene
                .fill(&[[left, one], [right, one], [right, other], [left, other]], Hatch::Concrete);
        }
    }
    for x in [left, right] {
        scene.line(&[[x, frame.top], [x, axis - hollow]], Pen::Edge);
        scene.line(&[[x, axis + hollow], [x, frame.bottom]], Pen::Edge);
    }
    scene.means(Sample::Fill(Hatch::Concrete), "concrete between the faces of the place");
}

/// The bore of a form whose parts are not stated.
fn form_alone(scene: &mut Scene, section: Section, form: Option<&Form>, half_mm: f64) {
    scene.lacks("form.parts", "walls of the form");
    let Some(form) = form else { return };
    let Some(throat_mm) = form.throat_mm else {
        return scene.lacks("form.throat_mm", "the form's bore");
    };
    let throat = throat_mm / 2.0;
    let bare = form.throat_length_mm.unwrap_or(0.0) / 2.0;
    for (exit, field, along) in [
        (form.exit_rear_mm, "form.exit_rear_mm", -1.0),
        (form.exit_span_mm, "form.exit_span_mm", 1.0),
    ] {
        let Some(exit_mm) = exit else {
            let side = if along < 0.0 { "down-station" } else { "up-station" };
            scene.lacks(field, format!("the form's bore {side} of its throat"));
            let at = section.at(along * half_mm * 0.6, -throat);
            scene.label(Label::new(at, [0.0, 1.0], "exit not stated"));
            continue;
        };
        for sign in [1.0, -1.0] {
            scene.line(
                &[
                    section.at(0.0, sign * throat),
                    section.at(along * bare, sign * throat),
                    section.at(along * half_mm, sign * exit_mm / 2.0),
                ],
                Pen::Edge,
            );
        }
    }
    scene.means(Sample::Line(Pen::Edge), "bore of the form, straight from throat to exit");
}

/// The duct along its legs, with the bend between them, as far as the view goes; returns where the angles of the legs
/// are written.
fn legs(
    scene: &mut Scene,
    deviated: &Deviated,
    section: Section,
    which: usize,
    outer_mm: Option<f64>,
    frame: Rect,
) -> [Point; 2] {
    let [one, other] = deviated.legs.map(|leg| deviated.frame.own(leg));
    let along = |leg: [f64; 3], mm: f64| leg.map(|share| share * mm);
    let tangent_mm = deviated.bend_m.map_or(0.0, |[_, tangent_m]| tangent_m * 1000.0);
    // Past the view on both sides.
    let far_mm = 4.0 * (frame.width() + frame.height()) * section.view.scale + tangent_mm;
    let mut axis = vec![along(one, -far_mm)];
    axis.extend(arc(along(one, -tangent_mm), [0.0; 3], along(other, tangent_mm)));
    axis.push(along(other, far_mm));
    let on_paper: Vec<Point> =
        axis.iter().map(|point| section.at(point[0], point[which])).collect();
    let runs = frame.runs(&on_paper);
    for run in &runs {
        if let Some(outer_mm) = outer_mm {
            let edges =
                [1.0, -1.0].map(|side| beside(run, side * section.view.length(outer_mm / 2.0)));
            let band: Vec<Point> = edges[0].iter().chain(edges[1].iter().rev()).copied().collect();
            scene.fill(&band, Hatch::White);
            for edge in &edges {
                scene.line(edge, Pen::Edge);
            }
            scene.means(Sample::Line(Pen::Edge), "edges of the duct and of parts in section");
        }
        scene.line(run, Pen::Axis);
    }
    let middle = section.at(0.0, 0.0);
    let first = runs.first().and_then(|run| Some(inward(*run.first()?, *run.get(1)?)));
    let last = runs.last().and_then(|run| {
        let (end, before) = (run.len().checked_sub(1)?, run.len().checked_sub(2)?);
        Some(inward(*run.get(end)?, *run.get(before)?))
    });
    [first.unwrap_or(middle), last.unwrap_or(middle)]
}

/// A line at a distance beside another.
fn beside(line: &[Point], aside: f64) -> Vec<Point> {
    let at = |index: usize| {
        let before = line[index.saturating_sub(1)];
        let after = line[(index + 1).min(line.len() - 1)];
        let away = [after[0] - before[0], after[1] - before[1]];
        let length = away[0].hypot(away[1]).max(1e-9);
        [line[index][0] - aside * away[1] / length, line[index][1] + aside * away[0] / length]
    };
    (0..line.len()).map(at).collect()
}

/// A point a little inward of the end of a line.
fn inward(end: Point, next: Point) -> Point {
    const INWARD_MM: f64 = 7.0;
    let away = [next[0] - end[0], next[1] - end[1]];
    let share = (INWARD_MM / away[0].hypot(away[1]).max(1e-9)).min(0.5);
    [end[0] + share * away[0], end[1] + share * away[1]]
}

/// Angles of the legs in this view, and in space.
fn angles(
    subject: &Subject<'_, '_>,
    scene: &mut Scene,
    deviated: &Deviated,
    which: usize,
    written: [Point; 2],
) {
    /// Half of the last digit that is shown, rad.
    const LEVEL_RAD: f64 = 8.7e-5;
    let numbers = subject.numbers();
    for (leg, sign) in [(0, -1.0), (1, 1.0)] {
        let own = deviated.frame.own(deviated.legs[leg]);
        let angle = own[which].atan2(own[0]);
        let at = written[leg];
        let goes = match (which, angle) {
            (_, angle) if angle.abs() < LEVEL_RAD => "along the axis",
            (1, angle) if angle > 0.0 => "rising up-station",
            (1, _) => "falling up-station",
            (_, angle) if angle > 0.0 => "to the left up-station",
            _ => "to the right up-station",
        };
        let words = format!("{} {goes}", numbers.angle(angle.abs()));
        let words = if angle.abs() < LEVEL_RAD { goes.to_owned() } else { words };
        let up = if own[which] * sign > 0.0 { -1.0 } else { 1.0 };
        scene.label(Label::new(at, [0.0, up], words));
    }
}

fn diameters(
    scene: &mut Scene,
    form: Option<&Form>,
    section: Section,
    frame: Rect,
    numbers: super::numbers::Numbers,
) {
    let Some(form) = form else { return };
    let half = form.length_mm.unwrap_or(0.0) / 2.0;
    for (bore, at, lanes) in [
        (form.exit_rear_mm, -half, Lanes::left(frame.left - 9.0)),
        (form.exit_span_mm, half, Lanes::right(frame.right + 12.0)),
    ] {
        let Some(bore) = bore else { continue };
        let words = format!("Ø {}", numbers.mm(bore));
        let ends = [1.0, -1.0].map(|sign| section.at(at, sign * bore / 2.0));
        scene.dimensions(lanes, vec![(ends[0], ends[1], words)]);
    }
}

fn notes(subject: &Subject<'_, '_>, index: usize, deviated: &Deviated, scene: &mut Scene) {
    let numbers = subject.numbers();
    let deviator = &subject.at.tendon.deviators[index];
    scene.note(format!("The tendon turns by {} in space.", numbers.angle(deviated.angle_rad)));
    if let Some([down, up]) = deviated.legs_rad {
        scene.note(format!(
            "Angles of the legs to the form's axis in space: {} down-station, {} up-station.",
            numbers.angle(down),
            numbers.angle(up)
        ));
    }
    if let Some([radius_m, _]) = deviated.bend_m {
        scene.note(format!(
            "Radius of the tendon's axis: {}.",
            numbers.with_unit("value_m", radius_m, 3)
        ));
    }
    if let Some(form) = &deviated.form {
        let kind = match form.kind {
            Some(FormKind::Flared) => "flared",
            Some(FormKind::BentPipe) => "bent pipe",
            Some(FormKind::StraightSleeve) => "straight sleeve",
            None => "of a kind that is not stated",
        };
        let throat = form.throat_mm.map_or("not stated".to_owned(), |mm| numbers.length(mm));
        scene.note(format!(
            "Form {}: {kind}, throat {throat}.",
            form.id.as_deref().unwrap_or("without a name")
        ));
    }
    let swing = |mm: Option<f64>| mm.map_or("not stated".to_owned(), |mm| numbers.length(mm));
    scene.note(format!(
        "Room to turn a piece in beside the form: {} down-station, {} up-station.",
        swing(deviator.swing_room_down_mm),
        swing(deviator.swing_room_up_mm)
    ));
}
