//! Inside diameter and wall of a duct from its other dimensions.
//!
//! Polymer pipe has two inside diameters in use, from the least wall and from the average one;
//! they differ by about 1 %, and a schedule seldom says which it means.

use crate::misfit::{Argument, Misfit, above, positive};

/// Twice the ratio of average to least wall of polymer pipe: walls are taken to be 6 % over the least on average.
///
/// A convention of polymer pipe makers, from memory, confirmed by published tables of inside diameters.
pub const AVERAGE_WALL_FACTOR: f64 = 2.12;

fn inner_mm(outer_mm: f64, wall_mm: f64, factor: f64) -> Result<f64, Misfit> {
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    let wall = positive(Argument::new("wall_mm"), wall_mm)?;
    above(Argument::new("outer_mm"), outer, factor * wall, "both walls")?;
    // The walls can leave less than a rounding error, and that is no bore.
    positive(Argument::new("inner_mm"), outer - factor * wall)
}

/// Returns the inside diameter at the least or nominal wall.
///
/// # Formula
/// `ID = OD - 2 t`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | OD | outside diameter, `outer_mm` | mm |
/// | t | least wall of polymer, nominal wall of steel, `wall_mm` | mm |
///
/// # Validity
/// Round pipe. For polymer it is the widest bore that the pipe may have, not the one to expect: see [`inner_at_average_wall_mm`].
///
/// # Source
/// Geometry. ASTM D3035 tables of small pipe print this one.
///
/// # Errors
/// [`Misfit`] if a value is not a number greater than zero, or the walls fill the pipe.
///
/// ```
/// use restrand_mechanics::duct::inner_at_minimum_wall_mm;
/// let inner_mm = inner_at_minimum_wall_mm(114.3, 6.02)?;
/// assert!((inner_mm - 102.26).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn inner_at_minimum_wall_mm(outer_mm: f64, wall_mm: f64) -> Result<f64, Misfit> {
    inner_mm(outer_mm, wall_mm, 2.0)
}

/// Returns the inside diameter of polymer pipe at its average wall.
///
/// # Formula
/// `ID = OD - 2.12 t`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | OD | outside diameter, `outer_mm` | mm |
/// | t | least wall, `wall_mm` | mm |
///
/// # Validity
/// Polymer pipe only, with the *least* wall given; never for steel.
///
/// # Source
/// The convention of [`AVERAGE_WALL_FACTOR`]; a published PE100 SDR 33 table agrees to 0.01 mm.
///
/// # Errors
/// [`Misfit`] if a value is not a number greater than zero, or the walls fill the pipe.
///
/// ```
/// use restrand_mechanics::duct::inner_at_average_wall_mm;
/// let inner_mm = inner_at_average_wall_mm(90.0, 90.0 / 33.0)?;
/// assert!((inner_mm - 84.22).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn inner_at_average_wall_mm(outer_mm: f64, wall_mm: f64) -> Result<f64, Misfit> {
    inner_mm(outer_mm, wall_mm, AVERAGE_WALL_FACTOR)
}

/// Returns the least wall of a pipe of given dimension ratio.
///
/// # Formula
/// `t = OD / DR`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | OD | average specified outside diameter, `outer_mm` | mm |
/// | DR | dimension ratio (SDR), `dimension_ratio` | |
/// | t | least wall, the result | mm |
///
/// # Validity
/// Pipe sized by its outside. A ratio of 2 or less would be a solid bar and is refused.
/// Standards round the wall up to 0.1 mm, so a printed wall may be that much more.
///
/// # Source
/// ASTM D3035, definition of the dimension ratio.
///
/// # Errors
/// [`Misfit`] if a value is not a number greater than zero, or the ratio is 2 or less.
///
/// ```
/// use restrand_mechanics::duct::wall_by_ratio_mm;
/// let wall_mm = wall_by_ratio_mm(114.3, 17.0)?;
/// assert!((wall_mm - 6.72).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn wall_by_ratio_mm(outer_mm: f64, dimension_ratio: f64) -> Result<f64, Misfit> {
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    let ratio = positive(Argument::new("dimension_ratio"), dimension_ratio)?;
    above(Argument::new("dimension_ratio"), ratio, 2.0, "a solid bar's")?;
    positive(Argument::new("wall_mm"), outer / ratio)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wall_that_fills_the_pipe_is_refused() {
        assert!(inner_at_minimum_wall_mm(100.0, 50.0).is_err());
        assert!(inner_at_average_wall_mm(100.0, 48.0).is_err());
        assert!(wall_by_ratio_mm(100.0, 2.0).is_err());
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
            assert!(inner_at_minimum_wall_mm(bad, 5.0).is_err());
            assert!(inner_at_minimum_wall_mm(100.0, bad).is_err());
            assert!(inner_at_average_wall_mm(bad, 5.0).is_err());
            assert!(inner_at_average_wall_mm(100.0, bad).is_err());
            assert!(wall_by_ratio_mm(bad, 17.0).is_err());
            assert!(wall_by_ratio_mm(100.0, bad).is_err());
        }
    }
}
