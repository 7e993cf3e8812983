//! What comes out weighs, and what goes in.

use restrand_model::reflect::Link;
use restrand_model::schedule::{Duct, DuctMaterial, DuctRun, Filler, Schedule};
use restrand_rules::works;

use crate::{near, with};

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
fn a_bag_of_neat_grout_is_cement_and_water_by_their_densities() {
    // 25 kg of cement at 3150 kg/m³ and 10 kg of water.
    let grout = with(|_| {}, |context, _| works::neat_grout(context, 0.4, 25.0)).unwrap();
    near(grout.litres_per_bag, 25.0 / 3.15 + 10.0);
    assert!(with(|_| {}, |context, _| works::neat_grout(context, 0.4, 0.0)).is_none());
}

#[test]
fn over_two_kinds_of_duct_each_counts_by_its_length() {
    // A duct of 120 mm inside from 16 m on, or up to 16 m.
    let two = |first: &'static str, second: &'static str| {
        move |schedule: &mut Schedule| {
            schedule.ducts.push(Duct {
                id: Some("W".into()),
                outer_mm: Some(140.0),
                inner_mm: Some(120.0),
                mass_kg_per_m: Some(9.5),
                ..Duct::default()
            });
            let run = |duct: &str, from_m, to_m| DuctRun {
                duct: Some(Link::to(duct)),
                from_m: Some(from_m),
                to_m: Some(to_m),
                ..DuctRun::default()
            };
            schedule.tendons[0].duct_runs = vec![run(first, 0.0, 16.0), run(second, 16.0, 40.0)];
        }
    };
    let own_kg_per_m = STEEL_KG_PER_M + filler_kg_per_m(2000.0) + DUCT_KG_PER_M;
    let wide_kg_per_m = STEEL_KG_PER_M + (QUARTER * 120.0 * 120.0 - STEEL_MM2) * 2000.0 / 1e6 + 9.5;
    let over = |first, second, stations_m| {
        with(two(first, second), |context, at| works::mass_over(context, at, stations_m)).unwrap()
    };
    // 6 m of the one and 3 m of the other.
    let found = over("PE", "W", [10.0, 19.0]);
    near(found.mean_kg_per_m, (6.0 * own_kg_per_m + 3.0 * wide_kg_per_m) / 9.0);
    near(found.heaviest.total_kg_per_m, wide_kg_per_m);
    let found = over("W", "PE", [10.0, 19.0]);
    near(found.mean_kg_per_m, (3.0 * own_kg_per_m + 6.0 * wide_kg_per_m) / 9.0);
    near(found.heaviest.total_kg_per_m, wide_kg_per_m);
    let found = over("PE", "W", [10.0, 16.0]);
    near(found.mean_kg_per_m, own_kg_per_m);
    near(found.heaviest.total_kg_per_m, own_kg_per_m);
}
