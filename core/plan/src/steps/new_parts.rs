//! What comes in new: plates, trumpets, pipes, duct, seals.

use restrand_finding::Fact;
use restrand_mechanics::removal::pieces;
use restrand_model::schedule::{EndName, Exit, Part, Permanence, Role};

use restrand_rules::{DuctLength, works};

use super::rear_parts::{RearPart, joined, room, ways_in};
use super::takes;
use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;
use crate::way;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let margin_mm = known.limit("removal_margin_mm").map(|limit| limit.value);
    takes::against(known, step, blocked);
    let mut rows = Vec::new();
    for end in &known.ends {
        let call = end.call();
        let mut rear: Vec<RearPart> = Vec::new();
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
            let from = match part.exit {
                Some(Exit::Rear) => "from behind",
                Some(Exit::Span) => "from the span",
                Some(Exit::StrippedInPlace) => "fitted in place",
                None => {
                    step.lacks("part.exit", Some(call.clone()), "how a new part comes in");
                    "not stated"
                }
            };
            if let Some(part) = RearPart::of(part) {
                if let Some(margin_mm) = margin_mm.filter(|_| behind.is_some()) {
                    room(known, end, &call, &part, margin_mm, step, blocked);
                }
                rear.push(part);
            }
            heaviest_kg = heaviest_kg
                .max(part.mass_kg.filter(|_| part.exit == Some(Exit::Rear)).unwrap_or(0.0));
            rows.push(row(known, &call, part, doubt, from));
        }
        joined(known, end, &call, behind.zip(margin_mm), step);
        if rear.is_empty() {
            continue;
        }
        let bay = way::bay_behind(known, end);
        if let Some(bay) = step.known(bay, Some(&call), "the way in of new parts") {
            let mass_kg = Some(heaviest_kg).filter(|mass_kg| *mass_kg > 0.0);
            ways_in(known, &call, &rear, mass_kg, bay, step, blocked);
        }
    }
    for (index, deviator) in known.tendon.deviators.iter().enumerate() {
        let place = deviator.place.as_ref().map_or("a deviator", |place| place.key());
        for resolved in known.context.deviator_parts(known.at, index) {
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

/// Whether a part is to be ordered, with what makes that doubtful: one of which it is not stated whether it stays, and
/// one that is recorded to stay where such parts leave.
fn ordered(known: &Known<'_, '_>, part: &Part, at: &str, step: &mut Step) -> Option<&'static str> {
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
fn row(known: &Known<'_, '_>, at: &str, part: &Part, doubt: &str, from: &str) -> Vec<Cell> {
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
fn types(known: &Known<'_, '_>, step: &mut Step) {
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
fn duct_m(known: &Known<'_, '_>) -> Result<[f64; 2], &'static str> {
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

fn duct(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let lengths = known.context.duct_lengths(known.tendon);
    let Some(lengths) = step.known(lengths, None, "the new duct") else { return };
    for length in &lengths {
        step.rests_on(length.duct.route.clone());
    }
    let Some([from_m, to_m]) = step.known(duct_m(known), None, "how much duct is needed") else {
        return;
    };
    let record = lengths[0].duct.record;
    if lengths.iter().any(|length| length.duct.route != lengths[0].duct.route) {
        return several_ducts(known, &lengths, [from_m, to_m], step);
    }
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
    let outer_mm = works::worst_duct_mm(record);
    let Some(outer_mm) = step.known(outer_mm, None, "the way in of the sticks") else { return };
    sticks(known, [stick_m, outer_mm, record.mass_kg_per_m.unwrap_or(0.0)], step, blocked);
}

/// How much of each duct a tendon takes that has several, one after the other.
fn several_ducts(
    known: &Known<'_, '_>,
    lengths: &[DuctLength<'_>],
    needed_m: [f64; 2],
    step: &mut Step,
) {
    let Ok(along) = &known.along else { return };
    for length in lengths {
        let [begin_m, end_m] = length.stations_m.map(|station_m| along.at_m(station_m));
        let (low_m, high_m) = (begin_m.min(end_m), begin_m.max(end_m));
        let [from_m, to_m] = [low_m.max(needed_m[0]), high_m.min(needed_m[1])];
        if from_m >= to_m {
            continue;
        }
        let id = length.duct.record.id.clone().unwrap_or_default();
        step.say(
            Line::from("Duct {duct}: {length_m}, from station {from_m} to {to_m}")
                .with(Fact::text("duct", id))
                .with(Fact::computed("length_m", to_m - from_m, 2))
                .with(Fact::computed("from_m", along.station_m(from_m), 3))
                .with(Fact::computed("to_m", along.station_m(to_m), 3)),
        );
    }
    step.say("Of several ducts the sticks of each, their joints and their way in are laid out by the engineer in charge: this plan has them for a tendon of one duct only");
}

/// The way in of the sticks: to the bay whose way takes least, and what is not known of the others.
fn sticks(
    known: &Known<'_, '_>,
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
    let rods = known.rods(diameter_mm);
    let longest_mm = |bay: usize| Some(rods.to(&known.ways, bay)?.longest_mm);
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
