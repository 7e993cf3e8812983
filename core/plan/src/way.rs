//! Ways in and out: the openings that something passes, and what each leaves.

use restrand_finding::Fact;
use restrand_model::schedule::{EndName, OpeningPlane};
use restrand_rules::EndAt;
use restrand_rules::ways::{Body, Fed, Ways, longest_fed_mm};

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

/// What is carried on a way.
#[derive(Debug, Clone, PartialEq)]
pub enum Carried {
    /// The jack of an end.
    Jack(EndName),
    /// The longest piece of the free length in a bay, by its diameter and length.
    Piece {
        /// The bay.
        bay: String,
        /// Diameter, mm.
        diameter_mm: f64,
        /// Length, mm.
        length_mm: f64,
    },
}

/// The openings that something passes, from outside inward, or from its bay outward.
#[derive(Debug, Clone, PartialEq)]
pub struct WayTaken {
    /// What is carried.
    pub what: Carried,
    /// The openings by their positions in the schedule, in the order in which they are passed.
    pub openings: Vec<usize>,
    /// The opening that leaves least.
    pub binds: usize,
}

/// The bay behind an end, if the schedule lists it.
fn bay_behind(known: &Known<'_>, ways: &Ways<'_>, end: &EndAt<'_>) -> Result<usize, &'static str> {
    if ways.is_blank() || known.context.schedule.bays.is_empty() {
        return Err("schedule.bays");
    }
    let place = end.end.place.as_ref().ok_or("end.place")?;
    let face = end.end.face.ok_or("end.face")?;
    let point = match end.name {
        EndName::A => known.tendon.points.first(),
        EndName::B => known.tendon.points.last(),
    };
    let lateral_m = point.and_then(|point| point.lateral_m);
    ways.bay_at(place.key(), face, lateral_m)?.ok_or("schedule.bays")
}

const COLUMNS: [Column; 4] = [
    Column { name: "opening", digits: 0 },
    Column { name: "in", digits: 0 },
    Column { name: "clear", digits: 0 },
    Column { name: "leaves_mm", digits: 0 },
];

fn plane(plane: Option<OpeningPlane>) -> Cell {
    match plane {
        Some(OpeningPlane::Wall) => Cell::from("wall"),
        Some(OpeningPlane::Floor) => Cell::from("floor"),
        Some(OpeningPlane::Roof) => Cell::from("roof"),
        None => Cell::Missing,
    }
}

/// The clear size of an opening, in the unit in which the schedule writes it.
fn clear(ways: &Ways<'_>, opening: usize) -> Cell {
    let opening = &ways.openings[opening];
    match (opening.diameter_mm, opening.width_mm, opening.height_mm) {
        (Some(diameter), ..) => Cell::from(format!("diameter {diameter} mm")),
        (None, Some(width), Some(height)) => Cell::from(format!("{width} x {height} mm")),
        _ => Cell::Missing,
    }
}

/// The way of a jack to an end.
pub(crate) fn of_jack(
    known: &Known<'_>,
    end: &EndAt<'_>,
    call: &str,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let Some(jack) = known.context.jack(end.end.jack.as_ref()) else { return };
    let ways = Ways::of(known.context);
    let found = bay_behind(known, &ways, end).and_then(|bay| Ok((bay, Body::jack(jack.record)?)));
    let Some((bay, body)) = step.known(found, Some(call), "the jack's way in") else { return };
    let reached = ways.widest(|door| body.spare_mm(&ways, door).ok());
    let Some(reach) = reached[bay] else {
        step.lacks("schedule.openings", Some(call.to_owned()), "the jack's way in");
        return;
    };
    if reach.spare_mm < 0.0 {
        let opening = ways.doors[reach.binds].opening;
        blocked.push(Blocked {
            step: step.id,
            constraint: Line::from("the jack does not get through opening {opening} on the best way to {end}")
                .with(Fact::text("opening", ways.call(opening)))
                .with(Fact::text("end", call)),
            remedy: Line::from("{short_mm} more there, as the jack hangs best, or another jack that is listed for the anchorage")
                .with(Fact::computed("short_mm", -reach.spare_mm, 0)),
            place: restrand_model::route::Route::to("openings", opening),
        });
    }
    let chain = ways.chain(&reached, bay);
    step.ways.push(WayTaken {
        what: Carried::Jack(end.name),
        openings: chain.clone(),
        binds: ways.doors[reach.binds].opening,
    });
    let rows = chain.iter().map(|opening| {
        let door = ways.doors.iter().find(|door| door.opening == *opening);
        let spare = door.and_then(|door| body.spare_mm(&ways, door).ok());
        vec![
            Cell::from(ways.call(*opening)),
            plane(ways.openings[*opening].plane),
            clear(&ways, *opening),
            Cell::from(spare),
        ]
    });
    step.tables.push(Table {
        title: format!("Way of the jack from outside to {call}, in its best attitude"),
        columns: COLUMNS.to_vec(),
        rows: rows.collect(),
    });
    beware_below(&ways, &chain, step);
}

/// The way out of the longest piece of a bay, from the bay in which it lies.
pub(crate) fn of_piece(
    known: &Known<'_>,
    bay: &str,
    length_mm: f64,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let ways = Ways::of(known.context);
    let outer = known
        .context
        .duct(known.tendon.duct.as_ref())
        .and_then(|duct| duct.record.outer_mm)
        .ok_or("duct.outer_mm");
    let Some(outer_mm) = step.known(outer, None, "the way out of a piece") else { return };
    let Some(at) = known.context.position("bays", bay) else { return };
    let mut fed = Fed::default();
    let longest_mm: Vec<Option<f64>> = ways
        .doors
        .iter()
        .map(|door| longest_fed_mm(&mut fed, known.context, &ways, door, outer_mm).ok())
        .map(|longest| longest.map(|mm| mm.unwrap_or(0.0)))
        .collect();
    let reached = ways.widest_by(&longest_mm);
    let Some(reach) = reached[at] else {
        step.lacks("schedule.openings", Some(bay.to_owned()), "the way out of a piece");
        return;
    };
    let mut chain = ways.chain(&reached, at);
    chain.reverse();
    let opening = ways.doors[reach.binds].opening;
    step.ways.push(WayTaken {
        what: Carried::Piece { bay: bay.to_owned(), diameter_mm: outer_mm, length_mm },
        openings: chain.clone(),
        binds: opening,
    });
    let names: Vec<String> = chain.iter().map(|opening| ways.call(*opening)).collect();
    let facts = |line: Line| {
        line.with(Fact::computed("piece_mm", length_mm, 0))
            .with(Fact::text("bay", bay))
            .with(Fact::text("way", names.join(", then ")))
            .with(Fact::text("opening", ways.call(opening)))
            .with(Fact::computed("longest_mm", reach.spare_mm, 0))
    };
    if reach.spare_mm < length_mm {
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the longest piece in {bay}, {piece_mm}, does not get out through opening {opening}: at most {longest_mm} do")),
            remedy: facts(Line::from("cut pieces of {longest_mm} at most there, or list another way")),
            place: restrand_model::route::Route::to("openings", opening),
        });
        return;
    }
    step.say(facts(Line::from("Pieces from {bay}, up to {piece_mm}, leave by {way}; the way takes {longest_mm}, and {opening} binds")));
    beware_below(&ways, &chain, step);
}

/// What lies under the floor openings of a way.
fn beware_below(ways: &Ways<'_>, chain: &[usize], step: &mut Step) {
    for opening in chain {
        let below = ways.openings[*opening].below.as_deref();
        if let (Some(OpeningPlane::Floor), Some(below)) = (ways.openings[*opening].plane, below) {
            step.beware(
                Line::from("Under opening {opening} lies: {below}")
                    .with(Fact::text("opening", ways.call(*opening)))
                    .with(Fact::text("below", below)),
            );
        }
    }
}
