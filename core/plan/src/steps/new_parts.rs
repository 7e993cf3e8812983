//! What comes in new: plates, trumpets, pipes, duct, seals.

use restrand_finding::Fact;
use restrand_mechanics::removal::pieces;
use restrand_model::schedule::{EndName, Exit, Part, Permanence, Role};

use restrand_rules::EndAt;
use restrand_rules::ends::Clear;

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;
use crate::way;

pub(super) fn write(known: &Known<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let margin_mm = known.limit("removal_margin_mm").map(|limit| limit.value);
    let mut rows = Vec::new();
    for end in &known.ends {
        let call = end.call();
        let mut longest: Option<(String, [f64; 2])> = None;
        let mut heaviest_kg = 0.0_f64;
        let behind = known.behind(end, step);
        if behind.is_none() {
            step.lacks(
                "removal_space.behind_mm",
                Some(call.clone()),
                "whether new parts can be brought in from behind",
            );
        }
        for resolved in known.context.end_parts(end) {
            let part = resolved.part.as_ref();
            let Some(doubt) = ordered(known, part, &call, step) else { continue };
            let length_mm = part.from_mm.zip(part.to_mm).map(|(one, other)| (one - other).abs());
            let outer_mm = greatest_outer_mm(part);
            let from = match part.exit {
                Some(Exit::Rear) => "from behind",
                Some(Exit::Span) => "from the span",
                Some(Exit::StrippedInPlace) => "fitted in place",
                None => {
                    step.lacks("part.exit", Some(call.clone()), "how a new part comes in");
                    "not stated"
                }
            };
            let name = restrand_rules::call(part);
            if let (Some(Exit::Rear), Some(length_mm), Some(outer_mm)) =
                (part.exit, length_mm, outer_mm)
                && longest.as_ref().is_none_or(|(_, [so_far_mm, _])| length_mm > *so_far_mm)
            {
                longest = Some((name.clone(), [length_mm, outer_mm]));
            }
            if let (Some(Exit::Rear), Some(length_mm), Some(behind), Some(margin_mm)) =
                (part.exit, length_mm, behind, margin_mm)
                && length_mm + margin_mm > behind.mm
            {
                let facts = |line: Line| {
                    line.with(Fact::text("part", name.as_str()))
                        .with(Fact::text("end", call.as_str()))
                        .with(Fact::computed("length_mm", length_mm, 0))
                        .with(Fact::given("margin_mm", margin_mm, 0))
                        .with(behind.fact("behind_mm", 0))
                        .with(Fact::computed("more_mm", length_mm + margin_mm - behind.mm, 0))
                };
                if length_mm > behind.mm {
                    blocked.push(Blocked {
                        step: step.id,
                        constraint: facts(Line::from("the new {part} of {end} is {length_mm} long, and does not go into the {behind_mm} behind the bearing plate")),
                        remedy: facts(Line::from("{more_mm} more room behind the bearing plate, or the part in lengths that are joined where they can be looked at; ask the anchorage's supplier")),
                        place: behind.route(end, "behind_mm"),
                    });
                } else {
                    step.beware(facts(Line::from("The new {part} of {end}, {length_mm} long, has less than {margin_mm} to spare behind the bearing plate")));
                }
            }
            heaviest_kg = heaviest_kg
                .max(part.mass_kg.filter(|_| part.exit == Some(Exit::Rear)).unwrap_or(0.0));
            rows.push(row(known, &call, part, doubt, from));
        }
        joined(known, end, &call, behind.zip(margin_mm), step);
        let Some((name, [length_mm, diameter_mm])) = longest else { continue };
        let bay = way::bay_behind(known, end);
        if let Some(bay) = step.known(bay, Some(&call), "the way in of new parts") {
            let what = format!("parts for {call} from behind, of which {name} is the longest");
            let mass_kg = Some(heaviest_kg).filter(|mass_kg| *mass_kg > 0.0);
            let load = way::Load { what, length_mm, diameter_mm, mass_kg };
            way::carried(known, &load, way::Bound::In, bay, step, blocked);
        }
    }
    for (index, deviator) in known.tendon.deviators.iter().enumerate() {
        let route = known.at.route.field("deviators").item(index);
        let place = deviator.place.as_ref().map_or("a deviator", |place| place.key());
        for resolved in known.context.deviator_parts(deviator, &route) {
            let part = resolved.part.as_ref();
            // The duct that runs through a form is a length of the new duct.
            if part.role == Some(Role::Duct) {
                continue;
            }
            if let Some(doubt) = ordered(known, part, place, step) {
                rows.push(row(known, place, part, doubt, "beside the form"));
            }
        }
    }
    if rows.is_empty() {
        step.lacks("anchorage.parts", None, "which parts are to be ordered");
    } else {
        step.tables.push(Table {
            title: "Parts to order for anchorages and forms".to_owned(),
            columns: vec![
                Column { name: "at", digits: 0 },
                Column { name: "part", digits: 0 },
                Column { name: "count", digits: 0 },
                Column { name: "length_mm", digits: 0 },
                Column { name: "greatest_outer_mm", digits: 1 },
                Column { name: "inner_rear_mm", digits: 1 },
                Column { name: "inner_span_mm", digits: 1 },
                Column { name: "mass_kg", digits: 1 },
                Column { name: "in_doubt", digits: 0 },
                Column { name: "comes_in", digits: 0 },
            ],
            rows,
        });
    }
    types(known, step);
    duct(known, step, blocked);
    step.takes("For the joints of the duct the machine or sockets that its material asks for, and room for them beside each joint; slings for the parts that go in from behind");
    step.say("New wedges and seals are used throughout; none is taken from the old tendon");
    step.say("Inlets, vents and drains sit on the replaceable skin only; the gap to what is cast in stays empty and drains");
    step.hold("Seals at every mouth are in, and the annulus is shown to be empty and to drain");
}

/// Trumpet and pipe that meet end to end, and the room that they take where they come joined in one.
fn joined(
    known: &Known<'_>,
    end: &EndAt<'_>,
    call: &str,
    room: Option<(Clear, f64)>,
    step: &mut Step,
) {
    /// Ends that are written as one may differ by their rounding, mm.
    const MEET_MM: f64 = 1.0;
    let parts = known.context.end_parts(end);
    let mut bars: Vec<(f64, f64, String)> = parts
        .iter()
        .map(|part| part.part.as_ref())
        .filter(|part| {
            part.permanence == Some(Permanence::Replaceable)
                && part.exit == Some(Exit::Rear)
                && matches!(part.role, Some(Role::InnerTrumpet | Role::AnchoragePipe))
        })
        .filter_map(|part| {
            let (from_mm, to_mm) = (part.from_mm?, part.to_mm?);
            Some((from_mm.max(to_mm), from_mm.min(to_mm), restrand_rules::call(part)))
        })
        .collect();
    bars.sort_by(|one, other| other.0.total_cmp(&one.0));
    let Some(((rear_mm, span_mm, first), rest)) = bars.split_first() else { return };
    let mut reach_mm = *span_mm;
    let mut names = vec![first.as_str()];
    for (next_mm, span_mm, name) in rest {
        if *next_mm < reach_mm - MEET_MM {
            break;
        }
        reach_mm = reach_mm.min(*span_mm);
        names.push(name);
    }
    let (Some((behind, margin_mm)), true) = (room, names.len() > 1) else { return };
    let joined_mm = rear_mm - reach_mm;
    let need_mm = joined_mm + margin_mm;
    let text = match need_mm <= behind.mm {
        true => {
            "At {end} {parts} meet end to end: joined in one before they go in they are {joined_mm} long, and take {need_mm} of the {behind_mm} behind the bearing plate"
        }
        false => {
            "At {end} {parts} meet end to end: joined in one they would be {joined_mm} long, and take {need_mm} where there are {behind_mm} behind the bearing plate; they go in one after the other, and the joint is made where it can be looked at"
        }
    };
    step.say(
        Line::from(text)
            .with(Fact::text("end", call))
            .with(Fact::text("parts", names.join(" and ")))
            .with(Fact::computed("joined_mm", joined_mm, 0))
            .with(Fact::computed("need_mm", need_mm, 0))
            .with(behind.fact("behind_mm", 0)),
    );
}

/// Whether a part is to be ordered, with what makes that doubtful: one of which it is not stated whether it stays, and
/// one that is recorded to stay where such parts leave.
fn ordered(known: &Known<'_>, part: &Part, at: &str, step: &mut Step) -> Option<&'static str> {
    let leaves_by_role = part
        .role
        .and_then(|role| known.context.book.role(role))
        .is_some_and(|role| !role.allowed.takes(Permanence::Permanent));
    let mut doubt = |words: &'static str| {
        step.lacks(
            "part.permanence",
            Some(format!("{at}: {}", restrand_rules::call(part))),
            "whether it is ordered new: to be confirmed before the order",
        );
        words
    };
    match part.permanence {
        Some(Permanence::Replaceable) => Some(""),
        None => Some(doubt("permanence not stated")),
        Some(Permanence::Permanent) if leaves_by_role => {
            Some(doubt("recorded as permanent, where such parts leave"))
        }
        Some(Permanence::Permanent) => None,
    }
}

/// A part to be ordered.
fn row(known: &Known<'_>, at: &str, part: &Part, doubt: &str, from: &str) -> Vec<Cell> {
    let length_mm = part.from_mm.zip(part.to_mm).map(|(one, other)| (one - other).abs());
    // Of wedges there is a set for each strand.
    let count = match part.role {
        Some(Role::Wedges) => known.tendon.strand_count.map(f64::from),
        _ => Some(1.0),
    };
    let bore = |mm: Option<f64>| mm.filter(|mm| *mm > 0.0).map_or(Cell::Blank, Cell::Number);
    vec![
        Cell::from(at),
        Cell::from(restrand_rules::call(part)),
        Cell::from(count),
        Cell::from(length_mm),
        Cell::from(greatest_outer_mm(part)),
        bore(part.rear_inner_mm),
        bore(part.span_inner_mm),
        part.mass_kg.map_or(Cell::Blank, Cell::Number),
        if doubt.is_empty() { Cell::Blank } else { Cell::from(doubt) },
        Cell::from(from),
    ]
}

fn greatest_outer_mm(part: &Part) -> Option<f64> {
    [part.rear_outer_mm, part.span_outer_mm, part.greatest_outer_mm]
        .into_iter()
        .flatten()
        .reduce(f64::max)
}

/// Which anchorages and forms the parts are for.
fn types(known: &Known<'_>, step: &mut Step) {
    let ends = known
        .ends
        .iter()
        .filter_map(|end| Some(format!("{} at {}", end.end.anchorage.as_ref()?.key(), end.call())));
    let forms = known.tendon.deviators.iter().filter_map(|deviator| {
        Some(format!("{} at {}", deviator.form.as_ref()?.key(), deviator.place.as_ref()?.key()))
    });
    let names: Vec<String> = ends.chain(forms).collect();
    if !names.is_empty() {
        step.say(
            Line::from("Parts are those of {types}, as the schedule lists them; sizes are nominal, tolerances as there")
                .with(Fact::text("types", names.join(", "))),
        );
    }
}

/// From where to where new duct is needed, m along the tendon: between the pipes that come in with the anchorages, or
/// between the cuts where there are none.
fn duct_m(known: &Known<'_>) -> Result<[f64; 2], &'static str> {
    let length_m = known.along.as_ref().map_err(|field| *field)?.length_m();
    let mut from_to = [0.0, length_m];
    for (index, end) in known.ends.iter().enumerate() {
        let parts = known.context.end_parts(end);
        let pipes = parts.iter().map(|part| part.part.as_ref()).filter(|part| {
            part.permanence == Some(Permanence::Replaceable)
                && matches!(part.role, Some(Role::AnchoragePipe | Role::InnerTrumpet))
        });
        let reach_mm = pipes.filter_map(|part| Some(part.from_mm?.min(part.to_mm?)));
        let reach_mm = match reach_mm.reduce(f64::min) {
            Some(reach_mm) => reach_mm,
            None => known.stubs[index].as_ref().map(|stub| stub.cut_mm).map_err(|field| *field)?,
        };
        match end.name {
            EndName::A => from_to[0] = -reach_mm / 1000.0,
            EndName::B => from_to[1] = length_m + reach_mm / 1000.0,
        }
    }
    Ok(from_to)
}

fn duct(known: &Known<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let Some(duct) = known.context.duct(known.tendon.duct.as_ref()) else {
        step.lacks("tendon.duct", None, "the new duct");
        return;
    };
    step.rests_on(duct.route.clone());
    let record = duct.record;
    let Some([from_m, to_m]) = step.known(duct_m(known), None, "how much duct is needed") else {
        return;
    };
    let stick_m = record.stick_length_mm.map(|stick_mm| stick_mm / 1000.0);
    let joints: Vec<f64> =
        known.tendon.duct_joints.iter().filter_map(|joint| joint.station_m).collect();
    let has_joints = !joints.is_empty();
    let mut line = Line::from(match stick_m {
        Some(_) if has_joints => "Duct {duct}: {free_m} between the pipes of the anchorages, in {sticks} sticks of {stick_m} at most; a stick runs through each form, and no joint lies inside a form or nearer to its mouth than the schedule's joints do",
        Some(_) => "Duct {duct}: {free_m} between the pipes of the anchorages, in {sticks} sticks of {stick_m} at most; a stick runs through each form, and no joint lies inside a form",
        None => "Duct {duct}: {free_m} between the pipes of the anchorages",
    })
    .with(Fact::text("duct", record.id.clone().unwrap_or_default()))
    .with(Fact::computed("free_m", to_m - from_m, 2));
    let Some(stick_m) = stick_m else {
        step.say(line);
        // A coil has no sticks.
        if record.coiled != Some(true) {
            step.lacks(
                "duct.stick_length_mm",
                None,
                "in which lengths the duct comes in, and its joints",
            );
        }
        return;
    };
    if let Ok(sticks) = pieces(to_m - from_m, stick_m) {
        line = line
            .with(Fact::computed("sticks", f64::from(sticks.count), 0))
            .with(Fact::given("stick_m", stick_m, 1));
    }
    step.say(line);
    if !has_joints {
        step.lacks("tendon.duct_joints", None, "where the joints of the duct lie");
    } else {
        let stations = joints.iter().map(|station_m| Cell::from(*station_m));
        step.tables.push(Table {
            title: "Joints of the duct, as the schedule lists them".to_owned(),
            columns: vec![Column { name: "station_m", digits: 3 }],
            rows: stations.map(|cell| vec![cell]).collect(),
        });
    }
    let Some(outer_mm) = record.outer_mm else {
        return step.lacks("duct.outer_mm", None, "the way in of the sticks");
    };
    sticks(known, [stick_m, outer_mm, record.mass_kg_per_m.unwrap_or(0.0)], step, blocked);
}

/// The way in of the sticks: to the bay whose way takes least, and what is not known of the others.
fn sticks(
    known: &Known<'_>,
    [stick_m, diameter_mm, kg_per_m]: [f64; 3],
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let (Ok(along), Ok(cuts)) = (&known.along, &known.cuts) else { return };
    let mut bays: Vec<usize> = cuts
        .free_m
        .iter()
        .filter_map(|free_m| known.bay_at(along.station_m(f64::midpoint(free_m[0], free_m[1]))))
        .collect();
    bays.dedup();
    if bays.is_empty() {
        return step.lacks(known.no_bay(), None, "the way in of the sticks");
    }
    let rods = known.rods.as_ref().ok();
    let longest_mm = |bay: usize| Some(rods?.to(&known.ways, bay)?.longest_mm);
    for bay in bays.iter().filter(|bay| longest_mm(**bay).is_none()) {
        step.lacks(
            "schedule.openings",
            Some(known.ways.call_bay(*bay)),
            "the way in of the sticks of duct",
        );
    }
    let reached = bays.iter().filter_map(|bay| Some((*bay, longest_mm(*bay)?)));
    let Some((bay, _)) = reached.min_by(|one, other| one.1.total_cmp(&other.1)) else { return };
    let mass_kg = Some(stick_m * kg_per_m).filter(|mass_kg| *mass_kg > 0.0);
    let what = "sticks of duct".to_owned();
    let load = way::Load { what, length_mm: stick_m * 1000.0, diameter_mm, mass_kg };
    way::carried(known, &load, way::Bound::In, bay, step, blocked);
}
