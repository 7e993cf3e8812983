//! The continuous beam against a stiffness solution by many short elements, in which the tendon is a chain of short straight links.
//!
//! The elements know nothing of moments over supports or of primary moments: they get forces and couples at their nodes.

// Stations here are whole metres, and sides of a check are written as the formulas stand.
#![allow(clippy::unwrap_used, clippy::cast_possible_truncation, clippy::cast_sign_loss)]

use proptest::prelude::*;
use restrand_mechanics::statics::{
    AxialPoint, Beam, BeamData, Cut, Load, Place, Run, Side, Stiffness, Tendon, equivalent_loads,
    tendons_out,
};

/// Elements to a metre.
const FINENESS: usize = 6;

/// A beam on whole metres from 0, with its supports, stiffness in steps, and what is fixed.
#[derive(Debug, Clone)]
struct Case {
    length_m: usize,
    supports: Vec<usize>,
    /// Where a new stiffness begins, and it.
    stiffness: Vec<(usize, f64)>,
    start_fixed: bool,
    end_fixed: bool,
}

impl Case {
    fn beam(&self) -> Beam {
        let ends = self.stiffness[1..].iter().map(|(from, _)| *from).chain([self.length_m]);
        let stiffness: Vec<Stiffness> = self
            .stiffness
            .iter()
            .zip(ends)
            .map(|(&(from, ei_knm2), to)| Stiffness {
                from_m: from as f64,
                to_m: to as f64,
                ei_knm2,
            })
            .collect();
        let supports_m: Vec<f64> = self.supports.iter().map(|at| *at as f64).collect();
        Beam::new(&BeamData {
            supports_m: &supports_m,
            stiffness: &stiffness,
            start_fixed: self.start_fixed,
            end_fixed: self.end_fixed,
        })
        .unwrap()
    }

    fn cuts(&self) -> Vec<Cut> {
        (0..=self.length_m)
            .flat_map(|at| [Side::Down, Side::Up].map(|side| Cut { station_m: at as f64, side }))
            .collect()
    }
}

/// Forces downward and couples clockwise at the nodes.
struct Nodes {
    down: Vec<f64>,
    clockwise: Vec<f64>,
}

impl Nodes {
    fn new(case: &Case) -> Self {
        let count = case.length_m * FINENESS + 1;
        Self { down: vec![0.0; count], clockwise: vec![0.0; count] }
    }

    fn node(at_m: f64) -> usize {
        (at_m * FINENESS as f64).round() as usize
    }

    fn load(&mut self, load: &Load) {
        match *load {
            Load::Point { at_m, down_kn } => self.down[Self::node(at_m)] += down_kn,
            Load::Couple { at_m, clockwise_knm } => {
                self.clockwise[Self::node(at_m)] += clockwise_knm;
            }
            Load::Spread { from_m, to_m, from_kn_per_m, to_kn_per_m } => {
                let (first, last) = (Self::node(from_m), Self::node(to_m));
                for left in first..last {
                    // The load of each link at its nodes as a simple beam would hand it on.
                    let links = (last - first) as f64;
                    let at = |node: usize| {
                        let share = (node - first) as f64 / links;
                        from_kn_per_m * (1.0 - share) + to_kn_per_m * share
                    };
                    let (a, b) = (at(left), at(left + 1));
                    self.down[left] += (2.0 * a + b) / 6.0 / FINENESS as f64;
                    self.down[left + 1] += (a + 2.0 * b) / 6.0 / FINENESS as f64;
                }
            }
        }
    }

    /// Each link of the tendon pulls at both of its ends, which are fast to the beam.
    fn tendon(&mut self, line: &Line) {
        let first = line.places[0] * FINENESS;
        let last = line.places[line.places.len() - 1] * FINENESS;
        let step_m = 1.0 / FINENESS as f64;
        for left in first..last {
            let (x0, x1) = (left as f64 * step_m, (left + 1) as f64 * step_m);
            let (below0, below1) = (line.below(x0), line.below(x1));
            let pull = line.pull(f64::midpoint(x0, x1));
            let slope_down = (below1 - below0) / step_m;
            for (node, below, sense) in [(left, below0, 1.0), (left + 1, below1, -1.0)] {
                self.down[node] += sense * pull * slope_down;
                // A pull to the right below the centroid turns anticlockwise.
                self.clockwise[node] -= sense * pull * below;
            }
        }
    }
}

/// What the elements give.
struct Solved {
    /// Moment on both sides of each node.
    moments: Vec<[f64; 2]>,
    reactions_up: Vec<f64>,
}

fn element(ei: f64, h: f64) -> [[f64; 4]; 4] {
    let k = ei / (h * h * h);
    [
        [12.0 * k, 6.0 * h * k, -12.0 * k, 6.0 * h * k],
        [6.0 * h * k, 4.0 * h * h * k, -6.0 * h * k, 2.0 * h * h * k],
        [-12.0 * k, -6.0 * h * k, 12.0 * k, -6.0 * h * k],
        [6.0 * h * k, 2.0 * h * h * k, -6.0 * h * k, 4.0 * h * h * k],
    ]
}

fn solve(case: &Case, nodes: &Nodes) -> Solved {
    const BAND: usize = 4;
    let count = nodes.down.len();
    let h = 1.0 / FINENESS as f64;
    let ei = |left: usize| {
        let at = left / FINENESS;
        case.stiffness.iter().rev().find(|(from, _)| *from <= at).unwrap().1
    };
    // Row i holds the columns i - 3 to i + 3.
    let mut matrix = vec![[0.0; 2 * BAND - 1]; 2 * count];
    let mut right = Vec::with_capacity(2 * count);
    for node in 0..count {
        right.extend([nodes.down[node], nodes.clockwise[node]]);
    }
    for left in 0..count - 1 {
        for (i, row) in element(ei(left), h).iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                matrix[2 * left + i][BAND - 1 + j - i] += value;
            }
        }
    }
    let mut held: Vec<usize> = case.supports.iter().map(|at| 2 * at * FINENESS).collect();
    if case.start_fixed {
        held.push(2 * case.supports[0] * FINENESS + 1);
    }
    if case.end_fixed {
        held.push(2 * case.supports[case.supports.len() - 1] * FINENESS + 1);
    }
    for &fixed in &held {
        matrix[fixed] = [0.0; 2 * BAND - 1];
        matrix[fixed][BAND - 1] = 1.0;
        right[fixed] = 0.0;
        for row in fixed.saturating_sub(BAND - 1)..(fixed + BAND).min(2 * count) {
            if row != fixed {
                matrix[row][BAND - 1 + fixed - row] = 0.0;
            }
        }
    }
    for pivot in 0..2 * count {
        for row in pivot + 1..(pivot + BAND).min(2 * count) {
            let factor = matrix[row][BAND - 1 + pivot - row] / matrix[pivot][BAND - 1];
            for column in pivot..(pivot + BAND).min(2 * count) {
                let value = matrix[pivot][BAND - 1 + column - pivot];
                matrix[row][BAND - 1 + column - row] -= factor * value;
            }
            right[row] -= factor * right[pivot];
        }
    }
    let mut u = vec![0.0; 2 * count];
    for row in (0..2 * count).rev() {
        let known: f64 = (row + 1..(row + BAND).min(2 * count))
            .map(|column| matrix[row][BAND - 1 + column - row] * u[column])
            .sum();
        u[row] = (right[row] - known) / matrix[row][BAND - 1];
    }
    let mut moments = vec![[0.0; 2]; count];
    let mut inner_down = vec![0.0; count];
    for left in 0..count - 1 {
        let k = element(ei(left), h);
        let ends: [f64; 4] =
            std::array::from_fn(|i| (0..4).map(|j| k[i][j] * u[2 * left + j]).sum());
        moments[left][1] = ends[1];
        moments[left + 1][0] = -ends[3];
        inner_down[left] += ends[0];
        inner_down[left + 1] += ends[2];
    }
    let reactions_up = case
        .supports
        .iter()
        .map(|at| nodes.down[at * FINENESS] - inner_down[at * FINENESS])
        .collect();
    Solved { moments, reactions_up }
}

/// A tendon on whole metres.
#[derive(Debug, Clone)]
struct Line {
    places: Vec<usize>,
    below: Vec<f64>,
    sags: Vec<f64>,
    /// Force at start and end of each run.
    pulls: Vec<[f64; 2]>,
}

impl Line {
    fn run(&self, x: f64) -> (usize, f64) {
        let index = self.places[1..self.places.len() - 1]
            .iter()
            .filter(|place| (**place as f64) <= x)
            .count();
        let (from, to) = (self.places[index] as f64, self.places[index + 1] as f64);
        (index, (x - from) / (to - from))
    }

    fn below(&self, x: f64) -> f64 {
        let (run, s) = self.run(x);
        self.below[run] * (1.0 - s) + self.below[run + 1] * s + 4.0 * self.sags[run] * s * (1.0 - s)
    }

    fn pull(&self, x: f64) -> f64 {
        let (run, s) = self.run(x);
        self.pulls[run][0] * (1.0 - s) + self.pulls[run][1] * s
    }

    fn runs(&self) -> Vec<Run> {
        (0..self.sags.len())
            .map(|run| Run {
                from_m: self.places[run] as f64,
                to_m: self.places[run + 1] as f64,
                from_eccentricity_m: self.below[run],
                to_eccentricity_m: self.below[run + 1],
                sag_m: self.sags[run],
            })
            .collect()
    }

    fn axial(&self) -> Vec<AxialPoint> {
        (0..self.sags.len())
            .flat_map(|run| {
                [0, 1].map(|end| AxialPoint {
                    station_m: self.places[run + end] as f64,
                    axial_kn: self.pulls[run][end],
                })
            })
            .collect()
    }

    fn greatest_knm(&self) -> f64 {
        let below = self.below.iter().chain(&self.sags).fold(0.1, |most: f64, e| most.max(e.abs()));
        let pull = self.pulls.iter().flatten().fold(1.0, |most: f64, pull| most.max(*pull));
        2.0 * below * pull
    }
}

fn case() -> impl Strategy<Value = Case> {
    (
        0usize..4,
        prop::collection::vec(5usize..20, 1..5),
        0usize..4,
        prop::collection::vec((1usize..60, 1.0..8.0f64), 0..4),
        1.0..8.0f64,
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(before, spans, after, changes, first, start_fixed, end_fixed)| {
            let mut supports = vec![before];
            for span in spans {
                supports.push(supports[supports.len() - 1] + span);
            }
            let length_m = supports[supports.len() - 1] + after;
            let mut stiffness: Vec<(usize, f64)> =
                changes.into_iter().filter(|(from, _)| *from < length_m).collect();
            stiffness.push((0, first));
            stiffness.sort_by_key(|(from, _)| *from);
            stiffness.dedup_by_key(|(from, _)| *from);
            for (_, ei) in &mut stiffness {
                *ei *= 1e6;
            }
            Case { length_m, supports, stiffness, start_fixed, end_fixed }
        })
}

fn line(length_m: usize) -> impl Strategy<Value = Line> {
    let place = prop::collection::btree_set(0..=length_m, 2..6.min(length_m + 1));
    (
        place,
        prop::collection::vec(-1.2..1.2f64, 6),
        prop::collection::vec(prop_oneof![Just(0.0), -0.6..0.6f64], 5),
        prop::collection::vec((1000.0..4000.0f64, prop_oneof![Just(0.0), -300.0..300.0f64]), 5),
    )
        .prop_map(|(places, below, sags, pulls)| {
            let places: Vec<usize> = places.into_iter().collect();
            let runs = places.len() - 1;
            Line {
                below: below[..=runs].to_vec(),
                // A run of a metre or two is no parabola that six elements to the metre follow.
                sags: (0..runs)
                    .map(|run| if places[run + 1] - places[run] < 4 { 0.0 } else { sags[run] })
                    .collect(),
                pulls: pulls[..runs].iter().map(|(pull, more)| [*pull, pull + more]).collect(),
                places,
            }
        })
}

fn case_and_line() -> impl Strategy<Value = (Case, Line)> {
    case().prop_flat_map(|case| (Just(case.clone()), line(case.length_m)))
}

fn loads(length_m: usize) -> impl Strategy<Value = Vec<Load>> {
    let at = move || 0..=length_m;
    let load = prop_oneof![
        (at(), -500.0..500.0f64).prop_map(|(at, down_kn)| Load::Point { at_m: at as f64, down_kn }),
        (at(), -500.0..500.0f64)
            .prop_map(|(at, clockwise_knm)| Load::Couple { at_m: at as f64, clockwise_knm }),
        (at(), at(), -80.0..80.0f64, -80.0..80.0f64).prop_map(|(a, b, from, to)| Load::Spread {
            from_m: a.min(b) as f64,
            to_m: a.max(b) as f64,
            from_kn_per_m: from,
            to_kn_per_m: to,
        }),
    ];
    prop::collection::vec(load, 1..5)
}

fn near(ours: f64, other: f64, slack: f64) -> Result<(), TestCaseError> {
    prop_assert!((ours - other).abs() <= slack, "{ours} is not {other} ± {slack}");
    Ok(())
}

proptest! {
    #[test]
    fn a_tendon_does_what_a_chain_of_links_does((case, line) in case_and_line()) {
        let (runs, axial) = (line.runs(), line.axial());
        let tendon = Tendon { runs: &runs, axial: &axial };
        let ours = case.beam().under_tendon(&tendon, &case.cuts()).unwrap();
        let mut nodes = Nodes::new(&case);
        nodes.tendon(&line);
        let elements = solve(&case, &nodes);
        // Where the force slopes, a link's force is that of its middle: half a link off.
        let steepest = line.pulls.iter().map(|[a, b]| (b - a).abs()).fold(0.0, f64::max);
        let slack = 1e-3 * line.greatest_knm() + 1.8 * steepest / FINENESS as f64 / 2.0;
        for (cut, here) in case.cuts().iter().zip(&ours.at) {
            let sides = elements.moments[Nodes::node(cut.station_m)];
            near(here.total_knm, sides[usize::from(cut.side == Side::Up)], slack)?;
        }
        for (ours, other) in ours.supports.reactions_up_kn.iter().zip(&elements.reactions_up) {
            near(*ours, *other, slack)?;
        }
    }

    #[test]
    fn loads_do_what_they_do_to_elements((case, loads) in case().prop_flat_map(|case| (Just(case.clone()), loads(case.length_m)))) {
        let ours = case.beam().under_loads(&loads, &case.cuts()).unwrap();
        let mut nodes = Nodes::new(&case);
        for load in &loads {
            nodes.load(load);
        }
        let elements = solve(&case, &nodes);
        // Between its nodes an element's moment lacks w h² / 8.
        let most = elements.moments.iter().flatten().fold(10.0, |most: f64, m| most.max(m.abs()));
        let spread: f64 = loads
            .iter()
            .map(|load| match *load {
                Load::Spread { from_kn_per_m: a, to_kn_per_m: b, .. } => a.abs().max(b.abs()),
                Load::Point { .. } | Load::Couple { .. } => 0.0,
            })
            .sum();
        let slack = 1e-6 * most + 0.5 * spread / (FINENESS * FINENESS) as f64;
        for (cut, here) in case.cuts().iter().zip(&ours.moments_knm) {
            let sides = elements.moments[Nodes::node(cut.station_m)];
            near(*here, sides[usize::from(cut.side == Side::Up)], slack)?;
        }
        for (ours, other) in ours.supports.reactions_up_kn.iter().zip(&elements.reactions_up) {
            near(*ours, *other, slack)?;
        }
    }

    #[test]
    fn the_equivalent_loads_give_the_total_moments((case, line) in case_and_line()) {
        let (runs, axial) = (line.runs(), line.axial());
        let tendon = Tendon { runs: &runs, axial: &axial };
        let loads = equivalent_loads(&tendon).unwrap();
        let beam = case.beam();
        let by_tendon = beam.under_tendon(&tendon, &case.cuts()).unwrap();
        let by_loads = beam.under_loads(&loads, &case.cuts()).unwrap();
        let slack = 1e-8 * line.greatest_knm() * case.length_m as f64;
        for (ours, other) in by_tendon.at.iter().zip(&by_loads.moments_knm) {
            near(ours.total_knm, *other, slack)?;
        }
        for (ours, other) in by_tendon.supports.reactions_up_kn.iter().zip(&by_loads.supports.reactions_up_kn) {
            near(*ours, *other, slack)?;
        }
        // In equilibrium with each other: forces, and moments about station 0.
        let (mut down, mut about) = (0.0, 0.0);
        for load in &loads {
            let (force, moment) = match *load {
                Load::Point { at_m, down_kn } => (down_kn, down_kn * at_m),
                Load::Couple { clockwise_knm, .. } => (0.0, clockwise_knm),
                Load::Spread { from_m, to_m, from_kn_per_m: a, to_kn_per_m: b } => {
                    let length = to_m - from_m;
                    let force = f64::midpoint(a, b) * length;
                    (force, force * from_m + length * length * (a + 2.0 * b) / 6.0)
                }
            };
            down += force;
            about += moment;
        }
        near(down, 0.0, slack)?;
        near(about, 0.0, slack)?;
        // And so are the reactions.
        let supports = &by_tendon.supports;
        let reactions = &supports.reactions_up_kn;
        near(reactions.iter().sum(), 0.0, slack)?;
        let turn: f64 = reactions.iter().zip(&case.supports).map(|(up, at)| up * *at as f64).sum();
        near(supports.start_couple_knm + supports.end_couple_knm, turn, slack)?;
    }

    #[test]
    fn a_tendon_moved_over_inner_supports_gives_the_same_total(
        (case, line) in case_and_line(), moves in prop::collection::vec(-0.5..0.5f64, 6),
    ) {
        // Guyon and Lin: a line bent at inner supports only and unmoved at its anchorages changes nothing but the split.
        let mut case = case;
        (case.start_fixed, case.end_fixed) = (false, false);
        let pull = line.pulls[0][0];
        let supports = &case.supports;
        let (first, last) = (supports[0], supports[supports.len() - 1]);
        // Anchored over the end supports: moved elsewhere, an anchorage would be bent where no support is.
        let below = |x: f64| {
            line.below(x.clamp(line.places[0] as f64, line.places[line.places.len() - 1] as f64))
        };
        let at = |index: usize| supports[index] as f64;
        let by = |index: usize| {
            if index == 0 || index == supports.len() - 1 { 0.0 } else { moves[index] }
        };
        let moved = |x: f64| {
            let right = supports.partition_point(|at| (*at as f64) < x).clamp(1, supports.len() - 1);
            by(right - 1) + (by(right) - by(right - 1)) * (x - at(right - 1)) / (at(right) - at(right - 1))
        };
        // Both lines in metres, so that all bends are at their joints.
        let metres: Vec<usize> = (first..=last).collect();
        let sampled = |f: &dyn Fn(f64) -> f64| Line {
            below: metres.iter().map(|at| f(*at as f64)).collect(),
            sags: vec![0.0; metres.len() - 1],
            pulls: vec![[pull, pull]; metres.len() - 1],
            places: metres.clone(),
        };
        let beam = case.beam();
        let totals = |line: &Line| {
            let (runs, axial) = (line.runs(), line.axial());
            beam.under_tendon(&Tendon { runs: &runs, axial: &axial }, &case.cuts()).unwrap()
        };
        let before = totals(&sampled(&below));
        let after = totals(&sampled(&|x| below(x) + moved(x)));
        for (before, after) in before.at.iter().zip(&after.at) {
            near(after.total_knm, before.total_knm, 1e-8 * line.greatest_knm())?;
        }
    }

    #[test]
    fn a_line_along_a_moment_diagram_is_concordant(
        (case, loads) in case().prop_flat_map(|case| (Just(case.clone()), loads(case.length_m))), pull in 1000.0..4000.0f64,
    ) {
        let mut case = case;
        (case.start_fixed, case.end_fixed) = (false, false);
        let beam = case.beam();
        // Forces only, on whole metres: then the diagram is straight between metres.
        let loads: Vec<Load> = loads.into_iter().filter(|load| matches!(load, Load::Point { .. })).collect();
        let metres: Vec<usize> = (0..=case.length_m).collect();
        let cuts: Vec<Cut> = metres.iter().map(|at| Cut { station_m: *at as f64, side: Side::Up }).collect();
        let diagram = beam.under_loads(&loads, &cuts).unwrap().moments_knm;
        let line = Line {
            below: diagram.iter().map(|moment| moment / pull).collect(),
            sags: vec![0.0; metres.len() - 1],
            pulls: vec![[pull, pull]; metres.len() - 1],
            places: metres,
        };
        let (runs, axial) = (line.runs(), line.axial());
        let told = beam.under_tendon(&Tendon { runs: &runs, axial: &axial }, &case.cuts()).unwrap();
        for here in told.at {
            near(here.secondary_knm, 0.0, 1e-8 * line.greatest_knm())?;
        }
    }

    #[test]
    fn mirrored_and_scaled_beams_give_mirrored_and_scaled_moments((case, line) in case_and_line()) {
        let (runs, axial) = (line.runs(), line.axial());
        let ours = case.beam().under_tendon(&Tendon { runs: &runs, axial: &axial }, &case.cuts()).unwrap();
        // Inches for metres and another unit of stiffness, seen from the other side of the road.
        let unit = -1000.0 / 25.4;
        let supports_m: Vec<f64> = case.supports.iter().rev().map(|at| *at as f64 * unit).collect();
        let ends = case.stiffness[1..].iter().map(|(from, _)| *from).chain([case.length_m]);
        let mut stiffness: Vec<Stiffness> = case.stiffness.iter().zip(ends).map(|((from, ei), to)| Stiffness {
            from_m: to as f64 * unit, to_m: *from as f64 * unit, ei_knm2: ei / 6894.757,
        }).collect();
        stiffness.reverse();
        let beam = Beam::new(&BeamData {
            supports_m: &supports_m, stiffness: &stiffness,
            start_fixed: case.end_fixed, end_fixed: case.start_fixed,
        }).unwrap();
        let runs: Vec<Run> = runs.iter().rev().map(|run| Run {
            from_m: run.to_m * unit, to_m: run.from_m * unit,
            from_eccentricity_m: run.to_eccentricity_m * -unit, to_eccentricity_m: run.from_eccentricity_m * -unit,
            sag_m: run.sag_m * -unit,
        }).collect();
        let axial: Vec<AxialPoint> = axial.iter().rev().map(|point| AxialPoint {
            station_m: point.station_m * unit, ..*point
        }).collect();
        let cuts: Vec<Cut> = case.cuts().iter().map(|cut| Cut {
            station_m: cut.station_m * unit,
            side: if cut.side == Side::Up { Side::Down } else { Side::Up },
        }).collect();
        let other = beam.under_tendon(&Tendon { runs: &runs, axial: &axial }, &cuts).unwrap();
        for (ours, other) in ours.at.iter().zip(&other.at) {
            near(ours.primary_knm * -unit, other.primary_knm, 1e-7 * line.greatest_knm())?;
            near(ours.total_knm * -unit, other.total_knm, 1e-7 * line.greatest_knm())?;
        }
    }

    #[test]
    fn what_is_left_is_what_the_others_give(
        (case, lines) in case().prop_flat_map(|case| (Just(case.clone()), prop::collection::vec(line(case.length_m), 1..5))),
    ) {
        let beam = case.beam();
        let shapes: Vec<(Vec<Run>, Vec<AxialPoint>)> = lines.iter().map(|line| (line.runs(), line.axial())).collect();
        let tendons: Vec<Tendon<'_>> = shapes.iter().map(|(runs, axial)| Tendon { runs, axial }).collect();
        let places: Vec<Place> = case.cuts().iter().map(|&cut| Place { cut, other_axial_kn: 500.0, section: None }).collect();
        let told = tendons_out(Some(&beam), &tendons, &places).unwrap();
        let slack = 1e-9 * lines.iter().map(Line::greatest_knm).sum::<f64>();
        for out in 0..tendons.len() {
            let mut others = tendons.clone();
            others.remove(out);
            let without = tendons_out(Some(&beam), &others, &places).unwrap();
            for (one, sum) in told.out(out).unwrap().iter().zip(&without.all) {
                near(one.left.axial_kn, sum.axial_kn, slack)?;
                near(one.left.total_knm.unwrap(), sum.total_knm.unwrap(), slack)?;
                near(one.left.secondary_knm.unwrap(), sum.secondary_knm.unwrap(), slack)?;
                let share = one.lost_axial_share.unwrap();
                near(share, one.lost.axial_kn / (one.lost.axial_kn + sum.axial_kn + 500.0), 1e-9)?;
            }
        }
    }
}
