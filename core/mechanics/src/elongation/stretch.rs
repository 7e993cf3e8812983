//! From stress to stretch: of a part of the tendon, and of a plain length of strand.

use crate::misfit::{Argument, Misfit, not_negative, positive};

/// Returns how much strand is stretched by an integral of stress, or shortened by a loss of it.
///
/// # Formula
/// `Δ = 1000·∫σ dx / E`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | ∫σ dx | over the whole tendon, a part of it, or a change of it, `integral_mpa_m` | MPa·m |
/// | E | modulus of the strand, `e_mpa` | MPa |
/// | Δ | stretch | mm |
///
/// # Validity
/// Elastic. For a stage, take [`Reach::change_mpa_m`](crate::friction::Reach::change_mpa_m): what that act moved at its end.
///
/// # Source
/// Hooke's law.
///
/// # Errors
/// [`Misfit`] if the integral is not finite or E is not greater than zero.
///
/// ```
/// use restrand_mechanics::elongation::stretch_mm;
/// assert_eq!(stretch_mm(1300.0 * 30.0, 195_000.0)?, 200.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn stretch_mm(integral_mpa_m: f64, e_mpa: f64) -> Result<f64, Misfit> {
    let argument = Argument::new("integral_mpa_m");
    if !integral_mpa_m.is_finite() {
        return Err(Misfit::NotFinite { argument, value: integral_mpa_m });
    }
    let e = positive(Argument::new("e_mpa"), e_mpa)?;
    let stretch = integral_mpa_m / e * 1000.0;
    if stretch.is_finite() {
        Ok(stretch)
    } else {
        Err(Misfit::NotFinite { argument, value: stretch })
    }
}

/// A length of strand under one force: in the jack, from the wedge plate to the grip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// P: force, kN.
    pub force_kn: f64,
    /// L: length, mm.
    pub length_mm: f64,
    /// A: area of all strands, mm².
    pub area_mm2: f64,
    /// E: modulus of the strand, MPa.
    pub e_mpa: f64,
}

/// Returns how much a length of strand is stretched by one force: the strand in the jack, which the jack's reading contains.
///
/// # Formula
/// `Δ = 1000·P·L / (A·E)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | force, `force_kn` | kN |
/// | L | length, wedge plate to grip, `length_mm` | mm |
/// | A | area of all strands, `area_mm2` | mm² |
/// | E | modulus, `e_mpa` | MPa |
/// | Δ | stretch | mm |
///
/// # Validity
/// Elastic, without friction over the length.
///
/// # Source
/// Hooke's law.
///
/// # Errors
/// [`Misfit`] if a number is negative, or area or modulus is not greater than zero.
///
/// ```
/// use restrand_mechanics::elongation::{bar_stretch_mm, Bar};
/// let in_jack = Bar { force_kn: 3600.0, length_mm: 900.0, area_mm2: 2850.0, e_mpa: 195_000.0 };
/// assert!((bar_stretch_mm(&in_jack)? - 5.83).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn bar_stretch_mm(bar: &Bar) -> Result<f64, Misfit> {
    let force = not_negative(Argument::new("force_kn"), bar.force_kn)?;
    let length = not_negative(Argument::new("length_mm"), bar.length_mm)?;
    let area = positive(Argument::new("area_mm2"), bar.area_mm2)?;
    let e = positive(Argument::new("e_mpa"), bar.e_mpa)?;
    Ok(force * 1000.0 * length / area / e)
}
