//! What stays in the concrete is gauged and inspected before anything new comes in.

use restrand_mechanics::passing::worst_bore_mm;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Part, Permanence};

use crate::plan::{Blocked, Cell, Column, Step, Table};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, _: &mut Vec<Blocked>) {
    let mut rows = Vec::new();
    for end in &known.ends {
        let parts = known.context.end_parts(end);
        of(&end.call(), parts, &mut rows, step);
    }
    for (index, deviator) in known.tendon.deviators.iter().enumerate() {
        let place = deviator.place.as_ref().map_or("a deviator", |place| place.key());
        let parts = known.context.deviator_parts(known.at, index);
        of(place, parts, &mut rows, step);
    }
    step.say("Each bore is cleaned, looked through with a camera, and gauged with a mandrel that is just under its least diameter at worst tolerance; rust, dents, filler that crept in and blocked drains are mended before anything new comes in");
    step.takes("A camera on a rod, lamp, brushes and swabs; each mandrel of the table, on a rope from both sides");
    if rows.is_empty() {
        step.lacks(
            "anchorage.parts",
            None,
            "which permanent parts there are, and the mandrels for them",
        );
        return;
    }
    step.tables.push(Table {
        title: "Permanent parts to be gauged".to_owned(),
        columns: vec![
            Column { name: "at", digits: 0 },
            Column { name: "part", digits: 0 },
            Column { name: "least_bore_mm", digits: 1 },
            Column { name: "worst_bore_mm", digits: 1 },
            Column { name: "mandrel_mm", digits: 1 },
            Column { name: "gauged_when_built_mm", digits: 1 },
        ],
        rows,
    });
    step.hold("Every mandrel has passed; a bore that is too tight goes back to the engineer in charge with its measured size");
    step.say("Each bearing face is cleaned and looked at: the new plate bears on the whole ring");
}

fn of(at: &str, parts: &[ResolvedPart<'_>], rows: &mut Vec<Vec<Cell>>, step: &mut Step) {
    for part in parts.iter().map(|part| part.part.as_ref()) {
        if part.permanence != Some(Permanence::Permanent) {
            continue;
        }
        let Some((least_mm, worst_mm)) = least_bore_mm(part) else { continue };
        if least_mm.is_none() {
            step.lacks(
                "part.rear_inner_mm",
                Some(at.to_owned()),
                "the mandrel for a permanent part",
            );
        }
        rows.push(vec![
            Cell::from(at),
            Cell::from(restrand_rules::call(part)),
            Cell::from(least_mm),
            Cell::from(worst_mm),
            // The largest whole millimetre below the worst bore.
            Cell::from(worst_mm.map(|worst_mm| worst_mm.ceil() - 1.0)),
            Cell::from(part.gauge_mandrel_mm),
        ]);
    }
}

/// The least bore of a part, as stated and at worst tolerance, mm; nothing for a part that is solid.
pub(super) fn least_bore_mm(part: &Part) -> Option<(Option<f64>, Option<f64>)> {
    let least_mm = match (part.rear_inner_mm, part.span_inner_mm) {
        (Some(rear_mm), Some(span_mm)) => Some(rear_mm.min(span_mm)),
        (one, other) => one.or(other),
    };
    if least_mm == Some(0.0) {
        return None;
    }
    let worst_mm = least_mm.and_then(|least_mm| {
        let (tolerance, ovality, seam) = (part.tolerance_mm, part.ovality_mm, part.seam_mm);
        worst_bore_mm(
            least_mm,
            tolerance.unwrap_or(0.0),
            ovality.unwrap_or(0.0),
            seam.unwrap_or(0.0),
        )
        .ok()
    });
    Some((least_mm, worst_mm))
}
