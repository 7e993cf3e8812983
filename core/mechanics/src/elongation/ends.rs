//! How much each end gives when both are pulled.

use super::stretch_mm;
use crate::friction::{End, Profile, Stationary, StressDiagram, stationary};
use crate::misfit::Misfit;

/// Elongation at each end, without what the jack and the seating add.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ElongationByEnd {
    /// At end A, mm.
    pub a_mm: f64,
    /// At end B, mm.
    pub b_mm: f64,
    /// The place that stays; where it is a length, the two share it by halves.
    pub stationary: Stationary,
}

/// Returns how much each end is drawn out when both are pulled at once.
///
/// # Formula
/// `Δa = 1000·∫σ dx/E` from end A to the stationary place, `Δb` from there to end B
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σ | stress before any seating, from `at_a_mpa` and `at_b_mpa` at the ends | MPa |
/// | E | modulus of the strand, `e_mpa` | MPa |
/// | Δa, Δb | elongation at end A, B | mm |
///
/// # Validity
/// Both jacks are kept in step. For one end after the other, take `∫σ dx` of the first pull and then
/// [`Reach::change_mpa_m`](crate::friction::Reach::change_mpa_m) of the second, each through [`stretch_mm`]: the sum is the same, its parts are not.
/// Over a length without friction between two deviators that both slide, equilibrium leaves open how it is shared; halves are taken.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a number is not greater than zero.
///
/// ```
/// use restrand_mechanics::elongation::elongation_by_end;
/// use restrand_mechanics::friction::{profile, Run, Wobble};
/// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
/// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
/// let middle = Run { length_m: 20.0, ..free };
/// let tendon = profile(&[free, deviator, middle, deviator, free])?;
/// let both = elongation_by_end(&tendon, 1395.0, 1395.0, 195_000.0)?;
/// assert!((both.a_mm - 176.73).abs() < 0.005 && (both.b_mm - 176.73).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn elongation_by_end(
    profile: &Profile,
    at_a_mpa: f64,
    at_b_mpa: f64,
    e_mpa: f64,
) -> Result<ElongationByEnd, Misfit> {
    let stationary = stationary(profile, at_a_mpa, at_b_mpa)?;
    let mut stress = StressDiagram::jacked(profile, End::A, at_a_mpa)?;
    stress.jack(End::B, at_b_mpa)?;
    let length_m = profile.last().at_m;
    let middle_m = (stationary.from_m + (stationary.to_m - stationary.from_m) / 2.0).min(length_m);
    Ok(ElongationByEnd {
        a_mm: stretch_mm(stress.integral_mpa_m(0.0, middle_m)?, e_mpa)?,
        b_mm: stretch_mm(stress.integral_mpa_m(middle_m, length_m)?, e_mpa)?,
        stationary,
    })
}
