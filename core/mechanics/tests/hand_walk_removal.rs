//! Sections 5 (masses) and 6 (release and pieces) of `fixtures/demo/replacement-by-hand.md`, number by number from its inputs.

// Helpers outside a test function unwrap too.
#![allow(clippy::unwrap_used)]

use restrand_mechanics::filling::{Hollow, hollow_litres};
use restrand_mechanics::removal::{
    ForceRun, TendonSection, longest_piece_m, mass_per_m, piece_mass_kg, pieces, release_energy_kj,
    release_of_runs,
};

const AREA_MM2: f64 = 19.0 * 150.0;
const E_MPA: f64 = 195_000.0;
/// Leg lengths and stresses after set of sections 2 and 3: A1–D11, D11–D12, D12–P2.
const LEGS: [(f64, f64); 3] = [(13.6889, 1219.2), (14.0, 1221.13), (14.0672, 1197.80)];

const FREE: TendonSection = TendonSection {
    strand_count: 19,
    strand_area_mm2: 150.0,
    strand_mass_kg_per_m: 1.172,
    duct_outer_mm: 125.0,
    duct_inner_mm: 110.2,
    duct_density_kg_per_m3: 950.0,
    filler_density_kg_per_m3: 2000.0,
};

/// Asserts that a value rounds to what is printed with so many decimals.
#[track_caller]
fn prints(value: f64, printed: f64, decimals: i32) {
    let half_digit = 0.5 * 10f64.powi(-decimals);
    assert!(
        (value - printed).abs() <= half_digit + 1e-9,
        "{value} is not {printed} ± {half_digit}"
    );
}

#[test]
fn energy() {
    let length_m = 41.756;
    let energy = release_energy_kj(3480.2, length_m, AREA_MM2, E_MPA).unwrap();
    prints(energy, 455.0, 0);
    prints(energy / 1.355_818, 336.0, 0);
    prints(energy / length_m, 10.9, 1);
    let runs = LEGS.map(|(length_m, mpa)| {
        let force_kn = mpa * AREA_MM2 / 1000.0;
        ForceRun { length_m, start_force_kn: force_kn, end_force_kn: force_kn }
    });
    prints(release_of_runs(&runs, AREA_MM2, E_MPA).unwrap().energy_kj, 449.0, 0);
    let all = ForceRun { length_m, start_force_kn: 3480.2, end_force_kn: 3480.2 };
    let recoil = release_of_runs(&[all], AREA_MM2, E_MPA).unwrap().recoil_mm;
    prints(recoil, 261.0, 0);
    prints(recoil / 25.4, 10.29, 2);
}

#[test]
fn the_energy_of_one_strand_is_that_at_0_6565_of_its_strength() {
    // The sheet says 0.675 fpu, but its 23.9 kJ are those of 1221.1 MPa, which is 0.6565 fpu (section 3).
    let one = |share: f64| release_energy_kj(share * 279.0, 41.756, 150.0, E_MPA).unwrap();
    prints(one(0.6565), 23.9, 1);
    prints(release_energy_kj(3480.2, 41.756, AREA_MM2, E_MPA).unwrap() / 19.0, 23.9, 1);
    prints(one(0.675), 25.3, 1);
}

#[test]
fn mass_of_a_metre() {
    let mass = mass_per_m(&FREE).unwrap();
    prints(mass.steel_kg_per_m, 22.27, 2);
    prints(mass.filler_kg_per_m, 13.38, 2);
    prints(mass.filler_kg_per_m * 1e6 / 2000.0, 6688.0, 0);
    prints(mass.duct_kg_per_m, 2.60, 2);
    prints(mass.total_kg_per_m, 38.24, 2);
    prints(mass.total_kg_per_m / 1.488_164, 25.7, 1);
    let in_pipe = TendonSection { duct_outer_mm: 170.0, duct_inner_mm: 158.0, ..FREE };
    prints(mass_per_m(&in_pipe).unwrap().total_kg_per_m, 58.7, 1);
}

#[test]
fn free_length_pieces() {
    let mass = mass_per_m(&FREE).unwrap().total_kg_per_m;
    prints(longest_piece_m(80.0, 0.0, mass).unwrap(), 2.09, 2);
    // From stations to lengths along each leg; the cuts beyond the stubs are 1480 and 2180 mm along the axis.
    let (slope_a, slope_b) = (LEGS[0].0 / 13.65, LEGS[2].0 / 14.0);
    let (from_a, to_b) = (99.35 + 1.48 / slope_a, 141.0 - 2.18 / slope_b);
    prints(from_a, 100.826, 3);
    prints(to_b, 138.830, 3);
    let b1a = (112.3 - from_a) * slope_a;
    let b1b = 126.3 - 113.7;
    let b1c = (to_b - 127.7) * slope_b;
    prints(b1a, 11.507, 3);
    prints(b1b, 12.600, 3);
    prints(b1c, 11.184, 3);
    for (length_m, count, each_m, kg) in [(b1a, 6, 1.918, 73.0), (b1b, 7, 1.800, 69.0)] {
        let cut = pieces(length_m, 2.0).unwrap();
        assert_eq!(cut.count, count);
        prints(cut.each_m, each_m, 3);
        prints(piece_mass_kg(mass, cut.each_m, 0.0).unwrap(), kg, 0);
    }
    prints(piece_mass_kg(mass, 1.918, 2.0).unwrap(), 75.0, 0);
    // The last piece of B1C is 1.500 m with the pipe's end and the sleeve.
    let cut = pieces(b1c - 1.5, 2.0).unwrap();
    assert_eq!(cut.count, 5);
    prints(cut.each_m, 1.937, 3);
    prints(piece_mass_kg(mass, cut.each_m, 0.0).unwrap(), 74.0, 0);
    let last = piece_mass_kg(58.7, 0.47, 4.0).unwrap() + piece_mass_kg(mass, 1.03, 0.0).unwrap();
    prints(last, 71.0, 0);
    let bays = b1a + b1b + b1c;
    prints(bays, 35.29, 2);
    prints(bays + 1.48 + 2.18 + 2.0 * 1.40, 41.75, 2);
    // The deviator stubs.
    prints(piece_mass_kg(mass, 1.40, 0.0).unwrap(), 54.0, 0);
}

#[test]
fn masses_of_the_stubs() {
    let mass = mass_per_m(&FREE).unwrap().total_kg_per_m;
    let cone = Hollow { length_mm: 600.0, start_inner_mm: 168.0, end_inner_mm: 110.2 };
    let bore = Hollow { start_inner_mm: 110.2, ..cone };
    let beyond = hollow_litres(&cone).unwrap() - hollow_litres(&bore).unwrap();
    prints(beyond, 3.5, 1);
    let grout_kg = beyond * 2.0;
    prints(grout_kg, 7.0, 0);
    let first = piece_mass_kg(mass, 0.775, 0.0).unwrap();
    prints(first, 30.0, 0);
    prints(28.0 + 5.0 + 2.0 + grout_kg + first, 72.0, 0);
    let second = piece_mass_kg(mass, 0.745, 0.0).unwrap();
    prints(second, 28.0, 0);
    // 28.49 kg: the pounds follow from it, not from the rounded 28.
    prints(second / 0.453_592, 63.0, 0);
    prints(28.0 + 5.0 + 2.0 + grout_kg + first + second, 100.0, 0);
    let pipe = piece_mass_kg(58.7, 2.22, 0.0).unwrap();
    prints(pipe, 130.0, 0);
    prints(28.0 + 21.0 + 5.0 + pipe, 184.0, 0);
}
