//! Shares of tensile and proof strength.

use crate::friction::{End, Extreme, StressDiagram};
use crate::misfit::{Argument, Misfit, not_negative, positive};

/// The strengths that stresses are compared with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// fpu: tensile strength, MPa.
    pub fpu_mpa: f64,
    /// fp0.1k or fpy: proof or yield stress, MPa, where it is known.
    pub proof_mpa: Option<f64>,
}

/// A stress as shares of the strengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// The stress itself, MPa.
    pub stress_mpa: f64,
    /// Of the tensile strength.
    pub of_fpu: f64,
    /// Of the proof stress, where it is known.
    pub of_proof: Option<f64>,
}

/// Returns a stress as shares of the strengths: at jacking, take the jack's.
///
/// # Formula
/// `σ/fpu`, `σ/fp0.1`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σ | stress, `stress_mpa` | MPa |
/// | fpu | tensile strength, `fpu_mpa` | MPa |
/// | fp0.1 | proof or yield stress, `proof_mpa` | MPa |
///
/// # Validity
/// Which proof stress (0.1 %, or at 1 % strain) goes with a limit is the code's.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the stress is negative or a strength is not greater than zero.
///
/// ```
/// use restrand_mechanics::stress::{shares, Strength};
/// let strength = Strength { fpu_mpa: 1860.0, proof_mpa: Some(1640.0) };
/// let jacking = shares(1395.0, &strength)?;
/// assert_eq!(jacking.of_fpu, 0.75);
/// assert!((jacking.of_proof.expect("it is known") - 0.8506).abs() < 5e-5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn shares(stress_mpa: f64, strength: &Strength) -> Result<Shares, Misfit> {
    let stress = not_negative(Argument::new("stress_mpa"), stress_mpa)?;
    let fpu = positive(Argument::new("fpu_mpa"), strength.fpu_mpa)?;
    let proof = strength.proof_mpa.map(|proof| positive(Argument::new("proof_mpa"), proof));
    let of_proof = proof.transpose()?.map(|proof| stress / proof);
    Ok(Shares { stress_mpa: stress, of_fpu: stress / fpu, of_proof })
}

/// Shares by place once the tendon is seated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterSeating {
    /// At the anchorage of end A.
    pub at_a: Shares,
    /// At the anchorage of end B.
    pub at_b: Shares,
    /// The greatest anywhere; it may stand at an anchorage too.
    pub greatest: Shares,
    /// Where the greatest stands.
    pub greatest_at: Extreme,
}

/// Returns the shares at both anchorages and the greatest anywhere.
///
/// # Formula
/// `σ(0)/f`, `σ(L)/f`, `max σ(x)/f`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σ | stress along the tendon | MPa |
/// | f | strength, [`Strength`] | MPa |
///
/// # Validity
/// Just after seating: losses with time and from tendons stressed later are not in it.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if a strength is not greater than zero.
///
/// ```
/// use restrand_mechanics::friction::{profile, End, Run, Seating, StressDiagram, Wobble};
/// use restrand_mechanics::stress::{shares_after_seating, Strength};
/// let free = Run { length_m: 20.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
/// let mut stress = StressDiagram::jacked(&profile(&[free])?, End::A, 1395.0)?;
/// stress.seat(End::A, Seating { set_mm: 9.3, e_mpa: 200_000.0 })?;
/// let seated = shares_after_seating(&stress, &Strength { fpu_mpa: 1860.0, proof_mpa: None })?;
/// assert!((seated.at_a.of_fpu - 0.70).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn shares_after_seating(
    stress: &StressDiagram,
    strength: &Strength,
) -> Result<AfterSeating, Misfit> {
    let greatest_at = stress.greatest();
    Ok(AfterSeating {
        at_a: shares(stress.end_mpa(End::A), strength)?,
        at_b: shares(stress.end_mpa(End::B), strength)?,
        greatest: shares(greatest_at.stress_mpa, strength)?,
        greatest_at,
    })
}
