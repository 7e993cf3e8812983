//! Between which numbers a reading lies, where the piston is set back, where people stand, and one energy.

use super::*;

#[test]
fn lift_off_and_set_have_their_bands() {
    let plan = plan_of("T11L", |_| {});
    let seating = table(&plan, StepId::Stressing, "Set and lift-off");
    assert_eq!(texts(seating, "band"), ["at least", "expected", "at most"]);
    // 3414 kN and 5 %, 6 mm and 2 mm; by the calibration, 8.85 kN for a tenth of a MPa about there.
    close(&column(seating, "set_mm"), &[4.0, 6.0, 8.0], 0.0);
    close(&column(seating, "lift_off_kn"), &[3243.0, 3414.0, 3584.5], 0.6);
    close(&column(seating, "gauge_mpa"), &[36.70, 38.63, 40.56], 0.02);
    let said = said(step(&plan, StepId::Stressing));
    assert!(
        said.contains("lift-off is then at 3414 kN") && said.contains("in their bands"),
        "{said}"
    );
    // No band goes beyond what bounds the jack.
    let weak = plan_in("T11L", |schedule| {
        schedule.jacks.iter_mut().for_each(|jack| jack.rated_force_kn = Some(4000.0));
        let own = tendon(schedule, "T11L");
        replacement(own).target_force_kn = Some(3520.0);
        own.stressing.as_deref_mut().unwrap().set_mm = Some(1.0);
        end(own, EndName::B).set_mm = None;
    });
    let most = fact(step(&weak, StepId::Stressing), "most_kn");
    close(&[most], &[3528.0], 0.5);
    let seating = column(table(&weak, StepId::Stressing, "Set and lift-off"), "lift_off_kn");
    close(&[seating[2]], &[most], 1e-6);
}

#[test]
fn each_change_of_stroke_has_its_force_and_its_reading() {
    let plan = plan_of("T11L", |_| {});
    let changes = table(&plan, StepId::Stressing, "Changes of stroke");
    // 200 mm of 274.5 mm, 3 mm of them the other end's wedges: (200 - 3) / 271.5 of 3600 kN.
    close(&column(changes, "from_slack_mm"), &[200.0], 0.0);
    close(&column(changes, "force_kn"), &[2612.2], 0.7);
    close(&column(changes, "gauge_mpa"), &[29.57], 0.02);
    let one = plan_in("T11L", |schedule| {
        schedule.jacks.iter_mut().for_each(|jack| jack.stroke_mm = Some(300.0));
    });
    let tables = &step(&one, StepId::Stressing).tables;
    assert!(!tables.iter().any(|table| table.title.starts_with("Changes of stroke")));
}

#[test]
fn nobody_reads_or_cuts_in_line_with_the_tendon() {
    let plan = plan_of("T11L", |_| {});
    let stressing = said(step(&plan, StepId::Stressing));
    assert!(stressing.contains("out of line with the tendon"), "{stressing}");
    let tails = step(&plan, StepId::TailsAndCaps);
    assert!(said(tails).contains("at the side of the anchorage, out of line"), "{}", said(tails));
    assert!(shown(&tails.holds).contains("nobody is behind either anchorage"));
    let hazards: Vec<_> = plan.hazards.iter().map(|hazard| hazard.line.clone()).collect();
    assert!(shown(&hazards).contains("is done from beside the axis, behind a screen"));
}

#[test]
fn windows_are_opened_under_full_force_and_that_is_said() {
    let survey = step(&plan_of("T11L", |_| {}), StepId::Survey).clone();
    assert!(
        shown(&survey.cautions).contains("under its full force, and so is every tendon beside it")
    );
    assert!(shown(&survey.holds).contains("Before a window is opened"));
}

#[test]
fn one_energy_is_told_everywhere() {
    for mark in ["T11L", "T12R", "T22L"] {
        let plan = plan_of(mark, |_| {});
        let kj = fact(step(&plan, StepId::Release), "energy_kj");
        close(&[fact(step(&plan, StepId::Restraints), "energy_kj")], &[kj], 0.0);
        let of = |lines: &[Line]| -> Vec<f64> {
            let facts = lines.iter().flat_map(|line| &line.facts);
            let energies = facts.filter(|fact| fact.name == "energy_kj");
            energies
                .filter_map(|fact| match fact.value {
                    FactValue::Number(number) => Some(number),
                    FactValue::Text(_) => None,
                })
                .collect()
        };
        close(&of(&plan.in_hand), &[kj], 0.0);
        let stored: Vec<_> = plan.hazards.iter().map(|hazard| hazard.line.clone()).collect();
        // Then that of the new tendon.
        close(&of(&stored)[..1], &[kj], 0.0);
    }
}

#[test]
fn a_pressure_is_told_in_one_unit_in_one_sentence() {
    let plan = plan_of("T11L", |_| {});
    let steps = plan.steps.iter().flat_map(|step| {
        step.lines.iter().chain(&step.tools).chain(&step.holds).chain(&step.cautions)
    });
    for line in plan.about.iter().chain(steps) {
        let text = fill_in(&line.text, &line.facts, System::Us);
        assert!(!(text.contains(" psi") && text.contains(" ksi")), "{text}");
    }
}

#[test]
fn a_jack_that_is_not_stated_is_said_at_the_head() {
    let plan = plan_of("T11L", |tendon| end(tendon, EndName::B).jack = None);
    let head = shown(&plan.about);
    assert!(head.contains("with which jack is not known, nor what its gauge reads"), "{head}");
}
