//! Where a tendon runs, and what is beside it.

use restrand_model::reflect::Link;
use restrand_model::schedule::{
    Bay, Duct, DuctRun, FaceName, Schedule, TendonPoint, Vent, VentKind,
};
use restrand_rules::ways::Ways;
use restrand_rules::works;

use crate::{near, with};

#[test]
fn live_tendons_beside_come_from_the_nearest() {
    with(
        |_| {},
        |context, at| {
            let (beside, unknown) = works::beside(context, at).unwrap();
            // T4 lies in the concrete, T5 is not there yet, T6 begins where this one ends; T3 states no duct.
            assert_eq!(beside.iter().map(|one| one.tendon).collect::<Vec<_>>(), [1, 6]);
            assert_eq!(unknown, [2]);
            // T2 and T7 begin at the level of the tendon, 200 and 500 mm to its left, and run away from it.
            near(beside[0].gap_mm, 200.0 - 125.0);
            near(beside[0].station_m, 12.0);
            near(beside[1].gap_mm, 500.0 - 125.0);
            near(beside[1].station_m, 30.0);
        },
    );
    // Both ducts count at worst, as they do for the rules on neighbours.
    with(
        |schedule| {
            let duct = &mut schedule.ducts[0];
            (duct.tolerance_mm, duct.ovality_mm) = (Some(2.0), Some(3.0));
        },
        |context, at| {
            let (beside, _) = works::beside(context, at).unwrap();
            near(beside[0].gap_mm, 200.0 - (125.0 + 2.0 + 3.0 / 2.0));
        },
    );
    let lacks = with(|schedule| schedule.ducts[0].outer_mm = None, works::beside);
    assert_eq!(lacks.unwrap_err(), "duct.outer_mm");
}

/// Lengths of duct of the tendon at this position: each with its duct, and its stations where it has them.
fn runs(schedule: &mut Schedule, tendon: usize, runs: &[(&str, Option<f64>, Option<f64>)]) {
    let outer_mm = |id: &str| if id == "wide" { 145.0 } else { 125.0 };
    for id in ["wide", "same"] {
        let duct = Duct { id: Some(id.into()), outer_mm: Some(outer_mm(id)), ..Duct::default() };
        schedule.ducts.push(duct);
    }
    schedule.tendons[tendon].duct_runs = runs
        .iter()
        .map(|(id, from_m, to_m)| DuctRun {
            duct: Some(Link::to(*id)),
            from_m: *from_m,
            to_m: *to_m,
            ..DuctRun::default()
        })
        .collect();
}

#[test]
fn where_a_length_of_duct_lies_is_asked_only_where_it_makes_a_difference() {
    let gap = |tendon: usize, given: &[(&str, Option<f64>, Option<f64>)]| {
        with(
            |schedule| runs(schedule, tendon, given),
            |context, at| {
                let (beside, unknown) = works::beside(context, at).unwrap();
                assert_eq!((beside[0].tendon, unknown), (1, vec![2]));
                near(beside[0].station_m, 12.0);
                (beside[0].gap_mm, beside[0].may_be_more)
            },
        )
    };
    for tendon in [0, 1] {
        // Nothing is said of where, and the ducts are equally wide.
        let (gap_mm, may_be_more) = gap(tendon, &[("same", None, None)]);
        near(gap_mm, 200.0 - 125.0);
        assert!(!may_be_more);
        // Wherever the wider one lies, nothing is nearer than it would be.
        for stations_m in [(None, None), (Some(10.0), None), (None, Some(10.0))] {
            let (gap_mm, may_be_more) = gap(tendon, &[("wide", stations_m.0, stations_m.1)]);
            near(gap_mm, 200.0 - (125.0 + 145.0) / 2.0);
            assert!(may_be_more);
        }
    }
    // At station 12 it is stated which duct is there; of the wider one it is not known where else it lies.
    let given = [("PE", Some(0.0), Some(20.0)), ("wide", Some(20.0), None)];
    let (gap_mm, _) = gap(0, &given);
    near(gap_mm, 200.0 - 125.0);
    // Of a length no duct is named, nor one of the tendon.
    let unnamed = |schedule: &mut Schedule| {
        runs(schedule, 0, &[("wide", None, None)]);
        (schedule.tendons[0].duct, schedule.tendons[0].duct_runs[0].duct) = (None, None);
    };
    assert_eq!(with(unnamed, works::beside).unwrap_err(), "duct_run.from_m");
}

#[test]
fn a_deviator_stands_where_the_legs_meet_or_where_the_leg_passes_it() {
    let slope_rad = 0.1_f64.atan();
    with(
        |_| {},
        |context, at| {
            let bent = works::deviated(context, at, 1).unwrap();
            let at_m = [bent.at.x_m, bent.at.y_m, bent.at.z_m];
            for (found, expected) in at_m.into_iter().zip([20.0, 1.0, 3.0]) {
                near(found, expected);
            }
            near(bent.angle_rad, 2.0 * slope_rad);
            // The wall's radius and half the duct; the tangent is R tan(a/2).
            let [radius_m, tangent_m] = bent.bend_m.unwrap();
            near(radius_m, 4.0625);
            near(tangent_m, 0.406_25);
            for leg_rad in bent.legs_rad.unwrap() {
                near(leg_rad, slope_rad);
            }
            assert_eq!((bent.tolerance_rad, bent.axis_lacks), (Some(0.02), None));
            near(bent.frame.ahead.x, 1.0);
            near(bent.legs[0].z, -slope_rad.sin());
            near(bent.legs[1].z, slope_rad.sin());
            // Half of the first leg down.
            let passed = works::deviated(context, at, 0).unwrap();
            let at_m = [passed.at.x_m, passed.at.y_m, passed.at.z_m];
            for (found, expected) in at_m.into_iter().zip([10.0, 1.0, 4.0]) {
                near(found, expected);
            }
            near(passed.angle_rad, 0.0);
            assert_eq!((passed.bend_m, passed.form.is_none()), (None, true));
            assert_eq!(passed.axis_lacks, Some("deviator.form"));
            assert_eq!(works::deviated(context, at, 2).unwrap_err(), "tendon.deviators");
        },
    );
    let lacks = with(
        |schedule| schedule.forms[0].pitch_rad = None,
        |context, at| works::deviated(context, at, 1).unwrap().axis_lacks,
    );
    assert_eq!(lacks, Some("form.pitch_rad"));
}

#[test]
fn filler_sees_crests_and_lows_as_level_as_the_rulebook_has_it() {
    // 2 m beyond its low the tendon is 5 mm higher, which counts as level.
    let level = |schedule: &mut Schedule| {
        let point = TendonPoint {
            station_m: Some(22.0),
            lateral_m: Some(1.0),
            elevation_m: Some(3.005),
            ..TendonPoint::default()
        };
        schedule.tendons[0].points.insert(2, point);
    };
    let line = with(level, |context, at| works::fill_line(context, at).unwrap());
    assert_eq!(line.points_m, [[0.0, 5.0], [20.0, 3.0], [22.0, 3.005], [40.0, 5.0]]);
    let turns: Vec<_> = line
        .turns
        .iter()
        .map(|turn| (turn.is_crest, turn.station_m, turn.elevation_m, turn.level_m))
        .collect();
    assert_eq!(
        turns,
        [
            (true, 0.0, 5.0, [0.0, 0.0]),
            (false, 20.0, 3.0, [20.0, 22.0]),
            (true, 40.0, 5.0, [40.0, 40.0]),
        ]
    );
    assert_eq!(line.lacking, Err("tendon.vents"));
    // An inlet at the low drains it as well; both ends still want their vent.
    let inlet = |schedule: &mut Schedule| {
        let vent = Vent { kind: Some(VentKind::Inlet), station_m: Some(20.0), ..Vent::default() };
        schedule.tendons[0].vents.push(vent);
    };
    let lacking = with(inlet, |context, at| works::fill_line(context, at).unwrap().lacking);
    assert_eq!(
        lacking,
        Ok(vec![("a vent at the end", Some(0.0)), ("a vent at the end", Some(40.0))])
    );
}

#[test]
fn an_end_is_called_by_its_place_and_has_the_bay_at_its_face_behind_it() {
    let bays = |schedule: &mut Schedule| {
        let bay = |from: &str, to: &str| Bay {
            from_place: Some(Link::to(from)),
            to_place: Some(Link::to(to)),
            ..Bay::default()
        };
        schedule.bays = vec![bay("A", "D"), bay("D", "B")];
        let ends = schedule.tendons[0].ends.as_deref_mut().unwrap();
        let (a, b) = (ends.a.as_deref_mut().unwrap(), ends.b.as_deref_mut().unwrap());
        (a.face, b.face, b.place) = (Some(FaceName::Down), Some(FaceName::Up), None);
    };
    with(bays, |context, at| {
        let ends: Vec<_> = at.ends().collect();
        assert_eq!(ends.iter().map(|end| end.call()).collect::<Vec<_>>(), ["end a (A)", "end b"]);
        assert_eq!(Ways::of(context).behind(context, at, &ends[1]), Err("end.place"));
    });
    let inward = |schedule: &mut Schedule| {
        bays(schedule);
        let ends = schedule.tendons[0].ends.as_deref_mut().unwrap();
        let b = ends.b.as_deref_mut().unwrap();
        (b.face, b.place) = (Some(FaceName::Down), Some(Link::to("B")));
    };
    with(inward, |context, at| {
        let end = at.ends().nth(1).unwrap();
        assert_eq!(Ways::of(context).behind(context, at, &end), Ok(Some(1)));
    });
}
