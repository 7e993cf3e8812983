//! The way of a jack to an end, as it hangs best in each opening.

use restrand_finding::Fact;
use restrand_model::route::Route;
use restrand_model::schedule::OpeningPlane;
use restrand_rules::EndAt;
use restrand_rules::ways::{Body, Spares, Ways};

use super::hoist::hoisted_through;
use super::{Carried, Load, WayTaken, bay_behind, below, rests_on, sills};
use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

const COLUMNS: [Column; 8] = [
    Column { name: "opening", digits: 0 },
    Column { name: "in", digits: 0 },
    Column { name: "clear_width_mm", digits: 0 },
    Column { name: "clear_height_mm", digits: 0 },
    Column { name: "sill_mm", digits: 0 },
    Column { name: "hangs", digits: 0 },
    Column { name: "to_spare_mm", digits: 0 },
    Column { name: "may_be_hoisted_kg", digits: 0 },
];

fn plane(plane: Option<OpeningPlane>) -> Cell {
    match plane {
        Some(OpeningPlane::Wall) => Cell::from("wall"),
        Some(OpeningPlane::Floor) => Cell::from("floor"),
        Some(OpeningPlane::Roof) => Cell::from("roof"),
        None => Cell::Missing,
    }
}

/// The clear width and height of an opening; of a round one its diameter both ways.
fn clear(ways: &Ways<'_>, opening: usize) -> [Cell; 2] {
    let opening = &ways.openings[opening];
    let [width_mm, height_mm] = match opening.diameter_mm {
        Some(diameter_mm) => [Some(diameter_mm); 2],
        None => [opening.width_mm, opening.height_mm],
    };
    [Cell::from(width_mm), Cell::from(height_mm)]
}

/// The way of a jack to an end.
pub(crate) fn of_jack(
    known: &Known<'_, '_>,
    end: &EndAt<'_>,
    call: &str,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let Some(jack) = known.context.jack(end.end.jack.as_ref()) else { return };
    let ways = &known.ways;
    let found = bay_behind(known, end).and_then(|bay| Ok((bay, Body::jack(jack.record)?)));
    let Some((bay, body)) = step.known(found, Some(call), "the jack's way in") else { return };
    let reached = ways.widest(|door| body.spare_mm(ways, door).ok());
    let Some(reach) = reached[bay] else {
        step.lacks("schedule.openings", Some(call.to_owned()), "the jack's way in");
        return;
    };
    if reach.spare_mm < 0.0 {
        let door = &ways.doors[reach.binds];
        let spares = body.passing(ways, door).ok().map(|passing| passing.spares);
        let name = ways.call(door.opening);
        let more = |line: Line| {
            let line = line.with(Fact::text("opening", name.as_str()));
            match spares {
                Some(spares) => lacking(&spares, line),
                None => line,
            }
            .with(Fact::computed("short_mm", -reach.spare_mm, 1))
        };
        let mut remedy = more(Line::from(""));
        if remedy.text.is_empty() {
            remedy.text.push_str("{short_mm} more");
        }
        remedy.text.push_str(
            " at {opening}, as the jack hangs best, or another jack that is listed for the anchorage",
        );
        blocked.push(Blocked {
            step: step.id,
            constraint: Line::from(
                "the jack does not get through opening {opening} on the best way to {end}",
            )
            .with(Fact::text("opening", name.as_str()))
            .with(Fact::text("end", call)),
            remedy,
            place: Route::to("openings", door.opening),
        });
    } else if let Some(more_mm) =
        body.too_long_mm(ways.length_mm(known.context, bay), &ways.bays[bay])
    {
        let facts = |line: Line| {
            line.with(Fact::text("bay", ways.call_bay(bay)))
                .with(Fact::text("end", call))
                .with(Fact::computed("more_mm", more_mm, 1))
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the jack for {end} neither lies nor stands in bay {bay}: it is {more_mm} too long for it")),
            remedy: Line::from("another jack that is listed for the anchorage, at least so much shorter"),
            place: Route::to("bays", bay),
        });
    }
    let chain = ways.chain(&reached, bay);
    rests_on(&chain, step);
    step.ways.push(WayTaken {
        what: Carried::Jack(end.name),
        openings: chain.clone(),
        binds: ways.doors[reach.binds].opening,
    });
    let rows: Vec<Vec<Cell>> = chain
        .iter()
        .map(|opening| {
            let record = &ways.openings[*opening];
            let door = ways.doors.iter().find(|door| door.opening == *opening);
            let passing = door.and_then(|door| body.passing(ways, door).ok());
            let hangs = passing.map(|passing| match (passing.is_upright, passing.is_turned) {
                (true, false) => "upright",
                (true, true) => "upright, turned in the opening",
                (false, false) => "level",
                (false, true) => "level, turned in the opening",
            });
            let hoisted = matches!(record.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof));
            let [width, height] = clear(ways, *opening);
            vec![
                Cell::from(ways.call(*opening)),
                plane(record.plane),
                width,
                height,
                // Through a floor or a roof nothing is lifted over a sill.
                if hoisted { Cell::Blank } else { Cell::from(record.sill_mm) },
                hangs.map_or(Cell::Missing, Cell::from),
                Cell::from(passing.map(|passing| passing.spare_mm)),
                if hoisted { Cell::from(record.hoist_limit_kg) } else { Cell::Blank },
            ]
        })
        .collect();
    let load = Load {
        what: format!("the jack for {call}"),
        length_mm: 0.0,
        diameter_mm: 0.0,
        mass_kg: jack.record.mass_kg,
    };
    for opening in &chain {
        let instead = "a lighter jack that is listed for the anchorage";
        hoisted_through(known, *opening, &load, instead, step, blocked);
    }
    let names: Vec<String> = chain.iter().map(|opening| ways.call(*opening)).collect();
    let line = Line::from("It comes to {end} by {way}")
        .with(Fact::text("end", call))
        .with(Fact::text("way", names.join(", then ")));
    step.say(sills(ways, &chain, line));
    step.tables.push(Table {
        title: format!("Way of the jack from outside to {call}, as it hangs best"),
        columns: COLUMNS.to_vec(),
        rows,
    });
    below(ways, &chain, step);
}

/// What an opening and the room beside it lack in each direction.
fn lacking(spares: &Spares, mut line: Line) -> Line {
    let all = [
        ("wider_mm", "{wider_mm} more width", Some(spares.width_mm)),
        ("higher_mm", "{higher_mm} more height", spares.height_mm),
        ("lift_mm", "{lift_mm} more between sill and ceiling", spares.lift_mm),
        ("above_mm", "{above_mm} more height of the room over it", spares.above_mm),
        ("in_line_mm", "{in_line_mm} more clear length in line with it", spares.in_line_mm),
    ];
    for (name, words, spare_mm) in all {
        let Some(spare_mm) = spare_mm.filter(|spare_mm| *spare_mm < 0.0) else { continue };
        line.text.push_str(if line.text.is_empty() { "" } else { " and " });
        line.text.push_str(words);
        line = line.with(Fact::computed(name, -spare_mm, 1));
    }
    line
}
