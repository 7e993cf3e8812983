//! The bridge while the tendon is out: the numbers of the rule on it, and which others may be out as well.

use restrand_rules::works;

use super::*;

/// The demo with what its sections lack for stresses: a box of 5.2 m2 and 4.1 m4 (invented, round).
fn stiff(schedule: &mut Schedule) {
    for section in &mut schedule.sections {
        section.area_m2 = Some(5.2);
        section.inertia_level_m4 = Some(4.1);
        section.stiffness_knm2 = Some(1.4e8);
        section.top_elevation_m = Some(52.7);
        section.bottom_elevation_m = Some(49.7);
        section.permanent_top_mpa = Some(-4.0);
        section.permanent_bottom_mpa = Some(-4.0);
        section.live_top_mpa = Some(-2.0);
        section.live_bottom_mpa = Some(2.0);
        section.limit_tension_mpa = Some(1.0);
        section.limit_compression_mpa = Some(-20.0);
    }
}

#[test]
fn the_plan_shows_what_the_rule_judges() {
    let mut schedule = demo().schedule;
    stiff(&mut schedule);
    let book = book();
    let context = Context::new(&schedule, &[], &[], &book, Date::new(2026, 11, 25).unwrap());
    let bridge = context.bridge_out().unwrap();
    for at in context.tendons() {
        let Some(outs) = bridge.of(at.position) else { continue };
        let plan = plan(&context, &at);
        if plan.not_for.is_some() {
            continue;
        }
        let lost = table(&plan, StepId::Measures, "Lost");
        // No section of the demo lies where a tendon turns or ends.
        let outs: Vec<_> =
            outs.iter().flat_map(|pair| works::sides(pair).map(|(_, out)| *out)).collect();
        // Supports hand moments on: every section of the three spans loses something.
        close(
            &column(lost, "axial_kn"),
            &outs.iter().map(|out| out.lost.axial_kn).collect::<Vec<_>>(),
            1e-9,
        );
        let total: Vec<f64> = outs.iter().filter_map(|out| out.lost.total_knm).collect();
        assert_eq!(total.len(), 3);
        close(&column(lost, "total_knm"), &total, 1e-9);
        let is_over = schedule.sections.iter().zip(&outs).any(|(section, out)| {
            works::share_over(section, out).is_some()
                || works::over(section, out, None).unwrap().is_some()
        });
        assert_eq!(is_over, !constraints(&plan, StepId::Measures).is_empty(), "{}", plan.tendon);
    }
}

#[test]
fn stresses_with_the_tendon_out_are_those_of_superposition() {
    let plan = plan_in("T11L", stiff);
    let lost = table(&plan, StepId::Measures, "Lost");
    let (axial_kn, total_knm) = (column(lost, "axial_kn")[0], column(lost, "total_knm")[0]);
    // The loss of a force that presses stretches: H/A; its moment M goes, -M y/I at the bottom. Live load at worst.
    let bottom = -4.0 + 2.0 + (axial_kn / 5.2 - total_knm * 1.9 / 4.1) / 1000.0;
    close(&column(lost, "bottom_then_mpa")[..1], &[bottom], 1e-6);
    // The secondary moment is not none.
    assert!((total_knm - column(lost, "primary_knm")[0]).abs() > 100.0);
}

#[test]
fn a_section_that_loses_too_much_stands_against_the_plan_and_no_other_may_be_out() {
    let plan = plan_in("T11L", |schedule| {
        schedule.sections[0].limit_lost_force_share = Some(0.05);
    });
    let told = constraints(&plan, StepId::Measures);
    assert_eq!(
        told,
        ["with the tendon out mid-span 1 loses 7.9 % of its axial force, and allows 5 %"]
    );
    let said = said(step(&plan, StepId::Measures));
    assert!(said.contains("allow no other tendon out with it"), "{said}");
    let less = plan.blocked[0].remedy.facts.iter().find(|fact| fact.name == "less_kn").unwrap();
    let FactValue::Number(less_kn) = less.value else { panic!("a force is a number") };
    // So much less is just what the section allows: 5 % of 43 921 kN.
    close(&[3480.2 - less_kn], &[0.05 * 43_921.0], 0.5);
}

#[test]
fn others_may_be_out_where_both_together_stay_within_each_section() {
    let marks = |plan: &Plan, words: &str| {
        let said = said(step(plan, StepId::Measures));
        let line = said.lines().find(|line| line.contains(words)).unwrap_or_default().to_owned();
        line.rsplit_once(": ").map(|(_, marks)| marks.to_owned()).unwrap_or_default()
    };
    // By force alone: two of the same span take 15.8 % where 10 % are allowed, one of another span takes nothing there.
    let plan = plan_of("T11L", |_| {});
    assert_eq!(marks(&plan, "Beyond what the sections allow"), "T11R, T12L, T12R");
    assert!(marks(&plan, "Not beyond it").starts_with("T21L, T21R"));
    let said_all = said(step(&plan, StepId::Measures));
    assert!(said_all.contains("which is not all: this releases none of them"), "{said_all}");
    // With 16 % allowed the pair of the same span stays within.
    let wider = plan_in("T11L", |schedule| {
        for section in &mut schedule.sections {
            section.limit_lost_force_share = Some(0.16);
        }
    });
    assert_eq!(marks(&wider, "Beyond what the sections allow"), "");
    // With everything stated, what is said is the whole check.
    let whole = plan_in("T21L", |schedule| {
        stiff(schedule);
        for section in &mut schedule.sections {
            section.limit_tension_mpa = Some(50.0);
        }
    });
    let said_all = said(step(&whole, StepId::Measures));
    assert!(said_all.contains("by the same check"), "{said_all}");
    assert!(!said_all.contains("which is not all"), "{said_all}");
}

#[test]
fn a_bridge_that_allows_two_at_once_says_so() {
    let plan = plan_in("T11L", |schedule| {
        schedule.project.as_deref_mut().unwrap().tendons_out = Some(2);
        tendon(schedule, "T11L").replacement.as_deref_mut().unwrap().others_out = Some(1);
    });
    let measures = step(&plan, StepId::Measures);
    close(&[fact(measures, "tendons_out"), fact(measures, "others_out")], &[2.0, 1.0], 0.0);
    let open = plan_in("T11L", |schedule| {
        schedule.project.as_deref_mut().unwrap().tendons_out = None;
        schedule.sections.clear();
    });
    assert!(lacks(&open, "project.tendons_out") && lacks(&open, "schedule.sections"));
}
