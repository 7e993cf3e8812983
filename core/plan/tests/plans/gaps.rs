//! What the schedule does not state stays a hole, each field with what it blocks, and no number stands in for it.

use super::*;

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
    assert!(lacks(&no_target, "replacement.target_force_kn"));
    let no_tail = without(|tendon| {
        tendon.ends.as_deref_mut().unwrap().a.as_deref_mut().unwrap().tail_mm = None;
    });
    assert!(lacks(&no_tail, "end.tail_mm"));
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

/// What a hole leaves open, step by step.
fn blocks(plan: &Plan, field: &str) -> Vec<(StepId, &'static str)> {
    plan.holes
        .iter()
        .find(|hole| hole.field == field)
        .map(|hole| hole.blocks.clone())
        .unwrap_or_default()
}

#[test]
fn each_missing_field_of_friction_is_told_with_what_it_blocks() {
    let plan = plan_of("T11L", |tendon| {
        let stressing = tendon.stressing.as_deref_mut().unwrap();
        stressing.mu = None;
        stressing.wobble_per_m = None;
        stressing.inadvertent_angle_rad = None;
    });
    for field in ["stressing.mu", "stressing.wobble_per_m", "stressing.inadvertent_angle_rad"] {
        let blocks = blocks(&plan, field);
        for wanted in [
            (StepId::Release, "the energy of each bonded length, and the recoil"),
            (StepId::Stressing, "the elongation, step by step"),
            (StepId::Stressing, "the force after seating, and lift-off"),
        ] {
            assert!(blocks.contains(&wanted), "{field}: {blocks:?}");
        }
        // The total of the bridge lacks this tendon, and so does what it loses.
        assert!(
            blocks
                .iter()
                .any(|(step, what)| *step == StepId::Measures && what.contains("no total"))
        );
    }
    // Each alone is told alone.
    let no_mu = plan_of("T11L", |tendon| tendon.stressing.as_deref_mut().unwrap().mu = None);
    assert!(lacks(&no_mu, "stressing.mu") && !lacks(&no_mu, "stressing.wobble_per_m"));
    // Force and gauge need no friction.
    let steps = table(&plan, StepId::Stressing, "Steps");
    close(&column(steps, "force_kn"), &[720.0, 1440.0, 2160.0, 2880.0, 3600.0], 0.5);
    close(&column(steps, "gauge_mpa"), &[8.18, 16.33, 24.46, 32.60, 40.73], 0.005_1);
    for name in ["elongation_mm", "above_baseline_mm", "at_least_mm", "at_most_mm"] {
        assert_eq!(column(steps, name), [0.0; 0], "{name}");
    }
    // The energy has a bound all the same: the force at the jack all along, F2L/2AE = 487 kJ.
    close(&[fact(step(&plan, StepId::Release), "energy_kj")], &[487.0], 0.5);
    assert_eq!(step(&plan, StepId::Release).tables, []);
}

#[test]
fn a_missing_set_leaves_the_elongation_of_one_pull() {
    let plan = plan_of("T11L", |tendon| {
        tendon.stressing.as_deref_mut().unwrap().set_mm = None;
        for name in [EndName::A, EndName::B] {
            end(tendon, name).set_mm = None;
        }
    });
    let blocks = blocks(&plan, "stressing.set_mm");
    assert!(blocks.contains(&(StepId::Stressing, "the force after seating, and lift-off")));
    assert!(!blocks.iter().any(|(_, what)| what.contains("elongation")), "{blocks:?}");
    let steps = table(&plan, StepId::Stressing, "Steps");
    close(&column(steps, "elongation_mm"), &[54.3, 108.6, 162.9, 217.2, 271.5], 0.05);
    assert!(
        step(&plan, StepId::Stressing).lines.iter().all(|line| !line.text.contains("lift-off"))
    );
}

#[test]
fn another_tendon_that_lacks_its_forces_is_named_for_the_total() {
    let plan = plan_in("T11L", |schedule| {
        tendon(schedule, "T31R").stressing.as_deref_mut().unwrap().mu = None;
    });
    let hole = plan.holes.iter().find(|hole| hole.field == "stressing.mu").unwrap();
    assert_eq!(hole.at.as_deref(), Some("tendon T31R"));
    assert!(step(&plan, StepId::Measures).tables.is_empty());
    // Its own force is known.
    close(&[fact(step(&plan, StepId::Measures), "lost_kn")], &[3506.0], 0.5);
}

#[test]
fn without_a_jack_the_ones_that_are_listed_are_named() {
    let plan = plan_of("T11L", |tendon| end(tendon, EndName::B).jack = None);
    assert!(lacks(&plan, "end.jack"));
    assert!(said(step(&plan, StepId::JackIn)).contains("its anchorage lists QJ-19"));
    let steps = table(&plan, StepId::Stressing, "Steps");
    assert_eq!(column(steps, "gauge_mpa"), [0.0; 0]);
    close(&column(steps, "force_kn")[4..], &[3600.0], 0.0);
    close(&[fact(step(&plan, StepId::Stressing), "elastic_mm")], &[265.7], 0.05);
}

#[test]
fn without_bays_pieces_are_cut_but_no_way_is_made_up() {
    let plan = plan_in("T11L", |schedule| {
        schedule.bays.clear();
        schedule.openings.clear();
    });
    assert!(lacks(&plan, "schedule.bays"));
    assert_eq!(column(table(&plan, StepId::Pieces, "Pieces"), "length_m").len(), 20);
    assert!(plan.steps.iter().all(|step| step.ways.is_empty()));
    for step in &plan.steps {
        assert!(!said(step).contains("leave by"), "{:?}", step.id);
    }
}
