//! The ratio of a duct's area to the steel in it.
//!
//! Which ratio is asked, and whether for pushing or pulling strands in, is the rulebook's.

use std::f64::consts::PI;

use crate::misfit::{Argument, Misfit, positive};

fn steel_mm2(strand_count: u32, strand_area_mm2: f64) -> Result<f64, Misfit> {
    let count = positive(Argument::new("strand_count"), f64::from(strand_count))?;
    Ok(count * positive(Argument::new("strand_area_mm2"), strand_area_mm2)?)
}

/// Returns the ratio of a duct's inside area to the area of the strands in it.
///
/// # Formula
/// `ratio = (π/4 · ID²) / (N · As)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | ID | inside diameter, `inner_mm` | mm |
/// | N | number of strands, `strand_count` | |
/// | As | nominal area of one strand, `strand_area_mm2` | mm² |
///
/// # Validity
/// Round ducts. Take the least inside diameter on the strands' way: throat, joint bead, coupler.
/// The sheaths of individually sheathed strands count with the strands, so give their outer area.
///
/// # Source
/// FP-96 §553(a) states the ratio; the formula is geometry.
///
/// # Errors
/// [`Misfit`] if a value is not a number greater than zero.
///
/// ```
/// use restrand_mechanics::duct::area_ratio;
/// // 19 strands of 0.217 in² in a bore of 3.5 in.
/// let ratio = area_ratio(88.9, 19, 140.0)?;
/// assert!((ratio - 2.334).abs() < 0.0005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn area_ratio(inner_mm: f64, strand_count: u32, strand_area_mm2: f64) -> Result<f64, Misfit> {
    let inner = positive(Argument::new("inner_mm"), inner_mm)?;
    Ok(PI / 4.0 * inner * inner / steel_mm2(strand_count, strand_area_mm2)?)
}

/// Returns the least inside diameter that gives an area ratio.
///
/// # Formula
/// `ID = sqrt(4 · k · N · As / π)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | ID | inside diameter, the result | mm |
/// | k | area ratio asked, `ratio` | |
/// | N | number of strands, `strand_count` | |
/// | As | nominal area of one strand, `strand_area_mm2` | mm² |
///
/// # Validity
/// Round ducts; the inverse of [`area_ratio`].
///
/// # Source
/// FP-96 §553(a) states the ratio; the formula is geometry.
///
/// # Errors
/// [`Misfit`] if a value is not a number greater than zero.
///
/// ```
/// use restrand_mechanics::duct::least_inner_mm;
/// let inner_mm = least_inner_mm(2.5, 19, 140.0)?;
/// assert!((inner_mm / 25.4 - 3.623).abs() < 0.0005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn least_inner_mm(ratio: f64, strand_count: u32, strand_area_mm2: f64) -> Result<f64, Misfit> {
    let ratio = positive(Argument::new("ratio"), ratio)?;
    Ok((4.0 * ratio * steel_mm2(strand_count, strand_area_mm2)? / PI).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0, 1e300] {
            assert!(area_ratio(bad, 19, 140.0).is_err());
            assert!(area_ratio(100.0, 19, bad).is_err());
            assert!(least_inner_mm(bad, 19, 140.0).is_err());
            assert!(least_inner_mm(2.5, 19, bad).is_err());
        }
        assert!(area_ratio(100.0, 0, 140.0).is_err());
        assert!(least_inner_mm(2.5, 0, 140.0).is_err());
    }
}
