//! Ways in and out: the openings that something passes, and what each leaves.

mod hoist;
mod jack;
mod pieces;

pub(crate) use hoist::hoisted;
pub(crate) use jack::of_jack;
pub(crate) use pieces::{LedPiece, of_pieces};

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use restrand_finding::Fact;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, OpeningPlane};
use restrand_rules::EndAt;
use restrand_rules::ends::{Nearest, What};
use restrand_rules::ways::{Fed, Reach, Ways, longest_fed_mm};

use self::hoist::{by_hand, hoisted_through};
use crate::plan::{Blocked, Line, Step};
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

/// The ways of rods of each thickness, searched for once.
#[derive(Debug, Default)]
pub(crate) struct RodBook {
    by: RefCell<BTreeMap<u64, Rc<RodWays>>>,
}

impl RodBook {
    pub(crate) fn of(&self, ways: &Ways<'_>, diameter_mm: f64) -> Rc<RodWays> {
        let mut by = self.by.borrow_mut();
        let rods = by
            .entry(diameter_mm.to_bits())
            .or_insert_with(|| Rc::new(RodWays::of(ways, diameter_mm)));
        Rc::clone(rods)
    }
}

impl RodWays {
    fn of(ways: &Ways<'_>, diameter_mm: f64) -> Self {
        let mut fed = Fed::default();
        let longest_mm: Vec<Option<f64>> = ways
            .doors
            .iter()
            .map(|door| longest_fed_mm(&mut fed, ways, door, diameter_mm).ok())
            .map(|longest| longest.map(|mm| mm.unwrap_or(0.0)))
            .collect();
        Self { reached: ways.widest_by(&longest_mm) }
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
pub(crate) fn bay_behind(known: &Known<'_, '_>, end: &EndAt<'_>) -> Result<usize, &'static str> {
    if known.ways.is_blank() || known.context.schedule.bays.is_empty() {
        return Err("schedule.bays");
    }
    known.ways.behind(known.context, known.at, end)?.ok_or("schedule.bays")
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
    known: &Known<'_, '_>,
    load: &Load,
    bound: Bound,
    bay: usize,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let ways = &known.ways;
    let rods = known.rods(load.diameter_mm);
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
            .with(Fact::computed("across_mm", load.diameter_mm, 1))
            .with(Fact::text("bay", ways.call_bay(bay)))
            .with(Fact::text("way", names.join(", then ")))
            .with(Fact::text("opening", ways.call(way.binds)))
            .with(Fact::computed("longest_mm", way.longest_mm, 0))
    };
    if way.longest_mm >= load.length_mm {
        let line = facts(Line::from(match bound {
            Bound::In => {
                "{what_first}, up to {length_mm} long and {across_mm} across, come in to {bay} by {way}; the way takes {longest_mm} of that width, and {opening} binds"
            }
            Bound::Out => {
                "{what_first}, up to {length_mm} long and {across_mm} across, leave {bay} by {way}; the way takes {longest_mm} of that width, and {opening} binds"
            }
        }));
        step.say(sills(ways, &way.openings, line));
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
            Bound::In => "{what}, up to {length_mm} long and {across_mm} across, cannot get in to {bay} through opening {opening}, which takes {longest_mm} at most",
            Bound::Out => "{what}, up to {length_mm} long and {across_mm} across, cannot get out of {bay} through opening {opening}, which takes {longest_mm} at most",
        })),
        remedy: facts(Line::from(match (bound, way.longest_mm > 0.0) {
            (_, false) => "list another way, or widen the opening: nothing of this width passes it",
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

/// A tendon or cap that stays, as people call it.
pub(crate) fn live_body(known: &Known<'_, '_>, nearest: &Nearest) -> String {
    let tendon = nearest.body.tendon;
    let mark = known
        .context
        .tendons()
        .nth(tendon)
        .map_or_else(|| format!("#{}", tendon + 1), |at| at.mark());
    match nearest.body.what {
        What::Leg(_) => format!("the duct of {mark}, which stays"),
        What::Cap(_) => format!("the cap of {mark}, which stays"),
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
        let hold = facts(Line::from(
            "While anything hangs at opening {opening}, what lies under it ({below}) is closed off to traffic and people, and somebody watches it",
        ));
        if !step.holds.contains(&hold) {
            step.hold(hold);
        }
    }
}
