//! Whatever numbers come in, the functions of filling do not panic, and what comes out is finite.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::filling::{
    Annulus, Cap, CapPlate, GroutMix, Hollow, ProfilePoint, TendonInside, annulus_litres, bags,
    cap_litres, extremes, filling_minutes, fittings, free_litres_per_m, front_speed_m_per_min,
    grout_by_densities, head_kpa, hollow_litres, inlet_extreme, litres_by_density,
    pump_rate_l_per_min, tendon_fill, travel_minutes,
};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..1000.0,
        2 => -1000.0..1000.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12), Just(2.0)],
        1 => ANY,
    ]
}

fn hollow() -> impl Strategy<Value = Hollow> {
    (number(), number(), number()).prop_map(|(length_mm, start_inner_mm, end_inner_mm)| Hollow {
        length_mm,
        start_inner_mm,
        end_inner_mm,
    })
}

proptest! {
    #[test]
    fn plain_functions_give_finite_numbers_or_a_misfit(
        a in number(), b in number(), c in number(), d in number(), e in number(),
    ) {
        let results = [
            free_litres_per_m(a, b),
            hollow_litres(&Hollow { length_mm: a, start_inner_mm: b, end_inner_mm: c }),
            litres_by_density(a, b, c),
            front_speed_m_per_min(a, b),
            pump_rate_l_per_min(a, b),
            filling_minutes(a, b),
            travel_minutes(a, b),
            annulus_litres(&Annulus {
                length_mm: a, start_inner_mm: b, end_inner_mm: c, start_outer_mm: d, end_outer_mm: e,
            }),
        ];
        for value in results.into_iter().flatten() {
            prop_assert!(value.is_finite() && value >= 0.0);
        }
        if let Ok(value) = head_kpa(a, b, c) {
            prop_assert!(value.is_finite());
        }
        if let Ok(told) = bags(a, b) {
            prop_assert!(told.count >= 1 && told.exact.is_finite() && told.spare_litres.is_finite());
        }
        let mix = GroutMix {
            water_cement_ratio: a, cement_density_kg_per_m3: b, water_density_kg_per_m3: c, bag_kg: d,
        };
        if let Ok(grout) = grout_by_densities(&mix) {
            prop_assert!(grout.litres_per_bag.is_finite() && grout.density_kg_per_m3.is_finite());
        }
    }

    #[test]
    fn a_tendons_fill_is_finite_or_a_misfit(
        hollows in prop::collection::vec(hollow(), 0..4), hoses in prop::collection::vec(hollow(), 0..2),
        plates in prop::collection::vec((number(), number(), number()), 0..3),
        inner_mm in number(), length_mm in number(), tail_mm in number(),
        steel_area_mm2 in number(), waste_share in number(),
    ) {
        let plates: Vec<CapPlate> = plates.into_iter()
            .map(|(outer_mm, bore_mm, thickness_mm)| CapPlate { outer_mm, bore_mm, thickness_mm })
            .collect();
        let cap = Cap { inner_mm, length_mm, plates: &plates, tail_mm };
        if let Ok(litres) = cap_litres(&cap, steel_area_mm2) {
            prop_assert!(litres.is_finite() && litres >= 0.0);
        }
        for caps in [&[][..], &[cap][..]] {
            let inside = TendonInside { hollows: &hollows, caps, steel_area_mm2, hoses: &hoses, waste_share };
            if let Ok(fill) = tendon_fill(&inside) {
                prop_assert!(fill.net_litres.is_finite() && fill.gross_litres.is_finite());
                prop_assert!(fill.gross_litres >= fill.net_litres);
            }
        }
    }

    #[test]
    fn a_profile_gives_finite_numbers_or_a_misfit(
        stations in prop::collection::vec(number(), 0..8), elevations in prop::collection::vec(number(), 8),
        sorted in any::<bool>(), inlet in number(), level in number(),
    ) {
        let mut stations = stations;
        if sorted {
            stations.sort_by(f64::total_cmp);
        }
        let points: Vec<ProfilePoint> = stations.into_iter().zip(elevations)
            .map(|(station_m, elevation_m)| ProfilePoint { station_m, elevation_m })
            .collect();
        if let Ok(found) = extremes(&points, level) {
            prop_assert!(found.len() != 1);
            prop_assert!(found.iter().all(|one| one.swing_m > level && one.from_m <= one.at_m && one.at_m <= one.to_m));
            prop_assert!(found.windows(2).all(|pair| pair[0].kind != pair[1].kind && pair[0].at_m < pair[1].at_m));
        }
        let _ = inlet_extreme(&points, level);
        if let Ok(told) = fittings(&points, inlet, level) {
            prop_assert!(told.rise_m.is_finite() && told.inlet_elevation_m.is_finite());
            for branch in [&told.down, &told.up] {
                prop_assert!(!branch.is_empty());
                prop_assert!(branch.iter().all(|one| one.along_m.is_finite() && one.along_m >= 0.0 && one.elevation_m.is_finite()));
            }
        }
    }
}
