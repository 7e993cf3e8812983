//! The inside of a permanent part: a cylindrical or conical bore.

use crate::misfit::{Argument, LARGEST, Misfit, not_negative, number, positive};

/// A bore that stays, on the anchorage's axis: 0 at the bearing-plate face, positive rearward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bore {
    /// Coordinate of the span end, mm.
    pub from_mm: f64,
    /// Coordinate of the rear end, mm; not less than `from_mm`.
    pub to_mm: f64,
    /// Inside diameter at the rear end, mm.
    pub rear_inner_mm: f64,
    /// Inside diameter at the span end, mm.
    pub span_inner_mm: f64,
    /// ± on the mean diameter, mm.
    pub tolerance_mm: f64,
    /// Greatest less least diameter at one section, mm.
    pub ovality_mm: f64,
    /// Height of one seam or weld bead inside, mm.
    pub seam_mm: f64,
}

impl Bore {
    pub(super) fn check(&self, index: usize) -> Result<(), Misfit> {
        let name = |name| Argument::of("bores", index, name);
        let from = number(name("from_mm"), self.from_mm)?;
        let to = number(name("to_mm"), self.to_mm)?;
        if to < from {
            return Err(Misfit::NotWithin {
                argument: name("to_mm"),
                value: to,
                least: from,
                most: LARGEST,
            });
        }
        positive(name("rear_inner_mm"), self.rear_inner_mm)?;
        positive(name("span_inner_mm"), self.span_inner_mm)?;
        not_negative(name("tolerance_mm"), self.tolerance_mm)?;
        not_negative(name("ovality_mm"), self.ovality_mm)?;
        not_negative(name("seam_mm"), self.seam_mm)?;
        Ok(())
    }

    /// What tolerance, ovality and seam take from any diameter of this bore.
    pub(super) fn shrinkage_mm(&self) -> f64 {
        self.tolerance_mm + self.ovality_mm / 2.0 + self.seam_mm
    }

    /// The same bore seen from the other end of the axis.
    pub(super) fn mirrored(&self) -> Self {
        Self {
            from_mm: -self.to_mm,
            to_mm: -self.from_mm,
            rear_inner_mm: self.span_inner_mm,
            span_inner_mm: self.rear_inner_mm,
            ..*self
        }
    }

    /// The nominal diameter at a coordinate within the bore.
    pub(super) fn cone_mm(&self, at_mm: f64) -> f64 {
        let length = self.to_mm - self.from_mm;
        if length > 0.0 {
            let share = (at_mm - self.from_mm) / length;
            self.span_inner_mm * (1.0 - share) + self.rear_inner_mm * share
        } else {
            self.span_inner_mm.min(self.rear_inner_mm)
        }
    }
}

/// Returns the diameter that a bore leaves at worst.
///
/// # Formula
/// `dw = di - tol - ov / 2 - seam`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | di | nominal inside diameter, `inner_mm` | mm |
/// | tol | ± on the mean diameter, `tolerance_mm` | mm |
/// | ov | greatest less least diameter at one section, `ovality_mm` | mm |
/// | seam | height of one seam inside, `seam_mm` | mm |
///
/// # Validity
/// One seam: a body lying against the wall opposite it loses the seam's height once.
/// The result may be zero or negative, where nothing passes at all.
///
/// # Source
/// Derived: an oval of mean diameter d is d - ov/2 across its short axis.
///
/// # Errors
/// [`Misfit`] if the diameter is not greater than zero, or an allowance is negative.
///
/// ```
/// use restrand_mechanics::passing::worst_bore_mm;
/// assert_eq!(worst_bore_mm(120.0, 0.5, 1.0, 1.5)?, 117.5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn worst_bore_mm(
    inner_mm: f64,
    tolerance_mm: f64,
    ovality_mm: f64,
    seam_mm: f64,
) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("inner_mm"), inner_mm)?
        - not_negative(Argument::new("tolerance_mm"), tolerance_mm)?
        - not_negative(Argument::new("ovality_mm"), ovality_mm)? / 2.0
        - not_negative(Argument::new("seam_mm"), seam_mm)?)
}
