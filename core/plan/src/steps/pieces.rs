//! The free lengths are cut into pieces, from the release outward, and taken out.

use restrand_finding::Fact;
use restrand_mechanics::removal::piece_mass_kg;
use restrand_model::schedule::CutPlace;
use restrand_rules::works::Along;

use crate::cuts::{Between, Bound, CutPlan, Out};
use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;
use crate::way;

pub(super) fn write(known: &Known<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
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
            step.say("The cuts are those that the schedule states, in its order");
        }
        false => step.say("No cuts are stated: from the release outward, pieces of one length between forms, diaphragms and stubs; another order needs only a reason"),
    }
    bounds(known, plan, along, step);
    too_long(known, plan, along, step, blocked);
    for misplaced in &plan.misplaced {
        let facts = |line: Line| {
            line.with(Fact::given("station_m", misplaced.cut.station_m, 2))
                .with(Fact::text("place", misplaced.place.as_str()))
                .with(Fact::computed("clear_mm", misplaced.clear_mm, 0))
                .with(Fact::computed("instead_m", misplaced.instead_m, 3))
        };
        if misplaced.clear_mm >= 0.0 {
            step.beware(facts(Line::from("The cut at station {station_m} is only {clear_mm} from {place}: at {instead_m} a saw has its room")));
            continue;
        }
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the cut at station {station_m} lies inside {place}")),
            remedy: facts(Line::from("cut at station {instead_m}")),
            place: misplaced.cut.stated.clone().unwrap_or_else(|| known.at.route.field("cuts")),
        });
    }
    step.tables.push(cuts(plan, super::release::is_at_anchorage(known)));
    // The longest piece of each bay, in the order of the bays along the tendon.
    let mut by_bay: Vec<(usize, f64)> = Vec::new();
    for out in plan.outs.iter().filter(|out| out.between == Between::Piece) {
        let [from_m, to_m] = out.along_m.map(|along_m| along.station_m(along_m));
        let Some(bay) = known.bay_at(f64::midpoint(from_m, to_m)) else { continue };
        let length_mm = out.length_m() * 1000.0;
        match by_bay.iter_mut().find(|(known, _)| *known == bay) {
            Some((_, longest_mm)) => *longest_mm = longest_mm.max(length_mm),
            None => by_bay.push((bay, length_mm)),
        }
    }
    longest(known, plan, along, step);
    slope(known, plan, along, step);
    for (bay, length_mm) in by_bay {
        way::of_piece(known, bay, length_mm, step, blocked);
    }
    let pieces = pieces(known, plan, along, step);
    step.tables.push(pieces);
    step.takes("A saw that goes through strands, filler and duct, with water or extraction; two slings for each piece, and a trolley");
    if known.is_sheathed() {
        step.beware("Strands slide out of their sheaths when a piece is tipped: both ends of each piece are tied or capped");
    }
    step.hold(
        "Before each cut both sides of it are held, so that no piece falls, swings or slides",
    );
    step.beware("Pieces on the way never block a way out");
}

/// What bounds the length of a piece, each bound once with the bays for which it holds.
fn bounds(known: &Known<'_>, plan: &CutPlan, along: &Along, step: &mut Step) {
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

/// Pieces that are longer than what bounds them, where it is no opening: those are told with the way.
fn too_long(
    known: &Known<'_>,
    plan: &CutPlan,
    along: &Along,
    step: &Step,
    blocked: &mut Vec<Blocked>,
) {
    for (free_m, bound) in plan.free_m.iter().zip(&plan.bounds) {
        let Some(bound) = bound.as_ref().filter(|bound| !bound.is_way) else { continue };
        let within = |out: &&Out| {
            let middle_m = f64::midpoint(out.along_m[0], out.along_m[1]);
            out.between == Between::Piece && (free_m[0]..=free_m[1]).contains(&middle_m)
        };
        let longest = plan.outs.iter().filter(within);
        let longest = longest.max_by(|one, other| one.length_m().total_cmp(&other.length_m()));
        let Some(longest) = longest.filter(|out| out.length_m() > bound.longest_m + 0.01) else {
            continue;
        };
        let cuts = (longest.length_m() / bound.longest_m).ceil() - 1.0;
        let facts = |line: Line| {
            let mut line = line
                .with(Fact::computed("piece_m", longest.length_m(), 2))
                .with(Fact::computed("most_m", bound.longest_m, 2))
                .with(Fact::computed("from_m", along.station_m(longest.along_m[0]), 2))
                .with(Fact::computed("to_m", along.station_m(longest.along_m[1]), 2))
                .with(Fact::computed("further_cuts", cuts, 0));
            line.facts.extend(bound.why.facts.iter().cloned());
            line
        };
        let constraint = format!(
            "the cuts leave a piece of {{piece_m}} from station {{from_m}} to {{to_m}}, longer than the {{most_m}} that it may be: {}",
            bound.why.text
        );
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(constraint.as_str())),
            remedy: facts(Line::from(
                "{further_cuts} more cuts between these stations, or pieces as long as that, with what carries them",
            )),
            place: known.at.route.field("cuts"),
        });
    }
}

/// The longest piece of all.
fn longest(known: &Known<'_>, plan: &CutPlan, along: &Along, step: &mut Step) {
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
fn slope(known: &Known<'_>, plan: &CutPlan, along: &Along, step: &mut Step) {
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

fn cuts(plan: &CutPlan, is_released: bool) -> Table {
    let rows = plan.cuts.iter().enumerate().map(|(index, cut)| {
        #[expect(clippy::cast_precision_loss, reason = "no tendon has so many cuts")]
        let number = (index + 1) as f64;
        vec![
            Cell::from(number),
            Cell::from(cut.station_m),
            Cell::from(match cut.purpose {
                // What was let go at an anchorage is cut without force.
                CutPlace::Release if is_released => "piece",
                CutPlace::Release => "release",
                CutPlace::Piece => "piece",
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

fn pieces(known: &Known<'_>, plan: &CutPlan, along: &Along, step: &mut Step) -> Table {
    let per_m = step.known(
        known.mass.as_ref().map(|mass| mass.total_kg_per_m).map_err(|field| *field),
        None,
        "the mass of a piece",
    );
    let mut rows = Vec::new();
    for out in plan.outs.iter().filter(|out| out.between == Between::Piece) {
        let mass_kg = per_m.and_then(|per_m| piece_mass_kg(per_m, out.length_m(), 0.0).ok());
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
            Cell::from(mass_kg),
        ]);
    }
    if rows.iter().any(|row| row[1] == Cell::Missing) {
        // Bays that are listed lie nowhere without their ends.
        let field = match known.context.schedule.bays.is_empty() {
            true => "schedule.bays",
            false => "bay.from_m",
        };
        step.lacks(field, None, "in which bay a piece is cut, and its way out");
    }
    Table {
        title: "Pieces of the free lengths, up-station".to_owned(),
        columns: vec![
            Column { name: "piece", digits: 0 },
            Column { name: "bay", digits: 0 },
            Column { name: "from_m", digits: 3 },
            Column { name: "to_m", digits: 3 },
            Column { name: "length_m", digits: 3 },
            Column { name: "mass_kg", digits: 0 },
        ],
        rows,
    }
}
