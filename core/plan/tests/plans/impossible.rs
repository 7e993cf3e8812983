//! Where no plan is possible: what binds is said, and the change that is named frees it.

use restrand_model::schedule::EndKind;

use super::*;

/// A number of what stands against a step.
#[track_caller]
fn of_remedy(plan: &Plan, id: StepId, name: &str) -> f64 {
    let mut facts =
        plan.blocked.iter().filter(|blocked| blocked.step == id).flat_map(|one| &one.remedy.facts);
    let fact = facts.find(|fact| fact.name == name);
    match fact.map(|fact| &fact.value) {
        Some(FactValue::Number(number)) => *number,
        other => panic!("{name}: {other:?}"),
    }
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
fn where_the_jack_has_no_room_what_is_named_is_enough() {
    let set = |behind_mm: f64| {
        plan_of("T11L", |tendon| {
            let space = end(tendon, EndName::B).removal_space.as_deref_mut().unwrap();
            space.behind_mm = Some(behind_mm);
        })
    };
    let short = set(2000.0);
    let told = constraints(&short, StepId::JackIn);
    assert!(told[0].starts_with("the jack needs 2588 mm"), "{told:?}");
    let more_mm = of_remedy(&short, StepId::JackIn, "more_mm");
    close(&[more_mm], &[588.0], 0.5);
    let freed = set(2000.0 + more_mm);
    assert_eq!(constraints(&freed, StepId::JackIn), [""; 0]);
    // With less than the room for hands the jack itself still works: that is a caution.
    let tight = set(2400.0);
    assert_eq!(constraints(&tight, StepId::JackIn), [""; 0]);
    let cautions = &step(&tight, StepId::JackIn).cautions;
    assert!(cautions.iter().any(|line| line.text.contains("for hands and hoses")));
}

#[test]
fn where_the_jack_does_not_pass_an_opening_so_much_more_lets_it_through() {
    let set = |width_mm: f64| {
        plan_in("T11L", |schedule| {
            let is_it = |id: Option<&str>| id == Some("O-D21");
            let openings = &mut schedule.openings;
            let opening = openings.iter_mut().find(|one| is_it(one.id.as_deref())).unwrap();
            opening.width_mm = Some(width_mm);
        })
    };
    let narrow = set(400.0);
    let told = constraints(&narrow, StepId::JackIn);
    assert!(
        told.iter().any(|told| told.contains("does not get through opening O-D21")),
        "{told:?}"
    );
    let short_mm = of_remedy(&narrow, StepId::JackIn, "short_mm");
    close(&[short_mm], &[50.0], 0.5);
    assert_eq!(constraints(&set(400.0 + short_mm), StepId::JackIn), [""; 0]);
}

#[test]
fn a_jack_that_is_too_heavy_for_the_hatch_is_told_with_the_hoist_that_carries_it() {
    let set = |limit_kg: f64| {
        plan_in("T11L", |schedule| {
            let openings = &mut schedule.openings;
            let hatch = openings.iter_mut().find(|one| one.id.as_deref() == Some("H1")).unwrap();
            hatch.hoist_limit_kg = Some(limit_kg);
        })
    };
    let weak = set(800.0);
    assert!(constraints(&weak, StepId::JackIn)[0].contains("weighs 850 kg"));
    let needed_kg = of_remedy(&weak, StepId::JackIn, "needed_kg");
    // 850 kg over 0.8.
    close(&[needed_kg], &[1062.5], 0.1);
    let freed = set(needed_kg);
    assert_eq!(constraints(&freed, StepId::JackIn), [""; 0]);
    let caution = |plan: &Plan| {
        let cautions = step(plan, StepId::JackIn).cautions.iter();
        cautions.filter(|line| line.text.contains("are used at most")).count()
    };
    // Between its mass and the share that is used it is a caution.
    assert_eq!((caution(&freed), caution(&set(900.0))), (0, 1));
    assert_eq!(constraints(&set(900.0), StepId::JackIn), [""; 0]);
}

#[test]
fn a_piece_that_does_not_get_out_stands_against_the_plan() {
    // Of the stated cuts only the release and those of the stubs are left.
    let plan = plan_of("T11L", |tendon| {
        tendon.cuts.retain(|cut| cut.purpose != Some(CutPlace::Piece));
        let own = replacement(tendon);
        own.piece_length_mm = None;
        own.piece_mass_limit_kg = Some(1000.0);
    });
    let told = constraints(&plan, StepId::Pieces);
    assert!(
        told.iter().any(|told| told.contains("does not get out through opening H1")),
        "{told:?}"
    );
    // Where the plan makes the cuts, they are as long as the way takes.
    let longest_mm = of_remedy(&plan, StepId::Pieces, "longest_mm");
    let planned = plan_of("T11L", |tendon| {
        tendon.cuts.clear();
        let own = replacement(tendon);
        own.piece_length_mm = None;
        own.piece_mass_limit_kg = Some(1000.0);
    });
    assert_eq!(planned.blocked, []);
    let lengths = column(table(&planned, StepId::Pieces, "Pieces"), "length_m");
    assert!(lengths.iter().all(|length_m| length_m * 1000.0 <= longest_mm + 1e-6), "{lengths:?}");
    let bounds = said(step(&planned, StepId::Pieces));
    assert!(bounds.contains("the way out takes") && bounds.contains("H1 binds"), "{bounds}");
}

#[test]
fn stated_cuts_that_do_not_fit_are_told_each_with_what_mends_it() {
    let plan = plan_of("T11L", |tendon| {
        let mut cut = tendon.cuts[0].clone();
        let mut at = |order: u32, station_m: f64, purpose: CutPlace| {
            cut.order = Some(order);
            cut.station_m = Some(station_m);
            cut.purpose = Some(purpose);
            cut.clone()
        };
        tendon.cuts = vec![
            at(1, 120.0, CutPlace::Release),
            at(2, 113.2, CutPlace::Piece),
            at(3, 130.0, CutPlace::Piece),
        ];
    });
    let told = constraints(&plan, StepId::Pieces).join("\n");
    assert!(told.contains("the cut at station 113.2 m [371.391 ft] lies inside D11"), "{told}");
    assert!(told.contains("a piece of 6.8 m [22.31 ft] from station 113.2 m"), "{told}");
    // 6.8 m in pieces of 2 m: three more cuts.
    close(&[of_remedy(&plan, StepId::Pieces, "further_cuts")], &[3.0], 0.0);
    // From 100.83 to 113.2 it is one bent stub round D11, longer than the bay beside it.
    let stubs = constraints(&plan, StepId::DeviatorStubs).join("\n");
    assert!(stubs.contains("the bent stub in D11 is 12.41 m"), "{stubs}");
    close(&[of_remedy(&plan, StepId::DeviatorStubs, "from_m")], &[112.4], 0.005);
}

#[test]
fn what_is_embedded_or_too_long_to_come_in_is_told() {
    let embedded = plan_of("T11L", |tendon| {
        end(tendon, EndName::A).kind = Some(EndKind::Embedded);
    });
    let told = constraints(&embedded, StepId::AnchorStubs);
    assert_eq!(told, ["end a (A1) is embedded in concrete: the stub there cannot come out"]);
    let set = |behind_mm: f64| {
        plan_of("T11L", |tendon| {
            let space = end(tendon, EndName::A).removal_space.as_deref_mut().unwrap();
            space.behind_mm = Some(behind_mm);
        })
    };
    let tight = set(900.0);
    let told = constraints(&tight, StepId::NewParts);
    assert!(told[0].starts_with("the new anchorage-pipe of end a (A1) is 1000 mm"), "{told:?}");
    let more_mm = of_remedy(&tight, StepId::NewParts, "more_mm");
    assert_eq!(constraints(&set(900.0 + more_mm), StepId::NewParts), [""; 0]);
}
