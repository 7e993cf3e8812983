//! The strip of cuts and pieces over the elevation.

use restrand_model::schedule::CutPlace;
use restrand_plan::Between;
use restrand_rules::works;

use crate::draw::canvas::{Anchor, CONTENT, Hatch, Pen, Sample, Scene, TEXT_MM};
use crate::draw::subject::Subject;

/// The strip of cuts and pieces; returns where it ends.
pub(super) fn strip(
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
    let top = CONTENT.top + 5.6 - highest;
    const HIGH_MM: f64 = 6.2;
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
