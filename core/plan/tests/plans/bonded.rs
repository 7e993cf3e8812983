//! Tendons that are bonded to the structure between their ends.

use restrand_model::schedule::BondedPoint;
use restrand_plan::HazardKind;

use super::*;

fn bonded_at_d11(tendon: &mut Tendon) {
    replacement(tendon).unbonded = Some(false);
    let place = tendon.deviators[0].place.clone();
    tendon.bonded_points = vec![BondedPoint { place, ..BondedPoint::default() }];
}

#[test]
fn each_bonded_length_needs_a_release_of_its_own() {
    let bonded = plan_of("T11L", bonded_at_d11);
    let told = constraints(&bonded, StepId::Release);
    // The stated release lies beyond D11; the length from A1 to D11 has none.
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("the bonded length from 0 m"), "{told:?}");
    let unknown = plan_of("T11L", |tendon| replacement(tendon).unbonded = Some(false));
    assert!(unknown.holes.iter().any(|hole| hole.field == "tendon.bonded_points"));
    let lines = &step(&unknown, StepId::Release).lines;
    assert!(lines.iter().all(|line| !line.text.contains("one bonded length")));
}

#[test]
fn where_no_cuts_are_stated_each_bonded_length_gets_its_release_before_anything_else_is_cut() {
    let plan = plan_of("T11L", |tendon| {
        bonded_at_d11(tendon);
        tendon.cuts.clear();
    });
    assert_eq!(constraints(&plan, StepId::Release), [""; 0]);
    let cuts = table(&plan, StepId::Pieces, "Cuts");
    let kinds = texts(cuts, "for");
    assert_eq!(&kinds[..2], ["release", "release"]);
    assert!(kinds[2..].iter().all(|kind| *kind != "release"));
    let stations = column(cuts, "station_m");
    // One on each side of D11, in whose form the tendon is bonded.
    assert!(stations[0] > 113.5 && stations[1] < 112.5, "{stations:?}");
    assert!(said(step(&plan, StepId::Release)).contains("Then it is released likewise at station"));
    // Together no less than the whole; the hazard is told once, with how it comes off.
    let kj = column(table(&plan, StepId::Release, "Energy"), "energy_kj");
    let whole = column(table(&plan_of("T11L", |_| {}), StepId::Release, "Energy"), "energy_kj");
    close(&[kj.iter().sum::<f64>()], &whole, 0.01);
    let stored = plan.hazards.iter().filter(|hazard| {
        hazard.kind == HazardKind::StoredEnergy && hazard.steps.contains(&StepId::Release)
    });
    let stored: Vec<_> = stored.map(|hazard| hazard.line.clone()).collect();
    assert_eq!(stored.len(), 1);
    assert!(shown(&stored).contains("in 2 bonded lengths, each for itself (table of step 4)"));
}
