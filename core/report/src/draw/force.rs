//! Force along the tendon, before and after seating, with its limits.

use restrand_model::schedule::EndName;
use restrand_plan::StepId;
use restrand_rules::works::{self, ForceAt, ForceLine, Limits};

use super::canvas::{Anchor, CONTENT, Hatch, Label, Pen, Point, Rect, Sample, Scene, TEXT_MM};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind};

/// Draws it.
pub(super) fn drawing(subject: &Subject<'_, '_>) -> Drawing {
    let mut scene = Scene::default();
    let numbers = subject.numbers();
    let target_kn = subject.at.tendon.replacement.as_deref().and_then(|new| new.target_force_kn);
    let description = match works::force_line(subject.context(), subject.at, target_kn) {
        Ok(line) => {
            draw(subject, &line, &mut scene);
            let of = |line: &[ForceAt]| {
                line.first().zip(line.last()).map_or(String::new(), |(one, other)| {
                    format!(
                        "{} at end a and {} at end b",
                        numbers.with_unit("force_kn", one.force_kn, 0),
                        numbers.with_unit("force_kn", other.force_kn, 0)
                    )
                })
            };
            let after = line.after.first().map_or(String::new(), |line| of(line));
            format!(
                "Force over the length of the tendon. At full jacking force of {}: {}. After seating: {after}.",
                numbers.with_unit("force_kn", line.jacking_kn, 0),
                of(&line.before)
            )
        }
        Err(field) => {
            scene.lacks(field, "the force along the tendon");
            nothing(&mut scene, "The force along the tendon is not known: a field is not stated");
            "The force along the tendon is not known.".to_owned()
        }
    };
    subject.done(
        Called {
            kind: Kind::Force,
            of: None,
            step: Some(StepId::Stressing),
            shows: "force before and after seating".to_owned(),
            scales: Vec::new(),
            units: format!(
                "force in {}, length in {}",
                numbers.unit("force_kn"),
                numbers.unit_words("value_m")
            ),
            description,
        },
        scene,
    )
}

/// A round step so that about `count` of them cover a range.
fn step(range: f64, count: f64) -> f64 {
    let least = (range / count).max(f64::MIN_POSITIVE);
    let power = 10_f64.powf(least.log10().floor());
    let factor = [1.0, 2.0, 5.0, 10.0].into_iter().find(|factor| factor * power >= least * 0.999);
    factor.unwrap_or(10.0) * power
}

/// Numbers of steps below a value.
fn ticks(from: f64, to: f64, step: f64) -> Vec<f64> {
    let mut ticks = Vec::new();
    let mut at = (from / step).ceil();
    while at * step <= to + step * 1e-6 && ticks.len() < 100 {
        ticks.push(at * step);
        at += 1.0;
    }
    ticks
}

struct Axes {
    frame: Rect,
    length: f64,
    low: f64,
    high: f64,
}

impl Axes {
    fn at(&self, along: f64, force: f64) -> Point {
        [
            self.frame.left + self.frame.width() * along / self.length,
            self.frame.bottom - self.frame.height() * (force - self.low) / (self.high - self.low),
        ]
    }
}

fn draw(subject: &Subject<'_, '_>, line: &ForceLine<'_>, scene: &mut Scene) {
    let numbers = subject.numbers();
    let all = line.before.iter().chain(line.after.iter().flatten()).map(|at| at.force_kn);
    let values = all.chain(line.limits.iter().map(|limit| limit.force_kn));
    let [low, high] = values
        .fold([f64::INFINITY, 0.0_f64], |[low, high], value| [low.min(value), high.max(value)]);
    // In the reader's unit, so that the ticks are round there.
    let factor: f64 = match numbers.bare("force_kn", 1e6, 0).parse::<f64>() {
        Ok(shown) => shown / 1e6,
        Err(_) => 1.0,
    };
    let length_factor: f64 = match numbers.bare("value_m", 1e4, 0).parse::<f64>() {
        Ok(shown) => shown / 1e4,
        Err(_) => 1.0,
    };
    let range = (high - low).max(high * 0.02);
    let by = step(range * 1.3 * factor, 7.0) / factor;
    let axes = Axes {
        frame: Rect::new(
            CONTENT.left + 24.0,
            CONTENT.top + 12.0,
            CONTENT.right - 104.0,
            CONTENT.top + 122.0,
        ),
        length: line.length_m,
        low: ((low - range * 0.15) / by).floor().max(0.0) * by,
        high: ((high + range * 0.12) / by).ceil() * by,
    };
    let frame = axes.frame;
    scene.line(
        &[[frame.left, frame.top], [frame.left, frame.bottom], [frame.right, frame.bottom]],
        Pen::Thin,
    );
    for force in ticks(axes.low * factor, axes.high * factor, by * factor) {
        let [x, y] = axes.at(0.0, force / factor);
        scene.line(&[[x - 1.2, y], [x, y]], Pen::Thin);
        scene.text([x - 2.0, y + 1.2], Anchor::End, TEXT_MM, &format!("{force:.0}"));
    }
    let by = step(line.length_m * length_factor, 10.0);
    for along in ticks(0.0, line.length_m * length_factor, by) {
        let [x, y] = axes.at(along / length_factor, axes.low);
        scene.line(&[[x, y], [x, y + 1.2]], Pen::Thin);
        let digits = usize::from(by < 1.0);
        scene.text([x, y + 5.2], Anchor::Middle, TEXT_MM, &format!("{along:.digits$}"));
    }
    let unit = numbers.unit("force_kn");
    scene.text(
        [frame.left - 18.0, frame.top - 4.0],
        Anchor::Start,
        TEXT_MM,
        &format!("Force [{unit}]"),
    );
    let words = format!("Length from end a [{}]", numbers.unit("value_m"));
    scene.text(
        [f64::midpoint(frame.left, frame.right), frame.bottom + 11.5],
        Anchor::Middle,
        TEXT_MM,
        &words,
    );
    if axes.low > 0.0 {
        scene.note("The scale of force does not begin at zero.");
    }
    places(subject, &axes, scene);
    limits(subject, line, &axes, scene);
    let path = |line: &[ForceAt]| -> Vec<Point> {
        line.iter().map(|at| axes.at(at.at_m, at.force_kn)).collect()
    };
    scene.line(&path(&line.before), Pen::Dashed);
    scene.means(Sample::Line(Pen::Dashed), "at full force, before any end is seated");
    for after in &line.after {
        scene.line(&path(after), Pen::Edge);
    }
    scene.means(Sample::Line(Pen::Edge), "after seating");
    if line.after.len() > 1 {
        scene.note("Both ends are pulled at once and the order of seating is not stated: a line is drawn for each order.");
    }
    values_at_ends(subject, line, &axes, scene);
    let ends: Vec<String> = line.ends.iter().map(|end: &EndName| end.to_string()).collect();
    scene.note(format!(
        "Jacked at end {} to {}; friction, set and losses as stated in the schedule.",
        ends.join(", then end "),
        numbers.with_unit("force_kn", line.jacking_kn, 0)
    ));
    scene.place_labels(Rect::new(
        frame.left + 1.0,
        frame.top - 8.0,
        CONTENT.right,
        frame.bottom - 1.0,
    ));
}

/// Places that the tendon passes, as thin lines over the height of the diagram.
fn places(subject: &Subject<'_, '_>, axes: &Axes, scene: &mut Scene) {
    let Ok(held) = subject.context().held(subject.at) else { return };
    let mut names = Vec::new();
    for held in held.iter().filter(|held| !held.is_end) {
        let [one, other] = held.along_m.map(|m| axes.at(m.clamp(0.0, axes.length), axes.low)[0]);
        scene.fill(
            &[
                [one, axes.frame.top],
                [other.max(one + 0.3), axes.frame.top],
                [other.max(one + 0.3), axes.frame.bottom],
                [one, axes.frame.bottom],
            ],
            Hatch::Concrete,
        );
        for side in [one, other] {
            scene.line(&[[side, axes.frame.top], [side, axes.frame.bottom]], Pen::Thin);
        }
        names.push((f64::midpoint(one, other), held.place.clone()));
    }
    if !names.is_empty() {
        scene.means(Sample::Fill(Hatch::Concrete), "place that the tendon passes");
    }
    scene.row(axes.frame.top, true, 0.6, [axes.frame.left, axes.frame.right], &names);
}

fn limits(subject: &Subject<'_, '_>, line: &ForceLine<'_>, axes: &Axes, scene: &mut Scene) {
    let numbers = subject.numbers();
    if line.limits.is_empty() {
        scene.lacks("strand.fpu_mpa", "limits of force");
        return;
    }
    for limit in &line.limits {
        let (from, to) = (axes.at(0.0, limit.force_kn), axes.at(axes.length, limit.force_kn));
        scene.line(&[from, [to[0] + 3.0, to[1]]], Pen::Dotted);
        let of = match limit.of {
            Limits::Jacking => "at the jack",
            Limits::Anchorage => "at an anchorage, seated",
            Limits::Tendon => "along the tendon, seated",
        };
        let words = format!("limit {of}: {}", numbers.with_unit("force_kn", limit.force_kn, 0));
        scene.label(Label::new([to[0] + 3.0, to[1]], [1.0, 0.0], words));
        let strength = match limit.key.ends_with("fpy") {
            true => "yield stress",
            false => "tensile strength",
        };
        let evidence = limit.limit.citation.evidence;
        let unconfirmed = match evidence.is_firm() {
            true => String::new(),
            false => format!("; evidence {evidence}, to be confirmed"),
        };
        scene.note(format!(
            "Limit {of}: {} of the strand's {strength}, {} ({}{unconfirmed}).",
            limit.limit.value, limit.key, limit.limit.citation.source
        ));
    }
    scene.means(Sample::Line(Pen::Dotted), "limit of the rulebook in force");
}

fn values_at_ends(subject: &Subject<'_, '_>, line: &ForceLine<'_>, axes: &Axes, scene: &mut Scene) {
    let numbers = subject.numbers();
    let words = |force_kn: f64| numbers.bare("force_kn", force_kn, 0);
    let mut label = |at: &ForceAt, towards: Point| {
        scene.circle(axes.at(at.at_m, at.force_kn), 0.6, Pen::Edge, Hatch::Black);
        scene.label(Label::new(axes.at(at.at_m, at.force_kn), towards, words(at.force_kn)));
    };
    if let (Some(one), Some(other)) = (line.before.first(), line.before.last()) {
        label(one, [0.7, -0.7]);
        label(other, [-0.7, -0.7]);
    }
    for after in &line.after {
        let same = |one: &ForceAt, other: Option<&ForceAt>| {
            other.is_some_and(|other| words(one.force_kn) == words(other.force_kn))
        };
        // Where seating changes nothing one number says both.
        if let Some(one) = after.first().filter(|one| !same(one, line.before.first())) {
            label(one, [0.7, 0.7]);
        }
        if let Some(other) = after.last().filter(|one| !same(one, line.before.last())) {
            label(other, [-0.7, 0.7]);
        }
        let greatest = after.iter().max_by(|one, other| one.force_kn.total_cmp(&other.force_kn));
        let is_told = |one: &ForceAt| same(one, after.first()) || same(one, after.last());
        if let Some(greatest) = greatest.filter(|one| !is_told(one)) {
            label(greatest, [0.0, -1.0]);
        }
    }
}
