//! Reading from a baseline: slack is taken up first, and elongation is read from a share of the force on.

use crate::misfit::{Argument, LARGEST, Misfit, above, not_negative, positive};

/// Returns the elongation between the baseline and a share of the full force.
///
/// # Formula
/// `Δ = Δ_full·(p - b)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δ_full | elastic elongation at full force, strand in the jack included, `full_mm` | mm |
/// | p | share of the full force, `share` | |
/// | b | share at which reading begins, `baseline_share` | |
///
/// # Validity
/// Exact while one end, or both in step, is pulled in one go: stress is then everywhere in proportion to the jack's.
/// Seating at a dead end is not in proportion: it comes on top, where it happens above the baseline.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a number is negative or the share is less than the baseline.
///
/// ```
/// use restrand_mechanics::elongation::above_baseline_mm;
/// assert!((above_baseline_mm(271.5, 0.2, 0.6)? - 108.6).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn above_baseline_mm(full_mm: f64, baseline_share: f64, share: f64) -> Result<f64, Misfit> {
    let full = not_negative(Argument::new("full_mm"), full_mm)?;
    let baseline = not_negative(Argument::new("baseline_share"), baseline_share)?;
    let argument = Argument::new("share");
    let share = not_negative(argument, share)?;
    if share < baseline {
        return Err(Misfit::NotWithin { argument, value: share, least: baseline, most: LARGEST });
    }
    Ok(full * (share - baseline))
}

/// What was read between two shares of the full force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// Share of the full force at which reading began.
    pub baseline_share: f64,
    /// Share of the full force at which it ended; 1 at full force.
    pub share: f64,
    /// Elongation read between the two, mm.
    pub read_mm: f64,
}

/// Returns the whole elongation at full force that a reading from a baseline stands for.
///
/// # Formula
/// `Δ_full = Δ_read / (p - b)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δ_read | read between the two shares, `read_mm` | mm |
/// | p, b | shares of the full force, `share`, `baseline_share` | |
/// | Δ_full | at full force, from no force | mm |
///
/// # Validity
/// As for [`above_baseline_mm`]; seating at the dead end is taken off the reading first.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a number is negative or the share is not above the baseline.
///
/// ```
/// use restrand_mechanics::elongation::{whole_from_readings_mm, Readings};
/// let readings = Readings { baseline_share: 0.2, share: 1.0, read_mm: 217.2 };
/// assert!((whole_from_readings_mm(&readings)? - 271.5).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn whole_from_readings_mm(readings: &Readings) -> Result<f64, Misfit> {
    let read = not_negative(Argument::new("read_mm"), readings.read_mm)?;
    let baseline = not_negative(Argument::new("baseline_share"), readings.baseline_share)?;
    let share = not_negative(Argument::new("share"), readings.share)?;
    let argument = Argument::new("share");
    above(argument, share, baseline, "baseline_share")?;
    Ok(read / positive(argument, share - baseline)?)
}
