//! The sag of a free length under its own weight.

use crate::misfit::{Argument, Misfit, positive};

/// Standard gravity, m/s².
pub const GRAVITY_M_PER_S2: f64 = 9.806_65;

/// Returns the sag of a free length below its chord, at mid-length.
///
/// # Formula
/// `sag = w L²/(8T)`, `w = m·g`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | free length, `free_length_m` | m |
/// | T | force in it, `tension_kn` | kN |
/// | m | mass per length, `mass_kg_per_m` | kg/m |
/// | g | [`GRAVITY_M_PER_S2`] | m/s² |
/// | sag | at mid-length, square to the chord | mm |
///
/// # Validity
/// A nearly level, taut string: a parabola. On a leg inclined by φ it is less, by cos φ.
///
/// # Source
/// Equilibrium of half the length.
///
/// # Errors
/// [`Misfit`] if a number is not greater than zero or not finite.
///
/// ```
/// use restrand_mechanics::vibration::sag_mm;
/// assert!((sag_mm(13.65, 3480.0, 38.24)? - 2.5).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn sag_mm(free_length_m: f64, tension_kn: f64, mass_kg_per_m: f64) -> Result<f64, Misfit> {
    let length = positive(Argument::new("free_length_m"), free_length_m)?;
    let tension = positive(Argument::new("tension_kn"), tension_kn)?;
    // N/m by m² over kN is mm.
    let weight = positive(Argument::new("mass_kg_per_m"), mass_kg_per_m)? * GRAVITY_M_PER_S2;
    Ok(weight * length * length / (8.0 * tension))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
            assert!(sag_mm(bad, 1.0, 1.0).is_err());
            assert!(sag_mm(1.0, bad, 1.0).is_err());
            assert!(sag_mm(1.0, 1.0, bad).is_err());
        }
    }
}
