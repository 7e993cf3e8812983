//! The free lengths are cut into pieces, from the release outward, and taken out.

use restrand_finding::Fact;
use restrand_mechanics::removal::piece_mass_kg;
use restrand_model::schedule::CutPlace;
use restrand_rules::ways::extent_m;
use restrand_rules::works::Along;

use crate::cuts::{Between, CutPlan};
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
        true => step.say("The cuts are those that the schedule states, in its order"),
        false => step.say("No cuts are stated: from the release outward, pieces of one length between forms, diaphragms and stubs; another order needs only a reason"),
    }
    match &plan.bound {
        Some((longest_m, why)) => {
            let mut line =
                Line::from(format!("A piece is at most {{longest_m}} long: {}", why.text).as_str());
            line.facts.clone_from(&why.facts);
            step.say(line.with(Fact::computed("longest_m", *longest_m, 2)));
        }
        None => step.lacks(
            "replacement.piece_length_mm",
            None,
            "how long a piece may be: the free lengths are shown whole",
        ),
    }
    let longest_m = plan.longest_m();
    if let Some((most_m, _)) = &plan.bound
        && longest_m > most_m + 0.01
    {
        blocked.push(Blocked {
            step: step.id,
            constraint: Line::from("the stated cuts leave a piece of {piece_m}, longer than the {longest_m} that are allowed")
                .with(Fact::computed("piece_m", longest_m, 2))
                .with(Fact::computed("longest_m", *most_m, 2)),
            remedy: Line::from("state a further cut in that piece, or allow longer pieces"),
            place: known.at.route.field("cuts"),
        });
    }
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
    step.tables.push(cuts(plan));
    // The longest piece of each bay, in the order of the bays along the tendon.
    let mut by_bay: Vec<(String, f64)> = Vec::new();
    for out in plan.outs.iter().filter(|out| out.between == Between::Piece) {
        let [from_m, to_m] = out.along_m.map(|along_m| along.station_m(along_m));
        let Some(bay) = bay(known, f64::midpoint(from_m, to_m)) else { continue };
        let length_mm = out.length_m() * 1000.0;
        match by_bay.iter_mut().find(|(known, _)| *known == bay) {
            Some((_, longest_mm)) => *longest_mm = longest_mm.max(length_mm),
            None => by_bay.push((bay, length_mm)),
        }
    }
    for (bay, length_mm) in by_bay {
        way::of_piece(known, &bay, length_mm, step, blocked);
    }
    let pieces = pieces(known, plan, along, step);
    step.tables.push(pieces);
    step.hold(
        "Before each cut both sides of it are held, so that no piece falls, swings or slides",
    );
    step.beware("Pieces fall at cuts; on a slope they slide: they are tied before they are cut");
    step.beware("Pieces on the way never block a way out");
}

fn cuts(plan: &CutPlan) -> Table {
    let rows = plan.cuts.iter().enumerate().map(|(index, cut)| {
        #[expect(clippy::cast_precision_loss, reason = "no tendon has so many cuts")]
        let number = (index + 1) as f64;
        vec![
            Cell::from(number),
            Cell::from(cut.station_m),
            Cell::from(match cut.purpose {
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
        let bay = bay(known, f64::midpoint(from_m, to_m));
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

/// The bay in which a station lies.
fn bay(known: &Known<'_>, station_m: f64) -> Option<String> {
    let bay = known.context.schedule.bays.iter().find(|bay| {
        let [Some(from_m), Some(to_m)] = extent_m(known.context, bay) else { return false };
        (from_m.min(to_m)..=from_m.max(to_m)).contains(&station_m)
    });
    bay.and_then(|bay| bay.id.as_deref()).map(str::to_owned)
}
