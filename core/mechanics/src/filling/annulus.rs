//! The room between a replaceable skin and the permanent one around it, which must stay empty.

use super::volume::frustum_litres;
use crate::misfit::{Argument, Misfit, above, positive};

/// A stretch of two skins, one in the other, both straight-sided.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Annulus {
    /// Length over which one stands in the other, mm.
    pub length_mm: f64,
    /// Inside diameter of the outer skin at one end, mm.
    pub start_inner_mm: f64,
    /// Inside diameter of the outer skin at the other end, mm.
    pub end_inner_mm: f64,
    /// Outside diameter of the inner skin at the first end, mm.
    pub start_outer_mm: f64,
    /// Outside diameter of the inner skin at the other end, mm.
    pub end_outer_mm: f64,
}

/// Returns the volume between two skins, which a replaceable tendon's filler must not take up.
///
/// A stated volume that is the tendon's and this one together means that somebody plans to bond the tendon to the structure.
///
/// # Formula
/// `V = π/12 · L · [(a² + a b + b²) - (c² + c d + d²)] / 10⁶`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | length, `length_mm` | mm |
/// | a, b | inside diameters of the outer skin | mm |
/// | c, d | outside diameters of the inner skin | mm |
/// | V | volume of the annulus | L |
///
/// # Validity
/// Round, straight-sided skins, one fully inside the other; where the inner one lies does not matter.
///
/// # Source
/// Geometry: the difference of two frusta.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero, or the inner skin is not narrower than the outer one at both ends.
///
/// ```
/// use restrand_mechanics::filling::{annulus_litres, Annulus};
/// let guide_pipe = Annulus {
///     length_mm: 680.0, start_inner_mm: 180.0, end_inner_mm: 180.0,
///     start_outer_mm: 125.0, end_outer_mm: 125.0,
/// };
/// assert!((annulus_litres(&guide_pipe)? - 8.96).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn annulus_litres(annulus: &Annulus) -> Result<f64, Misfit> {
    let length = positive(Argument::new("length_mm"), annulus.length_mm)?;
    let a = positive(Argument::new("start_inner_mm"), annulus.start_inner_mm)?;
    let b = positive(Argument::new("end_inner_mm"), annulus.end_inner_mm)?;
    let c = positive(Argument::new("start_outer_mm"), annulus.start_outer_mm)?;
    let d = positive(Argument::new("end_outer_mm"), annulus.end_outer_mm)?;
    above(Argument::new("start_inner_mm"), a, c, "start_outer_mm")?;
    above(Argument::new("end_inner_mm"), b, d, "end_outer_mm")?;
    // Both gaps are greater than zero; only rounding can make the difference less.
    Ok((frustum_litres(length, a, b) - frustum_litres(length, c, d)).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn skins_that_cross_are_refused() {
        let cones = Annulus {
            length_mm: 600.0,
            start_inner_mm: 200.0,
            end_inner_mm: 130.0,
            start_outer_mm: 180.0,
            end_outer_mm: 125.0,
        };
        assert!(annulus_litres(&cones).unwrap() > 0.0);
        assert!(annulus_litres(&Annulus { end_outer_mm: 131.0, ..cones }).is_err());
        assert!(annulus_litres(&Annulus { start_inner_mm: 179.0, ..cones }).is_err());
    }
}
