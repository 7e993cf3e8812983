//! What plans and drawings are told of the work on a tendon, where no rule asks for it, in numbers worked out by hand.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::path::Path;

use restrand_check::rulebook::built_in_force;
use restrand_intake::read;
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Parts};
use restrand_model::reflect::Date;
use restrand_model::schedule::{
    DuctMaterial, EndName, Filler, Schedule, Stressing, StressingFrom, TendonPoint, Vent, VentKind,
};
use restrand_rules::works::{self, Limits};
use restrand_rules::{Context, TendonAt};

/// The schedule of `fixtures/works`, with a change: 19 strands of 150 mm² and 1.172 kg/m in a polyethylene duct of
/// 125 and 110 mm, in two legs of 20 m along and 2 m down and up.
fn with<T>(
    change: impl FnOnce(&mut Schedule),
    ask: impl FnOnce(&Context<'_>, &TendonAt<'_>) -> T,
) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/works/tendon.json");
    let bytes = Bytes::new("tendon.json", std::fs::read(path).unwrap());
    let mut schedule = read(&Json, Parts(&[&bytes]), Budget::default()).unwrap().schedule;
    change(&mut schedule);
    let book = built_in_force("base").unwrap();
    let context = Context::new(&schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
    let at = context.tendons().next().unwrap();
    ask(&context, &at)
}

fn stressing(schedule: &mut Schedule) -> &mut Stressing {
    schedule.tendons[0].stressing.as_deref_mut().unwrap()
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} {expected}");
}

const QUARTER: f64 = std::f64::consts::FRAC_PI_4;
/// 19 strands, kg/m and mm².
const STEEL_KG_PER_M: f64 = 19.0 * 1.172;
const STEEL_MM2: f64 = 19.0 * 150.0;
/// The wall of the duct at 950 kg/m³.
const DUCT_KG_PER_M: f64 = QUARTER * (125.0 * 125.0 - 110.0 * 110.0) * 950.0 / 1e6;

/// What fills a metre of duct beside the strands, at a density.
fn filler_kg_per_m(kg_per_m3: f64) -> f64 {
    (QUARTER * 110.0 * 110.0 - STEEL_MM2) * kg_per_m3 / 1e6
}

/// A frustum less the strands in it, at a density.
fn cone_kg(length_mm: f64, one_mm: f64, other_mm: f64, kg_per_m3: f64) -> f64 {
    let bore_mm3 =
        QUARTER / 3.0 * length_mm * (one_mm * one_mm + one_mm * other_mm + other_mm * other_mm);
    (bore_mm3 - STEEL_MM2 * length_mm) * kg_per_m3 / 1e9
}

fn bar_kg(change: impl FnOnce(&mut Schedule), from_to_mm: [f64; 2]) -> Result<f64, &'static str> {
    with(change, |context, at| {
        let end = at.ends().next().unwrap();
        works::bar_mass_kg(context, at, &end, from_to_mm)
    })
}

#[test]
fn a_stub_weighs_its_strands_the_parts_that_leave_with_it_and_what_fills_it() {
    // From the tails, 100 mm behind the plate, to 1 m beyond the trumpet, which is 600 mm long; the cap is off.
    let whole_kg = STEEL_KG_PER_M * 1.7
        + 30.0
        + 12.0
        + cone_kg(600.0, 168.0, 108.0, 2000.0)
        + filler_kg_per_m(2000.0)
        + DUCT_KG_PER_M;
    near(bar_kg(|_| {}, [100.0, -1600.0]).unwrap(), whole_kg);
    // A piece out of the trumpet: a third of it, from 148 mm to 128 mm wide.
    let piece_kg = STEEL_KG_PER_M * 0.2 + 4.0 + cone_kg(200.0, 148.0, 128.0, 2000.0);
    near(bar_kg(|_| {}, [-200.0, -400.0]).unwrap(), piece_kg);
    // Over the trumpet's span end: its last 100 mm, and 400 mm of the free length.
    let over_kg = STEEL_KG_PER_M * 0.5
        + 2.0
        + cone_kg(100.0, 118.0, 108.0, 2000.0)
        + (filler_kg_per_m(2000.0) + DUCT_KG_PER_M) * 0.4;
    near(bar_kg(|_| {}, [-500.0, -1000.0]).unwrap(), over_kg);
    // Beyond all parts it is the tendon.
    let free_kg = (STEEL_KG_PER_M + filler_kg_per_m(2000.0) + DUCT_KG_PER_M) * 0.8;
    near(bar_kg(|_| {}, [-1000.0, -1800.0]).unwrap(), free_kg);
}

#[test]
fn a_stub_is_as_heavy_as_what_fills_it() {
    let filled = |filler: Option<Filler>| {
        bar_kg(|schedule| schedule.tendons[0].filler = filler, [-1000.0, -2000.0])
    };
    let bare_kg = STEEL_KG_PER_M + DUCT_KG_PER_M;
    for (filler, kg_per_m3) in [
        (Filler::CementGrout, 2000.0),
        (Filler::Unknown, 2000.0),
        (Filler::Wax, 900.0),
        (Filler::Grease, 900.0),
        (Filler::None, 0.0),
    ] {
        near(filled(Some(filler)).unwrap(), bare_kg + filler_kg_per_m(kg_per_m3));
    }
    assert_eq!(filled(None), Err("tendon.filler"));
}

#[test]
fn a_stub_lacks_the_mass_of_a_part_that_is_in_it_and_of_no_other() {
    let without = |part: usize, from_to_mm| {
        bar_kg(|schedule| schedule.anchorages[0].parts[part].mass_kg = None, from_to_mm)
    };
    assert_eq!(without(1, [100.0, -400.0]), Err("part.mass_kg"));
    near(without(1, [-200.0, -400.0]).unwrap(), bar_kg(|_| {}, [-200.0, -400.0]).unwrap());
    // The cap is off, and what is cast in stays.
    for part in [0, 3] {
        near(without(part, [100.0, -400.0]).unwrap(), bar_kg(|_| {}, [100.0, -400.0]).unwrap());
    }
}

#[test]
fn a_metre_of_tendon_takes_its_ducts_stated_mass_over_that_of_its_wall() {
    let mass = |change: fn(&mut Schedule)| with(change, works::mass);
    let of_wall = mass(|_| {}).unwrap();
    near(of_wall.duct_kg_per_m, DUCT_KG_PER_M);
    near(of_wall.total_kg_per_m, STEEL_KG_PER_M + filler_kg_per_m(2000.0) + DUCT_KG_PER_M);
    let stated = mass(|schedule| {
        schedule.ducts[0].material = Some(DuctMaterial::Steel);
        schedule.ducts[0].mass_kg_per_m = Some(9.5);
    })
    .unwrap();
    near(stated.duct_kg_per_m, 9.5);
    near(stated.total_kg_per_m, STEEL_KG_PER_M + filler_kg_per_m(2000.0) + 9.5);
    let steel = |schedule: &mut Schedule| schedule.ducts[0].material = Some(DuctMaterial::Steel);
    assert_eq!(mass(steel).unwrap_err(), "duct.mass_kg_per_m");
    assert_eq!(mass(|schedule| schedule.ducts[0].material = None).unwrap_err(), "duct.material");
}

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
    let lacks = with(|schedule| schedule.ducts[0].outer_mm = None, works::beside);
    assert_eq!(lacks.unwrap_err(), "duct.outer_mm");
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

/// The length of the tendon: two legs, and the bend shorter than its corner by 2 R tan(a/2) - R a.
fn length_m() -> f64 {
    2.0 * 404.0_f64.sqrt() - (2.0 * 0.406_25 - 4.0625 * 2.0 * 0.1_f64.atan())
}

#[test]
fn force_falls_by_friction_from_the_jack_on_and_is_limited_by_the_lower_strength() {
    with(
        |_| {},
        |context, at| {
            let line = works::force_line(context, at, None).unwrap();
            let far_kn = 3600.0 * (-0.2 * 2.0 * 0.1_f64.atan()).exp();
            assert_eq!((line.jacking_kn, line.ends), (3600.0, &[EndName::A][..]));
            near(line.length_m, length_m());
            near(line.before[0].force_kn, 3600.0);
            let last = line.before.last().unwrap();
            near(last.at_m, length_m());
            near(last.force_kn, far_kn);
            // Half-way round the bend it is the geometric mean.
            let middle_m = length_m() / 2.0;
            let middle = line.before.iter().find(|one| (one.at_m - middle_m).abs() < 1e-9);
            near(middle.unwrap().force_kn, (3600.0 * far_kn).sqrt());
            // Nothing is drawn in.
            assert_eq!(line.after.len(), 1);
            near(line.after[0].last().unwrap().force_kn, far_kn);
            // Of 1860 MPa 0.8, 0.75 and 0.75; of the yield stress, 1674 MPa, 0.9, 0.85 and 0.85.
            let limits: Vec<_> = line.limits.iter().map(|one| (one.of, one.key)).collect();
            assert_eq!(
                limits,
                [
                    (Limits::Jacking, "jacking_stress_fpu"),
                    (Limits::Anchorage, "anchorage_stress_fpu"),
                    (Limits::Tendon, "tendon_stress_fpu"),
                ]
            );
            near(line.limits[0].force_kn, 0.8 * 1860.0 * 2.85);
            near(line.limits[2].force_kn, 0.75 * 1860.0 * 2.85);
            let other = works::force_line(context, at, Some(1800.0)).unwrap();
            near(other.before.last().unwrap().force_kn, far_kn / 2.0);
        },
    );
    // With a yield ratio of 0.8 the yield stress rules.
    let low = |schedule: &mut Schedule| schedule.strands[0].yield_ratio = Some(0.8);
    let found = with(low, |context, at| {
        let limits = works::force_limits(context, at).unwrap();
        limits.iter().map(|one| (one.key, one.force_kn)).collect::<Vec<_>>()
    });
    assert_eq!(found[0].0, "jacking_stress_fpy");
    near(found[0].1, 0.9 * 0.8 * 1860.0 * 2.85);
    near(found[1].1, 0.85 * 0.8 * 1860.0 * 2.85);
    let none = |schedule: &mut Schedule| schedule.strands[0].fpu_mpa = None;
    assert!(with(none, |context, at| works::force_limits(context, at).unwrap().is_empty()));
}

#[test]
fn all_that_stressing_lacks_is_named() {
    let lacking = |change: fn(&mut Schedule), jacking_kn| {
        with(change, |context, at| works::lacking_for_stressing(context, at, jacking_kn))
    };
    assert_eq!(lacking(|_| {}, None), [""; 0]);
    assert_eq!(lacking(|schedule| stressing(schedule).mu = None, None), ["stressing.mu"]);
    let wobble = |schedule: &mut Schedule| stressing(schedule).wobble_per_m = None;
    assert_eq!(lacking(wobble, None), ["stressing.wobble_per_m"]);
    let other_convention = |schedule: &mut Schedule| {
        stressing(schedule).wobble_per_m = None;
        stressing(schedule).unintended_angle_rad_per_m = Some(0.01);
    };
    assert_eq!(lacking(other_convention, None), [""; 0]);
    let angle = |schedule: &mut Schedule| stressing(schedule).inadvertent_angle_rad = None;
    assert_eq!(lacking(angle, None), ["stressing.inadvertent_angle_rad"]);
    assert_eq!(lacking(|schedule| stressing(schedule).set_mm = None, None), ["stressing.set_mm"]);
    // The set of the end that is jacked is enough; that of the other end is none.
    let at_a = |schedule: &mut Schedule| {
        stressing(schedule).set_mm = None;
        schedule.tendons[0].ends.as_deref_mut().unwrap().a.as_deref_mut().unwrap().set_mm =
            Some(6.0);
    };
    assert_eq!(lacking(at_a, None), [""; 0]);
    let at_a_of_both = |schedule: &mut Schedule| {
        stressing(schedule).set_mm = None;
        stressing(schedule).from = Some(StressingFrom::AThenB);
        schedule.tendons[0].ends.as_deref_mut().unwrap().a.as_deref_mut().unwrap().set_mm =
            Some(6.0);
    };
    assert_eq!(lacking(at_a_of_both, None), ["stressing.set_mm"]);
    let force = |schedule: &mut Schedule| stressing(schedule).jacking_force_kn = None;
    assert_eq!(lacking(force, None), ["stressing.jacking_force_kn"]);
    assert_eq!(lacking(force, Some(3600.0)), [""; 0]);
    let share = |schedule: &mut Schedule| {
        stressing(schedule).jacking_force_kn = None;
        stressing(schedule).jacking_share = Some(0.7);
        schedule.strands[0].fpu_mpa = None;
    };
    assert_eq!(lacking(share, None), ["strand.fpu_mpa"]);
    let much = |schedule: &mut Schedule| {
        let strand = &mut schedule.strands[0];
        (strand.area_mm2, strand.e_mpa) = (None, None);
        stressing(schedule).from = None;
        stressing(schedule).mu = None;
    };
    assert_eq!(
        lacking(much, None),
        ["strand.area_mm2", "strand.e_mpa", "stressing.from", "stressing.mu"]
    );
    let all = |schedule: &mut Schedule| schedule.tendons[0].stressing = None;
    assert_eq!(
        lacking(all, None),
        [
            "stressing.from",
            "stressing.jacking_force_kn",
            "stressing.mu",
            "stressing.wobble_per_m",
            "stressing.inadvertent_angle_rad",
        ]
    );
}

#[test]
fn a_bag_of_neat_grout_is_cement_and_water_by_their_densities() {
    // 25 kg of cement at 3150 kg/m³ and 10 kg of water.
    let grout = with(|_| {}, |context, _| works::neat_grout(context, 0.4, 25.0)).unwrap();
    near(grout.litres_per_bag, 25.0 / 3.15 + 10.0);
    assert!(with(|_| {}, |context, _| works::neat_grout(context, 0.4, 0.0)).is_none());
}
