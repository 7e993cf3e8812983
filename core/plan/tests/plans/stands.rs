//! What the check finds of what a plan rests on stands against it, whosever record it is.

use restrand_model::schedule::{Bond, CutPlace};

use super::*;

fn rules(plan: &Plan) -> Vec<&'static str> {
    plan.errors().map(|told| told.rule).collect()
}

/// The inner cone of an anchorage, grouted to the outer one where nobody can reach.
fn bond_cone(schedule: &mut Schedule, anchorage: &str) {
    let is_it = |id: Option<&str>, wanted: &str| id == Some(wanted);
    let anchorage =
        schedule.anchorages.iter_mut().find(|one| is_it(one.id.as_deref(), anchorage)).unwrap();
    let cone =
        anchorage.parts.iter_mut().find(|part| is_it(part.id.as_deref(), "inner-cone")).unwrap();
    cone.bonded_to = Some("outer-cone".into());
    cone.bond = Some(Bond::Grout);
    cone.bond_accessible = Some(false);
}

#[test]
fn the_demo_has_nothing_that_stands_against_any_plan() {
    for mark in ["T11L", "T12R", "T22L", "T23R", "T25L", "T32L"] {
        let plan = heeded(mark, |_| {});
        assert!(!plan.is_stopped(), "{mark}: {:?} {:?}", plan.blocked, rules(&plan));
        assert!(plan.steps.iter().all(|step| step.stops.is_empty()));
        assert_eq!(plan.findings, [], "{mark}");
    }
}

#[test]
fn an_error_of_a_shared_record_stands_against_every_plan_that_uses_it_and_no_other() {
    let broken = |schedule: &mut Schedule| bond_cone(schedule, "K-13");
    let plan = heeded("T11L", broken);
    assert!(rules(&plan).contains(&"parts/bonded-inaccessibly"), "{:?}", rules(&plan));
    assert!(plan.is_stopped());
    // K-13 is at A1 and A4 only.
    let other = heeded("T21L", broken);
    assert!(!other.is_stopped(), "{:?}", rules(&other));
}

#[test]
fn errors_of_each_kind_of_shared_record_reach_the_plan() {
    type Change = fn(&mut Schedule);
    let changes: [(&str, &str, Change); 6] = [
        ("anchorages", "strand/exceeds-capacity", |schedule| {
            let k13 = |id: &Option<_>| id.as_deref() == Some("K-13");
            let anchorage = schedule.anchorages.iter_mut().find(|one| k13(&one.id)).unwrap();
            anchorage.wedge_plate_holes = Some(18);
        }),
        ("openings", "access/opening-small-for-people", |schedule| {
            let is_it = |id: &Option<_>| id.as_deref() == Some("O-D12");
            let opening = schedule.openings.iter_mut().find(|one| is_it(&one.id)).unwrap();
            opening.width_mm = Some(300.0);
            opening.height_mm = Some(300.0);
        }),
        ("bays", "access/headroom-low", |schedule| {
            let is_it = |id: &Option<_>| id.as_deref() == Some("B1C");
            schedule.bays.iter_mut().find(|one| is_it(&one.id)).unwrap().height_mm = Some(1500.0);
        }),
        // A second record of a name makes the first doubtful, and so does a bay that is not there.
        ("bays twice", "schedule/duplicate-mark", |schedule| {
            let is_it = |id: &Option<_>| id.as_deref() == Some("B1C");
            let mut bay = schedule.bays.iter().find(|one| is_it(&one.id)).unwrap().clone();
            bay.height_mm = Some(2300.0);
            schedule.bays.push(bay);
        }),
        ("a bay that is not listed", "schedule/dangling-reference", |schedule| {
            let is_it = |id: &Option<_>| id.as_deref() == Some("O-D11");
            let opening = schedule.openings.iter_mut().find(|one| is_it(&one.id)).unwrap();
            opening.to_bay = Some(restrand_model::reflect::Link::to("B1D"));
        }),
        ("no bays", "schedule/missing-field", |schedule| {
            schedule.bays.clear();
            schedule.openings.clear();
        }),
    ];
    for (name, rule, change) in changes {
        let plan = heeded("T11L", change);
        assert!(rules(&plan).contains(&rule), "{name}: {:?}", rules(&plan));
        assert!(plan.is_stopped(), "{name}");
    }
}

#[test]
fn the_plan_of_a_tendon_does_not_count_errors_of_others() {
    let plan = heeded("T11L", |schedule| {
        tendon(schedule, "T31L").filler = None;
    });
    assert!(!plan.is_stopped(), "{:?}", rules(&plan));
}

#[test]
fn warnings_of_the_tendon_and_of_its_jack_are_to_be_confirmed() {
    let plan = heeded("T11L", |schedule| {
        schedule.jacks[0].calibrated_on = Date::new(2009, 1, 1);
        let own = tendon(schedule, "T11L");
        own.stressing_steps[4].elongation_mm = Some(350.0);
        own.fill.as_deref_mut().unwrap().volume_l = Some(280.0);
    });
    let warned: Vec<_> = plan.warnings().map(|told| told.rule).collect();
    for rule in
        ["stressing/calibration-old", "stressing/elongation-mismatch", "filler/volume-mismatch"]
    {
        assert!(warned.contains(&rule), "{warned:?}");
    }
    // A warning is no error.
    assert!(!plan.is_stopped());
}

#[test]
fn a_plan_that_something_stands_against_stops_before_it_begins_and_before_the_release() {
    let plan = plan_of("T12R", |tendon| {
        end(tendon, EndName::A).removal_space.as_deref_mut().unwrap().behind_mm = Some(600.0);
    });
    let stops = |id| shown(&step(&plan, id).stops);
    assert!(stops(StepId::Measures).contains("Nothing is begun"));
    assert!(stops(StepId::Release).contains("Nothing is released"));
    assert!(
        stops(StepId::AnchorStubs)
            .contains("Not possible as the schedule stands: the stub at end a")
    );
    // So it is where the check alone finds something.
    let by_check = heeded("T11L", |schedule| {
        let is_it = |id: &Option<_>| id.as_deref() == Some("B1C");
        schedule.bays.iter_mut().find(|one| is_it(&one.id)).unwrap().height_mm = Some(1500.0);
    });
    assert!(by_check.blocked.is_empty());
    assert!(shown(&by_check.steps[0].stops).contains("Nothing is begun"));
}

#[test]
fn what_cannot_come_out_is_not_told_as_if_it_did() {
    let plan = plan_of("T12R", |tendon| {
        end(tendon, EndName::A).removal_space.as_deref_mut().unwrap().behind_mm = Some(600.0);
    });
    let stubs = step(&plan, StepId::AnchorStubs);
    assert!(!said(stubs).contains("At end a (A1) there leave with the tendon"), "{}", said(stubs));
    let rows = &table(&plan, StepId::AnchorStubs, "Pulls").rows;
    assert_eq!(rows[0][0], Cell::Text("end a (A1)".to_owned()));
    let Cell::Text(then) = &rows[0][5] else { panic!("a text") };
    assert!(then.starts_with("not possible"), "{then}");
    // The head names the end of which nothing is known.
    let unknown = plan_in("T11L", |schedule| {
        let is_it = |tendon: &&mut Tendon| tendon.mark.as_deref() == Some("T11L");
        let tendon = schedule.tendons.iter_mut().find(is_it).unwrap();
        end(tendon, EndName::B).removal_space.as_deref_mut().unwrap().behind_mm = None;
        // The bay behind would give the room.
        schedule.bays.clear();
    });
    let head = shown(&unknown.about);
    assert!(head.contains("what comes out of end b (P2) is not known"), "{head}");
    let hazards: Vec<_> = unknown.hazards.iter().map(|hazard| hazard.line.clone()).collect();
    assert!(shown(&hazards).contains("what comes out of end b (P2) is not known"));
    let bonded = plan_in("T11L", |schedule| bond_cone(schedule, "K-13"));
    let told = constraints(&bonded, StepId::AnchorStubs);
    assert!(
        told[0].starts_with("inner-cone at end a (A1) has to leave, but is bonded"),
        "{told:?}"
    );
    assert!(!said(step(&bonded, StepId::AnchorStubs)).contains("The stub at end a (A1)"));
}

#[test]
fn a_stub_that_is_bonded_out_of_reach_is_not_drawn() {
    let plan = plan_of("T11L", |tendon| {
        let place = tendon.deviators[0].place.clone();
        replacement(tendon).unbonded = Some(false);
        tendon.bonded_points = vec![restrand_model::schedule::BondedPoint {
            place,
            accessible: Some(false),
            ..Default::default()
        }];
        tendon.cuts.retain(|cut| cut.purpose == Some(CutPlace::Release));
    });
    let told = constraints(&plan, StepId::DeviatorStubs);
    assert!(
        told.iter().any(|told| told.contains("in D11 has to leave, but is bonded")),
        "{told:?}"
    );
    let said = said(step(&plan, StepId::DeviatorStubs));
    assert!(said.contains("The stub in D11 cannot be drawn out"), "{said}");
}

#[test]
fn what_must_be_in_hand_is_listed_and_held_before_the_release() {
    let plan = plan_of("T11L", |_| {});
    let list = shown(&plan.in_hand);
    for words in [
        "designed for 462 kJ",
        "Jack QJ-19 for end b (P2) with its gauge and the certificate of its calibration, that of 2026-09-15 or a later one",
        "7 sticks of 6 m",
        "19 of 43 m",
        "11 bags of 50 kg",
        "of step 10",
    ] {
        assert!(list.contains(words), "{words}: {list}");
    }
    let holds = shown(&step(&plan, StepId::Release).holds);
    assert!(holds.contains("All that must be in hand before work starts is on site"), "{holds}");
    // What is not known is said, and nothing stands in for it.
    let bare = plan_of("T11L", |tendon| end(tendon, EndName::B).jack = None);
    let list = shown(&bare.in_hand);
    assert!(
        list.contains("which one is not stated")
            && list.contains("Strand and new wedges: how much is not known"),
        "{list}"
    );
}
