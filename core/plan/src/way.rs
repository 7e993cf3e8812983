//! Ways in and out: the openings that something passes, and what each leaves.

use restrand_finding::Fact;
use restrand_model::schedule::{EndName, FaceName, OpeningPlane};
use restrand_rules::ways::{Body, Fed, Reach, Ways, longest_fed_mm};
use restrand_rules::{Context, EndAt, works};

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

/// The ways of rods of one thickness between the outside and each bay.
#[derive(Debug, Clone)]
pub(crate) struct RodWays {
    pub(crate) diameter_mm: f64,
    reached: Vec<Option<Reach>>,
}

/// The way of a rod between the outside and a bay.
pub(crate) struct RodWay {
    /// The openings, from outside inward.
    pub(crate) openings: Vec<usize>,
    /// The longest that passes them all, mm.
    pub(crate) longest_mm: f64,
    /// The opening that binds.
    pub(crate) binds: usize,
}

impl RodWays {
    pub(crate) fn of(context: &Context<'_>, ways: &Ways<'_>, diameter_mm: f64) -> Self {
        let mut fed = Fed::default();
        let longest_mm: Vec<Option<f64>> = ways
            .doors
            .iter()
            .map(|door| longest_fed_mm(&mut fed, context, ways, door, diameter_mm).ok())
            .map(|longest| longest.map(|mm| mm.unwrap_or(0.0)))
            .collect();
        Self { diameter_mm, reached: ways.widest_by(&longest_mm) }
    }

    /// The way to a bay; nothing where none is known.
    pub(crate) fn to(&self, ways: &Ways<'_>, bay: usize) -> Option<RodWay> {
        let reach = self.reached.get(bay).copied().flatten()?;
        Some(RodWay {
            openings: ways.chain(&self.reached, bay),
            longest_mm: reach.spare_mm,
            binds: ways.doors[reach.binds].opening,
        })
    }
}

/// The bay behind an end, if the schedule lists it.
fn bay_behind(known: &Known<'_>, end: &EndAt<'_>) -> Result<usize, &'static str> {
    if known.ways.is_blank() || known.context.schedule.bays.is_empty() {
        return Err("schedule.bays");
    }
    known.ways.behind(known.context, known.at, end)?.ok_or("schedule.bays")
}

const COLUMNS: [Column; 7] = [
    Column { name: "opening", digits: 0 },
    Column { name: "in", digits: 0 },
    Column { name: "clear_width_mm", digits: 0 },
    Column { name: "clear_height_mm", digits: 0 },
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
    known: &Known<'_>,
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
                hangs.map_or(Cell::Missing, Cell::from),
                Cell::from(passing.map(|passing| passing.spare_mm)),
                if hoisted { Cell::from(record.hoist_limit_kg) } else { Cell::Blank },
            ]
        })
        .collect();
    for opening in &chain {
        hoisted_through(known, *opening, jack.record.mass_kg, call, step, blocked);
    }
    step.tables.push(Table {
        title: format!("Way of the jack from outside to {call}, as it hangs best"),
        columns: COLUMNS.to_vec(),
        rows,
    });
    beware_below(ways, &chain, step);
}

/// The jack's mass against what may be hoisted through an opening in a floor or a roof.
fn hoisted_through(
    known: &Known<'_>,
    opening: usize,
    mass_kg: Option<f64>,
    call: &str,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let record = &known.ways.openings[opening];
    if !matches!(record.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof)) {
        return;
    }
    let name = known.ways.call(opening);
    let Some(limit_kg) = record.hoist_limit_kg else {
        return step.lacks(
            "opening.hoist_limit_kg",
            Some(name),
            "whether the jack can be hoisted through it",
        );
    };
    let Some(mass_kg) = mass_kg else { return };
    let share = known.context.limit(works::HOIST_SHARE).value;
    let facts = |line: Line| {
        line.with(Fact::text("opening", name.as_str()))
            .with(Fact::text("end", call))
            .with(Fact::given("mass_kg", mass_kg, 0))
            .with(Fact::given("limit_kg", limit_kg, 0))
            .with(Fact::computed("used_kg", limit_kg * share, 0))
            .with(Fact::computed("needed_kg", mass_kg / share, 0))
            .with(Fact::computed("hoist_share", share, 2))
    };
    if mass_kg > limit_kg {
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the jack for {end} weighs {mass_kg}, and {limit_kg} may be hoisted through {opening}")),
            remedy: facts(Line::from("a hoist for {needed_kg}, a lighter jack that is listed for the anchorage, or another way in")),
            place: restrand_model::route::Route::to("openings", opening).field("hoist_limit_kg"),
        });
    } else if mass_kg > limit_kg * share {
        step.beware(facts(Line::from("The jack for {end} weighs {mass_kg}; through {opening} {limit_kg} may be hoisted, and {used_kg}, {hoist_share} of it, are used at most")));
    }
}

/// The way out of the longest piece of a bay, from the bay in which it lies.
pub(crate) fn of_piece(
    known: &Known<'_>,
    at: usize,
    length_mm: f64,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let ways = &known.ways;
    let bay = ways.call_bay(at);
    let rods = known.rods.as_ref().map_err(|field| *field);
    let Some(rods) = step.known(rods, None, "the way out of a piece") else { return };
    let Some(mut way) = rods.to(ways, at) else {
        step.lacks("schedule.openings", Some(bay), "the way out of a piece");
        return;
    };
    way.openings.reverse();
    let names: Vec<String> = way.openings.iter().map(|opening| ways.call(*opening)).collect();
    let facts = |line: Line| {
        line.with(Fact::computed("piece_mm", length_mm, 0))
            .with(Fact::text("bay", bay.as_str()))
            .with(Fact::text("way", names.join(", then ")))
            .with(Fact::text("opening", ways.call(way.binds)))
            .with(Fact::computed("longest_mm", way.longest_mm, 0))
    };
    let fits = way.longest_mm >= length_mm;
    let (place, longest_mm) =
        (restrand_model::route::Route::to("openings", way.binds), way.longest_mm);
    if fits {
        step.say(facts(Line::from("Pieces from {bay}, up to {piece_mm}, leave by {way}; the way takes {longest_mm}, and {opening} binds")));
        beware_below(ways, &way.openings, step);
    } else {
        let remedy = match longest_mm > 0.0 {
            true => "cut pieces of {longest_mm} at most there, or list another way",
            false => {
                "list another way out of {bay}, or widen the opening: nothing of this thickness passes it"
            }
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from("the longest piece in {bay}, {piece_mm}, does not get out through opening {opening}: at most {longest_mm} do")),
            remedy: facts(Line::from(remedy)),
            place,
        });
    }
    step.ways.push(WayTaken {
        what: Carried::Piece { bay, diameter_mm: rods.diameter_mm, length_mm },
        openings: way.openings,
        binds: way.binds,
    });
}

/// Whether something comes in or goes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bound {
    In,
    Out,
}

/// The way of something long and round to a bay or from it, said in a sentence; what does not pass stands against the
/// plan.
pub(crate) fn carried(
    known: &Known<'_>,
    what: &str,
    bound: Bound,
    bay: usize,
    [length_mm, diameter_mm]: [f64; 2],
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let ways = &known.ways;
    let own;
    let rods = match &known.rods {
        #[expect(clippy::float_cmp, reason = "the same value of the same record")]
        Ok(rods) if rods.diameter_mm == diameter_mm => rods,
        _ => {
            own = RodWays::of(known.context, ways, diameter_mm);
            &own
        }
    };
    let Some(mut way) = rods.to(ways, bay) else {
        let blocks = match bound {
            Bound::In => "the way in of new parts",
            Bound::Out => "the way out of stubs and bars",
        };
        step.lacks("schedule.openings", Some(ways.call_bay(bay)), blocks);
        return;
    };
    if bound == Bound::Out {
        way.openings.reverse();
    }
    let names: Vec<String> = way.openings.iter().map(|opening| ways.call(*opening)).collect();
    let facts = |line: Line| {
        line.with(Fact::text("what", what))
            .with(Fact::computed("length_mm", length_mm, 0))
            .with(Fact::text("bay", ways.call_bay(bay)))
            .with(Fact::text("way", names.join(", then ")))
            .with(Fact::text("opening", ways.call(way.binds)))
            .with(Fact::computed("longest_mm", way.longest_mm, 0))
    };
    if way.longest_mm >= length_mm {
        step.say(facts(Line::from(match bound {
            Bound::In => "{what}, up to {length_mm}, come in to {bay} by {way}; the way takes {longest_mm}, and {opening} binds",
            Bound::Out => "{what}, up to {length_mm}, leave {bay} by {way}; the way takes {longest_mm}, and {opening} binds",
        })));
        return beware_below(ways, &way.openings, step);
    }
    blocked.push(Blocked {
        step: step.id,
        constraint: facts(Line::from(match bound {
            Bound::In => "{what}, up to {length_mm}, do not get in to {bay} through opening {opening}: at most {longest_mm} do",
            Bound::Out => "{what}, up to {length_mm}, do not get out of {bay} through opening {opening}: at most {longest_mm} do",
        })),
        remedy: facts(Line::from(match bound {
            Bound::In => "bring them in lengths of {longest_mm} at most, or list another way",
            Bound::Out => "saw them to {longest_mm} at most where they lie, or list another way",
        })),
        place: restrand_model::route::Route::to("openings", way.binds),
    });
}

/// What hangs from hoist points beside a place, on the side of an end, against what they carry.
pub(crate) fn hoisted(
    known: &Known<'_>,
    end: &EndAt<'_>,
    call: &str,
    what: &str,
    mass_kg: f64,
    step: &mut Step,
) {
    let Some(place) = known.context.place(end.end.place.as_ref()) else { return };
    let is_behind = |station_m: f64| match (end.end.face, place.record.station_m) {
        (Some(FaceName::Up), Some(place_m)) => station_m >= place_m,
        (Some(FaceName::Down), Some(place_m)) => station_m <= place_m,
        _ => true,
    };
    let points = place.record.hoist_points.iter();
    let behind: Vec<_> = points.filter(|point| point.station_m.is_none_or(is_behind)).collect();
    let share = known.context.limit(works::HOIST_SHARE).value;
    let most = behind.iter().filter_map(|point| Some((point, point.capacity_kg?)));
    let most = most.max_by(|(_, one), (_, other)| one.total_cmp(other));
    let facts = |line: Line| {
        line.with(Fact::text("end", call))
            .with(Fact::text("what", what))
            .with(Fact::computed("mass_kg", mass_kg, 0))
    };
    match most {
        Some((point, capacity_kg)) => {
            let name = point.id.as_deref().unwrap_or("the hoist point");
            let used_kg = capacity_kg * share;
            let line = facts(match mass_kg <= used_kg {
                true => Line::from("{what} hangs from {point}: {mass_kg} of {used_kg}, which is {hoist_share} of its {capacity_kg}"),
                false => Line::from("At {end} {point} does not carry {what}: {mass_kg}, and {used_kg} are {hoist_share} of its {capacity_kg}. It stands on something, or comes in parts"),
            })
            .with(Fact::text("point", name))
            .with(Fact::computed("used_kg", used_kg, 0))
            .with(Fact::given("capacity_kg", capacity_kg, 0))
            .with(Fact::computed("hoist_share", share, 2));
            if mass_kg <= used_kg {
                step.takes(line);
            } else {
                step.beware(line);
            }
            step.rests_on(place.route.field("hoist_points"));
        }
        None => step.lacks(
            match behind.is_empty() {
                true => "place.hoist_points",
                false => "hoist_point.capacity_kg",
            },
            Some(call.to_owned()),
            "what carries plates, bars and jack there",
        ),
    }
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
