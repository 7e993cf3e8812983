//! Caps off, and the stubs drawn out of both anchorages.

use restrand_finding::Fact;
use restrand_mechanics::removal::StubVerdict;
use restrand_mechanics::room::cap_room_mm;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{EndKind, Exit, Filler, Part, Permanence, Role};
use restrand_rules::EndAt;
use restrand_rules::works::{self, PlannedStub};

use crate::bonds;
use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;
use crate::way;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    if known.ends.is_empty() {
        step.lacks("tendon.ends", None, "both anchorages");
    }
    let mut rows = Vec::new();
    for (end, stub) in known.ends.iter().zip(&known.stubs) {
        let call = end.call();
        if end.end.kind == Some(EndKind::Embedded) {
            blocked.push(Blocked {
                step: step.id,
                constraint: Line::from(
                    "{end} is embedded in concrete: the stub there cannot come out",
                )
                .with(Fact::text("end", call.as_str())),
                remedy: Line::from("an accessible anchorage at that end"),
                place: end.route.field("kind"),
            });
            continue;
        }
        cap(known, end, &call, step);
        stripped(known, end, &call, step);
        let bonds = bonds::out_of_reach(known.context.end_parts(end));
        for bond in &bonds {
            blocked.push(Blocked {
                step: step.id,
                constraint: Line::from("{part} at {end} has to leave, but is bonded to {to} where nobody can reach the bond: the stub there cannot come out")
                    .with(Fact::text("part", bond.part.as_str()))
                    .with(Fact::text("end", call.as_str()))
                    .with(Fact::text("to", bond.to.as_str())),
                remedy: Line::from("a way to the bond, stated with the method that breaks it without harm to what stays; without one the tendon cannot be replaced as it was"),
                place: bond.place.clone(),
            });
        }
        if let Some(stub) = step.known(
            stub.as_ref().map_err(|field| *field),
            Some(&call),
            "pulls and cuts of the stub",
        ) {
            match bonds.is_empty() {
                true => one(known, end, &call, stub, step, blocked, &mut rows),
                false => rows.push(not_possible(&call)),
            }
        }
    }
    if !rows.is_empty() {
        step.tables.push(Table {
            title: "Pulls behind the bearing plates".to_owned(),
            columns: vec![
                Column { name: "end", digits: 0 },
                Column { name: "pull", digits: 0 },
                Column { name: "drawn_out_to_mm", digits: 0 },
                Column { name: "leaves_mm", digits: 0 },
                Column { name: "mass_kg", digits: 0 },
                Column { name: "then", digits: 0 },
            ],
            rows,
        });
    }
    step.hold(match super::release::is_at_anchorage(known) {
        true => "No cap comes off before the force is shown to be zero, but at an anchorage that releases behind its stated restraint",
        false => "No cap comes off before the force is shown to be zero",
    });
    if known.may_be_hard() {
        step.beware("Hard filler in the stub may still hold force at the wedges, after all lengths are cut: a stop plate stands behind the anchorage, and people at its side, while cap and filler come off; whether the tails draw in is watched from there");
    }
    step.beware("Plates, trumpet and pipe leave as one heavy bar: it is hung or carried before it is free, and held against sliding on a sloping axis");
    step.beware("Nobody stands in line with the bar while it is pulled");
}

/// The row of an end whose stub cannot come out.
fn not_possible(call: &str) -> Vec<Cell> {
    let mut row = vec![Cell::from(call)];
    row.extend([Cell::Blank, Cell::Blank, Cell::Blank, Cell::Blank]);
    row.push(Cell::from("not possible, see what stands against the plan"));
    row
}

/// `once`, `2 times`.
pub(super) fn times(count: u32) -> String {
    match count {
        1 => "once".to_owned(),
        count => format!("{count} times"),
    }
}

fn cap(known: &Known<'_, '_>, end: &EndAt<'_>, call: &str, step: &mut Step) {
    let parts = known.context.end_parts(end);
    let of_role =
        |role| parts.iter().map(|part| part.part.as_ref()).find(|part| part.role == Some(role));
    let Some(cap) = of_role(Role::Cap) else {
        step.lacks(
            "anchorage.parts",
            Some(call.to_owned()),
            "the cap and the room in which it slides off",
        );
        return;
    };
    let rear = |part: &Part| part.from_mm.zip(part.to_mm).map(|(one, other)| one.max(other));
    let margin = known.limit("removal_margin_mm").map(|limit| limit.value);
    let plate_mm = of_role(Role::WedgePlate).and_then(rear);
    let room = (|| {
        let tail_mm = end.end.tail_mm.ok_or("end.tail_mm")?;
        let plate_mm = plate_mm.ok_or("part.to_mm")?;
        let cap_mm = rear(cap).ok_or("part.to_mm")?;
        let margin_mm = margin.ok_or("limits.removal_margin_mm")?;
        let open_mm = cap.from_mm.zip(cap.to_mm).map(|(one, other)| one.min(other).max(0.0));
        cap_room_mm(open_mm.ok_or("part.from_mm")?, cap_mm, plate_mm + tail_mm, margin_mm)
            .map_err(|_| "end.tail_mm")
    })();
    if let Some(room_mm) = step.known(room, Some(call), "the room in which the cap slides off") {
        let text = match known.tendon.filler {
            Some(Filler::CementGrout) => {
                "At {end} the cap is unbolted, grout behind it is broken off, and it slides off over the tails in {cap_room_mm}"
            }
            Some(Filler::Wax | Filler::Grease) => {
                "At {end} the cap is unbolted, wax or grease that runs out is caught, and it slides off over the tails in {cap_room_mm}"
            }
            Some(Filler::None) => {
                "At {end} the cap is unbolted, and it slides off over the tails in {cap_room_mm}"
            }
            Some(Filler::Unknown) | None => {
                "At {end} the cap is unbolted, what is behind it is taken off by hand tools, and it slides off over the tails in {cap_room_mm}"
            }
        };
        step.say(Line::from(text).with(Fact::text("end", call)).with(Fact::computed(
            "cap_room_mm",
            room_mm,
            0,
        )));
    }
}

/// What is stripped in place behind the bearing plate; what lies on its span side was stripped with the pieces.
fn stripped(known: &Known<'_, '_>, end: &EndAt<'_>, call: &str, step: &mut Step) {
    let parts = known.context.end_parts(end);
    let stripped = leaving(parts, Exit::StrippedInPlace).filter(|part| !is_on_span_side(part));
    let names: Vec<String> = stripped.map(restrand_rules::call).collect();
    if !names.is_empty() {
        step.say(
            Line::from("Stripped in place behind the bearing plate at {end}: {stripped}")
                .with(Fact::text("end", call))
                .with(Fact::text("stripped", names.join(", "))),
        );
    }
}

/// The parts of an end that leave in this way.
pub(super) fn leaving<'p>(
    parts: &'p [ResolvedPart<'_>],
    exit: Exit,
) -> impl Iterator<Item = &'p Part> {
    parts.iter().map(|part| part.part.as_ref()).filter(move |part| {
        part.permanence == Some(Permanence::Replaceable) && part.exit == Some(exit)
    })
}

/// Whether all of a part lies on the span side of the bearing plate's face.
pub(super) fn is_on_span_side(part: &Part) -> bool {
    part.from_mm.zip(part.to_mm).is_some_and(|(one, other)| one.max(other) <= 0.0)
}

/// What the parts that leave rearward weigh beside the tendon in them: the lifting gear follows from it.
fn parts_mass(known: &Known<'_, '_>, end: &EndAt<'_>, call: &str, step: &mut Step) {
    let parts = known.context.end_parts(end);
    let bar: Vec<&Part> = parts
        .iter()
        .map(|part| part.part.as_ref())
        .filter(|part| part.permanence == Some(Permanence::Replaceable))
        .filter(|part| part.exit == Some(Exit::Rear) && part.role != Some(Role::Cap))
        .collect();
    let stated: f64 = bar.iter().filter_map(|part| part.mass_kg).sum();
    let names = |is_wanted: &dyn Fn(&Part) -> bool| {
        let names =
            bar.iter().filter(|part| is_wanted(part)).map(|part| restrand_rules::call(part));
        names.collect::<Vec<_>>().join(", ")
    };
    if stated > 0.0 {
        step.say(
            Line::from("At {end} there leave with the tendon: {parts}, {parts_kg} in all")
                .with(Fact::text("end", call))
                .with(Fact::text("parts", names(&|part| part.mass_kg.is_some())))
                .with(Fact::computed("parts_kg", stated, 0)),
        );
    }
    if bar.iter().any(|part| part.mass_kg.is_none()) {
        step.lacks(
            "part.mass_kg",
            Some(format!("{call}: {}", names(&|part| part.mass_kg.is_none()))),
            "what the bar weighs, and what it hangs on",
        );
    }
}

fn one(
    known: &Known<'_, '_>,
    end: &EndAt<'_>,
    call: &str,
    stub: &PlannedStub,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
    rows: &mut Vec<Vec<Cell>>,
) {
    known.behind(end, step);
    if stub.behind.bay.is_none() {
        step.rests_on(end.route.field("removal_space"));
    }
    step.rests_on(end.route.field("stub_cut_mm"));
    let length_mm = stub.length_mm();
    let facts = |line: Line| {
        line.with(Fact::text("end", call))
            .with(Fact::computed("stub_length_mm", length_mm, 0))
            .with(stub.behind.fact("behind_mm", 0))
            .with(Fact::computed("room_mm", stub.plan.room_mm, 0))
            .with(Fact::computed("whole_mm", stub.whole_mm, 0))
    };
    if let Some(part) = &stub.assumed_at {
        step.say(
            Line::from("No cut is stated at {end}: it is taken at the span end of {part}")
                .with(Fact::text("end", call))
                .with(Fact::text("part", part.as_str())),
        );
    }
    let is_stuck = matches!(stub.plan.verdict, StubVerdict::PieceTooShort { .. });
    if !is_stuck {
        parts_mass(known, end, call, step);
        tools(known, stub, step);
    }
    let mut heaviest_kg = 0.0_f64;
    let mut left_mm = stub.rearmost_mm;
    let mut lacking = None;
    if is_stuck {
        rows.push(not_possible(call));
    }
    let mut row = |pull: u32, drawn_mm: f64, leaves_mm: f64, then: &str| {
        let piece_mm = [left_mm, left_mm - leaves_mm];
        left_mm -= leaves_mm;
        let mass = works::bar_mass_kg(known.context, known.at, end, piece_mm);
        match mass {
            Ok(mass_kg) => heaviest_kg = heaviest_kg.max(mass_kg),
            Err(field) => lacking = Some(field),
        }
        rows.push(vec![
            Cell::from(call),
            Cell::from(f64::from(pull)),
            Cell::from(drawn_mm),
            Cell::from(leaves_mm),
            Cell::from(mass.ok()),
            Cell::from(then),
        ]);
    };
    match stub.plan.verdict {
        StubVerdict::InOne { .. } => {
            step.say(facts(Line::from("The stub at {end}, {stub_length_mm} long, comes out rearward whole: of the {behind_mm} behind the bearing plate {room_mm} are left for it")));
            row(1, length_mm, length_mm, "out whole");
        }
        StubVerdict::InPieces { pulls, cuts, piece_mm, last_piece_mm } => {
            step.say(
                facts(Line::from("The stub at {end}, {stub_length_mm} long, comes out rearward in {pulls} pulls, sawn behind the bearing plate {saw_cuts}; its pieces may be shorter than in the table, but {whole_mm} from its rear end stay whole"))
                    .with(Fact::computed("pulls", f64::from(pulls), 0))
                    .with(Fact::text("saw_cuts", times(cuts))),
            );
            // Each pull brings the rear end to the end of the room, and the saw stands off the plate.
            for pull in 1..pulls {
                row(pull, stub.plan.room_mm, piece_mm, "saw, then grip anew");
            }
            row(pulls, last_piece_mm, last_piece_mm, "out");
        }
        StubVerdict::PieceTooShort { .. } => {
            let remedy = match stub.least_behind_mm {
                Some(least_mm) => Line::from(
                    "make {more_mm} more room behind the bearing plate at {end}: {least_mm} in all",
                )
                .with(Fact::text("end", call))
                .with(Fact::computed("more_mm", least_mm - stub.behind.mm, 0))
                .with(Fact::computed("least_mm", least_mm, 0)),
                None => Line::from("make more room behind the bearing plate"),
            };
            blocked.push(Blocked {
                step: step.id,
                constraint: facts(Line::from("the stub at {end} cannot come out: {behind_mm} behind the bearing plate leave {room_mm} after margin and grip, and {whole_mm} must stay whole")),
                remedy,
                place: stub.behind.route(end, "behind_mm"),
            });
        }
    }
    let longest_mm = match stub.plan.verdict {
        StubVerdict::InOne { .. } => Some(length_mm),
        StubVerdict::InPieces { piece_mm, last_piece_mm, .. } => Some(piece_mm.max(last_piece_mm)),
        StubVerdict::PieceTooShort { .. } => None,
    };
    if let Some(field) = lacking {
        step.lacks(field, Some(call.to_owned()), "what the bar weighs, and what it hangs on");
    }
    let mass_kg = Some(heaviest_kg).filter(|mass_kg| *mass_kg > 0.0 && lacking.is_none());
    let Some(length_mm) = longest_mm else { return };
    if let Some(mass_kg) = mass_kg {
        way::hoisted(known, end, call, ("the heaviest bar", false), mass_kg, step, blocked);
    }
    let bay = way::bay_behind(known, end);
    if let Some(bay) = step.known(bay, Some(call), "the way out of stubs and bars") {
        let what = format!("bars from {call}");
        let diameter_mm = works::bar_diameter_mm(known.context, known.at, end, stub);
        let Some(diameter_mm) =
            step.known(diameter_mm, Some(call), "the way out of stubs and bars")
        else {
            return;
        };
        let load = way::Load { what, length_mm, diameter_mm, mass_kg };
        way::carried(known, &load, way::Bound::Out, bay, step, blocked);
    }
}

/// What pulls and cuts, with the room that it takes behind the plate.
fn tools(known: &Known<'_, '_>, stub: &PlannedStub, step: &mut Step) {
    let limit = |name: &str| known.limit(name).map(|limit| limit.value);
    let (Some(grip_mm), Some(standoff_mm), Some(margin_mm)) =
        (limit("grip_mm"), limit("saw_standoff_mm"), limit("removal_margin_mm"))
    else {
        return;
    };
    let is_sawn = matches!(stub.plan.verdict, StubVerdict::InPieces { .. });
    let text = match is_sawn {
        true => {
            "A puller with a grip that takes {grip_mm} behind the bar; a saw that cuts {standoff_mm} behind the bearing plate; {margin_mm} stay free behind all"
        }
        false => {
            "A puller with a grip that takes {grip_mm} behind the bar; {margin_mm} stay free behind all"
        }
    };
    let line = Line::from(text)
        .with(Fact::computed("grip_mm", grip_mm, 0))
        .with(Fact::computed("standoff_mm", standoff_mm, 0))
        .with(Fact::computed("margin_mm", margin_mm, 0));
    if !step.tools.contains(&line) {
        step.takes(line);
    }
}
