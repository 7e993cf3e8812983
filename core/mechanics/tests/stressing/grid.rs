//! A fine grid on which friction is integrated as a differential equation and set is found by bisection.

use proptest::prelude::*;
use restrand_mechanics::friction::{End, Run, Seating, StressDiagram, Wobble, profile};

use crate::tendons::{Act, acts, end, tendon, whole_mpa_m};

/// Cells per run.
const CELLS: usize = 100;

/// A run's length in cells: places, `e^κ` from end A, and stress at each border of a cell.
struct Stretch {
    places_m: Vec<f64>,
    growth: Vec<f64>,
    stress_mpa: Vec<f64>,
}

struct Grid {
    stretches: Vec<Stretch>,
    whole_growth: f64,
}

fn per_m(run: &Run) -> f64 {
    let wobble = match run.wobble {
        Wobble::None => 0.0,
        Wobble::Exponent(exponent) => exponent.0,
        Wobble::Angle(angle) => run.mu * angle.0,
    };
    run.mu * (run.angle_rad + run.inadvertent_rad) / run.length_m + wobble
}

impl Grid {
    /// Solves dφ/dx = φ·dκ/dx from end A by Runge-Kutta; a step multiplies.
    fn new(runs: &[Run]) -> Self {
        let (mut at_m, mut phi) = (0.0, 1.0);
        let mut stretches = Vec::new();
        for run in runs {
            if run.length_m == 0.0 {
                phi *= (run.mu * (run.angle_rad + run.inadvertent_rad)).exp();
                continue;
            }
            let h = run.length_m / CELLS as f64;
            let rate = per_m(run);
            let mut stretch =
                Stretch { places_m: vec![at_m], growth: vec![phi], stress_mpa: Vec::new() };
            for cell in 1..=CELLS {
                let k1 = rate * phi;
                let k2 = rate * (phi + h / 2.0 * k1);
                let k3 = rate * (phi + h / 2.0 * k2);
                let k4 = rate * (phi + h * k3);
                phi += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
                stretch.places_m.push(at_m + h * cell as f64);
                stretch.growth.push(phi);
            }
            at_m += run.length_m;
            *stretch.places_m.last_mut().unwrap() = at_m;
            stretch.stress_mpa = vec![0.0; CELLS + 1];
            stretches.push(stretch);
        }
        Self { stretches, whole_growth: phi }
    }

    /// `e^κ` from an end, for every border of a cell.
    fn seen_from(&self, end: End, growth: f64) -> f64 {
        match end {
            End::A => growth,
            End::B => self.whole_growth / growth,
        }
    }

    fn pull(&mut self, end: End, stress_mpa: f64) {
        for i in 0..self.stretches.len() {
            for j in 0..=CELLS {
                let new = stress_mpa / self.seen_from(end, self.stretches[i].growth[j]);
                let old = &mut self.stretches[i].stress_mpa[j];
                *old = old.max(new);
            }
        }
    }

    fn let_in(&mut self, end: End, stress_mpa: f64) {
        for i in 0..self.stretches.len() {
            for j in 0..=CELLS {
                let new = stress_mpa * self.seen_from(end, self.stretches[i].growth[j]);
                let old = &mut self.stretches[i].stress_mpa[j];
                *old = old.min(new);
            }
        }
    }

    /// What is lost if the end comes down to a stress: drops straight over each cell, cut where they are nothing.
    fn lost_mpa_m(&self, end: End, stress_mpa: f64) -> f64 {
        let mut lost = 0.0;
        for stretch in &self.stretches {
            let h = stretch.places_m[1] - stretch.places_m[0];
            let drop = |j: usize| {
                stretch.stress_mpa[j] - stress_mpa * self.seen_from(end, stretch.growth[j])
            };
            let mut near = drop(0);
            for j in 1..=CELLS {
                let far = drop(j);
                lost += h * match (near > 0.0, far > 0.0) {
                    (true, true) => (near + far) / 2.0,
                    (false, false) => 0.0,
                    (true, false) => near * near / (near - far) / 2.0,
                    (false, true) => far * far / (far - near) / 2.0,
                };
                near = far;
            }
        }
        lost
    }

    /// Bisects the stress at the end; nothing if even a slack end does not lose enough.
    fn seat(&mut self, end: End, from_mpa: f64, lost_mpa_m: f64) -> Option<f64> {
        let (mut low, mut high) = (0.0, from_mpa);
        if self.lost_mpa_m(end, low) <= lost_mpa_m {
            return None;
        }
        for _ in 0..45 {
            let middle = (low + high) / 2.0;
            if self.lost_mpa_m(end, middle) > lost_mpa_m {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.let_in(end, low);
        Some(low)
    }

    fn compare(&self, stress: &StressDiagram, within: f64) -> Result<(), TestCaseError> {
        for stretch in &self.stretches {
            for (j, (&at_m, &grid)) in stretch.places_m.iter().zip(&stretch.stress_mpa).enumerate()
            {
                let sides = stress.at(at_m).unwrap();
                let ours = if j == 0 { sides.towards_b_mpa } else { sides.towards_a_mpa };
                prop_assert!(
                    (ours / grid - 1.0).abs() < within,
                    "at {at_m} m: {ours} against {grid} of the grid"
                );
            }
        }
        Ok(())
    }
}

/// Stress must not differ between two points by more than friction can hold.
fn holds(stress: &StressDiagram) -> Result<(), TestCaseError> {
    for pair in stress.points().windows(2) {
        prop_assert!(pair[0].at_m <= pair[1].at_m && pair[0].exponent <= pair[1].exponent);
        let steep = (pair[1].stress_mpa / pair[0].stress_mpa).ln().abs();
        prop_assert!(steep <= pair[1].exponent - pair[0].exponent + 1e-12, "{pair:?}");
    }
    Ok(())
}

proptest! {
    #[test]
    fn friction_is_the_solution_of_its_equation(runs in tendon(), end in end(), jack in 700.0..1500.0) {
        let tendon = profile(&runs).unwrap();
        let stress = StressDiagram::jacked(&tendon, end, jack).unwrap();
        let mut grid = Grid::new(&runs);
        grid.pull(end, jack);
        grid.compare(&stress, 1e-9)?;
        // The integral, by Simpson's rule over pairs of cells.
        let mut sum = 0.0;
        for stretch in &grid.stretches {
            let h = (stretch.places_m[CELLS] - stretch.places_m[0]) / CELLS as f64;
            for j in (0..CELLS).step_by(2) {
                let s = &stretch.stress_mpa;
                sum += h / 3.0 * (s[j] + 4.0 * s[j + 1] + s[j + 2]);
            }
        }
        prop_assert!((whole_mpa_m(&stress) / sum - 1.0).abs() < 1e-9);
    }

    #[test]
    fn every_sequence_of_acts_agrees_with_the_grid(
        runs in tendon(), first in end(), jack in 900.0..1500.0, e_mpa in 185_000.0..205_000.0, acts in acts(),
    ) {
        let tendon = profile(&runs).unwrap();
        let mut stress = StressDiagram::jacked(&tendon, first, jack).unwrap();
        let mut grid = Grid::new(&runs);
        grid.pull(first, jack);
        for act in acts {
            let before = stress.clone();
            let (end, reach) = match act {
                Act::Jack { end, stress_mpa } => {
                    grid.pull(end, stress_mpa);
                    (end, stress.jack(end, stress_mpa).unwrap())
                }
                Act::LetIn { end, share } => {
                    let down = share * stress.end_mpa(end);
                    grid.let_in(end, down);
                    (end, stress.let_in(end, down).unwrap())
                }
                Act::Seat { end, set_mm } => {
                    let lost_mpa_m = e_mpa * set_mm / 1000.0;
                    let found = grid.seat(end, stress.end_mpa(end), lost_mpa_m);
                    let Ok(reach) = stress.seat(end, Seating { set_mm, e_mpa }) else {
                        prop_assert!(found.is_none_or(|left| left < 1.0), "{found:?} MPa was left");
                        prop_assert_eq!(&stress, &before);
                        return Ok(());
                    };
                    prop_assert!(found.is_some() || reach.end_mpa < 1.0);
                    // What the end was let in by is what the tendon lost, to the last digits.
                    prop_assert!((reach.change_mpa_m + lost_mpa_m).abs() <= 1e-9 * lost_mpa_m);
                    let lost = whole_mpa_m(&before) - whole_mpa_m(&stress);
                    prop_assert!((lost - lost_mpa_m).abs() <= 1e-9 * lost_mpa_m);
                    (end, reach)
                }
            };
            // Near nothing, a relative comparison says nothing.
            if stress.least().stress_mpa < 50.0 {
                return Ok(());
            }
            grid.compare(&stress, 1e-4)?;
            holds(&stress)?;
            let change = whole_mpa_m(&stress) - whole_mpa_m(&before);
            prop_assert!((change - reach.change_mpa_m).abs() <= 1e-9 * (1.0 + change.abs()));
            prop_assert_eq!(reach.end_mpa, stress.end_mpa(end));
            // Beyond the reach nothing has changed.
            for point in before.points() {
                let beyond = match end {
                    End::A => point.at_m > reach.at_m,
                    End::B => point.at_m < reach.at_m,
                };
                if beyond {
                    let sides = stress.at(point.at_m).unwrap();
                    let same = |side: f64| (side / point.stress_mpa - 1.0).abs() < 1e-12;
                    prop_assert!(same(sides.towards_a_mpa) || same(sides.towards_b_mpa)
                        || before.points().iter().filter(|other| other.at_m == point.at_m).count() > 2);
                }
            }
        }
    }
}
