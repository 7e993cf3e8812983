//! Friction, set and elongation of many tendons: the arithmetic that every check of forces rests on.

use std::time::{Duration, Instant};

use restrand_mechanics::Misfit;
use restrand_mechanics::elongation::stretch_mm;
use restrand_mechanics::friction::{End, Run, Seating, StressDiagram, Wobble, profile};

/// Deviators of each tendon.
const DEVIATORS: usize = 6;
/// Modulus of the strands, MPa.
const E_MPA: f64 = 195_000.0;

/// What the stressing of many tendons took.
#[derive(Debug, Clone, Copy)]
pub struct StressingTime {
    /// Elongations and stresses at the anchors, summed so that nothing is left out.
    pub sum: f64,
    /// From the first tendon to the last.
    pub time: Duration,
}

/// Stresses tendons of six deviators from one end, seats them, and adds up elongation and anchor stress.
///
/// # Errors
/// None of its numbers is a misfit.
pub fn stressing_time(tendons: u32) -> Result<StressingTime, Misfit> {
    let begin = Instant::now();
    let mut sum = 0.0;
    let mut runs = Vec::with_capacity(2 * DEVIATORS + 1);
    for index in 0..tendons {
        // No two neighbours are alike.
        let vary = f64::from(index % 97) / 97.0;
        let free = Run {
            length_m: 12.0 + 3.0 * vary,
            angle_rad: 0.0,
            inadvertent_rad: 0.0,
            mu: 0.14,
            wobble: Wobble::None,
        };
        let deviator =
            Run { length_m: 0.4, angle_rad: 0.05 + 0.05 * vary, inadvertent_rad: 0.04, ..free };
        runs.clear();
        runs.push(free);
        for _ in 0..DEVIATORS {
            runs.extend([deviator, free]);
        }
        let tendon = profile(&runs)?;
        let mut stress = StressDiagram::jacked(&tendon, End::A, 1263.0 + 50.0 * vary)?;
        let length_m = tendon.borders().last().map_or(0.0, |border| border.at_m);
        sum += stretch_mm(stress.integral_mpa_m(0.0, length_m)?, E_MPA)?;
        stress.seat(End::A, Seating { set_mm: 6.0, e_mpa: E_MPA })?;
        sum += stress.end_mpa(End::A);
    }
    Ok(StressingTime { sum, time: begin.elapsed() })
}
