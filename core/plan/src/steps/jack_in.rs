//! The jack comes to each end that is stressed, with the room it needs there.

use restrand_finding::Fact;
use restrand_mechanics::elongation::{Terms, elongation};
use restrand_mechanics::room::{JackCase, JackLengths, jack_room};
use restrand_model::schedule::{Part, Role};
use restrand_rules::{EndAt, works};

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::steps::stressing::index;
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let Some(renewed) = step.known(
        known.renewed.as_ref().or(known.stressed.as_ref()).map_err(|field| *field),
        None,
        "which ends are stressed, and the jack's room",
    ) else {
        return;
    };
    let ends = renewed.ends;
    let mut rows = Vec::new();
    for name in ends {
        let Some(end) = known.end(*name) else {
            step.lacks("tendon.ends", None, "the stressed end");
            continue;
        };
        let call = Known::call(end);
        let Some(jack) = known.context.jack(end.end.jack.as_ref()) else {
            step.lacks("end.jack", Some(call), "the jack, its way in and its room");
            continue;
        };
        step.rests_on(jack.route.clone());
        let mut line = Line::from("{jack} comes to {end}")
            .with(Fact::text("jack", jack.record.id.clone().unwrap_or_default()))
            .with(Fact::text("end", call.as_str()));
        match jack.record.mass_kg {
            Some(mass_kg) => {
                line.text.push_str(": {mass_kg} to be lifted");
                line = line.with(Fact::given("mass_kg", mass_kg, 0));
            }
            None => step.lacks("jack.mass_kg", Some(call.clone()), "which hoist carries the jack"),
        }
        step.say(line);
        if let Some(support) = &jack.record.support {
            step.say(
                Line::from("At the anchorage it is carried by: {support}")
                    .with(Fact::text("support", &**support)),
            );
        }
        match lengths(known, end) {
            Ok(lengths) => room(end, &call, &lengths, step, blocked, &mut rows),
            Err(field) => step.lacks(field, Some(call), "the jack's room in its three cases"),
        }
    }
    if !rows.is_empty() {
        step.tables.push(Table {
            title: "Room behind the bearing plate for the jack".to_owned(),
            columns: vec![
                Column { name: "end", digits: 0 },
                Column { name: "threading_on_mm", digits: 0 },
                Column { name: "stressing_mm", digits: 0 },
                Column { name: "taking_off_mm", digits: 0 },
                Column { name: "there_are_mm", digits: 0 },
                Column { name: "binds", digits: 0 },
            ],
            rows,
        });
    }
    step.hold("Slings, hoist and the points it hangs from carry the jack with their reserve; every opening on its way has been measured");
    step.beware("Nobody stands under the jack, nor between it and a wall");
}

/// The lengths on which the jack's room depends.
fn lengths(known: &Known<'_>, end: &EndAt<'_>) -> Result<JackLengths, &'static str> {
    let jack = known.context.jack(end.end.jack.as_ref()).ok_or("end.jack")?.record;
    let parts = known.context.end_parts(end);
    let rear = |part: &Part| part.from_mm.zip(part.to_mm).map(|(one, other)| one.max(other));
    let head_rear_mm = parts
        .iter()
        .map(|part| part.part.as_ref())
        .filter(|part| part.role == Some(Role::WedgePlate))
        .find_map(rear)
        .ok_or("anchorage.parts")?;
    let stressed = known.renewed.as_ref().or(known.stressed.as_ref()).map_err(|field| *field)?;
    let elastic_mm = stressed.elastic_mm[index(end.name)].ok_or("stressing.from")?;
    let stressing = known.tendon.stressing.as_deref().ok_or("tendon.stressing")?;
    let gripped_mm = jack.gripped_length_mm.or(jack.tail_mm).ok_or("jack.gripped_length_mm")?;
    let in_jack_mm = stressed.bar_stretch_mm(gripped_mm).ok_or("jack.gripped_length_mm")?;
    let dead_mm = match stressed.ends.len() {
        1 => stressing.dead_end_seating_mm.unwrap_or(0.0),
        _ => 0.0,
    };
    let told = elongation(&Terms {
        elastic_mm,
        in_jack_mm,
        dead_end_seating_mm: dead_mm,
        set_mm: end.end.set_mm.or(stressing.set_mm).ok_or("stressing.set_mm")?,
    })
    .map_err(|_| "stressing.set_mm")?;
    Ok(JackLengths {
        head_rear_mm,
        tail_mm: jack.tail_mm.ok_or("jack.tail_mm")?,
        elongation_at_jack_mm: told.at_jack_mm,
        tail_grown_mm: told.anchored_mm,
        retracted_mm: jack.retracted_mm.ok_or("jack.retracted_mm")?,
        stroke_mm: jack.stroke_mm.ok_or("jack.stroke_mm")?,
        hand_room_mm: known.context.limit(works::JACK_ROOM).value,
    })
}

fn room(
    end: &EndAt<'_>,
    call: &str,
    lengths: &JackLengths,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
    rows: &mut Vec<Vec<Cell>>,
) {
    let Ok(room) = jack_room(lengths) else {
        step.lacks(
            "jack.retracted_mm",
            Some(call.to_owned()),
            "the jack's room in its three cases",
        );
        return;
    };
    let behind_mm = end.end.removal_space.as_deref().and_then(|space| space.behind_mm);
    rows.push(vec![
        Cell::from(call),
        Cell::from(room.threading_mm),
        Cell::from(room.stressing_mm),
        Cell::from(room.taking_off_mm),
        Cell::from(behind_mm),
        Cell::from(match room.binds {
            JackCase::Threading => "threading on",
            JackCase::Stressing => "stressing",
            JackCase::TakingOff => "taking off",
        }),
    ]);
    match behind_mm {
        Some(behind_mm) if behind_mm < room.need_mm => blocked.push(Blocked {
            step: step.id,
            constraint: Line::from("the jack needs {need_mm} behind the bearing plate at {end}, and there are {behind_mm}")
                .with(Fact::computed("need_mm", room.need_mm, 0))
                .with(Fact::text("end", call))
                .with(Fact::given("behind_mm", behind_mm, 0)),
            remedy: Line::from("{more_mm} more room, another jack that is listed for the anchorage, or stressing from the other end")
                .with(Fact::computed("more_mm", room.need_mm - behind_mm, 0)),
            place: end.route.field("removal_space").field("behind_mm"),
        }),
        Some(_) => {}
        None => step.lacks("removal_space.behind_mm", Some(call.to_owned()), "whether the jack has room"),
    }
}
