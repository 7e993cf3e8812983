//! What comes in new: plates, trumpets, pipes, duct, seals.

use restrand_finding::Fact;
use restrand_mechanics::removal::pieces;
use restrand_model::schedule::{Exit, Permanence};

use crate::cuts::CutPlan;
use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let margin_mm = known.limit("removal_margin_mm").map(|limit| limit.value);
    let mut rows = Vec::new();
    for end in &known.ends {
        let call = end.call();
        let behind_mm = end.end.removal_space.as_deref().and_then(|space| space.behind_mm);
        if behind_mm.is_none() {
            step.lacks(
                "removal_space.behind_mm",
                Some(call.clone()),
                "whether new parts can be brought in from behind",
            );
        }
        for resolved in known.context.end_parts(end) {
            let part = resolved.part.as_ref();
            if part.permanence != Some(Permanence::Replaceable) {
                continue;
            }
            let length_mm = part.from_mm.zip(part.to_mm).map(|(one, other)| (one - other).abs());
            let outer_mm = [part.rear_outer_mm, part.span_outer_mm, part.greatest_outer_mm]
                .into_iter()
                .flatten()
                .reduce(f64::max);
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
            if let (Some(Exit::Rear), Some(length_mm), Some(behind_mm), Some(margin_mm)) =
                (part.exit, length_mm, behind_mm, margin_mm)
                && length_mm + margin_mm > behind_mm
            {
                let facts = |line: Line| {
                    line.with(Fact::text("part", name.as_str()))
                        .with(Fact::text("end", call.as_str()))
                        .with(Fact::computed("length_mm", length_mm, 0))
                        .with(Fact::given("margin_mm", margin_mm, 0))
                        .with(Fact::given("behind_mm", behind_mm, 0))
                        .with(Fact::computed("more_mm", length_mm + margin_mm - behind_mm, 0))
                };
                if length_mm > behind_mm {
                    blocked.push(Blocked {
                        step: step.id,
                        constraint: facts(Line::from("the new {part} of {end} is {length_mm} long, and does not go into the {behind_mm} behind the bearing plate")),
                        remedy: facts(Line::from("{more_mm} more room behind the bearing plate, or the part in lengths that are joined where they can be looked at; ask the anchorage's supplier")),
                        place: end.route.field("removal_space").field("behind_mm"),
                    });
                } else {
                    step.beware(facts(Line::from("The new {part} of {end}, {length_mm} long, has less than {margin_mm} to spare behind the bearing plate")));
                }
            }
            rows.push(vec![
                Cell::from(call.as_str()),
                Cell::from(name),
                Cell::from(length_mm),
                Cell::from(outer_mm),
                part.mass_kg.map_or(Cell::Blank, Cell::Number),
                Cell::from(from),
            ]);
        }
    }
    if rows.is_empty() {
        step.lacks("anchorage.parts", None, "which parts are to be ordered");
    } else {
        step.tables.push(Table {
            title: "Parts to order for the anchorages".to_owned(),
            columns: vec![
                Column { name: "end", digits: 0 },
                Column { name: "part", digits: 0 },
                Column { name: "length_mm", digits: 0 },
                Column { name: "greatest_outer_mm", digits: 1 },
                Column { name: "mass_kg", digits: 1 },
                Column { name: "comes_in", digits: 0 },
            ],
            rows,
        });
    }
    duct(known, step);
    step.say("New wedges and seals are used throughout; none is taken from the old tendon");
    step.say("Inlets, vents and drains sit on the replaceable skin only; the gap to what is cast in stays empty and drains");
    step.hold("Seals at every mouth are in, and the annulus is shown to be empty and to drain");
}

fn duct(known: &Known<'_>, step: &mut Step) {
    let Some(duct) = known.context.duct(known.tendon.duct.as_ref()) else {
        step.lacks("tendon.duct", None, "the new duct");
        return;
    };
    step.rests_on(duct.route.clone());
    let record = duct.record;
    let length_m = match &known.cuts {
        Ok(CutPlan { stubs_along_m: Ok([from_m, to_m]), .. }) => to_m - from_m,
        Ok(CutPlan { stubs_along_m: Err(field), .. }) | Err(field) => {
            step.lacks(field, None, "how much duct is needed");
            return;
        }
    };
    let stick_m = record.stick_length_mm.map(|stick_mm| stick_mm / 1000.0);
    let mut line = Line::from(match stick_m {
        Some(_) => "Duct {duct}: {free_m} between the stubs, in {sticks} sticks of {stick_m} at most; none ends inside a form or near its mouth",
        None => "Duct {duct}: {free_m} between the stubs",
    })
    .with(Fact::text("duct", record.id.clone().unwrap_or_default()))
    .with(Fact::computed("free_m", length_m, 2));
    match stick_m {
        Some(stick_m) => {
            if let Ok(sticks) = pieces(length_m, stick_m) {
                line = line
                    .with(Fact::computed("sticks", f64::from(sticks.count), 0))
                    .with(Fact::given("stick_m", stick_m, 1));
            }
        }
        None => step.lacks(
            "duct.stick_length_mm",
            None,
            "in which lengths the duct comes in, and its joints",
        ),
    }
    step.say(line);
}
