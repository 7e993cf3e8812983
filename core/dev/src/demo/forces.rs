//! Forces along a tendon stressed from one end, before and after seating (3).

use restrand_model::schedule::{Stressing, StressingFrom};

use super::materials::{E_MPA, GRIPPED_MM, steel_mm2};
use super::path::Path;

/// Forces in the straight legs from the lower station, and what follows from them.
#[derive(Debug, Clone, PartialEq)]
pub struct Forces {
    /// At the jack, before seating, kN by leg.
    pub before_kn: Vec<f64>,
    /// After seating, kN by leg.
    pub after_kn: Vec<f64>,
    /// Leg, counted from the jacked end, in which the draw-in ends.
    pub set_ends_in_leg: usize,
    /// Elongation of the tendon between its bearing plates before seating, mm.
    pub elongation_mm: f64,
    /// Stretch of the tail between wedge plate and grip, mm.
    pub tail_mm: f64,
    /// Deviation force at each bend after seating: up-station, to the left, up, kN.
    pub deviation_kn: Vec<[f64; 3]>,
}

impl Forces {
    /// The forces of a path stressed from one end; none where the data are not stated or it is stressed
    /// otherwise.
    #[must_use]
    pub fn of(path: &Path, stressing: &Stressing) -> Option<Self> {
        let from_b = match stressing.from? {
            StressingFrom::A => false,
            StressingFrom::B => true,
            _ => return None,
        };
        let inadvertent = stressing.inadvertent_angle_rad?;
        let mu = stressing.mu?;
        let jack_mpa = stressing.jacking_force_kn? * 1000.0 / steel_mm2();
        let turned = |mut list: Vec<f64>| {
            if from_b {
                list.reverse();
            }
            list
        };
        // From here on in order from the jacked end. Straight legs have no friction, as K = 0.
        let lengths = turned(path.legs.iter().map(|leg| leg.length_m * 1000.0).collect());
        let losses =
            turned(path.bends.iter().map(|bend| mu * (bend.angle_rad + inadvertent)).collect());
        let mut before = vec![jack_mpa];
        for loss in &losses {
            before.push(before[before.len() - 1] * (-loss).exp());
        }
        let (after, set_ends_in_leg) = seat(&before, &lengths, &losses, stressing.set_mm?);
        let stretch: f64 =
            before.iter().zip(&lengths).map(|(stress, length)| stress * length).sum();
        let kn = |list: Vec<f64>| -> Vec<f64> {
            turned(list).into_iter().map(|stress| stress * steel_mm2() / 1000.0).collect()
        };
        let after_kn = kn(after);
        let deviation_kn = path
            .legs
            .windows(2)
            .zip(after_kn.windows(2))
            .map(|(legs, forces)| {
                let (down, up) = (legs[0].direction, legs[1].direction);
                [0, 1, 2].map(|axis| forces[1] * up[axis] - forces[0] * down[axis])
            })
            .collect();
        Some(Self {
            before_kn: kn(before),
            after_kn,
            set_ends_in_leg,
            elongation_mm: stretch / E_MPA,
            tail_mm: jack_mpa * GRIPPED_MM / E_MPA,
            deviation_kn,
        })
    }

    /// Magnitude of the deviation force at a bend, kN.
    #[must_use]
    pub fn deviation_magnitude_kn(&self, bend: usize) -> Option<f64> {
        let force = self.deviation_kn.get(bend)?;
        Some(force.iter().map(|part| part * part).sum::<f64>().sqrt())
    }
}

/// Stresses after the draw-in `set_mm` at the jacked end, by exact reversed friction, and the number of
/// legs that slip back.
///
/// With n legs slipping, `σ1 = (Σ σi⁰ li − E·s) / Σ li e^(κ1 + … + κi−1)` and `σi = σ1 e^(κ1 + … + κi−1)`;
/// the bend beyond them holds if leg n drops by no more than `σn⁰ (1 − e^(−2 κn))`.
fn seat(before: &[f64], lengths: &[f64], losses: &[f64], set_mm: f64) -> (Vec<f64>, usize) {
    let mut rise = vec![1.0];
    for loss in losses {
        rise.push(rise[rise.len() - 1] * loss.exp());
    }
    let legs = before.len();
    for slipping in 1..=legs {
        let held: f64 = (0..slipping).map(|leg| before[leg] * lengths[leg]).sum();
        let soft: f64 = (0..slipping).map(|leg| lengths[leg] * rise[leg]).sum();
        let first = (held - E_MPA * set_mm) / soft;
        let last = slipping - 1;
        let drop = before[last] - first * rise[last];
        let holds =
            losses.get(last).is_none_or(|loss| drop <= before[last] * (1.0 - (-2.0 * loss).exp()));
        if holds {
            let after = (0..legs)
                .map(|leg| if leg < slipping { first * rise[leg] } else { before[leg] })
                .collect();
            return (after, slipping);
        }
    }
    // The last round has no bend beyond it that could give way.
    (before.to_vec(), legs)
}
