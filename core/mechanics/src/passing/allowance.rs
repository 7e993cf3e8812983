//! Sorts a gap against the gap that is asked: clash, short of it, or clear.

use super::Pinch;
use crate::misfit::{Argument, Misfit, not_negative};

/// A difference of gaps that is no difference, mm: decimal fractions are not exact.
pub const CONTACT_MM: f64 = 1e-9;

/// How a passage stands to the gap that is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Passage {
    /// The bodies clash at worst tolerance, with every allowance zero.
    Clash {
        /// How much too thick the body is, radially, mm.
        overlap_mm: f64,
    },
    /// They clear, by less than what is asked.
    Short {
        /// What they clear by, mm.
        gap_mm: f64,
        /// What is missing, mm.
        shortfall_mm: f64,
    },
    /// They clear by what is asked or more.
    Clear {
        /// What is left beyond what is asked, mm.
        spare_mm: f64,
    },
}

/// Tells a clash from a gap that is merely smaller than asked.
///
/// # Formula
/// clash if `g < 0`; short if `0 <= g < a`; clear if `g >= a`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | g | radial gap at worst tolerance, [`Pinch::gap_mm`] | mm |
/// | a | radial gap that is asked, `withdrawal_gap_mm` | mm |
///
/// # Validity
/// Tolerances, ovality and seam are in `g` already and stay there: a clash is one with every *allowance* zero.
/// Bare contact is no clash.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if the gap that is asked is negative or not finite.
///
/// ```
/// use restrand_mechanics::passing::{allowance_split, tightest, Body, Bore, Exit, Passage};
/// let pipe = Body {
///     from_mm: -900.0, to_mm: 40.0, rear_outer_mm: 114.0, span_outer_mm: 114.0,
///     greatest_outer_mm: None, greatest_outer_at_mm: None, tolerance_mm: 0.5, ovality_mm: 1.0,
/// };
/// let cast_in = Bore {
///     from_mm: -800.0, to_mm: 0.0, rear_inner_mm: 120.0, span_inner_mm: 120.0,
///     tolerance_mm: 0.5, ovality_mm: 1.0, seam_mm: 0.0,
/// };
/// let pinch = tightest(&[pipe], &[cast_in], Exit::Rear)?.expect("they meet");
/// assert_eq!(pinch.gap_mm, 2.0);
/// assert_eq!(pinch.nominal_gap_mm, 3.0);
/// assert_eq!(
///     allowance_split(&pinch, 3.0)?,
///     Passage::Short { gap_mm: 2.0, shortfall_mm: 1.0 }
/// );
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn allowance_split(pinch: &Pinch, withdrawal_gap_mm: f64) -> Result<Passage, Misfit> {
    let asked = not_negative(Argument::new("withdrawal_gap_mm"), withdrawal_gap_mm)?;
    let gap = crate::misfit::number(Argument::new("gap_mm"), pinch.gap_mm)?;
    Ok(if gap < -CONTACT_MM {
        Passage::Clash { overlap_mm: -gap }
    } else if gap < asked - CONTACT_MM {
        Passage::Short { gap_mm: gap.max(0.0), shortfall_mm: asked - gap.max(0.0) }
    } else {
        Passage::Clear { spare_mm: (gap - asked).max(0.0) }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bare_contact_is_no_clash_and_a_rounding_is_no_shortfall() {
        let pinch = |gap_mm| Pinch {
            body: 0,
            bore: 0,
            at_mm: 0.0,
            section_mm: 0.0,
            worst_outer_mm: 100.0,
            worst_bore_mm: 100.0 + 2.0 * gap_mm,
            gap_mm,
            nominal_gap_mm: gap_mm,
        };
        let split = |gap_mm, asked_mm| allowance_split(&pinch(gap_mm), asked_mm).unwrap();
        for gap_mm in [0.0, -CONTACT_MM / 2.0] {
            assert_eq!(split(gap_mm, 3.0), Passage::Short { gap_mm: 0.0, shortfall_mm: 3.0 });
            assert_eq!(split(gap_mm, 0.0), Passage::Clear { spare_mm: 0.0 });
        }
        assert_eq!(split(3.0 - CONTACT_MM / 2.0, 3.0), Passage::Clear { spare_mm: 0.0 });
        assert!(matches!(split(3.0 - 2.0 * CONTACT_MM, 3.0), Passage::Short { .. }));
        assert_eq!(split(-0.5, 3.0), Passage::Clash { overlap_mm: 0.5 });
        assert!(matches!(split(-2.0 * CONTACT_MM, 0.0), Passage::Clash { .. }));
    }
}
