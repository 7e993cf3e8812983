//! Tails: the strand behind the wedge plate that the jack grips, and the length to order with them.

use crate::misfit::{Argument, LARGEST, Misfit, not_negative, number, positive};

/// Returns the tail after stressing: it has grown by what the tendon was drawn out.
///
/// # Formula
/// `t1 = t0 + Δ`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t0 | tail behind the wedge plate before stressing, `tail_mm` | mm |
/// | Δ | anchored elongation at that end, [`Elongation::anchored_mm`](crate::elongation::Elongation::anchored_mm), `anchored_mm` | mm |
/// | t1 | tail afterwards, before it is cut | mm |
///
/// # Validity
/// Of the end that is pulled; at a dead end the tail shortens by its seating: take Δ negative.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if the tail is negative, or would be.
///
/// ```
/// use restrand_mechanics::jack::tail_after_mm;
/// assert_eq!(tail_after_mm(1000.0, 263.0)?, 1263.0);
/// assert_eq!(tail_after_mm(40.0, -3.0)?, 37.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tail_after_mm(tail_mm: f64, anchored_mm: f64) -> Result<f64, Misfit> {
    let tail = not_negative(Argument::new("tail_mm"), tail_mm)?;
    let argument = Argument::new("anchored_mm");
    let grown = number(argument, anchored_mm)?;
    if tail + grown < 0.0 {
        return Err(Misfit::NotWithin { argument, value: grown, least: -tail, most: LARGEST });
    }
    Ok(tail + grown)
}

/// Returns how much longer a tail is than the jack needs; negative where it is too short.
///
/// # Formula
/// `t - t_need`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t | tail behind the wedge plate, `tail_mm` | mm |
/// | t_need | from the wedge plate to the end of the jack's grip, `needed_mm` | mm |
///
/// # Validity
/// The first stroke decides: later the tail is longer.
/// A tail that was cut after a first stressing may be too short to be gripped again.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is negative or not finite.
///
/// ```
/// use restrand_mechanics::jack::tail_spare_mm;
/// assert_eq!(tail_spare_mm(40.0, 1000.0)?, -960.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tail_spare_mm(tail_mm: f64, needed_mm: f64) -> Result<f64, Misfit> {
    let tail = not_negative(Argument::new("tail_mm"), tail_mm)?;
    Ok(tail - not_negative(Argument::new("needed_mm"), needed_mm)?)
}

/// What makes up the length of a strand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrandLength {
    /// Developed length of the tendon between its bearing-plate faces, m.
    pub developed_m: f64,
    /// From the bearing-plate face to the rear of the wedge plate at end A, mm.
    pub plates_a_mm: f64,
    /// The same at end B, mm.
    pub plates_b_mm: f64,
    /// Tail behind the wedge plate at end A before stressing, mm.
    pub tail_a_mm: f64,
    /// The same at end B, mm.
    pub tail_b_mm: f64,
}

/// Returns the length to which a strand is cut before it is installed.
///
/// # Formula
/// `L = Ld + (pa + pb + ta + tb)/1000`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Ld | developed length between bearing-plate faces, `developed_m` | m |
/// | pa, pb | from the faces to the rear of the wedge plates, `plates_a_mm`, `plates_b_mm` | mm |
/// | ta, tb | tails behind the wedge plates, `tail_a_mm`, `tail_b_mm` | mm |
/// | L | length of a strand | m |
///
/// # Validity
/// Strands slack; outer strands of a bundle are not made longer than the axis.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is negative, or there is no developed length.
///
/// ```
/// use restrand_mechanics::jack::{strand_length_m, StrandLength};
/// let strand = StrandLength {
///     developed_m: 42.0, plates_a_mm: 75.0, plates_b_mm: 125.0, tail_a_mm: 40.0, tail_b_mm: 1000.0,
/// };
/// assert_eq!(strand_length_m(&strand)?, 43.24);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn strand_length_m(strand: &StrandLength) -> Result<f64, Misfit> {
    let developed = positive(Argument::new("developed_m"), strand.developed_m)?;
    let mut beyond_mm = 0.0;
    for (name, value) in [
        ("plates_a_mm", strand.plates_a_mm),
        ("plates_b_mm", strand.plates_b_mm),
        ("tail_a_mm", strand.tail_a_mm),
        ("tail_b_mm", strand.tail_b_mm),
    ] {
        beyond_mm += not_negative(Argument::new(name), value)?;
    }
    Ok(developed + beyond_mm / 1000.0)
}
