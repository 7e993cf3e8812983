//! A replaceable part as a body of revolution: a cylinder or cone, with at most one greater flange, bead or clamp.

use crate::misfit::{Argument, LARGEST, Misfit, not_negative, number, positive};

/// How near two faces on the axis are one place, mm.
///
/// A wedge plate that sits on the bearing plate does not stand in its bore.
/// Coordinates come from sums and unit conversions, whose rounding is far below this, and no gap that matters is as small.
pub const ABUTTING_MM: f64 = 1e-6;

/// A rigid part that leaves, on the anchorage's axis: 0 at the bearing-plate face, positive rearward.
///
/// A deviator form's axis is the other way round, with `rear` at the lower coordinate: mirror it before it comes here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Coordinate of the span end, mm.
    pub from_mm: f64,
    /// Coordinate of the rear end, mm; not less than `from_mm`.
    pub to_mm: f64,
    /// Outside diameter at the rear end, mm.
    pub rear_outer_mm: f64,
    /// Outside diameter at the span end, mm.
    pub span_outer_mm: f64,
    /// Greatest outside diameter (flange, bead, clamp), mm; where it is less than an end's, the end's counts.
    pub greatest_outer_mm: Option<f64>,
    /// Where the greatest diameter is, mm; absent, it may be anywhere and is taken over the whole body.
    pub greatest_outer_at_mm: Option<f64>,
    /// ± on the mean diameter, mm.
    pub tolerance_mm: f64,
    /// Greatest less least diameter at one section, mm.
    pub ovality_mm: f64,
}

impl Body {
    pub(super) fn check(&self, index: usize) -> Result<(), Misfit> {
        let name = |name| Argument::of("bodies", index, name);
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
        positive(name("rear_outer_mm"), self.rear_outer_mm)?;
        positive(name("span_outer_mm"), self.span_outer_mm)?;
        if let Some(greatest) = self.greatest_outer_mm {
            positive(name("greatest_outer_mm"), greatest)?;
        }
        if let Some(at) = self.greatest_outer_at_mm {
            let argument = name("greatest_outer_at_mm");
            if !(from..=to).contains(&number(argument, at)?) {
                return Err(Misfit::NotWithin { argument, value: at, least: from, most: to });
            }
        }
        not_negative(name("tolerance_mm"), self.tolerance_mm)?;
        not_negative(name("ovality_mm"), self.ovality_mm)?;
        Ok(())
    }

    /// What tolerance and ovality add to any diameter of this body.
    pub(super) fn growth_mm(&self) -> f64 {
        self.tolerance_mm + self.ovality_mm / 2.0
    }

    /// The same body seen from the other end of the axis.
    pub(super) fn mirrored(&self) -> Self {
        Self {
            from_mm: -self.to_mm,
            to_mm: -self.from_mm,
            rear_outer_mm: self.span_outer_mm,
            span_outer_mm: self.rear_outer_mm,
            greatest_outer_at_mm: self.greatest_outer_at_mm.map(|at| -at),
            ..*self
        }
    }

    /// The greatest nominal diameter among the sections that pass `at_mm` on their way rearward, and where it is.
    ///
    /// With `touching`, a section that stands at `at_mm` counts as passing it; without, it must come from further in.
    pub(super) fn greatest_passing(&self, at_mm: f64, touching: bool) -> Option<(f64, f64)> {
        let reach = if touching { at_mm } else { at_mm - ABUTTING_MM };
        if self.from_mm > reach {
            return None;
        }
        let high = self.to_mm.min(at_mm);
        let mut best = (self.cone_mm(self.from_mm), self.from_mm);
        let at_high = (self.cone_mm(high), high);
        if at_high.0 > best.0 {
            best = at_high;
        }
        if let Some(greatest) = self.greatest_outer_mm
            && greatest > best.0
        {
            match self.greatest_outer_at_mm {
                Some(at) if at <= reach => best = (greatest, at),
                Some(_) => {}
                None => best.0 = greatest,
            }
        }
        Some(best)
    }

    fn cone_mm(&self, at_mm: f64) -> f64 {
        let length = self.to_mm - self.from_mm;
        if length > 0.0 {
            let share = (at_mm - self.from_mm) / length;
            self.span_outer_mm * (1.0 - share) + self.rear_outer_mm * share
        } else {
            self.span_outer_mm.max(self.rear_outer_mm)
        }
    }
}

/// Returns the diameter that a body may have at worst.
///
/// # Formula
/// `Dw = Do + tol + ov / 2`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Do | greatest outside diameter, `greatest_outer_mm` | mm |
/// | tol | ± on the mean diameter, `tolerance_mm` | mm |
/// | ov | greatest less least diameter at one section, `ovality_mm` | mm |
///
/// # Validity
/// Round and oval sections; `Do` takes in flanges, beads and clamps.
///
/// # Source
/// Derived: an oval of mean diameter D is D + ov/2 across its long axis.
///
/// # Errors
/// [`Misfit`] if the diameter is not greater than zero, or an allowance is negative.
///
/// ```
/// use restrand_mechanics::passing::worst_outer_mm;
/// assert_eq!(worst_outer_mm(114.0, 0.5, 1.0)?, 115.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn worst_outer_mm(
    greatest_outer_mm: f64,
    tolerance_mm: f64,
    ovality_mm: f64,
) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("greatest_outer_mm"), greatest_outer_mm)?
        + not_negative(Argument::new("tolerance_mm"), tolerance_mm)?
        + not_negative(Argument::new("ovality_mm"), ovality_mm)? / 2.0)
}
