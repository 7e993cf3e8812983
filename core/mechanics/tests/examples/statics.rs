//! Continuous beams whose moments are known in closed form.

// The cases are outside a test function.
#![allow(clippy::unwrap_used)]

use restrand_mechanics::statics::{
    AxialPoint, Beam, BeamData, Cut, Load, LoadEffects, Run, Side, Stiffness, Tendon, TendonAt,
};

use crate::example::{Example, Kind};

const MANUAL: &str =
    "AISC, Manual of Steel Construction, beam diagrams and formulas, continuous beams";

pub(crate) fn examples() -> Vec<Example> {
    let mut all = equal_spans();
    all.extend(fixed_ends());
    all.extend(tendons());
    all
}

fn beam(supports_m: &[f64], fixed: (bool, bool), stiffness: &[Stiffness]) -> Beam {
    Beam::new(&BeamData { supports_m, stiffness, start_fixed: fixed.0, end_fixed: fixed.1 })
        .unwrap()
}

const UNIFORM: [Stiffness; 1] = [Stiffness { from_m: 0.0, to_m: 100.0, ei_knm2: 1.0 }];

/// Spans of 1 m under 1 kN/m or 1 kN, so that moments are the coefficients of w l², P l.
fn solve(spans: usize, loads: &[Load], cuts: &[f64]) -> LoadEffects {
    let supports_m: Vec<f64> = (0..=spans).map(|at| at as f64).collect();
    let cuts: Vec<Cut> = cuts.iter().map(|&station_m| Cut { station_m, side: Side::Up }).collect();
    beam(&supports_m, (false, false), &UNIFORM).under_loads(loads, &cuts).unwrap()
}

fn spread(from_m: f64, to_m: f64) -> Load {
    Load::Spread { from_m, to_m, from_kn_per_m: 1.0, to_kn_per_m: 1.0 }
}

fn point(at_m: f64) -> Load {
    Load::Point { at_m, down_kn: 1.0 }
}

fn equal_spans() -> Vec<Example> {
    let row = |what, input, printed, ours| Example {
        block: "spans",
        kind: Kind::Memory,
        source: MANUAL,
        what,
        input,
        printed,
        within: 5e-4,
        ours,
        explained: None,
    };
    let mut rows = Vec::new();
    let mut add = |input,
                   told: LoadEffects,
                   moments: &[(&'static str, f64)],
                   reactions: &[(&'static str, f64)]| {
        for ((what, printed), ours) in moments.iter().zip(&told.moments_knm) {
            rows.push(row(*what, input, *printed, *ours));
        }
        for ((what, printed), ours) in reactions.iter().zip(&told.supports.reactions_up_kn) {
            rows.push(row(*what, input, *printed, *ours));
        }
    };
    add(
        "two spans, uniform",
        solve(2, &[spread(0.0, 2.0)], &[1.0, 0.375]),
        &[("M at B / w l2", -0.125), ("M at 0.375 l / w l2", 0.070)],
        &[("R at A / w l", 0.375), ("R at B / w l", 1.250), ("R at C / w l", 0.375)],
    );
    add(
        "two spans, uniform on one",
        solve(2, &[spread(0.0, 1.0)], &[1.0, 0.4375]),
        &[("M at B / w l2", -0.063), ("M at 0.438 l / w l2", 0.096)],
        &[("R at A / w l", 0.438), ("R at B / w l", 0.625), ("R at C / w l", -0.063)],
    );
    add(
        "two spans, P in the middle of one",
        solve(2, &[point(0.5)], &[1.0, 0.5]),
        &[("M at B / P l", -0.094), ("M under P / P l", 0.203)],
        &[("R at A / P", 0.406), ("R at B / P", 0.688), ("R at C / P", -0.094)],
    );
    add(
        "two spans, P in the middle of both",
        solve(2, &[point(0.5), point(1.5)], &[1.0, 0.5]),
        &[("M at B / P l", -0.188), ("M under P / P l", 0.156)],
        &[("R at A / P", 0.313), ("R at B / P", 1.375), ("R at C / P", 0.313)],
    );
    add(
        "three spans, uniform",
        solve(3, &[spread(0.0, 3.0)], &[1.0, 2.0, 0.4, 1.5]),
        &[
            ("M at B / w l2", -0.100),
            ("M at C / w l2", -0.100),
            ("M at 0.4 l / w l2", 0.080),
            ("M in the middle / w l2", 0.025),
        ],
        &[
            ("R at A / w l", 0.400),
            ("R at B / w l", 1.100),
            ("R at C / w l", 1.100),
            ("R at D / w l", 0.400),
        ],
    );
    add(
        "three spans, uniform on the outer two",
        solve(3, &[spread(0.0, 1.0), spread(2.0, 3.0)], &[1.0, 2.0, 0.45]),
        &[("M at B / w l2", -0.050), ("M at C / w l2", -0.050), ("M at 0.45 l / w l2", 0.101)],
        &[
            ("R at A / w l", 0.450),
            ("R at B / w l", 0.550),
            ("R at C / w l", 0.550),
            ("R at D / w l", 0.450),
        ],
    );
    add(
        "three spans, uniform on the first two",
        solve(3, &[spread(0.0, 2.0)], &[1.0, 2.0, 0.383, 1.583]),
        &[
            ("M at B / w l2", -0.117),
            ("M at C / w l2", -0.033),
            ("M at 0.383 l / w l2", 0.073),
            ("M at 0.583 l of the second / w l2", 0.053),
        ],
        &[
            ("R at A / w l", 0.383),
            ("R at B / w l", 1.200),
            ("R at C / w l", 0.450),
            ("R at D / w l", -0.033),
        ],
    );
    add(
        "four spans, uniform",
        solve(4, &[spread(0.0, 4.0)], &[1.0, 2.0, 3.0, 0.393]),
        &[
            ("M at B / w l2", -0.107),
            ("M at C / w l2", -0.071),
            ("M at D / w l2", -0.107),
            ("M at 0.393 l / w l2", 0.077),
        ],
        &[
            ("R at A / w l", 0.393),
            ("R at B / w l", 1.143),
            ("R at C / w l", 0.929),
            ("R at D / w l", 1.143),
            ("R at E / w l", 0.393),
        ],
    );
    rows
}

fn fixed_ends() -> Vec<Example> {
    let row = |what, input, printed, ours| Example {
        block: "fixed",
        kind: Kind::Memory,
        source: "AISC, Manual of Steel Construction, beam diagrams and formulas, single spans",
        what,
        input,
        printed,
        within: 1e-9,
        ours,
        explained: None,
    };
    let one = |fixed, load| beam(&[0.0, 1.0], fixed, &UNIFORM).under_loads(&[load], &[]).unwrap();
    let (both, start) = ((true, true), (true, false));
    let overhang =
        beam(&[0.0, 1.0], (false, false), &UNIFORM).under_loads(&[spread(1.0, 1.5)], &[]).unwrap();
    vec![
        row(
            "M at the end / w l2",
            "both ends fixed, uniform",
            -1.0 / 12.0,
            one(both, spread(0.0, 1.0)).supports.moments_knm[1],
        ),
        row(
            "M at the end / P l",
            "both ends fixed, P in the middle",
            -0.125,
            one(both, point(0.5)).supports.moments_knm[0],
        ),
        row(
            "M at the fixed end / w l2",
            "one end fixed, uniform",
            -0.125,
            one(start, spread(0.0, 1.0)).supports.moments_knm[0],
        ),
        row(
            "M at the fixed end / P l",
            "one end fixed, P in the middle",
            -3.0 / 16.0,
            one(start, point(0.5)).supports.moments_knm[0],
        ),
        row(
            "R at the free end / w l",
            "one end fixed, uniform",
            0.375,
            one(start, spread(0.0, 1.0)).supports.reactions_up_kn[1],
        ),
        row(
            "R at the first support / w",
            "l 1, uniform on an overhang of 0.5",
            -0.125,
            overhang.supports.reactions_up_kn[0],
        ),
    ]
}

/// Tendons for which the total moment is known by balance of loads.
fn tendons() -> Vec<Example> {
    let row = |what, input, printed, ours| Example {
        block: "tendons",
        kind: Kind::Arithmetic,
        source: "load balancing with the closed forms of loads",
        what,
        input,
        printed,
        within: 1e-9,
        ours,
        explained: None,
    };
    let hanging = |from_m: f64, ends: [f64; 2], sag_m: f64| Run {
        from_m,
        to_m: from_m + 1.0,
        from_eccentricity_m: ends[0],
        to_eccentricity_m: ends[1],
        sag_m,
    };
    let middle = |spans: usize, runs: &[Run], fixed, stiffness: &[Stiffness]| -> TendonAt {
        let supports_m: Vec<f64> = (0..=spans).map(|at| at as f64).collect();
        let axial = [0.0, spans as f64].map(|station_m| AxialPoint { station_m, axial_kn: 1.0 });
        let cut = Cut { station_m: 1.0, side: Side::Down };
        let tendon = Tendon { runs, axial: &axial };
        beam(&supports_m, fixed, stiffness).under_tendon(&tendon, &[cut]).unwrap().at[0]
    };
    let simple = (false, false);
    let at_centroid = [hanging(0.0, [0.0, 0.0], 1.0), hanging(1.0, [0.0, 0.0], 1.0)];
    let raised = [hanging(0.0, [0.0, -1.0], 1.0), hanging(1.0, [-1.0, 0.0], 1.0)];
    let straight = [hanging(0.0, [1.0, 1.0], 0.0), hanging(1.0, [1.0, 1.0], 0.0)];
    let three = [
        hanging(0.0, [0.0, 0.0], 1.0),
        hanging(1.0, [0.0, 0.0], 1.0),
        hanging(2.0, [0.0, 0.0], 1.0),
    ];
    let stiff_half = [
        Stiffness { from_m: 0.0, to_m: 0.5, ei_knm2: 1.0 },
        Stiffness { from_m: 0.5, to_m: 1.5, ei_knm2: 2.0 },
        Stiffness { from_m: 1.5, to_m: 2.0, ei_knm2: 1.0 },
    ];
    let here = middle(2, &at_centroid, simple, &UNIFORM);
    let moved = middle(2, &raised, simple, &UNIFORM);
    vec![
        row(
            "primary M at B / H f",
            "two spans, parabolas of sag f, on the centroid at B",
            0.0,
            here.primary_knm,
        ),
        row(
            "total M at B / H f",
            "two spans, parabolas of sag f, on the centroid at B",
            1.0,
            here.total_knm,
        ),
        // The line is that of w l²/8 at B: it is concordant, and the total is the same as before.
        row("secondary M at B / H f", "the same, raised by f at B", 0.0, moved.secondary_knm),
        row("total M at B / H f", "the same, raised by f at B", 1.0, moved.total_knm),
        row(
            "total M at B / H e",
            "two spans, straight, e below the centroid",
            0.5,
            middle(2, &straight, simple, &UNIFORM).total_knm,
        ),
        row(
            "total M at B / H f",
            "three spans, parabolas of sag f",
            0.8,
            middle(3, &three, simple, &UNIFORM).total_knm,
        ),
        row(
            "total M at the end / H f",
            "one span, both ends fixed, parabola of sag f",
            2.0 / 3.0,
            middle(1, &at_centroid[..1], (true, true), &UNIFORM).total_knm,
        ),
        // ∫x/EI over ∫x²/EI, with EI doubled over the inner half: (1/8 + 3/16) / (1/24 + 7/48).
        row(
            "secondary M at B / H e",
            "two spans, straight, EI doubled over the half beside B",
            1.0 * (0.125 + 0.1875) / (1.0 / 24.0 + 7.0 / 48.0),
            middle(2, &straight, simple, &stiff_half).secondary_knm,
        ),
    ]
}
