//! The free lengths are cut into pieces, from the release outward, and taken out.

mod against;

use restrand_finding::Fact;
use restrand_mechanics::removal::piece_mass_kg;
use restrand_model::schedule::{CutPlace, EndName, Exit, Part};
use restrand_rules::works::{self, Along};

use self::against::{close_together, misplaced, too_long};
use super::anchor_stubs::{is_on_span_side, leaving};
use crate::cuts::{Between, Bound, CutPlan};
use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;
use crate::way;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let Some(plan) = step.known(
        known.cuts.as_ref().map_err(|field| *field),
        None,
        "where the tendon is cut, and what leaves",
    ) else {
        return;
    };
    let Ok(along) = &known.along else { return };
    match plan.is_stated {
        true => {
            step.rests_on(known.at.route.field("cuts"));
            step.say("The cuts are those that the schedule states, in its order, but every release first");
        }
        false => step.say("No cuts are stated: from the release outward, pieces of one length between forms, diaphragms and stubs; another order needs only a reason"),
    }
    bounds(known, plan, along, step);
    too_long(known, plan, along, step, blocked);
    misplaced(known, plan, along, step, blocked);
    close_together(plan, known, step);
    let cuts = cuts(known, plan, along, step);
    step.tables.push(cuts);
    // The pieces of each bay, in the order of the bays along the tendon.
    let mut by_bay: Vec<(usize, Vec<way::LedPiece>)> = Vec::new();
    for out in plan.outs.iter().filter(|out| out.between == Between::Piece) {
        let [from_m, to_m] = out.along_m.map(|along_m| along.station_m(along_m));
        let Some(bay) = known.bay_at(f64::midpoint(from_m, to_m)) else { continue };
        let Some(widest) = step.known(known.widest(out.along_m), None, "the way out of a piece")
        else {
            continue;
        };
        let piece = (out.length_m() * 1000.0, widest);
        match by_bay.iter_mut().find(|(known, _)| *known == bay) {
            Some((_, pieces)) => pieces.push(piece),
            None => by_bay.push((bay, vec![piece])),
        }
    }
    stripped(known, step);
    longest(known, plan, along, step);
    slope(known, plan, along, step);
    carrying(known, step);
    for (bay, pieces) in by_bay {
        way::of_pieces(known, bay, &pieces, step, blocked);
    }
    let pieces = pieces(known, plan, along, step);
    step.tables.push(pieces);
    step.takes("A saw that goes through strands, filler and duct, with water or extraction; two slings for each piece, and a trolley");
    if known.may_burn() {
        step.beware("No hot work, and no saw that throws sparks: what is in the tendon burns, or may. What runs out at a cut is caught: it makes floors slippery and burns");
    }
    if known.is_sheathed() {
        step.beware("Strands slide out of their sheaths when a piece is tipped: both ends of each piece are tied or capped");
    }
    step.hold(
        "Before each cut both sides of it are held, so that no piece falls, swings or slides",
    );
    step.beware("Pieces on the way never block a way out");
}

/// What two people carry by hand, against what one person is asked to.
fn carrying(known: &Known<'_, '_>, step: &mut Step) {
    let Some(carry_kg) = known.project().and_then(|project| project.hand_carry_kg) else { return };
    let limit = known.context.limit(works::CARRY_PERSON);
    let people = (carry_kg / limit.value).ceil();
    let facts = |line: Line| {
        line.with(Fact::given("hand_carry_kg", carry_kg, 0))
            .with(Fact::computed("each_kg", carry_kg / 2.0, 0))
            .with(Fact::computed("people", people, 0))
            .with(Fact::limit("carry_person_kg", limit.value, 0, limit.citation.clone()))
    };
    match people > 2.0 {
        true => step.beware(facts(Line::from("The project states {hand_carry_kg} for two people to carry by hand: {each_kg} each, where {carry_person_kg} are asked of one at most (limit carry_person_kg of the rulebook). So heavy a piece is for {people} people, or for a trolley"))),
        false => step.say(facts(Line::from("Two people carry {hand_carry_kg} by hand, as the project states: {each_kg} each, of {carry_person_kg} at most (limit carry_person_kg of the rulebook)"))),
    }
    step.rests_on(restrand_model::route::Route::root().field("project").field("hand_carry_kg"));
}

/// What comes off an end with the last piece of its free length: told here, as it is met here.
fn stripped(known: &Known<'_, '_>, step: &mut Step) {
    for end in &known.ends {
        let parts = known.context.end_parts(end);
        let names = |wanted: &mut dyn Iterator<Item = &Part>| {
            let names: Vec<String> = wanted.map(restrand_rules::call).collect();
            (!names.is_empty()).then(|| names.join(", "))
        };
        let mut stripped =
            leaving(parts, Exit::StrippedInPlace).filter(|part| is_on_span_side(part));
        if let Some(stripped) = names(&mut stripped) {
            step.say(
                Line::from("Before the last piece beside {end} leaves there are stripped in place, from the span: {stripped}")
                    .with(Fact::text("end", end.call()))
                    .with(Fact::text("stripped", stripped)),
            );
        }
        if let Some(forward) = names(&mut leaving(parts, Exit::Span)) {
            step.say(
                Line::from(
                    "Into the span at {end}, with the last piece of the free length: {forward}",
                )
                .with(Fact::text("end", end.call()))
                .with(Fact::text("forward", forward)),
            );
        }
    }
}

/// What leaves on the last piece beside an end, beside the tendon itself, kg.
fn on_last_piece_kg(known: &Known<'_, '_>, name: EndName) -> f64 {
    let Some(end) = known.end(name) else { return 0.0 };
    let parts = known.context.end_parts(end);
    leaving(parts, Exit::Span).filter_map(|part| part.mass_kg).sum()
}

/// What bounds the length of a piece, each bound once with the bays for which it holds.
fn bounds(known: &Known<'_, '_>, plan: &CutPlan, along: &Along, step: &mut Step) {
    let mut told: Vec<(&Bound, Vec<String>)> = Vec::new();
    for (free_m, bound) in plan.free_m.iter().zip(&plan.bounds) {
        let station_m = along.station_m(f64::midpoint(free_m[0], free_m[1]));
        let bay = known.bay_at(station_m).map(|bay| known.ways.call_bay(bay));
        let Some(bound) = bound else {
            step.lacks(
                "replacement.piece_length_mm",
                bay,
                "how long a piece may be: the free length is shown whole",
            );
            continue;
        };
        match told.iter_mut().find(|(known, _)| *known == bound) {
            Some((_, bays)) if bay.as_ref().is_some_and(|bay| bays.contains(bay)) => {}
            Some((_, bays)) => bays.extend(bay),
            None => told.push((bound, bay.into_iter().collect())),
        }
    }
    for (bound, bays) in told {
        let text = match bays.is_empty() {
            true => format!("A piece is at most {{most_m}} long: {}", bound.why.text),
            false => {
                format!("A piece from {{bays}} is at most {{most_m}} long: {}", bound.why.text)
            }
        };
        let mut line = Line::from(text.as_str());
        line.facts.clone_from(&bound.why.facts);
        step.say(line.with(Fact::text("bays", bays.join(", "))).with(Fact::computed(
            "most_m",
            bound.longest_m,
            2,
        )));
    }
}

/// The longest piece of all.
fn longest(known: &Known<'_, '_>, plan: &CutPlan, along: &Along, step: &mut Step) {
    let pieces = plan.outs.iter().filter(|out| out.between == Between::Piece);
    let Some(out) = pieces.max_by(|one, other| {
        // Cuts are read off in millimetres: of equal ones the first.
        one.length_m().total_cmp(&other.length_m())
    }) else {
        return;
    };
    let mut line = Line::from("The longest piece is {longest_piece_m} long").with(Fact::computed(
        "longest_piece_m",
        out.length_m(),
        3,
    ));
    if let Ok(mass) = &known.mass
        && let Ok(mass_kg) = piece_mass_kg(mass.total_kg_per_m, out.length_m(), 0.0)
    {
        line.text.push_str(" and weighs {longest_piece_kg}");
        line = line.with(Fact::computed("longest_piece_kg", mass_kg, 0));
    }
    let [from_m, to_m] = out.along_m.map(|along_m| along.station_m(along_m));
    if let Some(bay) = known.bay_at(f64::midpoint(from_m, to_m)) {
        line.text.push_str(", in {bay}");
        line = line.with(Fact::text("bay", known.ways.call_bay(bay)));
    }
    step.say(line);
}

/// How steep the steepest free length is: there a piece slides.
fn slope(known: &Known<'_, '_>, plan: &CutPlan, along: &Along, step: &mut Step) {
    let Ok(laid) = known.context.path(known.at) else { return };
    let mut reached_m = 0.0;
    let steep = laid.path.legs.iter().map(|leg| {
        let middle_m = reached_m + leg.length_m / 2.0;
        reached_m += leg.length_m;
        let level = leg.along.x.hypot(leg.along.y);
        (leg.along.z.abs() / level.max(f64::MIN_POSITIVE), middle_m)
    });
    let Some((slope, at_m)) = steep.max_by(|one, other| one.0.total_cmp(&other.0)) else { return };
    // Of a tendon of one stretch the midpoint lies in a free length all the same.
    if plan.free_m.is_empty() {
        return;
    }
    let mut line = Line::from("Pieces fall at cuts and slide on a slope: they are tied before they are cut. The steepest stretch slopes by {slope_percent} %")
        .with(Fact::computed("slope_percent", slope * 100.0, 1));
    if let Some(bay) = known.bay_at(along.station_m(at_m)) {
        line.text.push_str(", in {bay}");
        line = line.with(Fact::text("bay", known.ways.call_bay(bay)));
    }
    step.beware(line);
}

/// The cuts in their order; the first of each free length whose filler may hold force is made as the release is.
fn cuts(known: &Known<'_, '_>, plan: &CutPlan, along: &Along, step: &mut Step) -> Table {
    let is_released = super::release::is_at_anchorage(known);
    let mut seen: Vec<usize> = Vec::new();
    let mut is_first = |station_m: f64| {
        let at_m = along.at_m(station_m);
        let off_m = |[from_m, to_m]: &[f64; 2]| (from_m - at_m).max(at_m - to_m).max(0.0);
        let free = plan.free_m.iter().enumerate();
        let nearest = free.min_by(|one, other| off_m(one.1).total_cmp(&off_m(other.1)));
        nearest.is_some_and(|(free, _)| {
            let is_new = !seen.contains(&free);
            if is_new {
                seen.push(free);
            }
            is_new
        })
    };
    let may_hold = known.may_be_hard() && !known.is_sheathed();
    let firsts: Vec<bool> = plan.cuts.iter().map(|cut| is_first(cut.station_m)).collect();
    if may_hold {
        step.say("A cut that the table has as the release is the first in a free length whose filler may still hold force: made from an opening of its own, clamped and screened, strand by strand. No saw is in a free length before both signs of zero force were seen there");
    }
    let rows = plan.cuts.iter().zip(firsts).enumerate().map(|(index, (cut, is_first))| {
        let is_as_release = may_hold && is_first;
        #[expect(clippy::cast_precision_loss, reason = "no tendon has so many cuts")]
        let number = (index + 1) as f64;
        vec![
            Cell::from(number),
            Cell::from(cut.station_m),
            Cell::from(match cut.purpose {
                // What was let go at an anchorage is cut without force.
                CutPlace::Release if !is_released => "release",
                CutPlace::Release | CutPlace::Piece if is_as_release => "piece, as the release",
                // What was let go at an anchorage is cut without force.
                CutPlace::Release | CutPlace::Piece => "piece",
                CutPlace::Stub if is_as_release => "stub, as the release",
                CutPlace::Stub => "stub",
            }),
            Cell::from(if cut.stated.is_some() { "stated" } else { "planned" }),
        ]
    });
    Table {
        title: "Cuts in their order".to_owned(),
        columns: vec![
            Column { name: "cut", digits: 0 },
            Column { name: "station_m", digits: 3 },
            Column { name: "for", digits: 0 },
            Column { name: "from", digits: 0 },
        ],
        rows: rows.collect(),
    }
}

fn pieces(known: &Known<'_, '_>, plan: &CutPlan, along: &Along, step: &mut Step) -> Table {
    let per_m = step.known(
        known.mass.as_ref().map(|mass| mass.total_kg_per_m).map_err(|field| *field),
        None,
        "the mass of a piece",
    );
    let mut rows = Vec::new();
    for (index, out) in plan.outs.iter().enumerate() {
        if out.between != Between::Piece {
            continue;
        }
        // What sits on the duct beside an anchorage leaves with the piece there.
        let first = if index == 0 { on_last_piece_kg(known, EndName::A) } else { 0.0 };
        let is_last = index + 1 == plan.outs.len();
        let last = if is_last { on_last_piece_kg(known, EndName::B) } else { 0.0 };
        let mass_kg =
            per_m.and_then(|per_m| piece_mass_kg(per_m, out.length_m(), first + last).ok());
        let [from_m, to_m] = out.along_m.map(|along_m| along.station_m(along_m));
        let bay = known.bay_at(f64::midpoint(from_m, to_m)).map(|bay| known.ways.call_bay(bay));
        #[expect(clippy::cast_precision_loss, reason = "no tendon has so many pieces")]
        let number = (rows.len() + 1) as f64;
        rows.push(vec![
            Cell::from(number),
            bay.map_or(Cell::Missing, Cell::from),
            Cell::from(from_m),
            Cell::from(to_m),
            Cell::from(out.length_m()),
            Cell::from(known.widest(out.along_m).ok().map(|widest| widest.diameter_mm)),
            Cell::from(mass_kg),
        ]);
    }
    if rows.iter().any(|row| row[1] == Cell::Missing) {
        step.lacks(known.no_bay(), None, "in which bay a piece is cut, and its way out");
    }
    Table {
        title: "Pieces of the free lengths, up-station".to_owned(),
        columns: vec![
            Column { name: "piece", digits: 0 },
            Column { name: "bay", digits: 0 },
            Column { name: "from_m", digits: 3 },
            Column { name: "to_m", digits: 3 },
            Column { name: "length_m", digits: 3 },
            Column { name: "across_mm", digits: 1 },
            Column { name: "mass_kg", digits: 0 },
        ],
        rows,
    }
}
