//! Wobble, in the two conventions that differ by the friction coefficient: K is not k.

use crate::misfit::{Argument, Misfit, not_negative};

/// K: what the friction exponent gains per metre, 1/m; the exponent is `μα + Kx`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExponentPerM(
    /// K, 1/m. Per foot it is 3.28 times smaller.
    pub f64,
);

/// k: unintended angle per metre, rad/m; the exponent is `μ(α + kx)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RadPerM(
    /// k, rad/m.
    pub f64,
);

/// Wobble as it is stated. The types keep K from being taken for k.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wobble {
    /// There is none, as in the free length of an external tendon.
    None,
    /// As an exponent per metre, multiplied by nothing.
    Exponent(ExponentPerM),
    /// As an angle per metre, multiplied by μ.
    Angle(RadPerM),
}

impl Wobble {
    /// What the exponent gains per metre, unchecked.
    pub(super) fn per_m(self, mu: f64) -> f64 {
        match self {
            Self::None => 0.0,
            Self::Exponent(ExponentPerM(per_m)) => per_m,
            Self::Angle(RadPerM(rad_per_m)) => mu * rad_per_m,
        }
    }

    /// The number that was stated and its name, to be checked.
    pub(super) fn stated(self) -> (&'static str, f64) {
        match self {
            Self::None => ("wobble", 0.0),
            Self::Exponent(ExponentPerM(per_m)) => ("wobble_exponent_per_m", per_m),
            Self::Angle(RadPerM(rad_per_m)) => ("wobble_rad_per_m", rad_per_m),
        }
    }
}

/// Returns what the friction exponent gains per metre by wobble, whichever way it is stated.
///
/// # Formula
/// `K = K`, or `K = μ·k`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | K | exponent per metre, [`ExponentPerM`] | 1/m |
/// | k | unintended angle per metre, [`RadPerM`] | rad/m |
/// | μ | friction coefficient, `mu` | |
///
/// # Validity
/// K goes with `e^-(μα + Kx)`, as AASHTO LRFD, ACI and IS write it; k with `e^-(μ(α + kx))`, as EN 1992-1-1 writes it.
///
/// # Source
/// EN 1992-1-1:2023 (7.34) for k; AASHTO LRFD 5.9.3.2.2b for K (from memory).
///
/// # Errors
/// [`Misfit`] if a number is negative or not finite.
///
/// ```
/// use restrand_mechanics::friction::{wobble_exponent_per_m, ExponentPerM, RadPerM, Wobble};
/// assert_eq!(wobble_exponent_per_m(Wobble::Exponent(ExponentPerM(0.002)), 0.2)?, 0.002);
/// assert_eq!(wobble_exponent_per_m(Wobble::Angle(RadPerM(0.01)), 0.2)?, 0.002);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn wobble_exponent_per_m(wobble: Wobble, mu: f64) -> Result<f64, Misfit> {
    let mu = not_negative(Argument::new("mu"), mu)?;
    let (name, value) = wobble.stated();
    not_negative(Argument::new(name), value)?;
    Ok(wobble.per_m(mu))
}
