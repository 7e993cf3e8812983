//! Plans of the demo bridge's tendons, as they are and with what makes them harder.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::path::Path;

use restrand_check::rulebook::built_in_force;
use restrand_finding::{FactValue, fill_in};
use restrand_intake::Reading;
use restrand_kit::{Budget, Bytes, Part, Parts};
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_model::schedule::{
    BondedPoint, CutPlace, Filler, Release, Replacement, Schedule, Status, StressingFrom, Tendon,
};
use restrand_plan::{Cell, Plan, Step, StepId, Table, plan};
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
    let mut schedule = demo().schedule;
    let is_it = |tendon: &Tendon| tendon.mark.as_deref() == Some(mark);
    change(schedule.tendons.iter_mut().find(|tendon| is_it(tendon)).unwrap());
    plans(&schedule).into_iter().find(|plan| plan.tendon == mark).unwrap()
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

fn fact(step: &Step, name: &str) -> f64 {
    let facts = step.lines.iter().flat_map(|line| &line.facts);
    let values = facts.filter(|fact| fact.name == name).map(|fact| &fact.value);
    let number = |value: &FactValue| match value {
        FactValue::Number(number) => Some(*number),
        FactValue::Text(_) => None,
    };
    values.filter_map(number).next().unwrap()
}

fn close(ours: &[f64], printed: &[f64], half_unit: f64) {
    assert_eq!(ours.len(), printed.len(), "{ours:?}");
    for (ours, printed) in ours.iter().zip(printed) {
        assert!((ours - printed).abs() <= half_unit, "{ours} is not {printed}");
    }
}

/// `fixtures/demo/replacement-by-hand.md`, sections 5, 6, 7, 9 and 10.
#[test]
fn the_plan_of_t11l_has_the_numbers_of_the_hand_walk() {
    let plan = plan_of("T11L", |_| {});
    assert_eq!(plan.blocked, []);

    let release = table(&plan, StepId::Release, "Energy");
    close(&column(release, "energy_kj"), &[449.0], 0.5);

    let jack = table(&plan, StepId::JackIn, "Room");
    close(&column(jack, "threading_on_mm"), &[2325.0], 0.5);
    close(&column(jack, "stressing_mm"), &[1699.5], 0.5);
    close(&column(jack, "taking_off_mm"), &[2588.0], 0.5);

    let pieces = table(&plan, StepId::Pieces, "Pieces");
    let lengths = column(pieces, "length_m");
    // Six, seven with the middle one halved by the release, and five and one.
    assert_eq!(lengths.len(), 6 + 8 + 6);
    close(&lengths[..6], &[1.918; 6], 0.001_5);
    close(&lengths[6..9], &[1.8; 3], 0.001);
    close(&lengths[9..11], &[0.9; 2], 0.001);
    close(&lengths[14..19], &[1.937; 5], 0.001_5);
    close(&lengths[19..], &[1.5], 0.001_5);
    close(&column(pieces, "mass_kg")[..6], &[73.0; 6], 0.5);

    let stubs = table(&plan, StepId::DeviatorStubs, "Stubs");
    close(&column(stubs, "length_m"), &[1.4, 1.4], 0.005);
    close(&column(stubs, "bend_rad"), &[0.075_37, 0.097_76], 5e-6);
    close(&column(stubs, "mass_kg"), &[54.0; 2], 0.5);

    let pulls = table(&plan, StepId::AnchorStubs, "Pulls");
    // The hand walk saws at 850 mm by choice; the plan as far back as the room allows.
    close(&column(pulls, "leaves_mm"), &[1350.0, 245.0, 2345.0], 0.5);

    let gauged = table(&plan, StepId::Gauging, "Permanent");
    close(&column(gauged, "mandrel_mm")[..5], &[199.0, 176.0, 176.0, 199.0, 226.0], 0.0);
    close(&column(gauged, "mandrel_mm")[5..], &[146.0; 6], 0.0);

    let stressing = step(&plan, StepId::Stressing);
    let steps = table(&plan, StepId::Stressing, "Steps");
    close(&column(steps, "force_kn"), &[720.0, 1440.0, 2160.0, 2880.0, 3600.0], 0.5);
    close(&column(steps, "gauge_mpa"), &[8.18, 16.33, 24.46, 32.60, 40.73], 0.005_1);
    close(&column(steps, "elongation_mm"), &[54.3, 108.6, 162.9, 217.2, 271.5], 0.05);
    close(&column(steps, "above_baseline_mm"), &[0.0, 54.3, 108.6, 162.9, 217.2], 0.05);
    close(&[fact(stressing, "least_mm"), fact(stressing, "most_mm")], &[202.0, 232.0], 0.5);
    close(&[fact(stressing, "lift_off_kn")], &[3414.0], 0.5);
    close(&[fact(stressing, "gauge_mpa")], &[38.63], 0.005_1);

    let filling = step(&plan, StepId::Filling);
    // The hand walk forgets the bore of the shim plate, 0.9 L.
    close(&[fact(filling, "net_l")], &[325.5 + 0.9], 0.06);
    close(&[fact(filling, "bags")], &[11.0], 0.0);
    close(&[fact(filling, "rate")], &[80.0], 0.5);
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
                    // Whole free lengths do not get through the hatch.
                    if piece_length_mm < 5000.0 {
                        assert_eq!(plan.blocked, []);
                    }
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

#[test]
fn the_steps_are_in_their_order_and_no_cap_comes_off_before_the_force_is_zero() {
    for plan in in_place(&demo().schedule) {
        let ids: Vec<_> = plan.steps.iter().map(|step| step.id).collect();
        let mut sorted = ids.clone();
        sorted.sort();
        assert_eq!((ids.len(), &ids), (16, &sorted));
        let at = |id| ids.iter().position(|other| *other == id).unwrap();
        for later in [StepId::Pieces, StepId::AnchorStubs] {
            assert!(at(StepId::Release) < at(StepId::ZeroForce));
            assert!(at(StepId::ZeroForce) < at(later));
        }
        assert!(step(&plan, StepId::Release).lines.iter().all(|line| !line.text.contains("cap")));
    }
}

#[test]
fn the_filler_decides_what_to_beware_of() {
    let cautions = |filler: Option<Filler>| {
        let plan = plan_of("T12L", |tendon| tendon.filler = filler);
        let steps = [StepId::Survey, StepId::Release, StepId::Filling];
        let lines = steps.map(|id| step(&plan, id).cautions.clone()).concat();
        lines.into_iter().map(|line| line.text).collect::<Vec<_>>().join("\n")
    };
    assert!(cautions(Some(Filler::CementGrout)).contains("dust"));
    for filler in [Some(Filler::Wax), Some(Filler::Grease)] {
        assert!(cautions(filler).contains("No hot work"), "{filler:?}");
    }
    // What is not known is the worst of each.
    for filler in [Some(Filler::Unknown), None] {
        let cautions = cautions(filler);
        assert!(cautions.contains("No hot work") && cautions.contains("Dust"), "{cautions}");
    }
    let unfilled = plan_of("T12L", |tendon| tendon.filler = Some(Filler::None));
    assert_eq!(step(&unfilled, StepId::Filling).tables, []);
}

#[test]
fn where_a_stub_cannot_come_out_the_remedy_frees_it() {
    let set = |behind_mm: f64| {
        plan_of("T12R", |tendon| {
            let end = tendon.ends.as_deref_mut().unwrap().a.as_deref_mut().unwrap();
            end.removal_space.as_deref_mut().unwrap().behind_mm = Some(behind_mm);
        })
    };
    let blocked = set(600.0);
    let stub = blocked.blocked.iter().find(|blocked| blocked.step == StepId::AnchorStubs).unwrap();
    let least = stub.remedy.facts.iter().find(|fact| fact.name == "least_mm").unwrap();
    let FactValue::Number(least_mm) = least.value else { panic!("a length is a number") };
    let is_stuck =
        |plan: &Plan| plan.blocked.iter().any(|blocked| blocked.step == StepId::AnchorStubs);
    assert!(!is_stuck(&set(least_mm)));
    assert!(is_stuck(&set(least_mm - 1.0)));
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
fn what_is_not_stated_stays_a_hole() {
    let bare = Schedule {
        tendons: vec![Tendon {
            mark: Some("T1".into()),
            status: Some(Status::InUse),
            ..Tendon::default()
        }],
        ..Schedule::default()
    };
    let plan = &plans(&bare)[0];
    assert_eq!(plan.steps.len(), 16);
    assert!(plan.holes.len() > 15, "{}", plan.holes.len());
    // No number comes from nowhere.
    for step in &plan.steps {
        assert_eq!(step.tables, [], "{:?}", step.id);
        for line in &step.lines {
            assert!(
                line.facts.iter().all(|fact| matches!(fact.value, FactValue::Text(_))),
                "{line:?}"
            );
        }
    }
}

#[test]
fn each_hole_alone_leaves_the_rest_of_the_plan() {
    let without = |change: fn(&mut Tendon)| plan_of("T11L", change);
    let no_target =
        without(|tendon| tendon.replacement.as_deref_mut().unwrap().target_force_kn = None);
    let field = |plan: &Plan, field: &str| plan.holes.iter().any(|hole| hole.field == field);
    assert!(field(&no_target, "replacement.target_force_kn"));
    let no_tail = without(|tendon| {
        tendon.ends.as_deref_mut().unwrap().a.as_deref_mut().unwrap().tail_mm = None;
    });
    assert!(field(&no_tail, "end.tail_mm"));
    assert_eq!(column(table(&no_tail, StepId::AnchorStubs, "Pulls"), "leaves_mm").len(), 1);
    let no_pieces = without(|tendon| {
        tendon.cuts.clear();
        let replacement = tendon.replacement.as_deref_mut().unwrap();
        replacement.piece_length_mm = None;
        replacement.piece_mass_limit_kg = None;
    });
    // Who carries the pieces is still stated by the project.
    let lengths = column(table(&no_pieces, StepId::Pieces, "Pieces"), "length_m");
    assert!(lengths.iter().all(|length| *length < 2.1));
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
    assert_eq!((first, reserved.steps.len()), (Some(StepId::Gauging), 8));
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
fn each_bonded_length_needs_a_release_of_its_own() {
    let bonded = plan_of("T11L", |tendon| {
        replacement(tendon).unbonded = Some(false);
        let place = tendon.deviators[0].place.clone();
        tendon.bonded_points = vec![BondedPoint { place, ..BondedPoint::default() }];
    });
    let told = constraints(&bonded, StepId::Release);
    // The stated release lies beyond D11; the length from A1 to D11 has none.
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("the bonded length from 0 m"), "{told:?}");
    let unknown = plan_of("T11L", |tendon| replacement(tendon).unbonded = Some(false));
    assert!(unknown.holes.iter().any(|hole| hole.field == "tendon.bonded_points"));
    let lines = &step(&unknown, StepId::Release).lines;
    assert!(lines.iter().all(|line| !line.text.contains("one bonded length")));
}

#[test]
fn strands_are_not_heated_beside_what_burns_or_may() {
    for filler in [Some(Filler::Wax), Some(Filler::Grease), Some(Filler::Unknown), None] {
        let plan = plan_of("T11L", |tendon| {
            tendon.filler = filler;
            replacement(tendon).release = Some(Release::Heating);
        });
        assert_eq!(constraints(&plan, StepId::Release).len(), 1, "{filler:?}");
        let lines = &step(&plan, StepId::Release).lines;
        assert!(lines.iter().all(|line| !line.text.contains("heated one after another")));
    }
    let grouted = plan_of("T11L", |tendon| {
        replacement(tendon).release = Some(Release::Heating);
    });
    assert_eq!(constraints(&grouted, StepId::Release), [""; 0]);
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
fn a_piece_that_does_not_get_out_stands_against_the_plan() {
    let plan = plan_of("T11L", |tendon| {
        tendon.cuts.clear();
        let own = replacement(tendon);
        own.piece_length_mm = Some(100_000.0);
        own.piece_mass_limit_kg = None;
    });
    let told = constraints(&plan, StepId::Pieces);
    assert!(
        told.iter().any(|told| told.contains("does not get out through opening H1")),
        "{told:?}"
    );
}

#[test]
fn the_second_of_two_pulls_has_no_readings_in_proportion() {
    let plan = plan_of("T11L", |tendon| {
        tendon.stressing.as_deref_mut().unwrap().from = Some(StressingFrom::BThenA);
        let ends = tendon.ends.as_deref_mut().unwrap();
        ends.a.as_deref_mut().unwrap().jack = ends.b.as_deref().unwrap().jack.clone();
    });
    let tables = &step(&plan, StepId::Stressing).tables;
    assert_eq!(tables.len(), 2);
    assert_eq!(column(&tables[0], "elongation_mm").len(), 5);
    assert_eq!(column(&tables[1], "elongation_mm"), [0.0; 0]);
}
