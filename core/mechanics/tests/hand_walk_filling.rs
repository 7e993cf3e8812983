//! Section 10 of `fixtures/demo/replacement-by-hand.md` (fill), number by number from its inputs.

// Helpers outside a test function unwrap too.
#![allow(clippy::unwrap_used)]

use restrand_mechanics::filling::{
    Cap, CapPlate, FittingKind, GroutMix, Hollow, ProfilePoint, TendonInside, bags, cap_litres,
    filling_minutes, fittings, free_litres_per_m, front_speed_m_per_min, grout_by_densities,
    head_kpa, hollow_litres, inlet_extreme, tendon_fill, travel_minutes,
};

const STEEL_MM2: f64 = 19.0 * 150.0;
const LENGTH_MM: f64 = 41_756.0;

const CONE: Hollow = Hollow { length_mm: 600.0, start_inner_mm: 168.0, end_inner_mm: 110.2 };
const PIPE: Hollow = Hollow { length_mm: 2300.0, start_inner_mm: 158.0, end_inner_mm: 158.0 };
const SLEEVE: Hollow = Hollow { length_mm: 350.0, start_inner_mm: 158.0, end_inner_mm: 110.2 };
const DUCT: Hollow = Hollow {
    length_mm: LENGTH_MM - 600.0 - 2300.0 - 350.0,
    start_inner_mm: 110.2,
    end_inner_mm: 110.2,
};
const WEDGE_PLATE: CapPlate = CapPlate { outer_mm: 270.0, bore_mm: 0.0, thickness_mm: 75.0 };
// The sheet takes the shim plate as solid.
const SHIM_PLATE: CapPlate = CapPlate { outer_mm: 310.0, bore_mm: 0.0, thickness_mm: 50.0 };
const CAP_K: Cap<'_> =
    Cap { inner_mm: 300.0, length_mm: 178.0, plates: &[WEDGE_PLATE], tail_mm: 40.0 };
const CAP_S: Cap<'_> =
    Cap { inner_mm: 316.0, length_mm: 228.0, plates: &[SHIM_PLATE, WEDGE_PLATE], tail_mm: 40.0 };

/// Asserts that a value rounds to what is printed with so many decimals.
#[track_caller]
fn prints(value: f64, printed: f64, decimals: i32) {
    let half_digit = 0.5 * 10f64.powi(-decimals);
    assert!(
        (value - printed).abs() <= half_digit + 1e-9,
        "{value} is not {printed} ± {half_digit}"
    );
}

fn profile() -> [ProfilePoint; 4] {
    [(99.35, 51.40), (113.0, 50.40), (127.0, 50.40), (141.0, 51.75)]
        .map(|(station_m, elevation_m)| ProfilePoint { station_m, elevation_m })
}

#[test]
fn volumes() {
    prints(DUCT.length_mm / 1000.0, 38.506, 3);
    prints(hollow_litres(&DUCT).unwrap(), 367.3, 1);
    prints(hollow_litres(&CONE).unwrap(), 9.2, 1);
    prints(hollow_litres(&PIPE).unwrap(), 45.1, 1);
    prints(hollow_litres(&SLEEVE).unwrap(), 5.0, 1);
    prints(cap_litres(&CAP_K, STEEL_MM2).unwrap(), 8.2, 1);
    prints(cap_litres(&CAP_S, STEEL_MM2).unwrap(), 9.7, 1);
    let fill = tendon_fill(&TendonInside {
        hollows: &[CONE, DUCT, SLEEVE, PIPE],
        caps: &[CAP_K, CAP_S],
        steel_area_mm2: STEEL_MM2,
        hoses: &[],
        waste_share: 0.10,
    })
    .unwrap();
    prints(fill.steel_litres, 119.0, 1);
    prints(fill.net_litres, 325.5, 1);
    prints(fill.net_litres / 3.785_412, 86.0, 1);
    let gross = fill.gross_litres + 15.0;
    prints(gross, 373.0, 0);

    let grout = grout_by_densities(&GroutMix {
        water_cement_ratio: 0.40,
        cement_density_kg_per_m3: 3150.0,
        water_density_kg_per_m3: 1000.0,
        bag_kg: 50.0,
    })
    .unwrap();
    prints(grout.litres_per_bag, 35.87, 2);
    let told = bags(gross, grout.litres_per_bag).unwrap();
    prints(told.exact, 10.4, 1);
    assert_eq!(told.count, 11);
}

#[test]
fn the_bore_of_the_shim_plate_is_forgotten_in_the_sheet() {
    let bored = CapPlate { bore_mm: 165.0, ..SHIM_PLATE };
    let cap = Cap { plates: &[bored, WEDGE_PLATE], ..CAP_S };
    let more = cap_litres(&cap, STEEL_MM2).unwrap() - cap_litres(&CAP_S, STEEL_MM2).unwrap();
    // Nine tenths of a litre; no bag more.
    prints(more, 0.93, 2);
    assert_eq!(bags(373.03 + 1.1 * more, 35.87).unwrap().count, 11);
}

#[test]
fn pace() {
    let free = free_litres_per_m(110.2, STEEL_MM2).unwrap();
    prints(free, 6.69, 2);
    let speed = front_speed_m_per_min(80.0, free).unwrap();
    prints(speed, 12.0, 1);
    // The branches' lengths are differences of stations; along the tendon they are 0.04 and 0.07 m longer.
    prints(travel_minutes(120.0 - 99.35, speed).unwrap(), 1.7, 1);
    prints(travel_minutes(141.0 - 120.0, speed).unwrap(), 1.8, 1);
    prints(filling_minutes(325.0, 80.0).unwrap(), 4.1, 1);
}

#[test]
fn inlet_vents_and_head() {
    let low = inlet_extreme(&profile(), 0.005).unwrap().unwrap();
    assert!(low.from_m <= 120.0 && 120.0 <= low.to_m);
    prints(low.elevation_m, 50.40, 2);
    let told = fittings(&profile(), 120.0, 0.005).unwrap();
    assert!(told.inlet_at_low);
    let kinds = |branch: &[restrand_mechanics::filling::Fitting]| {
        branch.iter().map(|one| (one.kind, one.at_m)).collect::<Vec<_>>()
    };
    assert_eq!(kinds(&told.down), [(FittingKind::EndVent, 99.35)]);
    assert_eq!(kinds(&told.up), [(FittingKind::EndVent, 141.0)]);
    assert!((told.down[0].along_m - 20.65).abs() < 0.05);
    assert!((told.up[0].along_m - 21.00).abs() < 0.07);
    // To the top vent of the cap at P2. The sheet takes 20 kN/m3, which is 2039 kg/m3.
    prints(51.94 - 50.40, 1.54, 2);
    prints(head_kpa(20_000.0 / 9.806_65, 50.40, 51.94).unwrap(), 30.8, 1);
    prints(head_kpa(2000.0, 50.40, 51.94).unwrap() / 1000.0, 0.03, 2);
}
