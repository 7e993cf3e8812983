//! Ways in and out: the openings that something passes, and what each leaves.

use restrand_finding::Fact;
use restrand_model::route::Route;
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
    /// Other long and round things, as bars, stubs, new parts and sticks of duct.
    Load {
        /// What they are, several of a kind, as in the middle of a sentence.
        what: String,
        /// The bay from which or to which they go.
        bay: String,
        /// Whether they come in, or go out.
        comes_in: bool,
        /// Greatest diameter, mm.
        diameter_mm: f64,
        /// Length of the longest, mm.
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
pub(crate) fn bay_behind(known: &Known<'_>, end: &EndAt<'_>) -> Result<usize, &'static str> {
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
            place: Route::to("openings", opening),
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
    step.tables.push(Table {
        title: format!("Way of the jack from outside to {call}, as it hangs best"),
        columns: COLUMNS.to_vec(),
        rows,
    });
    below(ways, &chain, step);
}

/// The mass of a load against what may be hoisted through an opening in a floor or a roof; `instead` is what else
/// frees it.
fn hoisted_through(
    known: &Known<'_>,
    opening: usize,
    load: &Load,
    instead: &str,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let record = &known.ways.openings[opening];
    if !matches!(record.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof)) {
        return;
    }
    let name = known.ways.call(opening);
    let Some(limit_kg) = record.hoist_limit_kg else {
        return step.lacks("opening.hoist_limit_kg", Some(name), "what may be hoisted through it");
    };
    let Some(mass_kg) = load.mass_kg else { return };
    let share = known.context.limit(works::HOIST_SHARE).value;
    let facts = |line: Line| {
        line.with(Fact::text("opening", name.as_str()))
            .with(Fact::text("what", load.what.as_str()))
            .with(Fact::text("instead", instead))
            .with(Fact::given("mass_kg", mass_kg, 0))
            .with(Fact::given("limit_kg", limit_kg, 0))
            .with(Fact::computed("used_kg", limit_kg * share, 0))
            .with(Fact::computed("needed_kg", mass_kg / share, 0))
            .with(Fact::computed("hoist_share", share, 2))
    };
    if mass_kg > limit_kg {
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(
                "{what} weighs {mass_kg}, and {limit_kg} may be hoisted through {opening}",
            )),
            remedy: facts(Line::from("a hoist for {needed_kg}, {instead}, or another way")),
            place: Route::to("openings", opening).field("hoist_limit_kg"),
        });
    } else if mass_kg > limit_kg * share {
        step.beware(facts(Line::from("Through {opening} {limit_kg} may be hoisted, and {used_kg}, {hoist_share} of it, are used at most: {what} weighs {mass_kg}")));
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
    rests_on(&way.openings, step);
    let names: Vec<String> = way.openings.iter().map(|opening| ways.call(*opening)).collect();
    let facts = |line: Line| {
        line.with(Fact::computed("piece_mm", length_mm, 0))
            .with(Fact::text("bay", bay.as_str()))
            .with(Fact::text("way", names.join(", then ")))
            .with(Fact::text("opening", ways.call(way.binds)))
            .with(Fact::computed("longest_mm", way.longest_mm, 0))
    };
    let fits = way.longest_mm >= length_mm;
    let (place, longest_mm) = (Route::to("openings", way.binds), way.longest_mm);
    if fits {
        let line = facts(Line::from(
            "Pieces from {bay}, up to {piece_mm}, leave by {way}; the way takes {longest_mm}, and {opening} binds",
        ));
        step.say(sills(ways, &way.openings, line));
        in_line(ways, &way.openings, length_mm, step);
        let mass_kg = known.mass.as_ref().ok().map(|mass| mass.total_kg_per_m * length_mm / 1000.0);
        by_hand(known, &format!("the heaviest of the pieces of {bay}"), mass_kg, step);
        below(ways, &way.openings, step);
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

/// Something long and round that is carried.
pub(crate) struct Load {
    /// What it is, several of a kind, as in the middle of a sentence.
    pub(crate) what: String,
    /// Length, mm.
    pub(crate) length_mm: f64,
    /// Greatest diameter, mm.
    pub(crate) diameter_mm: f64,
    /// Mass, where it is known, kg.
    pub(crate) mass_kg: Option<f64>,
}

/// The way of a load to a bay or from it, said in a sentence; what does not pass stands against the plan.
pub(crate) fn carried(
    known: &Known<'_>,
    load: &Load,
    bound: Bound,
    bay: usize,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let ways = &known.ways;
    let own;
    let rods = match &known.rods {
        #[expect(clippy::float_cmp, reason = "the same value of the same record")]
        Ok(rods) if rods.diameter_mm == load.diameter_mm => rods,
        _ => {
            own = RodWays::of(known.context, ways, load.diameter_mm);
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
    rests_on(&way.openings, step);
    step.ways.push(WayTaken {
        what: Carried::Load {
            what: load.what.clone(),
            bay: ways.call_bay(bay),
            comes_in: bound == Bound::In,
            diameter_mm: load.diameter_mm,
            length_mm: load.length_mm,
        },
        openings: way.openings.clone(),
        binds: way.binds,
    });
    let names: Vec<String> = way.openings.iter().map(|opening| ways.call(*opening)).collect();
    let facts = |line: Line| {
        line.with(Fact::text("what", load.what.as_str()))
            .with(Fact::text("what_first", capital(&load.what)))
            .with(Fact::computed("length_mm", load.length_mm, 0))
            .with(Fact::text("bay", ways.call_bay(bay)))
            .with(Fact::text("way", names.join(", then ")))
            .with(Fact::text("opening", ways.call(way.binds)))
            .with(Fact::computed("longest_mm", way.longest_mm, 0))
    };
    if way.longest_mm >= load.length_mm {
        let line = facts(Line::from(match bound {
            Bound::In => {
                "{what_first}, up to {length_mm}, come in to {bay} by {way}; the way takes {longest_mm}, and {opening} binds"
            }
            Bound::Out => {
                "{what_first}, up to {length_mm}, leave {bay} by {way}; the way takes {longest_mm}, and {opening} binds"
            }
        }));
        step.say(sills(ways, &way.openings, line));
        in_line(ways, &way.openings, load.length_mm, step);
        let heaviest = format!("the heaviest of the {}", load.what);
        by_hand(known, &heaviest, load.mass_kg, step);
        let heaviest = Load { what: heaviest, ..*load };
        for opening in &way.openings {
            hoisted_through(known, *opening, &heaviest, "lighter lengths", step, blocked);
        }
        return below(ways, &way.openings, step);
    }
    blocked.push(Blocked {
        step: step.id,
        constraint: facts(Line::from(match bound {
            Bound::In => "{what}, up to {length_mm}, cannot get in to {bay} through opening {opening}, which takes {longest_mm} at most",
            Bound::Out => "{what}, up to {length_mm}, cannot get out of {bay} through opening {opening}, which takes {longest_mm} at most",
        })),
        remedy: facts(Line::from(match (bound, way.longest_mm > 0.0) {
            (_, false) => "list another way, or widen the opening: nothing of this thickness passes it",
            (Bound::In, true) => "lengths of {longest_mm} at most, or another way that is listed",
            (Bound::Out, true) => "sawn to {longest_mm} at most where it lies, or another way that is listed",
        })),
        place: Route::to("openings", way.binds),
    });
}

/// A text with its first letter large.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The sentence with the highest sill on a way, over which all is lifted.
fn sills(ways: &Ways<'_>, chain: &[usize], mut line: Line) -> Line {
    let sills = chain.iter().filter_map(|opening| ways.openings[*opening].sill_mm);
    if let Some(sill_mm) = sills.reduce(f64::max).filter(|sill_mm| *sill_mm > 0.0) {
        line.text.push_str(", over sills of up to {sill_mm}");
        line = line.with(Fact::given("sill_mm", sill_mm, 0));
    }
    line
}

/// Where less is stated clear in line with an opening than what passes it is long.
fn in_line(ways: &Ways<'_>, chain: &[usize], length_mm: f64, step: &mut Step) {
    for opening in chain {
        let record = &ways.openings[*opening];
        if record.plane != Some(OpeningPlane::Wall) {
            continue;
        }
        let clear = [record.clear_before_mm, record.clear_beyond_mm].into_iter().flatten();
        let Some(clear_mm) = clear.reduce(f64::min).filter(|clear_mm| *clear_mm < length_mm) else {
            continue;
        };
        step.beware(
            Line::from("In line with opening {opening} {clear_mm} are stated clear: what is longer passes only over the rest of the bay, and it is looked at before what stands there")
                .with(Fact::text("opening", ways.call(*opening)))
                .with(Fact::given("clear_mm", clear_mm, 0)),
        );
    }
}

/// What is heavier than people carry is told with what carries it instead.
pub(crate) fn by_hand(known: &Known<'_>, what: &str, mass_kg: Option<f64>, step: &mut Step) {
    let most_kg = known.project().and_then(|project| project.hand_carry_kg);
    let (Some(mass_kg), Some(most_kg)) = (mass_kg, most_kg) else { return };
    if mass_kg <= most_kg {
        return;
    }
    step.beware(
        Line::from("Nobody carries {what}: {carried_kg}, and people carry {hand_carry_kg}. From bay to bay it goes on a trolley or rails and over each sill by a hoist or a ramp that is in place before it is free; or it is cut lighter where it lies")
            .with(Fact::text("what", what))
            .with(Fact::computed("carried_kg", mass_kg, 0))
            .with(Fact::given("hand_carry_kg", most_kg, 0)),
    );
}

/// What hangs from hoist points beside a place, on the side of an end, against what they carry.
pub(crate) fn hoisted(
    known: &Known<'_>,
    end: &EndAt<'_>,
    call: &str,
    what: &str,
    mass_kg: f64,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
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
            let facts = |line: Line| {
                facts(line)
                    .with(Fact::text("point", name))
                    .with(Fact::computed("used_kg", used_kg, 0))
                    .with(Fact::given("capacity_kg", capacity_kg, 0))
                    .with(Fact::computed("needed_kg", mass_kg / share, 0))
                    .with(Fact::computed("hoist_share", share, 2))
            };
            if mass_kg <= used_kg {
                step.takes(facts(Line::from("At {end} {what} hangs from {point}: {mass_kg} of {used_kg}, which is {hoist_share} of its {capacity_kg}")));
            } else if mass_kg <= capacity_kg {
                step.beware(facts(Line::from("At {end} {what} weighs {mass_kg}, and {used_kg} are used of {point} at most, {hoist_share} of its {capacity_kg}: it stands on something, or comes in parts")));
            } else {
                blocked.push(Blocked {
                    step: step.id,
                    constraint: facts(Line::from("at {end} {what} weighs {mass_kg}, and {point}, the strongest hoist point there, carries {capacity_kg}")),
                    remedy: facts(Line::from("a hoist point for {needed_kg} at {end}, stated with what it is fixed to; or parts that are lighter")),
                    place: place.route.field("hoist_points"),
                });
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

/// The openings of a way, as what the step rests on.
fn rests_on(chain: &[usize], step: &mut Step) {
    for opening in chain {
        step.rests_on(Route::to("openings", *opening));
    }
}

/// What lies under the floor openings of a way, and that nobody is there.
fn below(ways: &Ways<'_>, chain: &[usize], step: &mut Step) {
    for opening in chain {
        let record = &ways.openings[*opening];
        if record.plane != Some(OpeningPlane::Floor) {
            continue;
        }
        let name = ways.call(*opening);
        let Some(below) = record.below.as_deref() else {
            step.lacks(
                "opening.below",
                Some(name),
                "what lies under it while something hangs there",
            );
            continue;
        };
        let facts = |line: Line| {
            line.with(Fact::text("opening", name.as_str())).with(Fact::text("below", below))
        };
        step.beware(facts(Line::from("Under opening {opening} lies: {below}")));
        let hold = facts(Line::from(
            "While anything hangs at opening {opening}, what lies under it ({below}) is closed off to traffic and people, and somebody watches it",
        ));
        if !step.holds.contains(&hold) {
            step.hold(hold);
        }
    }
}
