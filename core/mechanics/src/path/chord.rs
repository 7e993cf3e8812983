//! A circular arc over its chord: how far it rises, how long it is.

use std::f64::consts::FRAC_PI_2;

use crate::misfit::{Argument, Misfit, positive};

/// The radius, and half the chord as a share of it, at most 1.
fn share(radius_m: f64, chord_m: f64) -> Result<(f64, f64), Misfit> {
    let radius = positive(Argument::new("radius_m"), radius_m)?;
    let argument = Argument::new("chord_m");
    let chord = positive(argument, chord_m)?;
    if chord > 2.0 * radius {
        return Err(Misfit::NotWithin { argument, value: chord, least: 0.0, most: 2.0 * radius });
    }
    Ok((radius, chord / (2.0 * radius)))
}

/// Returns how far the smaller arc rises over its chord at mid-length (sagitta).
///
/// On a curved bridge it is how far a straight leg lies inside the alignment between its ends.
///
/// # Formula
/// `s = R - √(R² - c²/4)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R | radius, `radius_m` | m |
/// | c | chord, `chord_m` | m |
/// | s | rise | m |
///
/// # Validity
/// Exact for the arc of up to a half circle; the greater arc rises by `2R - s`. The usual `c²/(8R)` is too small by `c⁴/(128 R³)`.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a number is not finite or not greater than zero, or the chord is longer than the diameter.
///
/// ```
/// use restrand_mechanics::path::rise_over_chord_m;
/// assert!((rise_over_chord_m(10.0, 12.0)? - 2.0).abs() < 1e-12);
/// assert!(rise_over_chord_m(10.0, 21.0).is_err());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn rise_over_chord_m(radius_m: f64, chord_m: f64) -> Result<f64, Misfit> {
    let (radius, share) = share(radius_m, chord_m)?;
    // As a quotient, which keeps its digits on flat arcs.
    Ok(radius * share * share / (1.0 + ((1.0 - share) * (1.0 + share)).sqrt()))
}

/// Returns the length of the smaller arc over a chord.
///
/// # Formula
/// `a = 2R · asin(c/2R)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R | radius, `radius_m` | m |
/// | c | chord, `chord_m` | m |
/// | a | arc | m |
///
/// # Validity
/// Exact for the arc of up to a half circle.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a number is not finite or not greater than zero, or the chord is longer than the diameter.
///
/// ```
/// use restrand_mechanics::path::arc_over_chord_m;
/// assert!((arc_over_chord_m(600.0, 100.0)? - 100.116_10).abs() < 5e-6);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn arc_over_chord_m(radius_m: f64, chord_m: f64) -> Result<f64, Misfit> {
    let (radius, share) = share(radius_m, chord_m)?;
    Ok(2.0 * radius * share.asin().min(FRAC_PI_2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
            assert!(rise_over_chord_m(bad, 1.0).is_err() && rise_over_chord_m(1.0, bad).is_err());
            assert!(arc_over_chord_m(bad, 1.0).is_err() && arc_over_chord_m(1.0, bad).is_err());
        }
        assert!(arc_over_chord_m(1.0, 2.1).is_err());
        assert!((arc_over_chord_m(1.0, 2.0).unwrap() - std::f64::consts::PI).abs() < 1e-12);
    }
}
