//! Measured elongation against theoretical.

use crate::misfit::{Argument, Misfit, not_negative, positive};

/// How far a measured elongation is from the theoretical one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviation {
    /// Measured less theoretical, mm.
    pub off_mm: f64,
    /// The same in per cent of the theoretical.
    pub off_percent: f64,
}

/// Returns how far a measured elongation is from the theoretical one.
///
/// # Formula
/// `d = 100·(Δm - Δt)/Δt`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δm | measured, `measured_mm` | mm |
/// | Δt | theoretical, of the same range of force, `theoretical_mm` | mm |
/// | d | deviation | % |
///
/// # Validity
/// Both with or both without baseline, strand in the jack and dead-end seating.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the measured one is negative or the theoretical one is not greater than zero.
///
/// ```
/// use restrand_mechanics::elongation::deviation;
/// assert!((deviation(76.2, 69.85)?.off_percent - 9.09).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn deviation(measured_mm: f64, theoretical_mm: f64) -> Result<Deviation, Misfit> {
    let measured = not_negative(Argument::new("measured_mm"), measured_mm)?;
    let theoretical = positive(Argument::new("theoretical_mm"), theoretical_mm)?;
    let off_mm = measured - theoretical;
    Ok(Deviation { off_mm, off_percent: 100.0 * off_mm / theoretical })
}

/// The elongations that a tolerance takes, ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The least, mm.
    pub least_mm: f64,
    /// The most, mm.
    pub most_mm: f64,
}

/// Returns the elongations that a tolerance takes.
///
/// # Formula
/// `Δt·(1 ± p/100)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δt | theoretical, `theoretical_mm` | mm |
/// | p | tolerance, `tolerance_percent` | % |
///
/// # Validity
/// Tolerance up to 100 %.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the elongation is not greater than zero or the tolerance is not from 0 to 100.
///
/// ```
/// use restrand_mechanics::elongation::band;
/// let band = band(200.0, 7.0)?;
/// assert!((band.least_mm - 186.0).abs() < 1e-9 && (band.most_mm - 214.0).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn band(theoretical_mm: f64, tolerance_percent: f64) -> Result<Band, Misfit> {
    let theoretical = positive(Argument::new("theoretical_mm"), theoretical_mm)?;
    let argument = Argument::new("tolerance_percent");
    let percent = not_negative(argument, tolerance_percent)?;
    if percent > 100.0 {
        return Err(Misfit::NotWithin { argument, value: percent, least: 0.0, most: 100.0 });
    }
    let off_mm = theoretical * percent / 100.0;
    Ok(Band { least_mm: theoretical - off_mm, most_mm: theoretical + off_mm })
}
