//! The jack comes to each end that is stressed, with the room it needs there.

use restrand_finding::Fact;
use restrand_model::route::Route;
use restrand_model::schedule::Jack;
use restrand_rules::ends::{
    JackBody, WallGap, clear_for_jack, nearest_live, nearest_obstacle, wall_gaps,
};
use restrand_rules::{EndAt, Found, works};

use crate::plan::{Blocked, Cell, Column, Line, Step, Table};
use crate::tendon::Known;
use crate::way::{self, live_body};

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let pull = known.pull.as_ref().map_err(Vec::as_slice);
    let Some(pull) = step.known_all(pull, None, "which ends are stressed, and to which force")
    else {
        return;
    };
    let mut rows = Vec::new();
    for name in pull.ends {
        let Some(end) = known.end(*name) else {
            step.lacks("tendon.ends", None, "the stressed end");
            continue;
        };
        let call = end.call();
        let Some(jack) = known.context.jack(end.end.jack.as_ref()) else {
            let listed = known.context.anchorage(end.end).map(|found| &found.record.jacks);
            let names: Vec<&str> = listed.into_iter().flatten().map(|jack| jack.key()).collect();
            if !names.is_empty() {
                step.say(
                    Line::from("None is chosen for {end}; its anchorage lists {jacks}")
                        .with(Fact::text("end", call.as_str()))
                        .with(Fact::text("jacks", names.join(", "))),
                );
            }
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
        way::of_jack(known, end, &call, step, blocked);
        if let Some(mass_kg) = jack.record.mass_kg {
            let what = ("the jack", jack.record.support.is_some());
            way::hoisted(known, end, &call, what, mass_kg, step, blocked);
        }
        rated(known, jack.record, &call, pull.jacking_kn, step);
        match Room::of(known, end) {
            Ok(needed) => room(known, end, &call, &jack, &needed, step, blocked, &mut rows),
            Err(field) => {
                step.lacks(field, Some(call.clone()), "the jack's room in its three cases");
            }
        }
        beside(known, end, &call, jack.record, step, blocked);
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
                Column { name: "as_far_as", digits: 0 },
                Column { name: "binds", digits: 0 },
            ],
            rows,
        });
    }
    step.hold("Slings, hoist and the points it hangs from carry the jack with their reserve; every opening on its way has been measured");
    step.beware("Nobody stands under the jack, nor between it and a wall");
}

/// What the jack is rated for, against the force that it is to give.
fn rated(known: &Known<'_, '_>, jack: &Jack, call: &str, jacking_kn: f64, step: &mut Step) {
    let Some(rated_kn) = jack.rated_force_kn else {
        return step.lacks(
            "jack.rated_force_kn",
            Some(call.to_owned()),
            "whether the jack gives the force",
        );
    };
    // What is lost inside the jack is asked of it as well.
    let asked_kn = jacking_kn / (1.0 - jack.internal_loss.unwrap_or(0.0)).max(f64::MIN_POSITIVE);
    let mut line =
        Line::from("It is rated for {rated_kn}; {asked_kn} are asked of it, its own loss included")
            .with(Fact::given("rated_kn", rated_kn, 0))
            .with(Fact::computed("asked_kn", asked_kn, 0));
    if let Some(reserve) = known.limit("jack_reserve") {
        let most_kn = rated_kn * (1.0 - reserve.value);
        line.text.push_str(", and {most_kn} are used at most");
        line = line.with(Fact::computed("most_kn", most_kn, 0));
        if asked_kn > most_kn {
            return step.beware(line);
        }
    }
    step.say(line);
}

/// What a jack takes in its three cases, with room for hands and hoses.
struct Room {
    threading_mm: f64,
    stressing_mm: f64,
    taking_off_mm: f64,
    need_mm: f64,
    hand_mm: f64,
    binds: &'static str,
}

impl Room {
    fn of(known: &Known<'_, '_>, end: &EndAt<'_>) -> Result<Self, &'static str> {
        let needs = known.context.jack_needs(known.at, end)?;
        let stroke = needs.stroke?;
        let hand_mm = known.context.limit(works::JACK_ROOM).value;
        let cases = [
            (needs.threading_mm + hand_mm, "threading on"),
            (stroke.stressing_mm + hand_mm, "stressing"),
            (stroke.taking_off_mm + hand_mm, "taking off"),
        ];
        let [threading_mm, stressing_mm, taking_off_mm] = cases.map(|(need_mm, _)| need_mm);
        // Of equal ones the first in time.
        let (need_mm, binds) = cases
            .into_iter()
            .reduce(|most, one| if one.0 > most.0 { one } else { most })
            .unwrap_or(cases[0]);
        Ok(Self { threading_mm, stressing_mm, taking_off_mm, need_mm, hand_mm, binds })
    }
}

#[expect(clippy::too_many_arguments, reason = "a row of the table is made with what is said of it")]
fn room(
    known: &Known<'_, '_>,
    end: &EndAt<'_>,
    call: &str,
    jack: &Found<'_, Jack>,
    room: &Room,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
    rows: &mut Vec<Vec<Cell>>,
) {
    known.behind(end, step);
    let behind = clear_for_jack(known.context, known.at, end, jack.record);
    let behind = step.known(behind, Some(call), "whether the jack has room");
    rows.push(vec![
        Cell::from(call),
        Cell::from(room.threading_mm),
        Cell::from(room.stressing_mm),
        Cell::from(room.taking_off_mm),
        Cell::from(behind.as_ref().map(|behind| behind.clear_mm)),
        behind
            .as_ref()
            .and_then(|behind| behind.obstacle.as_ref())
            .map_or(Cell::Blank, |obstacle| Cell::from(obstacle.name.as_str())),
        Cell::from(room.binds),
    ]);
    let Some(behind) = behind else { return };
    let (clear, obstacle) = (behind.clear(), behind.obstacle);
    let as_far = match obstacle {
        Some(_) => ", as far as {obstacle}",
        None => "",
    };
    let facts = |line: Line| {
        let line = line
            .with(Fact::computed("need_mm", room.need_mm, 0))
            .with(Fact::text("end", call))
            .with(clear.fact("behind_mm", 0))
            .with(Fact::computed("hand_mm", room.hand_mm, 0))
            .with(Fact::computed("more_mm", room.need_mm - clear.mm, 0));
        match &obstacle {
            Some(obstacle) => line.with(Fact::text("obstacle", obstacle.name.as_str())),
            None => line,
        }
    };
    let place = || match &obstacle {
        Some(obstacle) => obstacle.route.clone(),
        None => clear.route(end, "behind_mm"),
    };
    if clear.mm < room.need_mm - room.hand_mm {
        let remedy = match obstacle {
            Some(_) => {
                "{obstacle} taken away or {more_mm} further back, another jack that is listed for the anchorage, or stressing from the other end"
            }
            None => {
                "{more_mm} more room, another jack that is listed for the anchorage, or stressing from the other end"
            }
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(format!("the jack needs {{need_mm}} behind the bearing plate at {{end}}, {{hand_mm}} of it for hands and hoses, and there are {{behind_mm}}{as_far}").as_str())),
            remedy: facts(Line::from(remedy)),
            place: place(),
        });
    } else if clear.mm < room.need_mm {
        step.beware(facts(Line::from(format!("At {{end}} the jack itself has room, but less than {{hand_mm}} is left for hands and hoses{as_far}: {{more_mm}} are short").as_str())));
    }
}

/// What is beside the jack over its travel: walls, obstacles, tendons and caps that stay; each that is too near.
fn beside(
    known: &Known<'_, '_>,
    end: &EndAt<'_>,
    call: &str,
    jack: &Jack,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    const BLOCKS: &str = "what is beside the jack";
    let anchorage = known.context.anchorage(end.end).map(|found| found.record);
    let found = JackBody::of(jack, anchorage)
        .and_then(|body| Ok((body, known.context.jack_needs(known.at, end)?)));
    let Some((body, needs)) = step.known(found, Some(call), BLOCKS) else { return };
    let Some(side) = known.limit("jack_side_mm") else { return };
    let envelope = body.envelope();
    let (context, at) = (known.context, known.at);
    let mut near: Vec<(String, f64, Route)> = Vec::new();
    if let Some(gaps) = step.known(wall_gaps(context, at, end, &envelope), Some(call), BLOCKS) {
        near.extend(gaps.into_iter().map(|WallGap { side, clear, gap_mm }| {
            (format!("the wall {} the axis", side.word), gap_mm, clear.route(end, side.field))
        }));
    }
    let obstacle = nearest_obstacle(context, at, end, &envelope, &needs);
    if let Some(Some((obstacle, gap_mm))) = step.known(obstacle, Some(call), BLOCKS) {
        near.push((obstacle.name.clone(), gap_mm, obstacle.route.clone()));
    }
    let live = nearest_live(context, at, end, &body, &needs, side.value);
    if let Some(Some(nearest)) = step.known(live, Some(call), BLOCKS) {
        near.push((live_body(known, &nearest), nearest.gap_mm, end.route.clone()));
    }
    for (what, gap_mm, place) in near {
        let facts = |line: Line| {
            line.with(Fact::text("end", call))
                .with(Fact::text("what", what.as_str()))
                .with(Fact::computed("gap_mm", gap_mm, 0))
                .with(Fact::computed("overlap_mm", -gap_mm, 0))
                .with(Fact::computed("short_mm", side.value - gap_mm, 0))
                .with(Fact::limit("jack_side_mm", side.value, 0, side.citation.clone()))
        };
        if gap_mm < 0.0 {
            blocked.push(Blocked {
                step: step.id,
                constraint: facts(Line::from("the jack at {end} runs into {what}, by {overlap_mm}, on its way on and off the tails")),
                remedy: facts(Line::from("{short_mm} more room there, or a narrower jack that is listed for the anchorage")),
                place,
            });
        } else if gap_mm < side.value {
            step.beware(facts(Line::from("At {end} the jack passes {what} with {gap_mm} to spare, less than {jack_side_mm}: it is guided past it, and what stays is covered")));
        }
    }
}
