//! What lies in the deviators is drawn out of their forms.

use restrand_finding::Fact;
use restrand_mechanics::removal::piece_mass_kg;
use restrand_model::route::Route;
use restrand_model::schedule::Permanence;
use restrand_rules::DeviatorSpot;
use restrand_rules::works::{self, Held};

use crate::bonds;
use crate::cuts::{Between, CutPlan};
use crate::plan::{Blocked, Cell, Column, Line, Step, StepId, Table};
use crate::tendon::Known;
use crate::way;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, blocked: &mut Vec<Blocked>) {
    let Some(plan) = step.known(
        known.cuts.as_ref().map_err(|field| *field),
        None,
        "what is left in the deviators",
    ) else {
        return;
    };
    let laid = known.context.path(known.at).ok();
    let mut rows = Vec::new();
    let mut stuck: Vec<String> = Vec::new();
    for out in &plan.outs {
        let Between::Stub(held) = &out.between else { continue };
        let mass_kg = known
            .mass
            .as_ref()
            .ok()
            .and_then(|mass| piece_mass_kg(mass.total_kg_per_m, out.length_m(), 0.0).ok());
        let bend_rad =
            held.deviator.zip(laid).and_then(|(index, laid)| match laid.deviators.get(index)? {
                DeviatorSpot::Corner(bend) => laid.path.bends.get(*bend).map(|bend| bend.angle_rad),
                _ => None,
            });
        let swing_mm = held
            .deviator
            .and_then(|index| known.tendon.deviators.get(index))
            .map(|deviator| [deviator.swing_room_down_mm, deviator.swing_room_up_mm]);
        if let Some([None, _] | [_, None]) = swing_mm {
            step.lacks(
                "deviator.swing_room_up_mm",
                Some(held.place.clone()),
                "room to turn the bent piece beside the form",
            );
        }
        let [down_mm, up_mm] = swing_mm.unwrap_or([None; 2]);
        if let (Some(down_mm), Some(up_mm)) = (down_mm, up_mm)
            && bend_rad.is_some_and(|bend_rad| bend_rad > 0.0)
            && out.length_m() * 1000.0 > down_mm.max(up_mm)
        {
            let clear_m = known.context.limit(works::CUT_CLEAR).value / 1000.0;
            let nearer = known.along.as_ref().ok().map(|along| {
                [held.along_m[0] - clear_m, held.along_m[1] + clear_m]
                    .map(|at_m| along.station_m(at_m))
            });
            let facts = |line: Line| {
                let line = line
                    .with(Fact::text("place", held.place.as_str()))
                    .with(Fact::computed("stub_m", out.length_m(), 2))
                    .with(Fact::given("room_m", down_mm.max(up_mm) / 1000.0, 2));
                match nearer {
                    Some([from_m, to_m]) => line
                        .with(Fact::computed("from_m", from_m, 2))
                        .with(Fact::computed("to_m", to_m, 2)),
                    None => line,
                }
            };
            blocked.push(Blocked {
                step: step.id,
                constraint: facts(Line::from("the bent stub in {place} is {stub_m} long, and the larger room beside the form, {room_m}, is too short to draw it out")),
                remedy: facts(Line::from("cut it nearer to the form, from station {from_m} to {to_m} at the nearest")),
                place: known.at.route.field("cuts"),
            });
        }
        if bonded(known, held, step, blocked) {
            stuck.push(held.place.clone());
        }
        rows.push(vec![
            Cell::from(held.place.as_str()),
            Cell::from(out.length_m()),
            Cell::from(mass_kg),
            bend_rad.map_or(Cell::Blank, Cell::Number),
            held.deviator.map_or(Cell::Blank, |index| Cell::from(throat_gap_mm(known, index))),
            Cell::from(down_mm),
            Cell::from(up_mm),
        ]);
        if let Some(index) = held.deviator {
            step.rests_on(known.at.route.field("deviators").item(index));
        }
    }
    if rows.is_empty() {
        step.say("The tendon passes no deviator");
        return;
    }
    if !stuck.is_empty() {
        step.say(
            Line::from("The stub in {places} cannot be drawn out: it is bonded where nobody can reach, and nothing is pulled against a form")
                .with(Fact::text("places", stuck.join(", "))),
        );
    }
    if stuck.len() < rows.len() {
        let text = match stuck.is_empty() {
            true => {
                "Mouth seals and boots of the forms are stripped in place; each stub is bent and stiff: it is drawn towards the side with more room, in line with the form's axis, and turned as it leaves"
            }
            false => {
                "Of the other forms mouth seals and boots are stripped in place; each stub there is bent and stiff: it is drawn towards the side with more room, in line with the form's axis, and turned as it leaves"
            }
        };
        step.say(text);
    }
    out(known, plan, &stuck, step, blocked);
    step.tables.push(Table {
        title: "Stubs in the deviators".to_owned(),
        columns: vec![
            Column { name: "place", digits: 0 },
            Column { name: "length_m", digits: 3 },
            Column { name: "mass_kg", digits: 0 },
            Column { name: "bend_rad", digits: 4 },
            Column { name: "gap_in_throat_mm", digits: 1 },
            Column { name: "room_down_station_mm", digits: 0 },
            Column { name: "room_up_station_mm", digits: 0 },
        ],
        rows,
    });
    step.takes("Slings on both sides of each form, and a puller that draws along the form's axis; a hand saw for a stub that jams");
    step.say("The gap in the throat is what is left all round at worst tolerance; none means that the stub cannot pass whole");
    step.hold(
        "If a stub jams it is cut again close to both faces; nothing is driven out against a form",
    );
    step.beware("The forms stay: no saw, bar or wedge touches their bore");
}

/// What the duct leaves all round in the tightest permanent part of a form, at worst tolerance, mm.
fn throat_gap_mm(known: &Known<'_, '_>, index: usize) -> Option<f64> {
    let duct = known.context.duct_in_form(known.at, index).ok()?;
    let outer_mm = works::worst_duct_mm(duct.record).ok()?;
    let parts = known.context.deviator_parts(known.at, index);
    let permanent = parts.iter().filter(|part| part.part.permanence == Some(Permanence::Permanent));
    let bores = permanent.filter_map(|part| super::gauging::least_bore_mm(&part.part)?.1);
    let bore_mm = bores.reduce(f64::min)?;
    Some((bore_mm - outer_mm) / 2.0)
}

/// Whether what lies in a form is bonded there where nobody can reach: then it cannot be drawn.
fn bonded(known: &Known<'_, '_>, held: &Held, step: &mut Step, blocked: &mut Vec<Blocked>) -> bool {
    let mut is_stuck = false;
    let mut against = |part: String, to: String, place: Route| {
        is_stuck = true;
        blocked.push(Blocked {
            step: StepId::DeviatorStubs,
            constraint: Line::from("{part} in {place} has to leave, but is bonded to {to} where nobody can reach the bond: the stub there cannot be drawn out")
                .with(Fact::text("part", part))
                .with(Fact::text("place", held.place.as_str()))
                .with(Fact::text("to", to)),
            remedy: Line::from("a way to the bond, stated with the method that breaks it without harm to the form; without one the tendon cannot be replaced as it was"),
            place,
        });
    };
    if let Some(index) = held.deviator {
        for bond in bonds::out_of_reach(known.context.deviator_parts(known.at, index)) {
            against(bond.part, bond.to, bond.place);
        }
    }
    for (index, point) in known.tendon.bonded_points.iter().enumerate() {
        let here = match (&point.place, point.station_m, &known.along) {
            (Some(place), _, _) => place.key() == held.place,
            (None, Some(station_m), Ok(along)) => {
                (held.along_m[0]..=held.along_m[1]).contains(&along.at_m(station_m))
            }
            _ => false,
        };
        let place = known.at.route.field("bonded_points").item(index);
        match point.accessible {
            _ if !here => {}
            Some(false) => against("the tendon".to_owned(), "the structure".to_owned(), place),
            Some(true) => step.say(
                Line::from("In {place} the tendon is bonded to the structure: the bond is broken where it can be reached before the stub is drawn")
                    .with(Fact::text("place", held.place.as_str())),
            ),
            None => step.lacks(
                "bonded_point.accessible",
                Some(held.place.clone()),
                "whether the bond there can be reached, and the stub drawn out",
            ),
        }
    }
    is_stuck
}

/// A stub is drawn into a bay beside its form: one of them has to take it.
fn no_room_beside(
    known: &Known<'_, '_>,
    held: &Held,
    beside: [Option<usize>; 2],
    length_mm: f64,
    step: &Step,
    blocked: &mut Vec<Blocked>,
) {
    let rooms = beside.into_iter().flatten().map(|bay| known.ways.length_mm(known.context, bay));
    let Some(rooms) = rooms.collect::<Option<Vec<f64>>>() else { return };
    let Some(room_mm) = rooms.into_iter().reduce(f64::max) else { return };
    if room_mm >= length_mm {
        return;
    }
    let facts = |line: Line| {
        line.with(Fact::text("place", held.place.as_str()))
            .with(Fact::computed("stub_mm", length_mm, 0))
            .with(Fact::computed("room_mm", room_mm, 0))
    };
    blocked.push(Blocked {
        step: step.id,
        constraint: facts(Line::from("the stub in {place} is {stub_mm} long, and the longer bay beside the form {room_mm}: it cannot be drawn out into it")),
        remedy: facts(Line::from("cut it nearer to the form, so that {room_mm} take it, or say which bay it is drawn into")),
        place: known.at.route.field("cuts"),
    });
}

/// The way out of each stub, from the bay beside its form with the better way: it may leave on either side.
fn out(
    known: &Known<'_, '_>,
    plan: &CutPlan,
    stuck: &[String],
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let Ok(along) = &known.along else { return };
    // By bay and width, the places of its stubs and the longest of them.
    let mut by_bay: Vec<(usize, Vec<&str>, [f64; 2])> = Vec::new();
    for out in &plan.outs {
        let Between::Stub(held) = &out.between else { continue };
        if stuck.contains(&held.place) {
            continue;
        }
        let widest = known.widest(out.along_m);
        let at = Some(held.place.as_str());
        let Some(widest) = step.known(widest, at, "the way out of stubs and bars") else {
            continue;
        };
        if let Some(field) = widest.lacks {
            step.lacks(field, Some(held.place.clone()), "how wide a stub is on its way out");
        }
        let rods = known.rods(widest.diameter_mm);
        let beside = out.along_m.map(|at_m| known.bay_at(along.station_m(at_m)));
        let bay = beside.into_iter().flatten().max_by(|one, other| {
            let way = |bay: usize| rods.to(&known.ways, bay).map_or(0.0, |way| way.longest_mm);
            way(*one).total_cmp(&way(*other))
        });
        let Some(bay) = bay else {
            step.lacks(known.no_bay(), Some(held.place.clone()), "the way out of stubs and bars");
            continue;
        };
        let length_mm = out.length_m() * 1000.0;
        no_room_beside(known, held, beside, length_mm, step, blocked);
        #[expect(clippy::float_cmp, reason = "the same value of the same records")]
        let same = |of: &(usize, Vec<&str>, [f64; 2])| of.0 == bay && of.2[1] == widest.diameter_mm;
        match by_bay.iter_mut().find(|of| same(of)) {
            Some((_, places, [longest_mm, _])) => {
                places.push(&held.place);
                *longest_mm = longest_mm.max(length_mm);
            }
            None => by_bay.push((bay, vec![&held.place], [length_mm, widest.diameter_mm])),
        }
    }
    for (bay, places, [length_mm, diameter_mm]) in by_bay {
        let mass_kg = known
            .mass
            .as_ref()
            .ok()
            .and_then(|mass| piece_mass_kg(mass.total_kg_per_m, length_mm / 1000.0, 0.0).ok());
        let what = format!("stubs of {}", places.join(" and "));
        let load = way::Load { what, length_mm, diameter_mm, mass_kg };
        way::carried(known, &load, way::Bound::Out, bay, step, blocked);
    }
}
