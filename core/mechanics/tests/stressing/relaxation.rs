//! Free lengths between deviators as springs that exchange strand wherever friction is exceeded: no formula for a zone,
//! and no assumption about where it ends.

use proptest::prelude::*;
use restrand_mechanics::friction::{End, Run, Seating, StressDiagram, profile};

use crate::tendons::{Act, acts, end, free_length, step};

struct Springs {
    length_m: Vec<f64>,
    stress_mpa: Vec<f64>,
    /// `e^κ` of the deviator between spring i and i + 1.
    ratio: Vec<f64>,
}

impl Springs {
    /// Slides strand over each deviator whose two sides differ by too much, until none does.
    /// A pulled end keeps its stress: what passes into its length is drawn out.
    fn settle(&mut self, pulled: Option<usize>) {
        for _ in 0..200_000 {
            let mut moved = 0.0_f64;
            for i in 0..self.ratio.len() {
                let (s, t, r) = (self.stress_mpa[i], self.stress_mpa[i + 1], self.ratio[i]);
                // Strand passes towards the stronger side; the share of each is as its length gives way.
                let give = |k: usize| if pulled == Some(k) { 0.0 } else { 1.0 / self.length_m[k] };
                let (near, far) = (give(i), give(i + 1));
                let slid = if s > r * t {
                    -(s - r * t) / (near + r * far)
                } else if t > r * s {
                    (t - r * s) / (r * near + far)
                } else {
                    0.0
                };
                self.stress_mpa[i] += slid * near;
                self.stress_mpa[i + 1] -= slid * far;
                moved = moved.max(slid.abs());
            }
            if moved < 1e-10 {
                return;
            }
        }
        panic!("it does not settle");
    }
}

proptest! {
    #[test]
    fn external_tendons_agree_with_springs_that_slip(
        first_length in free_length(),
        rest in prop::collection::vec((step(), free_length()), 0..6),
        first in end(), jack in 900.0..1500.0, e_mpa in 185_000.0..205_000.0, acts in acts(),
    ) {
        let mut runs: Vec<Run> = vec![first_length];
        for (deviator, free) in rest {
            runs.extend([deviator, free]);
        }
        let mut springs = Springs {
            length_m: runs.iter().step_by(2).map(|run| run.length_m).collect(),
            stress_mpa: vec![0.0; runs.len() / 2 + 1],
            ratio: runs
                .iter()
                .skip(1)
                .step_by(2)
                .map(|run| (run.mu * (run.angle_rad + run.inadvertent_rad)).exp())
                .collect(),
        };
        let last = springs.length_m.len() - 1;
        let at = |end: End| match end { End::A => 0, End::B => last };
        let tendon = profile(&runs).unwrap();
        let mut stress = StressDiagram::jacked(&tendon, first, jack).unwrap();
        springs.stress_mpa[at(first)] = jack;
        springs.settle(Some(at(first)));
        for act in acts {
            match act {
                Act::Jack { end, stress_mpa } => {
                    stress.jack(end, stress_mpa).unwrap();
                    // A pull that does not lift the anchor off moves nothing.
                    if stress_mpa > springs.stress_mpa[at(end)] {
                        springs.stress_mpa[at(end)] = stress_mpa;
                        springs.settle(Some(at(end)));
                    }
                }
                Act::LetIn { end, share } => {
                    let down = share * springs.stress_mpa[at(end)];
                    stress.let_in(end, down).unwrap();
                    springs.stress_mpa[at(end)] = down;
                    springs.settle(Some(at(end)));
                }
                Act::Seat { end, set_mm } => {
                    if stress.seat(end, Seating { set_mm, e_mpa }).is_err() {
                        return Ok(());
                    }
                    springs.stress_mpa[at(end)] -= e_mpa * set_mm / 1000.0 / springs.length_m[at(end)];
                    springs.settle(None);
                }
            }
            let mut from_m = 0.0;
            for (length_m, sprung) in springs.length_m.iter().zip(&springs.stress_mpa) {
                let ours = stress.at(from_m + length_m / 2.0).unwrap().towards_a_mpa;
                prop_assert!((ours - sprung).abs() < 1e-6, "at {from_m} m: {ours}, springs {sprung}");
                from_m += length_m;
            }
        }
    }
}
