//! The profile of the tendon as its filler sees it, with inlet, vents and drains.

use restrand_model::schedule::{Filler, VentKind};
use restrand_plan::StepId;
use restrand_rules::works::{self, FillLine};

use super::canvas::{
    CONTENT, Label, Lanes, Pen, Point, Rect, Sample, Scene, bar, fitting, scale_words,
};
use super::subject::{Called, Subject, nothing};
use super::{Drawing, Kind, marks};

/// Draws it.
pub(super) fn drawing(subject: &Subject<'_, '_>) -> Drawing {
    let mut scene = Scene::default();
    let numbers = subject.numbers();
    let mut scales = Vec::new();
    match works::fill_line(subject.context(), subject.at) {
        Ok(line) => scales.push(draw(subject, &line, &mut scene)),
        Err(field) => {
            scene.lacks(field, "the profile");
            nothing(&mut scene, "The profile is not known: a field is not stated");
        }
    }
    if subject.at.tendon.filler == Some(Filler::None) {
        scene.note("The tendon is not filled.");
    }
    subject.done(
        Called {
            kind: Kind::Fill,
            of: None,
            step: Some(StepId::Filling),
            shows: "profile with inlet, vents and drains".to_owned(),
            scales,
            units: format!("stations and elevations in {}", numbers.unit_words("value_m")),
            description: format!(
                "Elevation of the tendon over its stations, heights drawn larger than lengths, with {} tubes: inlet, \
                 vents and drains by their marks, crests and lows named, and what is lacking marked.",
                subject.at.tendon.vents.len()
            ),
        },
        scene,
    )
}

fn draw(subject: &Subject<'_, '_>, line: &FillLine, scene: &mut Scene) -> f64 {
    let numbers = subject.numbers();
    let tendon = subject.at.tendon;
    let vents = tendon.vents.iter().filter_map(|vent| vent.station_m);
    let stations = line.points_m.iter().map(|point| point[0]).chain(vents);
    let [first, last] = stations
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)]);
    let [low, high] =
        line.points_m.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], point| {
            [low.min(point[1]), high.max(point[1])]
        });
    let room = CONTENT.right - CONTENT.left - 36.0;
    let scale = fitting(&[((last - first) * 1000.0, room)]);
    // Heights are drawn larger by a whole number, so that a profile with little drape can be read.
    const HIGH_MM: f64 = 45.0;
    let larger = (HIGH_MM * scale / ((high - low) * 1000.0).max(1.0)).floor().clamp(1.0, 20.0);
    let width = (last - first) * 1000.0 / scale;
    let left = f64::midpoint(CONTENT.left, CONTENT.right) - width / 2.0;
    let tall = (high - low) * 1000.0 / scale * larger;
    let frame = Rect::new(left, CONTENT.top + 20.0, left + width, CONTENT.top + 20.0 + tall);
    let at = |station_m: f64, elevation_m: f64| -> Point {
        [
            left + (station_m - first) * 1000.0 / scale,
            frame.bottom - (elevation_m - low) * 1000.0 / scale * larger,
        ]
    };
    let elevation = |station_m: f64| {
        let points = &line.points_m;
        let after = points.partition_point(|point| point[0] < station_m);
        match (after.checked_sub(1).and_then(|one| points.get(one)), points.get(after)) {
            (Some(one), Some(other)) => {
                one[1] + (other[1] - one[1]) * (station_m - one[0]) / (other[0] - one[0])
            }
            (Some(one), None) | (None, Some(one)) => one[1],
            (None, None) => low,
        }
    };
    let path: Vec<Point> = line.points_m.iter().map(|point| at(point[0], point[1])).collect();
    scene.line(&path, Pen::Tendon);
    scene.means(Sample::Line(Pen::Tendon), "the tendon's axis, bends as corners");
    for vent in &tendon.vents {
        let Some(station_m) = vent.station_m else {
            scene.lacks("vent.station_m", "a tube of the tendon");
            continue;
        };
        let [x, y] = at(station_m, elevation(station_m));
        let id = vent.id.as_deref().unwrap_or("tube");
        let words = format!("{id} {}", numbers.m(station_m));
        // Tubes of caps stand beyond the ends, and above or below the axis by what they are for.
        let (mark, towards): (Point, Point) = match vent.kind {
            Some(VentKind::Inlet) => ([x, y - 4.0], [0.0, -1.0]),
            Some(VentKind::Drain) => ([x, y + 4.0], [0.0, 1.0]),
            _ => ([x, y - 4.0], [0.0, -1.0]),
        };
        scene.line(&[[x, y], mark], Pen::Thin);
        match vent.kind {
            Some(VentKind::Inlet) => {
                marks::inlet(scene, mark);
                scene.means(Sample::Inlet, "inlet, with its station");
            }
            Some(VentKind::Drain) => {
                marks::drain(scene, mark);
                scene.means(Sample::Drain, "drain, with its station");
            }
            _ => {
                marks::vent(scene, mark);
                scene.means(Sample::Vent, "vent, with its station");
            }
        }
        scene.label(Label::new([mark[0], mark[1] + towards[1] * 1.4], towards, words));
    }
    for turn in &line.turns {
        let [x, y] = at(turn.station_m, turn.elevation_m);
        let words = if turn.is_crest { "crest" } else { "low" };
        let towards = if turn.is_crest { [0.5, -1.0] } else { [0.5, 1.0] };
        scene.label(Label::new(
            [x, y],
            towards,
            format!("{words} {}", numbers.m(turn.elevation_m)),
        ));
        let [from, to] = turn.level_m;
        if to > from {
            scene.line(&[at(from, elevation(from)), at(to, elevation(to))], Pen::Tendon);
        }
    }
    match &line.lacking {
        Ok(lacking) => {
            for (words, station_m) in lacking {
                let at_station = station_m
                    .map(|m| format!(" at station {}", numbers.with_unit("value_m", m, 2)));
                scene.note(format!("Lacking: {words}{}.", at_station.unwrap_or_default()));
                if let Some(station_m) = station_m {
                    let spot = at(*station_m, elevation(*station_m));
                    marks::lacking(scene, spot);
                    scene.means(Sample::Lacking, "a tube is lacking here");
                    let edge = [spot[0], spot[1] + 1.9];
                    scene.label(Label::new(edge, [0.0, 1.0], "lacking"));
                }
            }
        }
        Err(field) => scene.lacks(field, "inlet, vents and drains"),
    }
    scene.place_labels(Rect::new(CONTENT.left, CONTENT.top, CONTENT.right, frame.bottom + 24.0));
    let bottom = scene.bottom() + 4.0;
    let lanes = Lanes::below(bottom + 6.0);
    let wanted = line.points_m.windows(2).map(|pair| {
        let (from, to) = (at(pair[0][0], low)[0], at(pair[1][0], low)[0]);
        ([from, bottom], [to, bottom], numbers.m(pair[1][0] - pair[0][0]))
    });
    scene.dimensions(lanes, wanted.collect());
    let below = scene.bottom() + 3.0;
    let (unit_mm, unit) = numbers.bar(true);
    bar(scene, [CONTENT.left + 4.0, below], scale, unit_mm, unit);
    if larger > 1.0 {
        scene.note(format!(
            "Lengths are drawn {}, heights {larger:.0} times as large.",
            scale_words(scale)
        ));
    }
    scene.note("The filler goes both ways from the inlet; vents are closed in the order of the plan's table.");
    scale
}
