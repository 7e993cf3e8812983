//! What the elongation at the jack is made of.

use crate::misfit::{Argument, Misfit, not_negative};

/// The parts of an elongation at one end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// Elastic, of the tendon between its anchors, mm.
    pub elastic_mm: f64,
    /// Elastic, of the strand in the jack, mm.
    pub in_jack_mm: f64,
    /// How far the wedges at the far end are drawn in while the force grows, mm; 0 where both ends are pulled.
    pub dead_end_seating_mm: f64,
    /// Set at this end, mm.
    pub set_mm: f64,
}

/// What there is to read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Elongation {
    /// At full force, on the jack's piston, mm.
    pub at_jack_mm: f64,
    /// What is left outside the anchor once it has seated, by which the tail has grown, mm; negative if the set was more than everything.
    pub anchored_mm: f64,
}

/// Returns what is read at the jack at full force, and what is left after seating.
///
/// # Formula
/// `Δj = Δ + Δ_jack + s_d`; `Δ_anchored = Δ + s_d - s`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δ | elastic, between the anchors, `elastic_mm` | mm |
/// | Δ_jack | elastic, of the strand in the jack, `in_jack_mm` | mm |
/// | s_d | seating at the dead end, `dead_end_seating_mm` | mm |
/// | s | set at this end, `set_mm` | mm |
///
/// # Validity
/// Shortening of the concrete is not in it; it adds to the reading.
/// The set at this end is lost by the tendon, so `Δ - s` is `∫σ dx/E` after seating.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a length is negative or not finite.
///
/// ```
/// use restrand_mechanics::elongation::{elongation, Terms};
/// let told = elongation(&Terms {
///     elastic_mm: 265.5, in_jack_mm: 6.0, dead_end_seating_mm: 3.0, set_mm: 6.0,
/// })?;
/// assert_eq!((told.at_jack_mm, told.anchored_mm), (274.5, 262.5));
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn elongation(terms: &Terms) -> Result<Elongation, Misfit> {
    let elastic = not_negative(Argument::new("elastic_mm"), terms.elastic_mm)?;
    let in_jack = not_negative(Argument::new("in_jack_mm"), terms.in_jack_mm)?;
    let dead = not_negative(Argument::new("dead_end_seating_mm"), terms.dead_end_seating_mm)?;
    let set = not_negative(Argument::new("set_mm"), terms.set_mm)?;
    Ok(Elongation { at_jack_mm: elastic + in_jack + dead, anchored_mm: elastic + dead - set })
}
