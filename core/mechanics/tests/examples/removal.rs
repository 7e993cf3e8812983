//! Release energy and masses.

// The cases are outside a test function.
#![allow(clippy::unwrap_used)]

use restrand_mechanics::duct::{inner_at_average_wall_mm, wall_by_ratio_mm};
use restrand_mechanics::removal::{
    ForceRun, TendonSection, mass_per_m, piece_mass_kg, release_energy_kj, release_of_runs,
};

use crate::example::{Example, Kind};

const KN_PER_KIP: f64 = 4.448_221_615;
const KJ_PER_KIP_FT: f64 = 1.355_817_948;
const MM_PER_IN: f64 = 25.4;
const M_PER_FT: f64 = 0.3048;
const MPA_PER_KSI: f64 = 6.894_757_293;
const KG_PER_LB: f64 = 0.453_592_37;
const KG_PER_M_PER_LB_PER_FT: f64 = KG_PER_LB / M_PER_FT;
const STRAND_MM2: f64 = 0.217 * MM_PER_IN * MM_PER_IN;

pub(crate) fn examples() -> Vec<Example> {
    let mut all = homework();
    all.extend(tendons());
    all.extend(hazard_rows());
    all.push(metric_mass());
    all.extend(pieces());
    all
}

fn homework() -> Vec<Example> {
    let row = |source, what, input, printed, within, ours, explained| Example {
        block: "A17",
        kind: Kind::Arithmetic,
        source,
        what,
        input,
        printed,
        within,
        ours,
        explained,
    };
    // A wire stretched by 2 mm: its force is A E s / L.
    let wire_kn = 2.0 * 2e5 * 2.0 / 4000.0 / 1000.0;
    let wire = release_energy_kj(wire_kn, 4.0, 2.0, 2e5).unwrap() * 1000.0;
    let bar = release_energy_kj(30.0, 10.0, 1200.0, 210_000.0).unwrap() * 1000.0;
    let bar_input = "10 m, 1200 mm2, 30 kN, 210 GPa";
    let question = "school-book question on a stretched bar";
    vec![
        row(
            "school-book question on a stretched wire",
            "elastic energy, J",
            "4 m, 2 mm2, stretched 2 mm, 200 GPa",
            0.20,
            0.005,
            wire,
            None,
        ),
        row(
            question,
            "elastic energy, J",
            bar_input,
            1490.0,
            5.0,
            bar,
            Some("the source's 1488 is J/m3; over 0.012 m3 it is 17.86 J"),
        ),
        row(question, "energy by volume, J/m3", bar_input, 1490.0, 5.0, bar / 0.012, None),
        row("the same, recomputed", "energy, J", bar_input, 17.86, 0.005, bar, None),
    ]
}

fn tendons() -> Vec<Example> {
    let row = |what, input, printed, within, ours| Example {
        block: "A17",
        kind: Kind::Arithmetic,
        source: "F2 L / 2 A E",
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    };
    let whole = release_energy_kj(2.85 * 1395.0, 50.0, 2850.0, 195_000.0).unwrap();
    let strand = release_energy_kj(
        33.0 * KN_PER_KIP,
        100.0 * M_PER_FT,
        0.153 * MM_PER_IN * MM_PER_IN,
        28_500.0 * MPA_PER_KSI,
    )
    .unwrap();
    let input = "19 x 150 mm2 at 1395 MPa, 50 m, 195 GPa";
    vec![
        row("energy, kJ", input, 711.05, 0.005, whole),
        row("energy by length, kJ/m", input, 14.22, 0.005, whole / 50.0),
        row(
            "energy, ft·lb",
            "0.153 in2, 33 kip, 100 ft, 28 500 ksi",
            12_487.0,
            0.5,
            strand / KJ_PER_KIP_FT * 1000.0,
        ),
    ]
}

/// Tendons of 150 ft at two stresses.
fn hazard_rows() -> Vec<Example> {
    let row = |what, input, printed, within, ours| Example {
        block: "energy",
        kind: Kind::Arithmetic,
        source: "F2 L / 2 A E and F L / A E, 150 ft, 28 500 ksi, 0.6 in strands",
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    };
    let release = |count: f64, share: f64| {
        let force_kn = share * 270.0 * 0.217 * count * KN_PER_KIP;
        let run = ForceRun {
            length_m: 150.0 * M_PER_FT,
            start_force_kn: force_kn,
            end_force_kn: force_kn,
        };
        release_of_runs(&[run], count * STRAND_MM2, 28_500.0 * MPA_PER_KSI).unwrap()
    };
    let mut rows = Vec::new();
    for (input, count, share, kip_ft, kj) in [
        ("12 strands at 0.60 fpu", 12.0, 0.60, 180.0, 244.0),
        ("12 strands at 0.70 fpu", 12.0, 0.70, 245.0, 332.0),
        ("19 strands at 0.60 fpu", 19.0, 0.60, 285.0, 386.0),
        ("19 strands at 0.70 fpu", 19.0, 0.70, 388.0, 526.0),
        ("27 strands at 0.60 fpu", 27.0, 0.60, 405.0, 549.0),
        ("27 strands at 0.70 fpu", 27.0, 0.70, 551.0, 747.0),
        ("one strand at 0.60 fpu", 1.0, 0.60, 15.0, 20.0),
    ] {
        let energy = release(count, share).energy_kj;
        rows.push(row("energy, kip-ft", input, kip_ft, 0.5, energy / KJ_PER_KIP_FT));
        let mut in_kj = row("energy, kJ", input, kj, 0.5, energy);
        if input == "19 strands at 0.70 fpu" {
            in_kj.explained =
                Some("converted from the rounded 388 kip-ft; 387.6 kip-ft are 525 kJ");
        }
        rows.push(in_kj);
    }
    for (input, share, recoil_in) in [("at 0.60 fpu", 0.60, 10.2), ("at 0.70 fpu", 0.70, 11.9)] {
        let ours = release(12.0, share).recoil_mm / MM_PER_IN;
        rows.push(row("free recoil, in", input, recoil_in, 0.05, ours));
    }
    rows
}

fn metric_mass() -> Example {
    let mass = mass_per_m(&TendonSection {
        strand_count: 19,
        strand_area_mm2: 140.0,
        strand_mass_kg_per_m: 1.102,
        duct_outer_mm: 114.3,
        duct_inner_mm: 3.939 * MM_PER_IN,
        duct_density_kg_per_m3: 950.0,
        filler_density_kg_per_m3: 1900.0,
    })
    .unwrap();
    Example {
        block: "A18",
        kind: Kind::Arithmetic,
        source: "steel, grout and pipe of one metre",
        what: "mass, kg/m",
        input: "19 x 1.102 kg/m, grout 1900, pipe 4.500 by 3.939 in at 950 kg/m3",
        printed: 33.10,
        within: 0.005,
        ours: mass.total_kg_per_m,
        explained: None,
    }
}

/// Filled ducts of iron-pipe size, DR 17, with inch strands.
fn pieces() -> Vec<Example> {
    let row = |what, input, printed, within, ours| Example {
        block: "pieces",
        kind: Kind::Arithmetic,
        source: "0.74 lb/ft a strand, grout 125 lb/ft3, pipe DR 17 at its average wall, 950 kg/m3",
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    };
    let mass = |strand_count: u32, outer_in: f64| {
        let duct_outer_mm = outer_in * MM_PER_IN;
        let wall_mm = wall_by_ratio_mm(duct_outer_mm, 17.0).unwrap();
        mass_per_m(&TendonSection {
            strand_count,
            strand_area_mm2: STRAND_MM2,
            strand_mass_kg_per_m: 0.74 * KG_PER_M_PER_LB_PER_FT,
            duct_outer_mm,
            duct_inner_mm: inner_at_average_wall_mm(duct_outer_mm, wall_mm).unwrap(),
            duct_density_kg_per_m3: 950.0,
            filler_density_kg_per_m3: 125.0 * KG_PER_LB / M_PER_FT.powi(3),
        })
        .unwrap()
        .total_kg_per_m
    };
    let mut rows = Vec::new();
    for (input, count, outer_in, lb_per_ft, lb_within, kg_per_m) in [
        ("12 strands in a 3 in pipe", 12, 3.5, 13.95, 0.005, 20.8),
        ("19 strands in a 4 in pipe", 19, 4.5, 22.6, 0.05, 33.6),
        ("27 strands in a 5 in pipe", 27, 5.563, 33.4, 0.05, 49.7),
        ("31 strands in a 5 in pipe", 31, 5.563, 35.6, 0.05, 53.0),
        ("31 strands in a 6 in pipe", 31, 6.625, 43.4, 0.05, 64.5),
    ] {
        let ours = mass(count, outer_in);
        let mut inch =
            row("mass, lb/ft", input, lb_per_ft, lb_within, ours / KG_PER_M_PER_LB_PER_FT);
        // The source does not state the pipe's density.
        inch.explained = match input {
            "12 strands in a 3 in pipe" | "31 strands in a 6 in pipe" => {
                Some("pipe of 955 kg/m3 gives the printed digits; the source states no density")
            }
            _ => None,
        };
        rows.push(inch);
        rows.push(row("mass, kg/m", input, kg_per_m, 0.05, ours));
    }
    let ten_feet = piece_mass_kg(mass(19, 4.5), 10.0 * M_PER_FT, 0.0).unwrap() / KG_PER_LB;
    rows.push(row("mass of 10 ft, lb", "19 strands in a 4 in pipe", 226.0, 0.5, ten_feet));
    rows
}
