//! What goes through an opening is as wide as what stays on it, and no longer than the room in line with it; the rules say
//! the same.

use super::*;

fn opening<'s>(
    schedule: &'s mut Schedule,
    name: &str,
) -> &'s mut restrand_model::schedule::Opening {
    schedule.openings.iter_mut().find(|one| one.id.as_deref() == Some(name)).unwrap()
}

/// Whether a rule finds pieces of the tendon that do not get out.
fn finds_pieces(plan: &Plan) -> bool {
    plan.errors().any(|told| {
        told.rule == "access/piece-does-not-pass" && told.message.text.starts_with("pieces of")
    })
}

fn rules(plan: &Plan) -> Vec<&'static str> {
    plan.errors().map(|told| told.rule).collect()
}

#[test]
fn a_piece_with_a_sleeve_on_it_is_led_by_the_sleeve() {
    // 126.5 mm of duct and 150 mm of joint pass 180 mm, the sleeve's 187.5 mm do not.
    let with = |width_mm: f64| {
        heeded("T11L", |schedule| opening(schedule, "O-P2").width_mm = Some(width_mm))
    };
    let plan = with(180.0);
    let told = constraints(&plan, StepId::Pieces);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].contains("187.5 mm [7.38 in] across with reducing-sleeve on it")
            && told[0].contains("through opening O-P2"),
        "{told:?}"
    );
    assert!(finds_pieces(&plan), "{:?}", rules(&plan));
    // The pieces of the bay without the sleeve are led for themselves.
    let said = said(step(&plan, StepId::Pieces));
    assert!(said.contains("Pieces from B1C, up to 1937 mm"), "{said}");
    let wide = with(190.0);
    assert_eq!(constraints(&wide, StepId::Pieces), [""; 0]);
    assert!(!finds_pieces(&wide), "{:?}", rules(&wide));
}

#[test]
fn a_joint_of_which_nobody_knows_where_it_sits_may_sit_on_every_piece() {
    let with = |is_known: bool| {
        plan_in("T11L", |schedule| {
            opening(schedule, "O-D12").width_mm = Some(140.0);
            let own = tendon(schedule, "T11L");
            if is_known {
                // All joints lie up-station of D12.
                own.duct_joints.retain(|joint| joint.station_m.is_some_and(|at_m| at_m > 127.0));
            } else {
                own.duct_joints.truncate(1);
                own.duct_joints[0].station_m = None;
            }
        })
    };
    assert_eq!(constraints(&with(true), StepId::Pieces), [""; 0]);
    let told = constraints(&with(false), StepId::Pieces);
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().all(|told| told.contains("with a joint of the duct on it")), "{told:?}");
    // One whose diameter is not stated leaves the width of its piece open.
    let open = plan_of("T11L", |tendon| tendon.duct_joints[0].outer_mm = None);
    assert!(lacks(&open, "duct_joint.outer_mm"));
}

#[test]
fn the_room_in_line_with_an_opening_binds_what_goes_through() {
    let with = |clear_mm: f64| {
        heeded("T11L", |schedule| {
            let opening = opening(schedule, "O-D21");
            (opening.clear_before_mm, opening.clear_beyond_mm) = (Some(clear_mm), Some(clear_mm));
        })
    };
    let plan = with(300.0);
    let new_parts = constraints(&plan, StepId::NewParts);
    assert!(
        new_parts.iter().any(|told| told.starts_with("sticks of duct, up to 6000 mm")
            && told.contains("through opening O-D21")),
        "{new_parts:?}"
    );
    assert!(rules(&plan).contains(&"access/new-part-does-not-pass"), "{:?}", rules(&plan));
    // The jack is 900 mm long, level; upright with its sling it is too high for the opening.
    let jack = constraints(&plan, StepId::JackIn);
    assert!(jack[0].contains("does not get through opening O-D21"), "{jack:?}");
    assert!(rules(&plan).contains(&"access/jack-does-not-pass"), "{:?}", rules(&plan));
    let remedy = plan.blocked.iter().find(|one| one.step == StepId::JackIn).unwrap();
    let remedy = fill_in(&remedy.remedy.text, &remedy.remedy.facts, System::Si);
    assert!(remedy.contains("more clear length in line with it at O-D21"), "{remedy}");
    let free = with(6000.0);
    assert_eq!(free.blocked, []);
    assert_eq!(rules(&free), [""; 0]);
}

#[test]
fn the_way_of_the_jack_tells_its_sills() {
    let jack = step(&plan_of("T11L", |_| {}), StepId::JackIn).clone();
    assert!(
        said(&jack)
            .contains("It comes to end b (P2) by H1, then O-D21, over sills of up to 100 mm"),
        "{}",
        said(&jack)
    );
    let way = jack.tables.iter().find(|table| table.title.starts_with("Way")).unwrap();
    close(&column(way, "sill_mm"), &[100.0], 0.0);
}

#[test]
fn what_an_opening_lacks_for_people_is_named() {
    let plan = plan_in("T11L", |schedule| opening(schedule, "O-D12").height_mm = Some(1000.0));
    let remedy = &plan.blocked.iter().find(|one| one.step == StepId::Measures).unwrap().remedy;
    let remedy = fill_in(&remedy.text, &remedy.facts, System::Si);
    assert!(remedy.starts_with("66.8 mm [2.63 in] more height at O-D12"), "{remedy}");
}

#[test]
fn what_people_carry_is_told_for_how_many() {
    let with = |kg: f64| {
        plan_in("T11L", |schedule| {
            schedule.project.as_deref_mut().unwrap().hand_carry_kg = Some(kg);
        })
    };
    let heavy = shown(&step(&with(80.0), StepId::Pieces).cautions);
    assert!(
        heavy.contains("80 kg [176 lb] for two people to carry by hand: 40 kg [88 lb] each")
            && heavy.contains("for 4 people"),
        "{heavy}"
    );
    let light = with(50.0);
    assert!(said(step(&light, StepId::Pieces)).contains("Two people carry 50 kg"));
}

#[test]
fn a_tendon_of_several_ducts_goes_by_the_one_that_lies_there() {
    let plan = plan_in("T11L", |schedule| {
        let mut thin =
            schedule.ducts.iter().find(|duct| duct.id.as_deref() == Some("PE125")).unwrap().clone();
        thin.id = Some("PE110".into());
        thin.outer_mm = Some(110.0);
        schedule.ducts.push(thin);
        let run = |from_m: f64, to_m: f64, duct: &str| restrand_model::schedule::DuctRun {
            from_m: Some(from_m),
            to_m: Some(to_m),
            duct: Some(restrand_model::reflect::Link::to(duct)),
            ..restrand_model::schedule::DuctRun::default()
        };
        let own = tendon(schedule, "T11L");
        own.duct_runs = vec![run(99.0, 120.0, "PE125"), run(120.0, 141.0, "PE110")];
    });
    // 10.25 mm of the demo's duct at D11; the thinner one, by 15 mm of diameter, leaves 7.5 mm more at D12.
    let stubs = step(&plan, StepId::DeviatorStubs);
    close(&column(&stubs.tables[0], "gap_in_throat_mm"), &[10.25, 17.75], 0.005);
    let said = said(step(&plan, StepId::NewParts));
    assert!(said.contains("Duct PE125:") && said.contains("to 120 m"), "{said}");
    assert!(said.contains("Duct PE110:") && said.contains("from station 120 m"), "{said}");
    assert!(!said.contains("sticks of 6 m"), "{said}");
}
