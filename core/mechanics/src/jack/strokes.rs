//! How many strokes an elongation takes.

use crate::misfit::{Argument, Misfit, not_negative, positive};

/// The most strokes that are counted; more than this is a slip of units, not a jack.
pub const MOST_STROKES: u32 = 10_000;

/// Lengths that divide exactly must not give a stroke more for the rounding of decimals.
const ROUNDING: f64 = 1e-9;

/// Returns the number of strokes that an elongation takes.
///
/// # Formula
/// `n = ⌈Δ/s⌉`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δ | elongation at the jack, with the strand in it and the seating at the dead end, `at_jack_mm` | mm |
/// | s | usable stroke, `stroke_mm` | mm |
/// | n | strokes | |
///
/// # Validity
/// Each stroke is used whole; what the strand slips back between strokes in a gripping device is not in it.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the elongation is negative, the stroke is not greater than zero, or there would be more than [`MOST_STROKES`].
///
/// ```
/// use restrand_mechanics::jack::strokes;
/// assert_eq!(strokes(274.5, 200.0)?, 2);
/// assert_eq!(strokes(400.0, 200.0)?, 2);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn strokes(at_jack_mm: f64, stroke_mm: f64) -> Result<u32, Misfit> {
    let argument = Argument::new("at_jack_mm");
    let elongation = not_negative(argument, at_jack_mm)?;
    let stroke = positive(Argument::new("stroke_mm"), stroke_mm)?;
    let most = f64::from(MOST_STROKES) * stroke;
    if elongation > most {
        return Err(Misfit::TooLarge { argument, value: elongation, most });
    }
    // Between 0 and MOST_STROKES.
    Ok((elongation / stroke * (1.0 - ROUNDING)).ceil() as u32)
}
