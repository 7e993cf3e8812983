//! The elastic energy that a tendon gives off when it is released, and how far it springs back.

use crate::misfit::{Argument, Misfit, above, not_negative, number, positive};

/// A stretch of tendon over which the force runs straight from one value to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForceRun {
    /// Length along the tendon, m.
    pub length_m: f64,
    /// Force at its start, kN.
    pub start_force_kn: f64,
    /// Force at its end, kN; equal to the first where no friction acts.
    pub end_force_kn: f64,
}

impl ForceRun {
    fn check(&self, index: usize) -> Result<(), Misfit> {
        positive(Argument::of("runs", index, "length_m"), self.length_m)?;
        not_negative(Argument::of("runs", index, "start_force_kn"), self.start_force_kn)?;
        not_negative(Argument::of("runs", index, "end_force_kn"), self.end_force_kn)?;
        Ok(())
    }

    /// ∫F² dx, kN²·m.
    fn squared(&self) -> f64 {
        let (a, b) = (self.start_force_kn, self.end_force_kn);
        self.length_m / 3.0 * (a * a + a * b + b * b)
    }

    /// ∫F dx, kN·m.
    fn sum(&self) -> f64 {
        self.length_m / 2.0 * (self.start_force_kn + self.end_force_kn)
    }

    fn force_at(&self, share: f64) -> f64 {
        self.start_force_kn * (1.0 - share) + self.end_force_kn * share
    }
}

/// What one bonded length gives off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Release {
    /// Where it begins, m along the tendon.
    pub from_m: f64,
    /// Where it ends, m along the tendon.
    pub to_m: f64,
    /// Elastic energy in it, kJ.
    pub energy_kj: f64,
    /// How much it shortens when it is free, mm.
    pub recoil_mm: f64,
}

/// Returns the elastic energy of a tendon under the same force all along: an upper bound of what a cut sets free.
///
/// # Formula
/// `U = F² L / (2 A E)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | F | force, `force_kn` | kN |
/// | L | free length, `length_m` | m |
/// | A, E | area of the steel and its modulus | mm², MPa |
/// | U | energy | kJ |
///
/// # Validity
/// Linear elastic steel. With F the greatest force and L the whole length between places that hold the tendon, an upper bound:
/// friction and grout use up part of it, but an unknown filler counts as none. For one strand, its own force and area.
///
/// # Source
/// Elementary strength of materials.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero; the force may be zero.
///
/// ```
/// use restrand_mechanics::removal::release_energy_kj;
/// assert!((release_energy_kj(3480.2, 41.756, 2850.0, 195_000.0)? - 455.0).abs() < 0.5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn release_energy_kj(
    force_kn: f64,
    length_m: f64,
    area_mm2: f64,
    e_mpa: f64,
) -> Result<f64, Misfit> {
    let run = ForceRun { length_m, start_force_kn: force_kn, end_force_kn: force_kn };
    Ok(release_of_runs(&[run], area_mm2, e_mpa)?.energy_kj)
}

/// Returns energy and recoil of a tendon whose force changes along it, released as a whole.
///
/// # Formula
/// `U = ∫ F² dx / (2 A E) = Σ L (a² + a b + b²) / (6 A E)`; `s = ∫ F dx / (A E) = Σ L (a + b) / (2 A E)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | length of a run, `length_m` | m |
/// | a, b | force at its start and end | kN |
/// | A, E | area of the steel and its modulus | mm², MPa |
/// | U | energy | kJ |
/// | s | recoil: shortening when free | mm |
///
/// # Validity
/// Linear elastic steel, force straight in each run; of an exponential friction curve the chord lies above, so U and s are bounds from above.
/// The recoil is the sum of both cut ends' ways where nothing holds the tendon.
///
/// # Source
/// Elementary strength of materials; the integrals of a straight line are exact.
///
/// # Errors
/// [`Misfit`] if a length, the area or the modulus is not greater than zero, a force is negative, or there is no run.
///
/// ```
/// use restrand_mechanics::removal::{release_of_runs, ForceRun};
/// let runs = [(15.0, 3975.0, 3975.0), (20.0, 3858.0, 3858.0), (15.0, 3744.0, 3744.0)]
///     .map(|(length_m, start_force_kn, end_force_kn)| ForceRun { length_m, start_force_kn, end_force_kn });
/// let told = release_of_runs(&runs, 2850.0, 195_000.0)?;
/// assert!((told.energy_kj - 670.0).abs() < 0.5);
/// assert!((told.recoil_mm - 347.2).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn release_of_runs(runs: &[ForceRun], area_mm2: f64, e_mpa: f64) -> Result<Release, Misfit> {
    let whole = releases_by_bond(runs, &[], area_mm2, e_mpa)?;
    Ok(whole[0])
}

/// Returns energy and recoil of each bonded length by itself.
///
/// What is bonded between two places holds the force beyond it, so a cut sets free the length between them only.
///
/// # Formula
/// As [`release_of_runs`], between neighbours of 0, the bonded places, and the tendon's end.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | | `bonded_at_m`: distances along the tendon | m |
///
/// # Validity
/// Each bonded place holds the whole force of one side. If it is not sure that it does, leave it out: the length is longer and the energy greater.
///
/// # Source
/// Derived.
///
/// # Errors
/// As [`release_of_runs`], and if the bonded places do not grow or are not between the ends.
///
/// ```
/// use restrand_mechanics::removal::{releases_by_bond, ForceRun};
/// let run = ForceRun { length_m: 50.0, start_force_kn: 3900.0, end_force_kn: 3900.0 };
/// let told = releases_by_bond(&[run], &[15.0, 35.0], 2850.0, 195_000.0)?;
/// assert_eq!(told.len(), 3);
/// assert_eq!((told[1].from_m, told[1].to_m), (15.0, 35.0));
/// assert!((told[1].energy_kj - 273.7).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn releases_by_bond(
    runs: &[ForceRun],
    bonded_at_m: &[f64],
    area_mm2: f64,
    e_mpa: f64,
) -> Result<Vec<Release>, Misfit> {
    let area = positive(Argument::new("area_mm2"), area_mm2)?;
    let e = positive(Argument::new("e_mpa"), e_mpa)?;
    positive(Argument::new("number of runs"), runs.len() as f64)?;
    let mut end_m = 0.0;
    for (index, run) in runs.iter().enumerate() {
        run.check(index)?;
        end_m += run.length_m;
    }
    number(Argument::new("length_m"), end_m)?;
    let mut last_m = 0.0;
    for (index, &at_m) in bonded_at_m.iter().enumerate() {
        let argument = Argument::of("bonded_at_m", index, "at_m");
        last_m = above(argument, number(argument, at_m)?, last_m, "the place before")?;
    }
    if !bonded_at_m.is_empty() {
        above(Argument::new("length_m"), end_m, last_m, "the last bonded place")?;
    }

    // kN² m / (mm² MPa) is 1e6 N² m / N = 1 MJ = 1000 kJ; kN m / (mm² MPa) is 1000 N m / N = 1e6 mm.
    let stiffness = area * e;
    let finish = |from_m: f64, to_m: f64, squared: f64, sum: f64| Release {
        from_m,
        to_m,
        energy_kj: 1000.0 * squared / (2.0 * stiffness),
        recoil_mm: 1e6 * sum / stiffness,
    };
    let mut found = Vec::with_capacity(bonded_at_m.len() + 1);
    let mut bonds = bonded_at_m.iter().copied().peekable();
    let (mut from_m, mut squared, mut sum, mut start_m) = (0.0, 0.0, 0.0, 0.0);
    for run in runs {
        let run_end_m = start_m + run.length_m;
        let mut done = 0.0;
        let part = |from: f64, to: f64| ForceRun {
            length_m: (to - from) * run.length_m,
            start_force_kn: run.force_at(from),
            end_force_kn: run.force_at(to),
        };
        while let Some(bond_m) = bonds.next_if(|bond_m| *bond_m < run_end_m) {
            let share = ((bond_m - start_m) / run.length_m).clamp(done, 1.0);
            let piece = part(done, share);
            found.push(finish(from_m, bond_m, squared + piece.squared(), sum + piece.sum()));
            (from_m, squared, sum, done) = (bond_m, 0.0, 0.0, share);
        }
        let rest = part(done, 1.0);
        squared += rest.squared();
        sum += rest.sum();
        start_m = run_end_m;
    }
    found.push(finish(from_m, end_m, squared, sum));
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    const RUNS: [ForceRun; 2] = [
        ForceRun { length_m: 10.0, start_force_kn: 3000.0, end_force_kn: 2800.0 },
        ForceRun { length_m: 20.0, start_force_kn: 2700.0, end_force_kn: 2700.0 },
    ];

    #[test]
    fn the_parts_give_off_what_the_whole_does() {
        let whole = release_of_runs(&RUNS, 2850.0, 195_000.0).unwrap();
        for bonds in [vec![4.0], vec![10.0], vec![2.0, 4.0, 10.0, 29.0]] {
            let parts = releases_by_bond(&RUNS, &bonds, 2850.0, 195_000.0).unwrap();
            assert_eq!(parts.len(), bonds.len() + 1);
            let energy: f64 = parts.iter().map(|part| part.energy_kj).sum();
            let recoil: f64 = parts.iter().map(|part| part.recoil_mm).sum();
            assert!((energy - whole.energy_kj).abs() < 1e-9);
            assert!((recoil - whole.recoil_mm).abs() < 1e-9);
        }
    }

    #[test]
    fn bonded_places_must_lie_on_the_tendon_in_order() {
        for bonds in [[0.0, 5.0], [5.0, 5.0], [7.0, 5.0], [5.0, 30.0], [5.0, f64::NAN]] {
            assert!(releases_by_bond(&RUNS, &bonds, 2850.0, 195_000.0).is_err());
        }
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(release_energy_kj(bad, 40.0, 2850.0, 195_000.0).is_err());
            assert!(release_energy_kj(3000.0, bad, 2850.0, 195_000.0).is_err());
            assert!(release_energy_kj(3000.0, 40.0, bad, 195_000.0).is_err());
            assert!(release_energy_kj(3000.0, 40.0, 2850.0, bad).is_err());
        }
        assert!(release_of_runs(&[], 2850.0, 195_000.0).is_err());
    }
}
