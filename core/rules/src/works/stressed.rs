//! The forces of a tendon's stressing, and how far it is drawn out.

use restrand_mechanics::SMALLEST;
use restrand_mechanics::elongation::{Bar, bar_stretch_mm};
use restrand_mechanics::removal::ForceRun;
use restrand_model::schedule::{EndName, Tendon};

use crate::context::{Context, TendonAt};
use crate::stressing::{jacked, recomputed::Reading, recomputed::Recomputed, steel::Steel};

/// A tendon with the forces of its stressing.
#[derive(Debug, Clone, PartialEq)]
pub struct Stressed {
    /// Force at the jack, kN.
    pub jacking_kn: f64,
    /// The ends that are jacked, in their order.
    pub ends: &'static [EndName],
    /// Force at end a and end b after seating, kN.
    pub seated_kn: [f64; 2],
    /// How far each end is drawn out, the tendon alone, mm; nothing at an end that is not jacked.
    pub elastic_mm: [Option<f64>; 2],
    /// The tendon from end a to end b by the force in it after seating.
    pub runs: Vec<ForceRun>,
    /// Area of the strands, mm².
    pub area_mm2: f64,
    /// Modulus of the strands, MPa.
    pub e_mpa: f64,
    /// Developed length, m.
    pub length_m: f64,
}

impl Stressed {
    /// The greatest force in the tendon after seating, kN.
    #[must_use]
    pub fn greatest_kn(&self) -> f64 {
        self.runs.iter().flat_map(|run| [run.start_force_kn, run.end_force_kn]).fold(0.0, f64::max)
    }

    /// The force at a length from end a, kN.
    #[must_use]
    pub fn force_kn_at(&self, along_m: f64) -> f64 {
        let mut reached_m = 0.0;
        for run in &self.runs {
            if along_m <= reached_m + run.length_m {
                let share = (along_m - reached_m) / run.length_m;
                // Between bends wobble takes the same share of the force on every metre.
                return run.start_force_kn.powf(1.0 - share) * run.end_force_kn.powf(share);
            }
            reached_m += run.length_m;
        }
        self.runs.last().map_or(0.0, |run| run.end_force_kn)
    }

    /// How much strands of this length stretch in the jack at the full force, mm.
    #[must_use]
    pub fn bar_stretch_mm(&self, length_mm: f64) -> Option<f64> {
        let (force_kn, area_mm2, e_mpa) = (self.jacking_kn, self.area_mm2, self.e_mpa);
        bar_stretch_mm(&Bar { force_kn, length_mm, area_mm2, e_mpa }).ok()
    }
}

/// The forces of a tendon under a jacking force, or under the one that the schedule states.
///
/// Where both ends are seated in an order that nobody states, the first state that holds is given.
///
/// # Errors
/// The field without which they are not known.
pub fn stressed(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    jacking_kn: Option<f64>,
) -> Result<Stressed, &'static str> {
    let steel = Steel::of(context, at.tendon)?;
    let jacking_kn = match jacking_kn {
        Some(jacking_kn) => jacking_kn,
        None => jacked::jacking(at, &steel)?.force_kn,
    };
    let recomputed = Recomputed::of(context, at, Reading::AsStated)?;
    let seated = recomputed.seated(jacking_kn)?;
    let seated = seated.first().ok_or("stressing.from")?;
    let seated_kn = |name| recomputed.end_kn(seated, name).ok_or("strand.area_mm2");
    // A tendon that passes a form straight has a bend of next to no length there.
    let runs = seated.points().windows(2).filter(|pair| pair[1].at_m - pair[0].at_m >= SMALLEST);
    let area_mm2 = recomputed.steel.area_mm2;
    let force_kn = |stress_mpa: f64| {
        restrand_mechanics::friction::force_kn(stress_mpa, area_mm2).map_err(|_| "strand.area_mm2")
    };
    Ok(Stressed {
        jacking_kn,
        ends: jacked::ends_of(at.tendon)?,
        seated_kn: [seated_kn(EndName::A)?, seated_kn(EndName::B)?],
        elastic_mm: recomputed.elastic_mm(jacking_kn)?,
        runs: runs
            .map(|pair| {
                Ok(ForceRun {
                    length_m: pair[1].at_m - pair[0].at_m,
                    start_force_kn: force_kn(pair[0].stress_mpa)?,
                    end_force_kn: force_kn(pair[1].stress_mpa)?,
                })
            })
            .collect::<Result<_, &'static str>>()?,
        area_mm2,
        e_mpa: recomputed.e_mpa(),
        length_m: recomputed.length_m(),
    })
}

/// The force that the jack gives a tendon, and the steel that takes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jacking {
    /// The force at the jack, kN.
    pub force_kn: f64,
    /// Area of all strands, mm2.
    pub area_mm2: f64,
    /// Modulus, MPa.
    pub e_mpa: f64,
}

/// What the jack gives a tendon, as the schedule states it.
///
/// # Errors
/// The field without which it is not known.
pub fn jacking(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Jacking, &'static str> {
    let steel = Steel::of(context, at.tendon)?;
    let force_kn = jacked::jacking(at, &steel)?.force_kn;
    Ok(Jacking { force_kn, area_mm2: steel.area_mm2, e_mpa: steel.e_mpa()? })
}

/// The ends of a tendon that are jacked, in their order.
///
/// # Errors
/// The field without which they are not known.
pub fn jacked_ends(tendon: &Tendon) -> Result<&'static [EndName], &'static str> {
    jacked::ends_of(tendon)
}

/// How far each end is drawn out under a jacking force, the tendon alone, mm; nothing at an end that is not jacked.
///
/// Of a tendon that is pulled once, no set is needed for it.
///
/// # Errors
/// The field without which it is not known.
pub fn drawn_out_mm(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    jacking_kn: f64,
) -> Result<[Option<f64>; 2], &'static str> {
    Recomputed::of(context, at, Reading::AsStated)?.elastic_mm(jacking_kn)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn within_a_run_the_force_falls_by_the_same_share_on_every_metre() {
        let run = |start_force_kn, end_force_kn| ForceRun {
            length_m: 10.0,
            start_force_kn,
            end_force_kn,
        };
        let stressed = Stressed {
            jacking_kn: 1000.0,
            ends: &[],
            seated_kn: [1000.0, 700.0],
            elastic_mm: [None, None],
            runs: vec![run(1000.0, 900.0), run(900.0, 700.0)],
            area_mm2: 1000.0,
            e_mpa: 195_000.0,
            length_m: 20.0,
        };
        for (along_m, force_kn) in [
            (0.0, 1000.0),
            (5.0, 900_000.0_f64.sqrt()),
            (10.0, 900.0),
            (12.5, (900.0_f64.powi(3) * 700.0).powf(0.25)),
            (15.0, 630_000.0_f64.sqrt()),
            (20.0, 700.0),
            (25.0, 700.0),
        ] {
            let found_kn = stressed.force_kn_at(along_m);
            assert!((found_kn - force_kn).abs() < 1e-9, "{along_m}: {found_kn}");
        }
    }
}
