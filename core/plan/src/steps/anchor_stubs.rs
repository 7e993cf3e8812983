//! Caps off, and the stubs drawn out of both anchorages.

use restrand_finding::Fact;
use restrand_mechanics::removal::StubVerdict;
use restrand_mechanics::room::cap_room_mm;
use restrand_model::schedule::{EndKind, Exit, Part, Permanence, Role};
use restrand_rules::EndAt;
use restrand_rules::works::{self, PlannedStub};

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;
use crate::way;

pub(super) fn write(known: &Known<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
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
        broken_and_stripped(known, end, &call, step);
        if let Some(stub) = step.known(
            stub.as_ref().map_err(|field| *field),
            Some(&call),
            "pulls and cuts of the stub",
        ) {
            one(known, end, &call, stub, step, blocked, &mut rows);
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
    step.hold("No cap comes off before the force is shown to be zero, but at an anchorage that releases behind its stated restraint");
    step.beware("Plates, trumpet and pipe leave as one heavy bar: it is hung or carried before it is free, and held against sliding on a sloping axis");
    step.beware("Nobody stands in line with the bar while it is pulled");
}

/// `once`, `2 times`.
pub(super) fn times(count: u32) -> String {
    match count {
        1 => "once".to_owned(),
        count => format!("{count} times"),
    }
}

fn cap(known: &Known<'_>, end: &EndAt<'_>, call: &str, step: &mut Step) {
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
        step.say(
            Line::from("At {end} the cap is unbolted, filler behind it is broken off, and it slides off over the tails in {cap_room_mm}")
                .with(Fact::text("end", call))
                .with(Fact::computed("cap_room_mm", room_mm, 0)),
        );
    }
}

/// What is broken out and what is stripped before anything can move.
fn broken_and_stripped(known: &Known<'_>, end: &EndAt<'_>, call: &str, step: &mut Step) {
    let parts = known.context.end_parts(end);
    let named = |wanted: &dyn Fn(&Part) -> bool| {
        let names: Vec<String> = parts
            .iter()
            .map(|part| part.part.as_ref())
            .filter(|part| part.permanence == Some(Permanence::Replaceable) && wanted(part))
            .map(restrand_rules::call)
            .collect();
        (!names.is_empty()).then(|| names.join(", "))
    };
    if let Some(stripped) = named(&|part| part.exit == Some(Exit::StrippedInPlace)) {
        step.say(
            Line::from("Stripped in place at {end}: {stripped}")
                .with(Fact::text("end", call))
                .with(Fact::text("stripped", stripped)),
        );
    }
    if let Some(forward) = named(&|part| part.exit == Some(Exit::Span)) {
        step.say(
            Line::from("Into the span at {end}, with the last piece of the free length: {forward}")
                .with(Fact::text("end", call))
                .with(Fact::text("forward", forward)),
        );
    }
}

/// What the parts that leave rearward weigh beside the tendon in them: the lifting gear follows from it.
fn parts_mass(known: &Known<'_>, end: &EndAt<'_>, call: &str, step: &mut Step) {
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
    known: &Known<'_>,
    end: &EndAt<'_>,
    call: &str,
    stub: &PlannedStub,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
    rows: &mut Vec<Vec<Cell>>,
) {
    step.rests_on(end.route.field("removal_space"));
    step.rests_on(end.route.field("stub_cut_mm"));
    let length_mm = stub.length_mm();
    let facts = |line: Line| {
        line.with(Fact::text("end", call))
            .with(Fact::computed("stub_length_mm", length_mm, 0))
            .with(Fact::given("behind_mm", stub.behind_mm, 0))
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
    parts_mass(known, end, call, step);
    tools(known, stub, step);
    let mut heaviest_kg = 0.0_f64;
    let mut left_mm = stub.rearmost_mm;
    let mut lacking = None;
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
                .with(Fact::computed("more_mm", least_mm - stub.behind_mm, 0))
                .with(Fact::computed("least_mm", least_mm, 0)),
                None => Line::from("make more room behind the bearing plate"),
            };
            blocked.push(Blocked {
                step: step.id,
                constraint: facts(Line::from("the stub at {end} cannot come out: {behind_mm} behind the bearing plate leave {room_mm} after margin and grip, and {whole_mm} must stay whole")),
                remedy,
                place: end.route.field("removal_space").field("behind_mm"),
            });
        }
    }
    let longest_mm = match stub.plan.verdict {
        StubVerdict::InOne { .. } => Some(length_mm),
        StubVerdict::InPieces { piece_mm, last_piece_mm, .. } => Some(piece_mm.max(last_piece_mm)),
        StubVerdict::PieceTooShort { .. } => None,
    };
    if let (Some(longest_mm), Ok(Some(bay))) =
        (longest_mm, known.ways.behind(known.context, known.at, end))
    {
        let size_mm = [longest_mm, 2.0 * stub.radius_mm];
        let what = format!("Bars from {call}");
        way::carried(known, &what, way::Bound::Out, bay, size_mm, step, blocked);
    }
    if let Some(field) = lacking {
        step.lacks(field, Some(call.to_owned()), "what the bar weighs, and what it hangs on");
    } else if heaviest_kg > 0.0 {
        way::hoisted(known, end, call, &format!("The heaviest bar at {call}"), heaviest_kg, step);
    }
}

/// What pulls and cuts, with the room that it takes behind the plate.
fn tools(known: &Known<'_>, stub: &PlannedStub, step: &mut Step) {
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
