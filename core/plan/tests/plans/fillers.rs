//! The filler decides the method: one plan for each, and for strands in sheaths of their own.

use restrand_model::System;
use restrand_model::schedule::{Filler, Release, StrandCoating};
use restrand_plan::{HazardKind, Plan, StepId};

use super::*;

fn filled(filler: Option<Filler>) -> Plan {
    plan_of("T12L", |tendon| tendon.filler = filler)
}

/// Each strand of the tendon greased in a sheath of its own.
fn sheathed(over_mm: Option<f64>, change: impl Fn(&mut Tendon)) -> Plan {
    plan_in("T12L", |schedule| {
        let mut strand = schedule.strands[0].clone();
        strand.id = Some("sheathed".into());
        strand.coating = Some(StrandCoating::GreasedSheathed);
        strand.coated_diameter_mm = over_mm;
        schedule.strands.push(strand);
        let own = tendon(schedule, "T12L");
        own.strand = Some(restrand_model::reflect::Link::to("sheathed"));
        change(own);
    })
}

fn cautions(plan: &Plan) -> String {
    let steps = [StepId::Survey, StepId::Release, StepId::Pieces, StepId::Filling];
    let lines = steps.map(|id| step(plan, id).cautions.clone()).concat();
    lines.into_iter().map(|line| line.text).collect::<Vec<_>>().join("\n")
}

fn has(plan: &Plan, kind: HazardKind) -> bool {
    plan.hazards.iter().any(|hazard| hazard.kind == kind)
}

#[test]
fn the_filler_decides_what_to_beware_of() {
    let cautions = |filler: Option<Filler>| cautions(&filled(filler));
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
fn strands_are_laid_bare_by_what_is_around_them() {
    let of = |filler| said(step(&filled(filler), StepId::Release));
    assert!(of(Some(Filler::CementGrout)).contains("Grout is broken away by hand tools"));
    for filler in [Filler::Wax, Filler::Grease] {
        assert!(of(Some(filler)).contains("Wax or grease is scraped out"), "{filler:?}");
    }
    for filler in [Some(Filler::Unknown), None] {
        assert!(of(filler).contains("the worst of each"), "{filler:?}");
    }
    // Only hard filler can hold strands between two places, and what is not known may be hard.
    let held =
        |filler| said(step(&filled(filler), StepId::ZeroForce)).contains("Hard filler holds");
    assert!(held(Some(Filler::CementGrout)) && held(Some(Filler::Unknown)) && held(None));
    for soft in [Filler::Wax, Filler::Grease, Filler::None] {
        assert!(!held(Some(soft)), "{soft:?}");
    }
}

#[test]
fn hazards_follow_the_filler() {
    let kinds = |filler| {
        let plan = filled(filler);
        [HazardKind::Dust, HazardKind::HotOrCaustic].map(|kind| has(&plan, kind))
    };
    assert_eq!(kinds(Some(Filler::CementGrout)), [true, true]);
    assert_eq!(kinds(Some(Filler::Wax)), [false, true]);
    assert_eq!(kinds(Some(Filler::Grease)), [false, false]);
    assert_eq!(kinds(Some(Filler::None)), [false, false]);
    for worst in [Some(Filler::Unknown), None] {
        assert_eq!(kinds(worst), [true, true], "{worst:?}");
    }
    // Polymer burns whatever fills it.
    for filler in [Some(Filler::CementGrout), Some(Filler::None), None] {
        assert!(has(&filled(filler), HazardKind::Fire));
    }
}

#[test]
fn wax_is_melted_and_grout_is_mixed() {
    let wax = filled(Some(Filler::Wax));
    assert!(lacks(&wax, "fill.temperature_celsius"));
    let stated = plan_of("T12L", |tendon| {
        tendon.filler = Some(Filler::Wax);
        tendon.fill.as_deref_mut().unwrap().temperature_celsius = Some(90.0);
    });
    let filling = step(&stated, StepId::Filling);
    close(&[fact(filling, "inlet_celsius")], &[90.0], 0.0);
    // No bags of cement go into wax.
    assert!(filling.lines.iter().all(|line| !line.text.contains("bags")));
    let grout = filled(Some(Filler::CementGrout));
    assert!(step(&grout, StepId::Filling).lines.iter().any(|line| line.text.contains("{bags}")));
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
fn sheathed_strands_are_held_by_nothing_that_fills_the_duct() {
    let plan = sheathed(Some(19.5), |_| {});
    let all = cautions(&plan);
    for words in ["No hot work", "slide out of their sheaths", "Grease and sheaths burn", "dust"] {
        assert!(all.contains(words), "{words}");
    }
    // Grout round them counts as no bond.
    let survey = said(step(&plan, StepId::Survey));
    assert!(survey.contains("gives off all its energy wherever it is cut"), "{survey}");
    assert!(!survey.contains("holds strands for a length of its own"));
    let zero = said(step(&plan, StepId::ZeroForce));
    assert!(zero.contains("one by one") && !zero.contains("Hard filler holds"), "{zero}");
    assert!(said(step(&plan, StepId::Release)).contains("Each sheath is slit"));
    let heated = sheathed(Some(19.5), |tendon| {
        replacement(tendon).release = Some(Release::Heating);
    });
    assert_eq!(constraints(&heated, StepId::Release).len(), 1);
    let fire = plan.hazards.iter().find(|hazard| hazard.kind == HazardKind::Fire).unwrap();
    let fire = fill_in(&fire.line.text, &fire.line.facts, System::Si);
    assert!(fire.starts_with("Grease, sheaths and polymer duct burn"), "{fire}");
}

#[test]
fn sheaths_take_room_from_the_filler_and_add_to_the_mass() {
    let bare = filled(Some(Filler::CementGrout));
    let plan = sheathed(Some(19.5), |_| {});
    let net_l = |plan: &Plan| fact(step(plan, StepId::Filling), "net_l");
    // 19 strands of 19.5 mm over the sheath take 5674 mm2, where their steel takes 2850 mm2, all along.
    let length_m = 41.729;
    let less_l = (19.0 * std::f64::consts::FRAC_PI_4 * 19.5 * 19.5 - 2850.0) * length_m / 1000.0;
    close(&[net_l(&bare) - net_l(&plan)], &[less_l], 1.0);
    let kg = |plan: &Plan| column(table(plan, StepId::Pieces, "Pieces"), "mass_kg")[0];
    // Sheaths and grease are lighter than the grout whose place they take.
    assert!(kg(&plan) < kg(&bare) && kg(&plan) > 0.8 * kg(&bare), "{} {}", kg(&plan), kg(&bare));
    // Without the size over the sheath neither is known.
    let unknown = sheathed(None, |_| {});
    assert!(lacks(&unknown, "strand.coated_diameter_mm"));
    assert!(column(table(&unknown, StepId::Pieces, "Pieces"), "mass_kg").is_empty());
}
