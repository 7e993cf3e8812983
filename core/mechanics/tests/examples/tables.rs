//! Strand, steel pipe and polymer pipe.

// A printed 0.318 is a wall, not 1/π; and the cases are outside a test function.
#![allow(clippy::approx_constant, clippy::unwrap_used)]

use restrand_mechanics::duct::{
    InnerConvention, area_ratio, inner_at_average_wall_mm, inner_at_minimum_wall_mm,
    least_inner_mm, wall_by_ratio_mm,
};
use restrand_mechanics::tables::pipe::{
    OuterSystem, Schedule, SteelPipe, next_polymer_pipe, steel_pipe,
};
use restrand_mechanics::tables::strand::{STANDARD_STRANDS, StandardStrand};

use crate::example::{Example, Kind};

const MM_PER_IN: f64 = 25.4;
const IN2: f64 = MM_PER_IN * MM_PER_IN;
const KN_PER_KIP: f64 = 4.448_221_615;
const MPA_PER_KSI: f64 = 6.894_757_293;

pub(crate) fn examples() -> Vec<Example> {
    let mut all = duct_ratios();
    all.extend(least_bores());
    all.extend(steel_pipes());
    all.extend(a53());
    all.extend(polymer_metric());
    all.extend(polymer_inch());
    all.extend(small_polymer());
    all.extend(nesting());
    all.extend(strands());
    all.extend(capacity());
    all
}

/// Names that are put together; the table lives as long as the test.
fn text(text: String) -> &'static str {
    Box::leak(text.into_boxed_str())
}

struct Block {
    block: &'static str,
    kind: Kind,
    source: &'static str,
}

impl Block {
    fn row(
        &self,
        what: &'static str,
        input: &str,
        printed: f64,
        decimals: i32,
        ours: f64,
    ) -> Example {
        Example {
            block: self.block,
            kind: self.kind,
            source: self.source,
            what,
            input: text(input.to_owned()),
            printed,
            within: 0.5 * 10f64.powi(-decimals),
            ours,
            explained: None,
        }
    }
}

fn strand(designation: &str) -> &'static StandardStrand {
    STANDARD_STRANDS.iter().find(|strand| strand.designation == designation).unwrap()
}

fn pipe(size: f64, schedule: Schedule) -> &'static SteelPipe {
    steel_pipe(size, schedule).unwrap().unwrap()
}

fn strand_06_mm2() -> f64 {
    strand("0.6 in").area_mm2
}

fn strand_05_mm2() -> f64 {
    strand("0.5 in").area_mm2
}

fn duct_ratios() -> Vec<Example> {
    let block = Block {
        block: "A11",
        kind: Kind::Arithmetic,
        source: "area of duct to steel, as FP-96 553(a) asks it",
    };
    let corrugated = Block {
        block: "corrugated",
        kind: Kind::Arithmetic,
        source: "usual bores of corrugated duct, from memory",
    };
    let ratio =
        |count, inner_in: f64| area_ratio(inner_in * MM_PER_IN, count, strand_06_mm2()).unwrap();
    let mut rows = Vec::new();
    for (count, inner_in, printed) in
        [(12, 3.0, 2.715), (19, 3.5, 2.334), (19, 3.939, 2.956), (31, 5.047, 2.974)]
    {
        let input = format!("{count} x 0.6 in, bore {inner_in} in");
        rows.push(block.row("area ratio", &input, printed, 3, ratio(count, inner_in)));
    }
    for (count, inner_in, printed) in [
        (7, 2.375, 2.92),
        (12, 3.0, 2.71),
        (15, 3.35, 2.71),
        (19, 4.0, 3.05),
        (27, 4.5, 2.71),
        (31, 5.125, 3.07),
    ] {
        let input = format!("{count} x 0.6 in, bore {inner_in} in");
        let row = corrugated.row("area ratio", &input, printed, 2, ratio(count, inner_in));
        rows.push(row);
    }
    rows
}

fn least_bores() -> Vec<Example> {
    let block = Block {
        block: "bores",
        kind: Kind::Arithmetic,
        source: "√(4 k N A / π), k as FP-96 553(a) and practice",
    };
    let mut rows = Vec::new();
    for (count, bores_in) in [
        (7, [1.967, 2.086, 2.199]),
        (12, [2.575, 2.731, 2.879]),
        (15, [2.879, 3.054, 3.219]),
        (19, [3.240, 3.437, 3.623]),
        (22, [3.487, 3.698, 3.898]),
        (27, [3.863, 4.097, 4.319]),
        (31, [4.139, 4.390, 4.627]),
        (37, [4.522, 4.796, 5.055]),
    ] {
        for (ratio, bore_in) in [2.0, 2.25, 2.5].into_iter().zip(bores_in) {
            let ours = least_inner_mm(ratio, count, strand_06_mm2()).unwrap() / MM_PER_IN;
            rows.push(block.row(
                "least bore, in",
                &format!("{count} x 0.6 in, ratio {ratio}"),
                bore_in,
                3,
                ours,
            ));
        }
    }
    rows
}

fn steel_pipes() -> Vec<Example> {
    let metric = Block {
        block: "A12",
        kind: Kind::Published,
        source: "ASME B36.10M, as a program library reproduces it",
    };
    let inch = Block { block: "A12", kind: Kind::Memory, source: "ASME B36.10M, inch columns" };
    let mut rows = Vec::new();
    for (size, schedule, outer_in, outer_mm, wall_in, inner_in, wall_mm, inner_mm) in [
        (2.5, Schedule::S40, 2.875, 73.0, 0.203, 2.469, 5.16, 62.68),
        (2.5, Schedule::S80, 2.875, 73.0, 0.276, 2.323, 7.01, 58.98),
        (3.0, Schedule::S40, 3.500, 88.9, 0.216, 3.068, 5.49, 77.92),
        (3.0, Schedule::S80, 3.500, 88.9, 0.300, 2.900, 7.62, 73.66),
        (4.0, Schedule::S40, 4.500, 114.3, 0.237, 4.026, 6.02, 102.26),
        (4.0, Schedule::S80, 4.500, 114.3, 0.337, 3.826, 8.56, 97.18),
        (6.0, Schedule::S40, 6.625, 168.3, 0.280, 6.065, 7.11, 154.08),
        (6.0, Schedule::S80, 6.625, 168.3, 0.432, 5.761, 10.97, 146.36),
    ] {
        let listed = pipe(size, schedule);
        let input = format!("size {size}, {schedule:?}");
        rows.push(metric.row("outside, mm", &input, outer_mm, 1, listed.outer_mm));
        rows.push(metric.row("wall, mm", &input, wall_mm, 2, listed.wall_mm));
        rows.push(metric.row("inside, mm", &input, inner_mm, 2, listed.inner_mm));
        let ours = inner_at_minimum_wall_mm(outer_in, wall_in).unwrap();
        rows.push(inch.row("inside from the inch columns, in", &input, inner_in, 3, ours));
    }
    // From memory alone: what the table was widened by, held against the inch walls.
    for (size, schedule, wall_in) in [
        (3.5, Schedule::S80, 0.318),
        (5.0, Schedule::S80, 0.375),
        (8.0, Schedule::S40, 0.322),
        (8.0, Schedule::S80, 0.500),
    ] {
        let listed = pipe(size, schedule);
        let input = format!("size {size}, {schedule:?}");
        rows.push(inch.row("wall, in", &input, wall_in, 3, listed.wall_mm / MM_PER_IN));
    }
    rows
}

fn a53() -> Vec<Example> {
    let block =
        Block { block: "A53", kind: Kind::Published, source: "table of ASTM A53 schedule 40 pipe" };
    let memory = Block { block: "A53", kind: Kind::Memory, source: "ASTM A53, schedule 40" };
    let mut rows = Vec::new();
    for (size, outer_mm, wall_mm, inner_mm, inner_in, mass) in [
        (3.0, 88.9, 5.49, 77.9, 3.068, 11.29),
        (3.5, 101.6, 5.74, 90.1, 3.548, 13.57),
        (4.0, 114.3, 6.02, 102.3, 4.026, 16.07),
        (5.0, 141.3, 6.55, 158.2, 5.047, 21.77),
        (6.0, 168.3, 7.11, 154.1, 6.066, 28.26),
        (8.0, 219.1, 8.18, 202.7, 7.981, 42.55),
    ] {
        let listed = pipe(size, Schedule::S40);
        let block = if size > 7.0 { &memory } else { &block };
        let input = format!("size {size}");
        rows.push(block.row("outside, mm", &input, outer_mm, 1, listed.outer_mm));
        rows.push(block.row("wall, mm", &input, wall_mm, 2, listed.wall_mm));
        let mut inside = block.row("inside, mm", &input, inner_mm, 1, listed.inner_mm);
        if size == 5.0 {
            inside.explained = Some(
                "misprint: a bore of 158.2 mm is wider than the pipe; 141.3 - 2 x 6.55 is 128.2 mm, 5.047 in",
            );
        }
        rows.push(inside);
        let mut inch = block.row("inside, in", &input, inner_in, 3, listed.inner_mm / MM_PER_IN);
        if size > 7.0 {
            inch.explained =
                Some("8.625 - 2 x 0.322 in; the columns in mm, each rounded, give 7.982 in");
        }
        rows.push(inch);
        rows.push(block.row("mass, kg/m", &input, mass, 2, listed.mass_kg_per_m.unwrap()));
    }
    rows
}

fn polymer_metric() -> Vec<Example> {
    let block =
        Block { block: "A13", kind: Kind::Published, source: "table of PE100 pipe, SDR 33" };
    let mut rows = Vec::new();
    for (outer_mm, wall_mm, inner_mm) in [
        (20.0, 0.61, 18.72),
        (32.0, 0.97, 29.94),
        (50.0, 1.52, 46.79),
        (63.0, 1.91, 58.95),
        (75.0, 2.27, 70.18),
        (90.0, 2.73, 84.22),
    ] {
        let wall = wall_by_ratio_mm(outer_mm, 33.0).unwrap();
        let input = format!("outside {outer_mm} mm");
        rows.push(block.row("least wall, mm", &input, wall_mm, 2, wall));
        rows.push(block.row(
            "inside at the average wall, mm",
            &input,
            inner_mm,
            2,
            inner_at_average_wall_mm(outer_mm, wall).unwrap(),
        ));
    }
    rows
}

/// The greatest number of strands for a ratio of areas.
fn most_strands(inner_mm: f64, ratio: f64, strand_mm2: f64) -> f64 {
    (area_ratio(inner_mm, 1, strand_mm2).unwrap() / ratio).floor()
}

fn polymer_inch() -> Vec<Example> {
    let block = Block {
        block: "HDPE",
        kind: Kind::Arithmetic,
        source: "iron-pipe sizes by dimension ratio, walls by ASTM D3035, average wall 6 % over the least",
    };
    let mut rows = Vec::new();
    #[rustfmt::skip]
    let table = [
        (3.0, 3.500, 21.0, 0.167, 4.23, 3.167, 3.147, 79.9, 7.78, [17, 15, 14], [25, 22, 20]),
        (3.0, 3.500, 17.0, 0.206, 5.23, 3.088, 3.064, 77.8, 7.37, [16, 15, 13], [24, 21, 19]),
        (3.0, 3.500, 13.5, 0.259, 6.59, 2.981, 2.950, 74.9, 6.84, [15, 14, 12], [22, 19, 17]),
        (3.0, 3.500, 11.0, 0.318, 8.08, 2.864, 2.825, 71.8, 6.27, [14, 12, 11], [20, 18, 16]),
        (4.0, 4.500, 21.0, 0.214, 5.44, 4.071, 4.046, 102.8, 12.86, [29, 26, 23], [42, 37, 33]),
        (4.0, 4.500, 17.0, 0.265, 6.72, 3.971, 3.939, 100.0, 12.18, [28, 24, 22], [39, 35, 31]),
        (4.0, 4.500, 13.5, 0.333, 8.47, 3.833, 3.793, 96.4, 11.30, [26, 23, 20], [36, 32, 29]),
        (4.0, 4.500, 11.0, 0.409, 10.39, 3.682, 3.633, 92.3, 10.36, [23, 21, 19], [33, 30, 27]),
        (5.0, 5.563, 17.0, 0.327, 8.31, 4.909, 4.869, 123.7, 18.62, [42, 38, 34], [60, 54, 48]),
        (6.0, 6.625, 17.0, 0.390, 9.90, 5.846, 5.799, 147.3, 26.41, [60, 54, 48], [86, 76, 69]),
        (8.0, 8.625, 17.0, 0.507, 12.89, 7.610, 7.549, 191.8, 44.76, [103, 91, 82], [146, 130, 117]),
    ];
    for (
        size,
        outer_in,
        ratio,
        wall_in,
        wall_mm,
        widest_in,
        average_in,
        average_mm,
        bore_in2,
        of_06,
        of_05,
    ) in table
    {
        let input = format!("{size} in, DR {ratio}");
        // The size that is asked for is the least that gives this bore.
        let found = next_polymer_pipe(
            OuterSystem::Ips,
            ratio,
            average_mm - 0.05,
            InnerConvention::AverageWall,
        )
        .unwrap()
        .unwrap();
        assert!((found.size.outer_mm - outer_in * MM_PER_IN).abs() < 1e-9, "{input}");
        let widest = inner_at_minimum_wall_mm(found.size.outer_mm, found.wall_mm).unwrap();
        rows.push(block.row("least wall, in", &input, wall_in, 3, found.wall_mm / MM_PER_IN));
        rows.push(block.row("least wall, mm", &input, wall_mm, 2, found.wall_mm));
        rows.push(block.row(
            "inside at the least wall, in",
            &input,
            widest_in,
            3,
            widest / MM_PER_IN,
        ));
        rows.push(block.row(
            "inside at the average wall, in",
            &input,
            average_in,
            3,
            found.inner_mm / MM_PER_IN,
        ));
        rows.push(block.row(
            "inside at the average wall, mm",
            &input,
            average_mm,
            1,
            found.inner_mm,
        ));
        let bore = area_ratio(found.inner_mm, 1, 1.0).unwrap() / IN2;
        rows.push(block.row("bore, in2", &input, bore_in2, 2, bore));
        for (strand, area_mm2, counts) in
            [("0.6", strand_06_mm2(), of_06), ("0.5", strand_05_mm2(), of_05)]
        {
            for (k, count) in [2.0, 2.25, 2.5].into_iter().zip(counts) {
                let input = format!("{input}, {strand} in strand, ratio {k}");
                rows.push(block.row(
                    "greatest count",
                    &input,
                    f64::from(count),
                    0,
                    most_strands(found.inner_mm, k, area_mm2),
                ));
            }
        }
    }
    rows
}

fn small_polymer() -> Vec<Example> {
    let block =
        Block { block: "D3035", kind: Kind::Published, source: "table of ASTM D3035 pipe, size 3" };
    let mut rows = Vec::new();
    for (ratio, wall_in, inner_in) in [(13.5, 0.259, 2.982), (11.0, 0.318, 2.864)] {
        let input = format!("DR {ratio}");
        rows.push(block.row(
            "least wall, in",
            &input,
            wall_in,
            3,
            wall_by_ratio_mm(3.5, ratio).unwrap(),
        ));
        // The table takes its own rounded wall.
        rows.push(block.row(
            "inside at the rounded wall, in",
            &input,
            inner_in,
            3,
            inner_at_minimum_wall_mm(3.5, wall_in).unwrap(),
        ));
    }
    rows
}

/// Radial gaps of polymer pipe in schedule 40 steel pipe.
fn nesting() -> Vec<Example> {
    let block = Block {
        block: "nesting",
        kind: Kind::Arithmetic,
        source: "(inside of steel pipe - outside of polymer pipe) / 2",
    };
    let mut rows = Vec::new();
    for (outer_in, size, gap_mm) in [
        (3.5, 3.5, 0.6),
        (3.5, 4.0, 6.7),
        (3.5, 5.0, 19.7),
        (4.5, 5.0, 7.0),
        (4.5, 6.0, 19.9),
        (5.563, 6.0, 6.4),
        (5.563, 8.0, 30.7),
        (6.625, 8.0, 17.2),
    ] {
        let ours = (pipe(size, Schedule::S40).inner_mm - outer_in * MM_PER_IN) / 2.0;
        rows.push(block.row(
            "radial gap, mm",
            &format!("outside {outer_in} in in size {size}"),
            gap_mm,
            1,
            ours,
        ));
    }
    rows
}

fn strands() -> Vec<Example> {
    let drafts = Block {
        block: "A14",
        kind: Kind::Published,
        source: "EN 10138-3 drafts, Y1860S7, as reproduced elsewhere",
    };
    let table = Block {
        block: "Y1770S7",
        kind: Kind::Published,
        source: "EN 10138-3 table as coded elsewhere",
    };
    let manual = Block {
        block: "A416",
        kind: Kind::Published,
        source: "FHWA post-tensioning manual, 2004, 2.1",
    };
    let memory = Block { block: "A416", kind: Kind::Memory, source: "ASTM A416" };
    let mut rows = Vec::new();
    for (name, diameter_mm, area_mm2, mass, force_kn) in [
        ("Y1860S7-12.5", 12.5, 93.0, 726.0, 173.0),
        ("Y1860S7-12.9", 12.9, 100.0, 781.0, 186.0),
        ("Y1860S7-15.3", 15.3, 140.0, 1093.0, 260.0),
        ("Y1860S7-15.7", 15.7, 150.0, 1172.0, 279.0),
    ] {
        let listed = strand(name);
        rows.push(drafts.row("diameter, mm", name, diameter_mm, 1, listed.diameter_mm));
        rows.push(drafts.row("area, mm2", name, area_mm2, 0, listed.area_mm2));
        rows.push(drafts.row("mass, g/m", name, mass, 0, listed.mass_kg_per_m * 1000.0));
        rows.push(drafts.row(
            "breaking force, kN",
            name,
            force_kn,
            0,
            listed.breaking_force_kn.unwrap(),
        ));
        rows.push(drafts.row(
            "fpu x area, kN",
            name,
            force_kn,
            0,
            listed.fpu_mpa * listed.area_mm2 / 1000.0,
        ));
    }
    for (name, area_mm2, force_kn) in [
        ("Y1770S7-15.3", 140.0, 248.0),
        ("Y1770S7-15.7", 150.0, 265.0),
        ("Y1770S7-18", 200.0, 354.0),
    ] {
        let listed = strand(name);
        rows.push(table.row("area, mm2", name, area_mm2, 0, listed.area_mm2));
        rows.push(table.row(
            "breaking force, kN",
            name,
            force_kn,
            0,
            listed.breaking_force_kn.unwrap(),
        ));
    }
    for (name, area_in2, area_mm2, mass, force_kn) in
        [("0.5 in", 0.153, 99.0, 0.775, 183.7), ("0.6 in", 0.217, 140.0, 1.102, 260.7)]
    {
        let listed = strand(name);
        rows.push(manual.row("area, in2", name, area_in2, 3, listed.area_mm2 / IN2));
        rows.push(manual.row("area, mm2", name, area_mm2, 0, listed.area_mm2));
        rows.push(memory.row("mass, kg/m", name, mass, 3, listed.mass_kg_per_m));
        rows.push(memory.row(
            "breaking force, kN",
            name,
            force_kn,
            1,
            listed.breaking_force_kn.unwrap(),
        ));
    }
    rows
}

/// Areas and forces of tendons of 0.6 in strands, by nominal area.
fn capacity() -> Vec<Example> {
    let block = Block {
        block: "capacity",
        kind: Kind::Arithmetic,
        source: "0.217 in2 x 270 ksi by number of strands",
    };
    let listed = strand("0.6 in");
    let mut rows = Vec::new();
    for (count, area_in2, forces_kip) in [
        (4, 0.868, [234.4, 189.8, 187.5, 175.8, 164.1]),
        (7, 1.519, [410.1, 332.2, 328.1, 307.6, 287.1]),
        (12, 2.604, [703.1, 569.5, 562.5, 527.3, 492.2]),
        (15, 3.255, [878.9, 711.9, 703.1, 659.1, 615.2]),
        (19, 4.123, [1113.2, 901.7, 890.6, 834.9, 779.2]),
        (22, 4.774, [1289.0, 1044.1, 1031.2, 966.7, 902.3]),
        (27, 5.859, [1581.9, 1281.4, 1265.5, 1186.4, 1107.4]),
        (31, 6.727, [1816.3, 1471.2, 1453.0, 1362.2, 1271.4]),
        (37, 8.029, [2167.8, 1755.9, 1734.3, 1625.9, 1517.5]),
    ] {
        let area_mm2 = f64::from(count) * listed.area_mm2;
        let strands = format!("{count} strands");
        rows.push(block.row("area, in2", &strands, area_in2, 3, area_mm2 / IN2));
        for (share, force_kip) in [1.0, 0.81, 0.80, 0.75, 0.70].into_iter().zip(forces_kip) {
            let ksi_in2 = listed.fpu_mpa / MPA_PER_KSI * (area_mm2 / IN2);
            rows.push(block.row(
                "force, kip",
                &format!("{strands} at {share} fpu"),
                force_kip,
                1,
                share * ksi_in2,
            ));
        }
    }
    let by_load = 19.0 * listed.breaking_force_kn.unwrap() / KN_PER_KIP;
    rows.push(block.row("breaking force, kip", "19 strands of 58.6 kip", 1113.4, 1, by_load));
    rows
}
