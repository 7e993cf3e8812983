//! What is ordered, what may be doubtful of it, and what is told at which step.

use restrand_model::schedule::{Permanence, StressingFrom};
use restrand_plan::HazardKind;

use super::*;

fn part<'s>(
    schedule: &'s mut Schedule,
    anchorage: &str,
    name: &str,
) -> &'s mut restrand_model::schedule::Part {
    let anchorage =
        schedule.anchorages.iter_mut().find(|one| one.id.as_deref() == Some(anchorage)).unwrap();
    anchorage.parts.iter_mut().find(|part| part.id.as_deref() == Some(name)).unwrap()
}

#[test]
fn a_part_of_doubtful_permanence_stays_in_the_order_with_its_doubt() {
    let doubts = |plan: &Plan, name: &str| -> Vec<Cell> {
        let parts = table(plan, StepId::NewParts, "Parts");
        let column = parts.columns.iter().position(|column| column.name == "in_doubt").unwrap();
        let rows = parts.rows.iter().filter(|row| row[1] == Cell::Text(name.to_owned()));
        rows.map(|row| row[column].clone()).collect()
    };
    let plain = plan_of("T11L", |_| {});
    assert_eq!(doubts(&plain, "cap"), [Cell::Blank, Cell::Blank]);
    let blank = plan_in("T11L", |schedule| part(schedule, "K-13", "mouth-boot").permanence = None);
    assert!(doubts(&blank, "mouth-boot").contains(&Cell::from("permanence not stated")));
    let stays = plan_in("T11L", |schedule| {
        part(schedule, "K-13", "cap").permanence = Some(Permanence::Permanent);
    });
    assert!(
        doubts(&stays, "cap")
            .contains(&Cell::from("recorded as permanent, where such parts leave"))
    );
    for plan in [blank, stays] {
        assert!(lacks(&plan, "part.permanence"));
        assert!(shown(&plan.in_hand).contains("whether 1 of them are needed is to be confirmed"));
    }
    // What stays by its role is not ordered.
    assert!(doubts(&plain, "bearing-plate").is_empty());
}

#[test]
fn a_strand_is_not_measured_with_the_tail_of_a_cap_where_a_jack_grips() {
    let plan = plan_of("T11L", |tendon| end(tendon, EndName::B).jack = None);
    let holes = &step(&plan, StepId::Strands).holes;
    assert!(holes.iter().any(|hole| hole.field == "end.jack"), "{holes:?}");
    assert!(!said(step(&plan, StepId::Strands)).contains("of 42"));
    // The dead end needs no jack.
    let from_a = plan_of("T11L", |tendon| {
        let jack = end(tendon, EndName::B).jack.take();
        end(tendon, EndName::A).jack = jack;
        tendon.stressing.as_deref_mut().unwrap().from = Some(StressingFrom::A);
    });
    close(&[fact(step(&from_a, StepId::Strands), "strand_m")], &[43.0], 0.05);
}

#[test]
fn every_neighbour_is_named_and_each_hazard_with_all_its_steps() {
    let plan = plan_of("T22L", |_| {});
    let of = |kind| plan.hazards.iter().filter(move |hazard| hazard.kind == kind);
    for hazard in of(HazardKind::LiveNeighbours) {
        let text = fill_in(&hazard.line.text, &hazard.line.facts, System::Si);
        assert!(!text.contains(" more"), "{text}");
        for mark in ["T21L", "T23L", "T24L", "T22R"] {
            assert!(text.contains(mark), "{mark}: {text}");
        }
    }
    let fire = of(HazardKind::Fire).next().unwrap();
    for id in [StepId::DeviatorStubs, StepId::AnchorStubs] {
        assert!(fire.steps.contains(&id), "{id:?}");
    }
    assert!(of(HazardKind::StoredEnergy).any(|hazard| hazard.steps.contains(&StepId::Stressing)));
    assert!(shown(&step(&plan, StepId::Pieces).cautions).contains("No hot work"));
    let stubs = said(step(&plan, StepId::AnchorStubs));
    assert!(
        stubs.contains("wax or grease that runs out is caught") && !stubs.contains("broken off"),
        "{stubs}"
    );
    let filling = said(step(&plan, StepId::Filling));
    assert!(filling.contains("are melted") && !filling.contains("mixed"), "{filling}");
    let grout = said(step(&plan_of("T11L", |_| {}), StepId::Filling));
    assert!(grout.contains("are mixed") && !grout.contains("melted"), "{grout}");
}

#[test]
fn a_tendon_that_is_added_is_checked_for_its_force_and_drops_no_pieces() {
    let plan = plan_of("T25L", |_| {});
    let measures = step(&plan, StepId::Measures);
    assert!(said(measures).contains("takes up a tendon more: up to 3500 kN"), "{}", said(measures));
    let holds = shown(&measures.holds);
    assert!(holds.contains("has checked the bridge with this further tendon"), "{holds}");
    assert!(!holds.contains("without this tendon"), "{holds}");
    assert!(shown(&measures.cautions).contains("air is measured"));
    let hazards: Vec<_> = plan.hazards.iter().map(|hazard| hazard.line.clone()).collect();
    assert!(!shown(&hazards).contains("fall at the cut"), "{}", shown(&hazards));
}

#[test]
fn stubs_leave_from_their_own_bays() {
    let said = said(step(&plan_of("T11L", |_| {}), StepId::DeviatorStubs));
    assert!(said.contains("Stubs of D11, up to") && said.contains("leave B1B"), "{said}");
    assert!(said.contains("Stubs of D12, up to") && said.contains("leave B1C"), "{said}");
}

#[test]
fn the_lower_vent_is_closed_first() {
    let plan = plan_of("T11L", |_| {});
    let tubes = texts(table(&plan, StepId::Filling, "Inlet"), "tube").join(" ");
    // VA lies 0.2 m lower than VB, and end a lower than end b.
    assert_eq!(tubes, "DR IN VA CA VB CB");
    let none = plan_of("T11L", |tendon| tendon.vents.clear());
    let holds = shown(&step(&none, StepId::Filling).holds);
    assert!(!holds.contains("the order of the table"), "{holds}");
}

#[test]
fn no_text_speaks_of_what_is_not_there() {
    let plan = plan_of("T11L", |tendon| tendon.duct_joints.clear());
    assert!(lacks(&plan, "tendon.duct_joints"));
    assert!(!said(step(&plan, StepId::NewParts)).contains("the schedule's joints"));
    let built = table(&plan, StepId::Gauging, "Permanent");
    let index =
        built.columns.iter().position(|column| column.name == "gauged_when_built_mm").unwrap();
    assert!(built.rows.iter().all(|row| row[index] == Cell::Missing));
    let no_set = plan_of("T11L", |tendon| {
        tendon.stressing.as_deref_mut().unwrap().set_mm = None;
        end(tendon, EndName::B).set_mm = None;
    });
    for step in &no_set.steps {
        assert!(!said(step).contains("friction is not known"), "{:?}", step.id);
    }
}

#[test]
fn a_volume_or_bags_that_differ_from_what_follows_are_told() {
    let said_now = said(step(&plan_of("T11L", |_| {}), StepId::Filling));
    assert!(said_now.contains("The schedule states 325.5 l"), "{said_now}");
    let off = plan_of("T11L", |tendon| {
        let fill = tendon.fill.as_deref_mut().unwrap();
        (fill.volume_l, fill.bags) = (Some(280.0), Some(8));
    });
    let cautions = shown(&step(&off, StepId::Filling).cautions);
    assert!(
        cautions.contains("The schedule states 280 l")
            && cautions.contains("8 bags, fewer than the 11"),
        "{cautions}"
    );
}

#[test]
fn a_missing_set_is_told_once_in_each_step() {
    let plan = plan_of("T11L", |tendon| {
        tendon.stressing.as_deref_mut().unwrap().set_mm = None;
        end(tendon, EndName::A).set_mm = None;
        end(tendon, EndName::B).set_mm = None;
    });
    assert_eq!(plan.holes.iter().filter(|hole| hole.field.ends_with("set_mm")).count(), 1);
}

#[test]
fn what_a_tendon_states_beyond_the_bridge_is_no_leave() {
    let plan = plan_of("T32L", |tendon| replacement(tendon).others_out = Some(1));
    let measures = step(&plan, StepId::Measures);
    assert!(!said(measures).contains("may be out, as it states itself"), "{}", said(measures));
    assert!(shown(&measures.cautions).contains("what the bridge states holds"));
}
