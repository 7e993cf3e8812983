//! What is heavy, long or in the way: bars against hoists and hands, ways that are not known, people.

use restrand_model::schedule::EndKind;

use super::*;

fn opening<'s>(
    schedule: &'s mut Schedule,
    name: &str,
) -> &'s mut restrand_model::schedule::Opening {
    schedule.openings.iter_mut().find(|one| one.id.as_deref() == Some(name)).unwrap()
}

#[test]
fn bars_are_held_against_the_hoist_of_their_way() {
    let with = |limit_kg: f64| {
        plan_in("T11L", |schedule| opening(schedule, "H1").hoist_limit_kg = Some(limit_kg))
    };
    let weak = with(100.0);
    let told = constraints(&weak, StepId::AnchorStubs);
    assert!(
        told.iter().any(|told| told.contains("bars from end b (P2) weighs 186 kg")
            && told.contains("100 kg [220 lb] may be hoisted through H1")),
        "{told:?}"
    );
    // 186.4 kg over 0.8.
    assert_eq!(constraints(&with(240.0), StepId::AnchorStubs), [""; 0]);
    let cautions = shown(&step(&with(200.0), StepId::AnchorStubs).cautions);
    assert!(
        cautions
            .contains("are used at most: the heaviest of the bars from end b (P2) weighs 186 kg"),
        "{cautions}"
    );
}

#[test]
fn what_people_cannot_carry_is_told_with_what_carries_it() {
    let cautions = |kg: f64, id: StepId| {
        let plan = plan_in("T11L", |schedule| {
            schedule.project.as_deref_mut().unwrap().hand_carry_kg = Some(kg);
        });
        shown(&step(&plan, id).cautions)
    };
    let stubs = cautions(80.0, StepId::AnchorStubs);
    for words in [
        "bars from end a (A1): 91 kg",
        "bars from end b (P2): 186 kg",
        "and two people carry 80 kg",
    ] {
        assert!(stubs.contains(words), "{words}: {stubs}");
    }
    assert!(!cautions(80.0, StepId::DeviatorStubs).contains("Nobody carries"));
    assert!(
        cautions(40.0, StepId::DeviatorStubs)
            .contains("Nobody carries the heaviest of the stubs of D11")
    );
    assert!(cautions(40.0, StepId::Pieces).contains("Nobody carries"));
    assert!(!cautions(200.0, StepId::AnchorStubs).contains("Nobody carries"));
    // Over what it is lifted from bay to bay is said.
    let pieces = said(step(&plan_of("T11L", |_| {}), StepId::Pieces));
    assert!(pieces.contains("over sills of up to 100 mm"), "{pieces}");
}

#[test]
fn a_hoist_point_that_does_not_carry_the_jack_stands_against_the_plan() {
    let with = |capacity_kg: f64| {
        plan_in("T11L", |schedule| {
            schedule.jacks[0].support = None;
            for place in &mut schedule.places {
                for point in &mut place.hoist_points {
                    if point.id.as_deref() == Some("HP-P2U") {
                        point.capacity_kg = Some(capacity_kg);
                    }
                }
            }
        })
    };
    let told = constraints(&with(500.0), StepId::JackIn);
    assert_eq!(
        told,
        [
            "at end b (P2) the jack weighs 850 kg [1874 lb], and HP-P2U, the strongest hoist point there, carries 500 kg [1102 lb]"
        ]
    );
    // 850 kg over 0.8.
    assert_eq!(constraints(&with(1062.5), StepId::JackIn), [""; 0]);
    let between = with(900.0);
    assert_eq!(constraints(&between, StepId::JackIn), [""; 0]);
    assert!(shown(&step(&between, StepId::JackIn).cautions).contains("it stands on something"));
}

#[test]
fn pieces_that_a_hoist_does_not_carry_are_all_counted_and_the_hoist_is_named() {
    let with = |limit_kg: f64| {
        plan_in("T11L", |schedule| opening(schedule, "H1").hoist_limit_kg = Some(limit_kg))
    };
    let plan = with(60.0);
    let against: Vec<_> = plan
        .blocked
        .iter()
        .filter(|one| one.remedy.text.contains("a hoist for {needed_kg} at that"))
        .collect();
    assert_eq!(against.len(), 3);
    let count = |name: &str| -> f64 {
        let facts = against.iter().flat_map(|one| &one.remedy.facts);
        facts
            .filter(|fact| fact.name == name)
            .map(|fact| match &fact.value {
                FactValue::Number(number) => *number,
                FactValue::Text(text) => text.parse().unwrap(),
            })
            .sum()
    };
    // 48 kg at 38.24 kg/m are 1.255 m: six, six without the halves beside the release, and six pieces are longer.
    close(&[count("pieces"), count("further_cuts")], &[18.0, 18.0], 0.0);
    let needed = |one: &restrand_plan::Blocked| {
        let fact = one.remedy.facts.iter().find(|fact| fact.name == "needed_kg").unwrap();
        let FactValue::Number(kg) = fact.value else { panic!("a mass is a number") };
        kg
    };
    let most_kg = against.iter().map(|one| needed(one)).fold(0.0, f64::max);
    let freed = with(most_kg);
    assert_eq!(constraints(&freed, StepId::Pieces), [""; 0]);
}

#[test]
fn a_stub_that_is_cut_inside_its_anchorage_is_told_where_it_can_be_cut() {
    let set =
        |cut_mm: f64| plan_of("T11L", |tendon| end(tendon, EndName::A).stub_cut_mm = Some(cut_mm));
    let plan = set(-600.0);
    let told = plan.blocked.iter().find(|one| one.step == StepId::Pieces).unwrap();
    let remedy = fill_in(&told.remedy.text, &told.remedy.facts, System::Si);
    // 100 mm beyond the mouth of the guide pipe, 1340 mm before the plate.
    assert!(remedy.starts_with("cut at station 100.78") && remedy.contains("-1440 mm"), "{remedy}");
    assert_eq!(constraints(&set(-1440.0), StepId::Pieces), [""; 0]);
}

#[test]
fn people_get_to_every_bay_in_which_they_work() {
    let with = |short_mm: f64, long_mm: f64| {
        plan_in("T11L", |schedule| {
            let opening = opening(schedule, "O-D12");
            (opening.width_mm, opening.height_mm) = (Some(short_mm), Some(long_mm));
        })
    };
    let told = constraints(&with(300.0, 300.0), StepId::Measures);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("opening O-D12 is 300 mm"), "{told:?}");
    assert_eq!(constraints(&with(900.0, 1200.0), StepId::Measures), [""; 0]);
}

#[test]
fn what_lies_under_a_hatch_is_closed_off_while_something_hangs_there() {
    let plan = plan_in("T11L", |schedule| {
        opening(schedule, "H1").below = Some("road with four lanes".into());
    });
    for id in [StepId::Pieces, StepId::AnchorStubs, StepId::NewParts, StepId::JackIn] {
        let holds = shown(&step(&plan, id).holds);
        assert!(
            holds.contains("(road with four lanes) is closed off to traffic and people"),
            "{id:?}: {holds}"
        );
    }
    let open = plan_in("T11L", |schedule| opening(schedule, "H1").below = None);
    assert!(lacks(&open, "opening.below"));
}

#[test]
fn ways_that_are_not_known_are_holes_in_every_step_that_carries_something() {
    let plan = plan_in("T11L", |schedule| {
        schedule.bays.clear();
        schedule.openings.clear();
    });
    for id in [
        StepId::Measures,
        StepId::Pieces,
        StepId::DeviatorStubs,
        StepId::AnchorStubs,
        StepId::NewParts,
        StepId::JackIn,
    ] {
        let holes = &step(&plan, id).holes;
        assert!(holes.iter().any(|hole| hole.field == "schedule.bays"), "{id:?}: {holes:?}");
    }
    // One opening that leads nowhere: the bays behind it are named.
    let broken = plan_in("T31L", |schedule| {
        opening(schedule, "O-D31").to_bay = Some(restrand_model::reflect::Link::to("B3D"));
        schedule.openings.retain(|one| one.id.as_deref() != Some("W1"));
    });
    let holes = &step(&broken, StepId::NewParts).holes;
    assert!(
        holes
            .iter()
            .any(|hole| hole.field == "schedule.openings" && hole.at.as_deref() == Some("B3B")),
        "{holes:?}"
    );
}

#[test]
fn what_leaves_on_the_last_piece_is_weighed_with_it() {
    let kg =
        |plan: &Plan| *column(table(plan, StepId::Pieces, "Pieces"), "mass_kg").last().unwrap();
    let plan = plan_of("T11L", |_| {});
    let bare = plan_in("T11L", |schedule| {
        for anchorage in &mut schedule.anchorages {
            anchorage.parts.retain(|part| part.id.as_deref() != Some("reducing-sleeve"));
        }
    });
    close(&[kg(&plan) - kg(&bare)], &[4.0], 1e-6);
}

/// T11L pulled at both ends at once, with the one jack of the demo at each.
fn at_both_ends(schedule: &mut Schedule, from: StressingFrom) {
    let own = tendon(schedule, "T11L");
    own.stressing.as_deref_mut().unwrap().from = Some(from);
    let jack = end(own, EndName::B).jack.clone();
    let dead = end(own, EndName::A);
    (dead.kind, dead.jack, dead.set_mm) = (Some(EndKind::Stressing), jack, Some(6.0));
}

#[test]
fn both_ends_at_once_take_two_jacks_and_one_after_the_other_one() {
    let at_once = plan_in("T11L", |schedule| at_both_ends(schedule, StressingFrom::Both));
    let told = shown(&at_once.in_hand);
    assert!(told.contains("Two jacks such as QJ-19, for both ends are pulled at once"), "{told}");
    let stressing = step(&at_once, StepId::Stressing);
    let lines = said(stressing);
    assert!(
        lines.contains(
            "end a and end b are pulled at once, each with a jack and a gauge of its own"
        ),
        "{lines}"
    );
    // One jack, one hold on its calibration.
    assert_eq!(shown(&stressing.holds).matches("On the day of stressing").count(), 1);
    let in_turn = plan_in("T11L", |schedule| at_both_ends(schedule, StressingFrom::AThenB));
    assert!(!shown(&in_turn.in_hand).contains("Two jacks"));
    assert!(said(step(&in_turn, StepId::Stressing)).contains("First end a, then end b"));
}

#[test]
fn a_jack_that_stands_on_a_table_hangs_from_no_point_that_is_too_weak() {
    // HP-CH1 carries 250 kg, and the jack weighs 850; the schedule states a lifting table for it.
    let stands = plan_in("T11L", |schedule| at_both_ends(schedule, StressingFrom::AThenB));
    let told = constraints(&stands, StepId::JackIn);
    assert!(!told.iter().any(|told| told.contains("hoist point")), "{told:?}");
    let cautions = shown(&step(&stands, StepId::JackIn).cautions);
    assert!(
        cautions.contains("HP-CH1, the strongest hoist point there, carries 250 kg"),
        "{cautions}"
    );
    let hangs = plan_in("T11L", |schedule| {
        at_both_ends(schedule, StressingFrom::AThenB);
        schedule.jacks[0].support = None;
    });
    let told = constraints(&hangs, StepId::JackIn);
    assert!(told.iter().any(|told| told.contains("the strongest hoist point there")), "{told:?}");
}
