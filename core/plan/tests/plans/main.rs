//! Plans of the demo bridge's tendons, as they are and with what makes them harder.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod anchorages;
mod bands;
mod beside;
mod bonded;
mod carrying;
mod ceiling;
mod fillers;
mod first_off;
mod gaps;
mod hand_walk;
mod impossible;
mod out;
mod parts;
mod stands;
mod widths;

use std::path::Path;

use restrand_check::rulebook::built_in_force;
use restrand_finding::{FactValue, fill_in};
use restrand_intake::Reading;
use restrand_kit::{Budget, Bytes, Part, Parts};
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_model::schedule::{
    CutPlace, End, EndName, Release, Replacement, Schedule, Status, StressingFrom, Tendon,
};
use restrand_plan::{Carried, Cell, Line, Plan, Step, StepId, Table, plan};
use restrand_rules::{Context, Rulebook};

fn demo() -> Reading {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/quillmere.json");
    let bytes = Bytes::new("quillmere.json", std::fs::read(path).unwrap());
    let parts: [&dyn Part; 1] = [&bytes];
    restrand_intake::read(&restrand_json::Json, Parts(&parts), Budget::default()).unwrap()
}

fn book() -> Rulebook {
    built_in_force("lrfd-2020").unwrap()
}

fn plans(schedule: &Schedule) -> Vec<Plan> {
    let book = book();
    let context = Context::new(schedule, &[], &[], &book, Date::new(2026, 11, 25).unwrap());
    context.tendons().map(|at| plan(&context, &at)).collect()
}

/// The plans of tendons that are there to be taken out.
fn in_place(schedule: &Schedule) -> Vec<Plan> {
    let plans: Vec<_> = plans(schedule).into_iter().filter(|plan| plan.not_for.is_none()).collect();
    assert_eq!(plans.len(), 16);
    plans
}

fn plan_of(mark: &str, change: impl Fn(&mut Tendon)) -> Plan {
    plan_in(mark, |schedule| change(tendon(schedule, mark)))
}

fn tendon<'s>(schedule: &'s mut Schedule, mark: &str) -> &'s mut Tendon {
    let is_it = |tendon: &&mut Tendon| tendon.mark.as_deref() == Some(mark);
    schedule.tendons.iter_mut().find(is_it).unwrap()
}

/// The plan of a tendon of a bridge that differs from the demo.
fn plan_in(mark: &str, change: impl Fn(&mut Schedule)) -> Plan {
    let mut schedule = demo().schedule;
    change(&mut schedule);
    let book = book();
    let context = Context::new(&schedule, &[], &[], &book, Date::new(2026, 11, 25).unwrap());
    let at = context.tendons().find(|at| at.tendon.mark.as_deref() == Some(mark)).unwrap();
    plan(&context, &at)
}

/// The plan of a tendon of a bridge that differs from the demo, with what its check finds.
fn heeded(mark: &str, change: impl Fn(&mut Schedule)) -> Plan {
    let mut reading = demo();
    change(&mut reading.schedule);
    let book = book();
    let as_of = Date::new(2026, 11, 25).unwrap();
    let report = restrand_check::check(&reading, &book, as_of);
    let context = Context::new(&reading.schedule, &[], &[], &book, as_of);
    let at = context.tendons().find(|at| at.tendon.mark.as_deref() == Some(mark)).unwrap();
    let mut plan = plan(&context, &at);
    plan.heed(report.findings.iter().map(|found| &found.finding));
    plan
}

/// Lines as people read them.
fn shown(lines: &[Line]) -> String {
    lines
        .iter()
        .map(|line| fill_in(&line.text, &line.facts, System::Si))
        .collect::<Vec<_>>()
        .join("\n")
}

/// An end of a tendon.
fn end(tendon: &mut Tendon, name: EndName) -> &mut End {
    let ends = tendon.ends.as_deref_mut().unwrap();
    match name {
        EndName::A => ends.a.as_deref_mut().unwrap(),
        EndName::B => ends.b.as_deref_mut().unwrap(),
    }
}

/// Whether a plan names a field as missing.
fn lacks(plan: &Plan, field: &str) -> bool {
    plan.holes.iter().any(|hole| hole.field == field)
}

fn step(plan: &Plan, id: StepId) -> &Step {
    plan.steps.iter().find(|step| step.id == id).unwrap()
}

fn table<'p>(plan: &'p Plan, id: StepId, title: &str) -> &'p Table {
    let tables = &step(plan, id).tables;
    tables.iter().find(|table| table.title.starts_with(title)).unwrap()
}

/// The numbers of a column, holes and blanks left out.
fn column(table: &Table, name: &str) -> Vec<f64> {
    let index = table.columns.iter().position(|column| column.name == name).unwrap();
    let number = |row: &Vec<Cell>| match row[index] {
        Cell::Number(number) => Some(number),
        _ => None,
    };
    table.rows.iter().filter_map(number).collect()
}

/// The texts of a column.
fn texts<'t>(table: &'t Table, name: &str) -> Vec<&'t str> {
    let index = table.columns.iter().position(|column| column.name == name).unwrap();
    let text = |row: &'t Vec<Cell>| match &row[index] {
        Cell::Text(text) => Some(text.as_str()),
        _ => None,
    };
    table.rows.iter().filter_map(text).collect()
}

/// The number of this name in what is said, in the tools or in the cautions of a step.
#[track_caller]
fn fact(step: &Step, name: &str) -> f64 {
    let lines = step.lines.iter().chain(&step.tools).chain(&step.cautions);
    let facts = lines.flat_map(|line| &line.facts);
    let values = facts.filter(|fact| fact.name == name).map(|fact| &fact.value);
    let number = |value: &FactValue| match value {
        FactValue::Number(number) => Some(*number),
        FactValue::Text(_) => None,
    };
    values.filter_map(number).next().unwrap()
}

#[track_caller]
fn close(ours: &[f64], printed: &[f64], half_unit: f64) {
    assert_eq!(ours.len(), printed.len(), "{ours:?}");
    for (ours, printed) in ours.iter().zip(printed) {
        assert!((ours - printed).abs() <= half_unit, "{ours} is not {printed}");
    }
}

/// Stations of the cuts in their order.
fn cuts(plan: &Plan) -> Vec<f64> {
    column(table(plan, StepId::Pieces, "Cuts"), "station_m")
}

#[test]
fn pieces_and_stubs_add_up_to_the_tendon_whatever_the_length_of_a_piece() {
    for stated in [true, false] {
        for piece_length_mm in [900.0, 1234.0, 2000.0, 2500.0, 100_000.0] {
            let mut schedule = demo().schedule;
            for tendon in &mut schedule.tendons {
                let replacement = tendon.replacement.as_deref_mut().unwrap();
                if !stated {
                    tendon.cuts.clear();
                    replacement.piece_length_mm = Some(piece_length_mm);
                    replacement.piece_mass_limit_kg = None;
                }
            }
            for plan in in_place(&schedule) {
                let lengths = column(table(&plan, StepId::Pieces, "Pieces"), "length_m");
                let deviators = column(table(&plan, StepId::DeviatorStubs, "Stubs"), "length_m");
                let tendon = schedule
                    .tendons
                    .iter()
                    .find(|tendon| tendon.mark.as_deref() == Some(&plan.tendon))
                    .unwrap();
                let ends = tendon.ends.as_deref().unwrap();
                let inner_m: f64 = [&ends.a, &ends.b]
                    .map(|end| -end.as_deref().unwrap().stub_cut_mm.unwrap() / 1000.0)
                    .iter()
                    .sum();
                let sum: f64 = lengths.iter().chain(&deviators).sum();
                let whole = tendon.length_m.unwrap();
                assert!((sum + inner_m - whole).abs() < 0.02, "{}: {sum} {whole}", plan.tendon);
                if !stated {
                    for length in &lengths {
                        assert!(length * 1000.0 <= piece_length_mm + 1e-6, "{length}");
                    }
                    // Where longer ones are allowed, the openings bound them.
                    assert_eq!(plan.blocked, [], "{piece_length_mm}");
                }
            }
        }
    }
}

#[test]
fn no_planned_cut_lies_in_concrete_or_in_a_form_and_the_first_one_releases() {
    let mut schedule = demo().schedule;
    for tendon in &mut schedule.tendons {
        tendon.cuts.clear();
    }
    for plan in in_place(&schedule) {
        let stations = cuts(&plan);
        for place in &schedule.places {
            let half_m = place.thickness_mm.unwrap() / 2000.0;
            let middle_m = place.station_m.unwrap();
            for station in &stations {
                assert!((station - middle_m).abs() > half_m, "{} in {:?}", station, place.id);
            }
        }
        let rows = &table(&plan, StepId::Pieces, "Cuts").rows;
        assert_eq!(rows[0][2], Cell::Text("release".to_owned()));
        // From the release outward: each cut is as far from it as the one before, or further.
        let first = stations[0];
        let away: Vec<f64> = stations.iter().map(|station| (station - first).abs()).collect();
        for pair in away.windows(2) {
            assert!(pair[1] >= pair[0] - 0.05, "{away:?}");
        }
    }
}

/// What is said in a step, with its tools, holds and cautions left out.
fn said(step: &Step) -> String {
    let lines = step.lines.iter();
    lines.map(|line| fill_in(&line.text, &line.facts, System::Si)).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_piece_has_a_way_out_that_takes_it() {
    for piece_length_mm in [900.0, 2000.0, 100_000.0] {
        let mut schedule = demo().schedule;
        for tendon in &mut schedule.tendons {
            tendon.cuts.clear();
            let own = tendon.replacement.as_deref_mut().unwrap();
            own.piece_length_mm = Some(piece_length_mm);
            own.piece_mass_limit_kg = None;
        }
        for plan in in_place(&schedule) {
            let pieces = step(&plan, StepId::Pieces);
            let rows = &table(&plan, StepId::Pieces, "Pieces").rows;
            assert!(!rows.is_empty());
            for row in rows {
                let (Cell::Text(bay), Cell::Number(length_m)) = (&row[1], &row[4]) else {
                    panic!("a piece without a bay or a length: {row:?}")
                };
                // The way of its bay is among the ways, and was worked out for a piece no shorter.
                let way = pieces.ways.iter().find(|way| match &way.what {
                    Carried::Piece { bay: of, .. } => of == bay,
                    Carried::Jack(_) | Carried::Load { .. } => false,
                });
                let way = way.unwrap_or_else(|| panic!("{}: no way from {bay}", plan.tendon));
                let Carried::Piece { length_mm, .. } = way.what else { panic!("a piece") };
                assert!(length_mm + 1e-6 >= length_m * 1000.0);
                assert!(way.openings.contains(&way.binds));
            }
        }
    }
}

#[test]
fn the_steps_are_in_their_order_and_no_cap_comes_off_before_the_force_is_zero() {
    for plan in in_place(&demo().schedule) {
        let ids: Vec<_> = plan.steps.iter().map(|step| step.id).collect();
        let mut sorted = ids.clone();
        sorted.sort();
        assert_eq!((ids.len(), &ids), (16, &sorted));
        let at = |id| ids.iter().position(|other| *other == id).unwrap();
        for later in [StepId::Pieces, StepId::DeviatorStubs, StepId::AnchorStubs] {
            assert!(at(StepId::Release) < at(StepId::ZeroForce));
            assert!(at(StepId::ZeroForce) < at(later));
        }
        // The words that take something off stand nowhere before the force is shown to be zero.
        let off = ["unbolted", "slides off", "comes out rearward", "Stripped in place", "leave by"];
        for (index, step) in plan.steps.iter().enumerate() {
            let said = said(step);
            let takes_off = off.iter().any(|words| said.contains(words));
            assert!(!takes_off || index > at(StepId::ZeroForce), "{:?}: {said}", step.id);
        }
        let said = said(step(&plan, StepId::AnchorStubs));
        assert!(said.contains("unbolted") && said.contains("Stripped in place"), "{said}");
        // What holds the caps on is said where the release is made.
        assert!(self::said(step(&plan, StepId::Restraints)).contains("Both caps stay on"));
    }
}

#[test]
fn a_stated_cut_in_concrete_is_told_with_the_nearest_place_for_it() {
    let plan = plan_of("T11L", |tendon| tendon.cuts[7].station_m = Some(113.4));
    let pieces = plan.blocked.iter().filter(|blocked| blocked.step == StepId::Pieces);
    let told: Vec<_> = pieces
        .map(|blocked| fill_in(&blocked.remedy.text, &blocked.remedy.facts, System::Si))
        .collect();
    assert!(told.iter().any(|told| told.starts_with("cut at station 113.6 m")), "{told:?}");
}

#[test]
fn a_tendon_that_is_out_or_stays_for_good_has_no_plan() {
    let out = plan_of("T11L", |tendon| tendon.status = Some(Status::Removed));
    let stays = plan_of("T11L", |tendon| tendon.replaceable = Some(false));
    for plan in [out, stays] {
        assert!(plan.not_for.is_some() && plan.steps.is_empty());
    }
}

#[test]
fn a_release_is_always_named_among_the_cuts() {
    let plan = plan_of("T11L", |tendon| {
        for cut in &mut tendon.cuts {
            cut.purpose = Some(CutPlace::Piece);
        }
    });
    assert!(plan.holes.iter().any(|hole| hole.field == "cut.purpose"));
}

#[test]
fn where_no_tendon_is_in_place_only_what_brings_one_in_is_planned() {
    let reserved = plan_of("T25L", |_| {});
    assert!(reserved.not_for.is_some());
    let first = reserved.steps.first().map(|step| step.id);
    assert_eq!((first, reserved.steps.len()), (Some(StepId::Measures), 9));
    assert_eq!(reserved.steps[1].id, StepId::Gauging);
}

fn replacement(tendon: &mut Tendon) -> &mut Replacement {
    tendon.replacement.as_deref_mut().unwrap()
}

fn constraints(plan: &Plan, id: StepId) -> Vec<String> {
    let blocked = plan.blocked.iter().filter(|blocked| blocked.step == id);
    blocked
        .map(|blocked| fill_in(&blocked.constraint.text, &blocked.constraint.facts, System::Si))
        .collect()
}

#[test]
fn a_release_by_the_jack_is_made_at_its_end_and_not_at_a_cut() {
    let by_jack = |here: Option<bool>| {
        plan_of("T11L", |tendon| {
            replacement(tendon).release = Some(Release::JackOff);
            let end = tendon.ends.as_deref_mut().unwrap().b.as_deref_mut().unwrap();
            end.released_here = here;
        })
    };
    let plan = by_jack(Some(true));
    let release = step(&plan, StepId::Release);
    let said = |words: &str| release.lines.iter().any(|line| line.text.contains(words));
    assert!(said("The release is made at {end}") && !said("The first cut is made"));
    // Tails of 40 mm are nothing that a jack which needs 1000 can grip.
    let told = constraints(&plan, StepId::Release);
    assert!(told.iter().any(|told| told.contains("40 mm [1.57 in] long")), "{told:?}");
    assert!(plan.holes.iter().any(|hole| hole.field == "jack.can_release"));
    let nowhere = by_jack(None);
    assert!(nowhere.holes.iter().any(|hole| hole.field == "end.released_here"));
}

#[test]
fn the_second_of_two_pulls_has_no_readings_in_proportion() {
    let plan = plan_of("T11L", |tendon| {
        tendon.stressing.as_deref_mut().unwrap().from = Some(StressingFrom::BThenA);
        let ends = tendon.ends.as_deref_mut().unwrap();
        ends.a.as_deref_mut().unwrap().jack = ends.b.as_deref().unwrap().jack.clone();
    });
    let tables = step(&plan, StepId::Stressing).tables.iter();
    let tables: Vec<_> = tables.filter(|table| table.title.starts_with("Steps")).collect();
    assert_eq!(tables.len(), 2);
    assert_eq!(column(tables[0], "elongation_mm").len(), 5);
    assert_eq!(column(tables[1], "elongation_mm"), [0.0; 0]);
}
