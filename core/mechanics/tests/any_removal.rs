//! Whatever numbers come in, energy, masses and pieces do not panic, and what comes out is finite.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::duct::InnerConvention;
use restrand_mechanics::removal::{
    ForceRun, TendonSection, longest_piece_m, mass_per_m, piece_mass_kg, pieces, release_energy_kj,
    release_of_runs, releases_by_bond,
};
use restrand_mechanics::tables::pipe::{OuterSystem, next_polymer_pipe};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..1000.0,
        2 => -1000.0..1000.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12), Just(2.0)],
        1 => ANY,
    ]
}

proptest! {
    #[test]
    fn plain_functions_give_finite_numbers_or_a_misfit(
        a in number(), b in number(), c in number(), d in number(), e in number(), f in number(),
        strand_count in any::<u32>(),
    ) {
        let results = [piece_mass_kg(a, b, c), longest_piece_m(a, b, c), release_energy_kj(a, b, c, d)];
        for value in results.into_iter().flatten() {
            prop_assert!(value.is_finite() && value >= 0.0);
        }
        if let Ok(cut) = pieces(a, b) {
            prop_assert!(cut.count >= 1 && cut.each_m > 0.0 && cut.each_m <= b * (1.0 + 1e-8));
        }
        for strand_count in [strand_count, strand_count % 40] {
            let section = TendonSection {
                strand_count, strand_area_mm2: a, strand_mass_kg_per_m: b, duct_outer_mm: c,
                duct_inner_mm: d, duct_density_kg_per_m3: e, filler_density_kg_per_m3: f,
            };
            if let Ok(mass) = mass_per_m(&section) {
                prop_assert!(mass.total_kg_per_m.is_finite() && mass.total_kg_per_m > 0.0);
            }
        }
        for convention in [InnerConvention::MinimumWall, InnerConvention::AverageWall] {
            if let Ok(Some(pipe)) = next_polymer_pipe(OuterSystem::Metric, a, b, convention) {
                prop_assert!(pipe.inner_mm >= b - 1e-6 && pipe.wall_mm > 0.0);
            }
        }
    }

    #[test]
    fn releases_are_finite_or_a_misfit(
        runs in prop::collection::vec((number(), number(), number()), 0..5),
        bonds in prop::collection::vec(number(), 0..4), area in number(), e in number(), sorted in any::<bool>(),
    ) {
        let runs: Vec<ForceRun> = runs.into_iter()
            .map(|(length_m, start_force_kn, end_force_kn)| ForceRun { length_m, start_force_kn, end_force_kn })
            .collect();
        let mut bonds = bonds;
        if sorted {
            bonds.sort_by(f64::total_cmp);
        }
        if let Ok(whole) = release_of_runs(&runs, area, e) {
            prop_assert!(whole.energy_kj.is_finite() && whole.recoil_mm.is_finite() && whole.energy_kj >= 0.0);
        }
        if let Ok(parts) = releases_by_bond(&runs, &bonds, area, e) {
            prop_assert_eq!(parts.len(), bonds.len() + 1);
            prop_assert!(parts.iter().all(|part| part.energy_kj.is_finite() && part.recoil_mm.is_finite()));
        }
    }
}
