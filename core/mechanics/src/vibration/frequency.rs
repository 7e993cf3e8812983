//! The first frequency of a free length, as a string and as a clamped, slightly stiff one.

use std::f64::consts::PI;

use crate::misfit::{Argument, Misfit, above, not_negative, positive};

/// The least [`tautness`] for which the series for clamped ends is taken; its error there is 1.2 %.
pub const LEAST_TAUTNESS: f64 = 10.0;

/// A frequency with bending stiffness, and what tells how good the series is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClampedFrequency {
    /// First frequency, Hz.
    pub frequency_hz: f64,
    /// ξ, see [`tautness`]; none where there is no bending stiffness.
    pub tautness: Option<f64>,
}

/// Returns the first frequency of a free length between ends that turn freely.
///
/// # Formula
/// `f = 1/(2L) · √(T/m)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | free length, `free_length_m` | m |
/// | T | force in it, `tension_kn` | kN, taken in N |
/// | m | mass per length of all that swings: strand, filler, duct, `mass_kg_per_m` | kg/m |
/// | f | first frequency | Hz |
///
/// # Validity
/// A taut string: no bending stiffness, small sag. Clamped ends and stiffness raise it, see [`clamped_frequency_hz`].
/// The n-th frequency is n times this.
///
/// # Source
/// The taut string (Mersenne; any textbook of vibration).
///
/// # Errors
/// [`Misfit`] if a number is not greater than zero or not finite.
///
/// ```
/// use restrand_mechanics::vibration::frequency_hz;
/// assert!((frequency_hz(13.65, 3480.0, 38.24)? - 11.1).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn frequency_hz(
    free_length_m: f64,
    tension_kn: f64,
    mass_kg_per_m: f64,
) -> Result<f64, Misfit> {
    let length = positive(Argument::new("free_length_m"), free_length_m)?;
    let tension_n = 1000.0 * positive(Argument::new("tension_kn"), tension_kn)?;
    let mass = positive(Argument::new("mass_kg_per_m"), mass_kg_per_m)?;
    Ok((tension_n / mass).sqrt() / (2.0 * length))
}

/// Returns how far a free length is a string rather than a beam.
///
/// # Formula
/// `ξ = L · √(T/EI)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | free length, `free_length_m` | m |
/// | T | force, `tension_kn` | kN |
/// | EI | bending stiffness, `bending_stiffness_knm2` | kN·m² |
/// | ξ | tautness | |
///
/// # Validity
/// A string from about 100 on, a beam below about 3.
///
/// # Source
/// H. Zui, T. Shinke, Y. Namita, ASCE Journal of Structural Engineering 122 (1996), the parameter ξ (from memory).
///
/// # Errors
/// [`Misfit`] if a number is not greater than zero or not finite.
///
/// ```
/// use restrand_mechanics::vibration::tautness;
/// assert_eq!(tautness(10.0, 3600.0, 36.0)?, 100.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tautness(
    free_length_m: f64,
    tension_kn: f64,
    bending_stiffness_knm2: f64,
) -> Result<f64, Misfit> {
    let length = positive(Argument::new("free_length_m"), free_length_m)?;
    let tension = positive(Argument::new("tension_kn"), tension_kn)?;
    let stiffness = positive(Argument::new("bending_stiffness_knm2"), bending_stiffness_knm2)?;
    Ok(length * (tension / stiffness).sqrt())
}

/// Returns the first frequency of a free length between clamped ends, with its bending stiffness.
///
/// # Formula
/// `f = f0 · (1 + 2/ξ + (4 + π²/2)/ξ²)`, `f0` by [`frequency_hz`], `ξ = L·√(T/EI)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L, T, m | as for [`frequency_hz`] | m, kN, kg/m |
/// | EI | bending stiffness of strand, filler and duct together, `bending_stiffness_knm2`; 0 gives f0 | kN·m² |
/// | ξ | [`tautness`] | |
///
/// # Validity
/// ξ of [`LEAST_TAUTNESS`] or more. Against the exact equation of the clamped beam under tension it is too low by 1.2 % at ξ = 10,
/// 0.5 % at 15, 0.1 % at 28, 0.002 % at 100. Ends that turn a little give a frequency between f0 and this one.
///
/// # Source
/// P. M. Morse, *Vibration and Sound*, the stiff string between clamps (from memory); its error is measured, as told above.
///
/// # Errors
/// [`Misfit`] if a number is not finite, length, force or mass not greater than zero, the stiffness negative, or ξ below [`LEAST_TAUTNESS`].
///
/// ```
/// use restrand_mechanics::vibration::clamped_frequency_hz;
/// let stiff = clamped_frequency_hz(10.0, 3600.0, 36.0, 36.0)?;
/// assert_eq!(stiff.tautness, Some(100.0));
/// // As a string 15.811 Hz; the exact equation gives 16.142 Hz.
/// assert!((stiff.frequency_hz - 16.142).abs() < 5e-4);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn clamped_frequency_hz(
    free_length_m: f64,
    tension_kn: f64,
    mass_kg_per_m: f64,
    bending_stiffness_knm2: f64,
) -> Result<ClampedFrequency, Misfit> {
    let string_hz = frequency_hz(free_length_m, tension_kn, mass_kg_per_m)?;
    let argument = Argument::new("bending_stiffness_knm2");
    if not_negative(argument, bending_stiffness_knm2)? == 0.0 {
        return Ok(ClampedFrequency { frequency_hz: string_hz, tautness: None });
    }
    let xi = tautness(free_length_m, tension_kn, bending_stiffness_knm2)?;
    if xi < LEAST_TAUTNESS {
        above(Argument::new("tautness"), xi, LEAST_TAUTNESS, "the series' least")?;
    }
    let factor = 1.0 + 2.0 / xi + (4.0 + PI * PI / 2.0) / (xi * xi);
    Ok(ClampedFrequency { frequency_hz: string_hz * factor, tautness: Some(xi) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
            assert!(frequency_hz(bad, 1.0, 1.0).is_err());
            assert!(frequency_hz(1.0, bad, 1.0).is_err());
            assert!(frequency_hz(1.0, 1.0, bad).is_err());
            assert!(tautness(bad, 1.0, 1.0).is_err());
            assert!(tautness(1.0, bad, 1.0).is_err());
            assert!(tautness(1.0, 1.0, bad).is_err());
            assert!(clamped_frequency_hz(bad, 1.0, 1.0, 1e-6).is_err());
            assert!(bad == 0.0 || clamped_frequency_hz(1.0, 1.0, 1.0, bad).is_err());
        }
        // A beam, not a string.
        assert!(clamped_frequency_hz(1.0, 1.0, 1.0, 1.0).is_err());
    }
}
