//! The force comes off first: nothing is cut before the release, and no cap comes off with force behind it.

use restrand_model::schedule::Filler;

use super::*;

#[test]
fn a_cut_that_is_ordered_before_the_release_stands_against_the_plan_and_the_release_stays_first() {
    let plan = plan_of("T11L", |tendon| {
        tendon.cuts[0].order = Some(4);
        tendon.cuts[3].order = Some(1);
    });
    let told = constraints(&plan, StepId::Release);
    assert!(told[0].contains("the cut at station 117.3 m"), "{told:?}");
    assert!(told[0].contains("before the release at station 120 m"), "{told:?}");
    let table = table(&plan, StepId::Pieces, "Cuts");
    assert_eq!(texts(table, "for")[0], "release");
    close(&column(table, "station_m")[..1], &[120.0], 0.0);
}

#[test]
fn a_further_release_comes_before_every_cut_and_is_no_bonded_length_for_itself() {
    let plan = plan_of("T11L", |tendon| {
        let mut cut = tendon.cuts[0].clone();
        (cut.order, cut.station_m) = (Some(24), Some(105.5));
        tendon.cuts.push(cut);
    });
    assert!(
        constraints(&plan, StepId::Release)[0].contains("before the release at station 105.5 m")
    );
    assert_eq!(
        &texts(table(&plan, StepId::Pieces, "Cuts"), "for")[..3],
        ["release", "release", "piece"]
    );
    let release = step(&plan, StepId::Release);
    assert!(!said(release).contains("a bonded length for itself"), "{}", said(release));
    assert!(shown(&release.cautions).contains("in a bonded length that has one already"));
}

#[test]
fn cuts_of_which_some_have_no_order_are_a_hole() {
    let plan = plan_of("T11L", |tendon| tendon.cuts[5].order = None);
    assert!(lacks(&plan, "cut.order"));
}

#[test]
fn no_cap_comes_off_where_the_method_is_in_the_free_length() {
    let plan = plan_of("T23R", |tendon| end(tendon, EndName::A).released_here = Some(true));
    let told = constraints(&plan, StepId::Restraints);
    assert!(told[0].contains("its cap would come off with the force on"), "{told:?}");
    for id in [StepId::Restraints, StepId::Release, StepId::ZeroForce] {
        let all = step(&plan, id);
        let all = format!("{}\n{}", said(all), shown(&all.holds));
        assert!(!all.contains("comes off"), "{id:?}: {all}");
    }
    assert!(said(step(&plan, StepId::Restraints)).contains("Both caps stay on"));
}

/// Released strand by strand at end b, with this filler and this restraint there.
fn at_anchorage(filler: Filler, restraint: Option<&str>) -> Plan {
    plan_of("T11L", |tendon| {
        tendon.filler = Some(filler);
        replacement(tendon).release = Some(Release::StrandByStrandAtAnchorage);
        let end = end(tendon, EndName::B);
        end.released_here = Some(true);
        end.release_restraint = restraint.map(Into::into);
    })
}

#[test]
fn a_release_at_an_anchorage_asks_for_a_restraint_made_for_it() {
    let frame =
        Some("Frame on the bearing plate with a plate for each strand, in place of the cap");
    let stated = at_anchorage(Filler::Wax, frame);
    assert_eq!(constraints(&stated, StepId::Restraints), [""; 0]);
    assert_eq!(constraints(&stated, StepId::Release), [""; 0]);
    let holds = shown(&step(&stated, StepId::Restraints).holds);
    assert!(holds.contains("designed for that") && holds.contains("signed for"), "{holds}");
    let none = constraints(&at_anchorage(Filler::Wax, None), StepId::Restraints);
    assert!(none[0].contains("nothing is stated that holds"), "{none:?}");
    // The demo's words are for a cap that stays on.
    for text in
        ["Cap stays on; clamp and blanket 0.5 m from the face", "Blanket, cap kept", "Caps on"]
    {
        let told = constraints(&at_anchorage(Filler::Wax, Some(text)), StepId::Restraints);
        assert!(told[0].contains("keeps the cap on"), "{text}: {told:?}");
    }
}

#[test]
fn hard_filler_is_not_released_at_an_anchorage() {
    let frame = Some("Frame in place of the cap");
    for hard in [Filler::CementGrout, Filler::Unknown] {
        let plan = at_anchorage(hard, frame);
        assert_eq!(constraints(&plan, StepId::Release).len(), 1, "{hard:?}");
        let text = format!(
            "{}{}",
            said(step(&plan, StepId::Release)),
            said(step(&plan, StepId::ZeroForce))
        );
        for words in ["can be seen all round", "follows a pull by hand", "window"] {
            assert!(!text.contains(words), "{words}: {text}");
        }
    }
    for soft in [Filler::Wax, Filler::Grease, Filler::None] {
        let plan = at_anchorage(soft, frame);
        assert_eq!(constraints(&plan, StepId::Release), [""; 0], "{soft:?}");
        let release = step(&plan, StepId::Release);
        let all = format!("{}{}{}", said(release), shown(&release.tools), shown(&release.cautions));
        assert!(!all.contains("window") && all.contains("beside the axis"), "{all}");
    }
}

#[test]
fn where_the_one_stands_who_parts_the_strands_is_said_alike_in_both_steps() {
    let plan = plan_of("T11L", |_| {});
    let holds = shown(&step(&plan, StepId::Restraints).holds);
    assert!(!holds.contains("nor beside the first cut"), "{holds}");
    assert!(
        holds.contains("one person only")
            && holds.contains("behind a screen, off the line of the strands"),
        "{holds}"
    );
    let release = step(&plan, StepId::Release);
    assert!(
        shown(&release.tools).contains("a screen beside the window; room for one person behind it")
    );
    assert!(shown(&release.cautions).contains("behind the screen, off the line of the strands"));
    // Strands of a window are met from outside inward.
    let said = said(release);
    assert!(said.contains("the outer strands come first"), "{said}");
    assert!(!said.contains("outermost last"), "{said}");
}

#[test]
fn one_bonded_length_is_one_for_its_energy_and_not_for_the_look_at_each_free_length() {
    let grout = said(step(&plan_of("T11L", |_| {}), StepId::Release));
    assert!(!grout.contains("sets all of it free"), "{grout}");
    assert!(grout.contains("all its energy counts as set free at the first release"));
    assert!(grout.contains("That does not show that the force is gone"));
    let wax = said(step(&plan_of("T22L", |_| {}), StepId::Release));
    assert!(!wax.contains("That does not show"), "{wax}");
}

#[test]
fn a_release_too_near_to_concrete_stands_against_the_plan_with_a_place_that_has_room() {
    let at = |station_m: f64| plan_of("T11L", |tendon| tendon.cuts[0].station_m = Some(station_m));
    // Inside A1, and 150 mm from D11, where window and clamps take a metre.
    for station_m in [100.2, 112.35] {
        let plan = at(station_m);
        let told = plan
            .blocked
            .iter()
            .find(|one| {
                one.step == StepId::Pieces && one.remedy.text.starts_with("release at station")
            })
            .unwrap();
        let instead = told.remedy.facts.iter().find(|fact| fact.name == "instead_m").unwrap();
        let FactValue::Number(instead_m) = instead.value else { panic!("a station is a number") };
        assert!((101.6..111.6).contains(&instead_m), "{station_m}: {instead_m}");
        let freed = at(instead_m);
        assert!(!freed.blocked.iter().any(|one| one.remedy.text.starts_with("release at station")));
    }
    let close = shown(&step(&at(112.35), StepId::Pieces).cautions);
    assert!(close.contains("are only 50 mm [1.97 in] apart"), "{close}");
}

#[test]
fn no_cap_is_told_to_come_off_where_the_release_is_in_the_free_length() {
    let plan = plan_of("T11L", |_| {});
    for id in [StepId::ZeroForce, StepId::AnchorStubs] {
        let held = shown(&step(&plan, id).holds);
        assert!(
            !held.contains("restraint or the jack") && !held.contains("behind its stated"),
            "{held}"
        );
    }
    // Clamps hold the ends still as well as slack does, and a stub in grout may hold force on.
    assert!(said(step(&plan, StepId::ZeroForce)).contains("eased by little and little"));
    assert!(shown(&step(&plan, StepId::AnchorStubs).cautions).contains("may still hold force"));
}
