//! What no reading of the jack goes beyond: the least of strands, jack, rating and calibration, and it binds.

use restrand_model::schedule::Jack;

use super::*;

/// The plan of T11L with another jack and another force for its new tendon.
fn of(target_kn: f64, change: impl Fn(&mut Jack)) -> Plan {
    plan_in("T11L", |schedule| {
        schedule.jacks.iter_mut().for_each(&change);
        let own = replacement(tendon(schedule, "T11L"));
        own.target_force_kn = Some(target_kn);
        own.target_seated_force_kn = None;
    })
}

fn binds(plan: &Plan) -> Vec<String> {
    texts(table(plan, StepId::Stressing, "What bounds"), "bound")
        .into_iter()
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_least_of_the_bounds_is_the_ceiling_and_is_named() {
    let most = |plan: &Plan| fact(step(plan, StepId::Stressing), "most_kn");
    let plain = of(3600.0, |_| {});
    assert_eq!(binds(&plain)[0], "what is used of the jack's rating");
    // A stronger jack: the strands bind, 0.9 x 0.88 x 1860 x 2850.
    let strong = of(3600.0, |jack| jack.rated_force_kn = Some(6000.0));
    assert_eq!(binds(&strong)[0], "what the strands may have at the jack");
    close(&[most(&strong)], &[4198.0], 0.5);
    let said = said(step(&strong, StepId::Stressing));
    assert!(said.contains("no reading goes beyond 4198 kN"), "{said}");
    // A short calibration.
    let short = of(3500.0, |jack| jack.calibration.truncate(5));
    assert_eq!(binds(&short)[0], "the last line of the jack's calibration");
    close(&[most(&short)], &[3535.0], 0.0);
    // A rated pressure of 30 MPa is 2650 kN by the calibration.
    let pressed = of(2600.0, |jack| jack.rated_pressure_mpa = Some(30.0));
    assert_eq!(binds(&pressed)[0], "the jack's rated pressure");
    close(&[most(&pressed)], &[2650.0], 0.5);
    for plan in [plain, strong, short, pressed] {
        assert_eq!(constraints(&plan, StepId::Stressing), [""; 0]);
    }
}

#[test]
fn no_reading_that_is_shown_goes_beyond_the_ceiling() {
    for target_kn in [3000.0, 3600.0, 3969.0, 4150.0, 4300.0] {
        let plan = of(target_kn, |_| {});
        let bounds = column(table(&plan, StepId::Stressing, "What bounds"), "gauge_mpa");
        let gauge = column(table(&plan, StepId::Stressing, "Steps"), "gauge_mpa");
        assert!(gauge.iter().all(|mpa| *mpa <= bounds[0] + 1e-9), "{target_kn}: {gauge:?}");
    }
}

#[test]
fn a_force_beyond_the_ceiling_stands_against_the_plan_and_what_is_named_frees_it() {
    let weak = |jack: &mut Jack| jack.rated_force_kn = Some(3700.0);
    for (target_kn, change) in
        [(4300.0, (|_| {}) as fn(&mut Jack)), (4150.0, |_| {}), (3600.0, weak)]
    {
        let plan = of(target_kn, change);
        let told = constraints(&plan, StepId::Stressing);
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(told[0].contains("what is used of the jack's rating binds"), "{told:?}");
        let head = shown(&plan.about);
        assert!(head.contains("is not jacked to that") && !head.contains("is jacked to"), "{head}");
        let remedy = &plan.blocked.iter().find(|one| one.step == StepId::Stressing).unwrap().remedy;
        let most = remedy.facts.iter().find(|fact| fact.name == "most_kn").unwrap();
        let FactValue::Number(most_kn) = most.value else { panic!("a force is a number") };
        assert_eq!(constraints(&of(most_kn, change), StepId::Stressing), [""; 0]);
    }
    let beyond_strands = of(4300.0, |jack| jack.rated_force_kn = Some(9000.0));
    let told = constraints(&beyond_strands, StepId::Stressing);
    assert!(told[0].contains("4300 kN") && told[0].contains("4198 kN"), "{told:?}");
    assert!(told[0].ends_with("what the strands may have at the jack binds"), "{told:?}");
}

#[test]
fn a_bound_that_is_not_known_is_a_hole() {
    let plan = of(3600.0, |jack| jack.rated_force_kn = None);
    let holes = &step(&plan, StepId::Stressing).holes;
    assert!(holes.iter().any(|hole| hole.field == "jack.rated_force_kn"), "{holes:?}");
    let said = said(step(&plan, StepId::Stressing));
    assert!(
        said.contains("binds (limit jacking_stress_fpy of the rulebook), of what is known"),
        "{said}"
    );
}

#[test]
fn a_force_after_seating_that_no_stressing_leaves_is_told() {
    let set = |target_kn: f64, seated_kn: f64| {
        plan_of("T11L", |tendon| {
            let own = replacement(tendon);
            own.target_force_kn = Some(target_kn);
            own.target_seated_force_kn = Some(seated_kn);
        })
    };
    // More than the jack gives.
    let told = constraints(&set(3000.0, 3414.0), StepId::Stressing);
    assert!(told[0].contains("3414 kN") && told[0].contains("3000 kN"), "{told:?}");
    // Less, but not what seating leaves: 3414 kN.
    let differs = set(3600.0, 3000.0);
    assert_eq!(constraints(&differs, StepId::Stressing), [""; 0]);
    let cautions = shown(&step(&differs, StepId::Stressing).cautions);
    assert!(cautions.contains("do not belong to one stressing"), "{cautions}");
    let fits = shown(&step(&set(3600.0, 3414.0), StepId::Stressing).cautions);
    assert!(!fits.contains("do not belong"), "{fits}");
}

#[test]
fn the_baseline_is_a_number_and_a_row_of_the_table() {
    // 20 % of 3300 kN are 660 kN: the baseline of 720 kN lies between two steps.
    let plan = of(3300.0, |_| {});
    let steps = table(&plan, StepId::Stressing, "Steps");
    close(&column(steps, "force_kn"), &[660.0, 720.0, 1320.0, 1980.0, 2640.0, 3300.0], 0.05);
    assert_eq!(column(steps, "above_baseline_mm").len(), 5);
    close(&column(steps, "above_baseline_mm")[..1], &[0.0], 1e-9);
    let said = said(step(&plan, StepId::Stressing));
    assert!(said.contains("At end b (P2) the baseline is 720 kN [162 kip], 8.18 MPa"), "{said}");
    assert!(shown(&plan.about).contains("above the baseline, which is 720 kN"));
    // One that is not below the full force measures nothing.
    let high = of(700.0, |_| {});
    assert!(
        shown(&step(&high, StepId::Stressing).cautions).contains("is not below the full force")
    );
}

#[test]
fn the_calibration_is_named_with_its_day_and_its_age() {
    let plan = of(3600.0, |_| {});
    let said_now = said(step(&plan, StepId::Stressing));
    assert!(
        said_now
            .contains("by the calibration of QJ-19 of 2026-09-15, 2.3 months before 2026-11-25"),
        "{said_now}"
    );
    assert!(shown(&plan.about).contains("on the gauge by the calibration of 2026-09-15"));
    let old = of(3600.0, |jack| jack.calibrated_on = Date::new(2009, 1, 1));
    let cautions = shown(&step(&old, StepId::Stressing).cautions);
    assert!(
        cautions.contains("are not used before jack and gauge are calibrated anew"),
        "{cautions}"
    );
    let undated = of(3600.0, |jack| jack.calibrated_on = None);
    assert!(lacks(&undated, "jack.calibrated_on"));
    assert!(shown(&undated.about).contains("by a calibration without a date"));
    let none = of(3600.0, |jack| {
        jack.calibration.clear();
        jack.calibrated_on = None;
    });
    assert!(shown(&none.about).contains("by the area of the piston, not calibrated"));
    let holds = shown(&step(&none, StepId::Stressing).holds);
    assert!(holds.contains("calibrated together before the jack is used"), "{holds}");
}
