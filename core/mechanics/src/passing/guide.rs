//! Play of a duct or pipe in a straight guide pipe, and what an angle leaves of it.

use std::f64::consts::FRAC_PI_2;

use super::tilt::{angle_where, tilt};
use crate::misfit::{Argument, Misfit, above, not_negative, positive};

/// Where a pipe turns that is not in line with its guide pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pivot {
    /// In the middle of the guide pipe: neither end holds it, and it touches at both mouths.
    Middle {
        /// Lg: length of the straight guide pipe, mm.
        length_mm: f64,
    },
    /// At the anchorage: the wedge plate holds it there, and it touches at the far mouth.
    Anchorage {
        /// From the bearing-plate face to the guide pipe's mouth, mm.
        to_mouth_mm: f64,
    },
}

impl Pivot {
    /// From the pivot to the mouth where the pipe touches first.
    fn lever_mm(self) -> Result<f64, Misfit> {
        match self {
            Self::Middle { length_mm } => {
                Ok(positive(Argument::new("length_mm"), length_mm)? / 2.0)
            }
            Self::Anchorage { to_mouth_mm } => positive(Argument::new("to_mouth_mm"), to_mouth_mm),
        }
    }
}

/// What an angle takes of the gap at the mouth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuideGap {
    /// What it takes, mm.
    pub used_mm: f64,
    /// What is left, mm; negative where the pipe touches before.
    pub left_mm: f64,
}

/// Returns the misalignment that a radial gap in a guide pipe admits, by the small-angle formula.
///
/// # Formula
/// `δ = c / l`, with `l = Lg/2` about the middle (so `2c/Lg`), and `l` = anchorage to mouth about the anchorage
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | c | radial gap that may be used up, `gap_mm` | mm |
/// | Lg, l | length of the guide pipe, lever, [`Pivot`] | mm |
/// | δ | angle between the axes | rad |
///
/// # Validity
/// Small angles. It leaves out that an askew pipe is wider across by 1/cos, and so overstates δ by a share of about `b·δ/(2·Lg)` about
/// the middle (b the bore): 1 % at 0.065 rad in a pipe four bores long. [`guide_tilt_rad`] is exact.
/// About the anchorage the lever runs from the anchorage, not from the guide pipe's near end.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if the gap is negative or a length not greater than zero.
///
/// ```
/// use restrand_mechanics::passing::{guide_play_rad, Pivot};
/// assert_eq!(guide_play_rad(20.0, Pivot::Middle { length_mm: 1000.0 })?, 0.04);
/// assert_eq!(guide_play_rad(20.0, Pivot::Anchorage { to_mouth_mm: 1000.0 })?, 0.02);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn guide_play_rad(gap_mm: f64, pivot: Pivot) -> Result<f64, Misfit> {
    Ok(not_negative(Argument::new("gap_mm"), gap_mm)? / pivot.lever_mm()?)
}

/// Returns the greatest tilt of a straight pipe in a straight guide pipe, exactly.
///
/// # Formula
/// `b·cos φ - 2l·sin φ = Do + 2g`, with l as in [`guide_play_rad`]
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | b | the guide pipe's bore, `bore_mm` | mm |
/// | Do | the pipe's diameter, `outer_mm` | mm |
/// | g | gap that stays, `gap_mm` | mm |
/// | l | lever, [`Pivot`] | mm |
/// | φ | tilt | rad |
///
/// # Validity
/// The pipe is longer than its guide on both sides of the pivot, and its axis passes the guide's axis there; the mouth's rim is sharp.
///
/// # Source
/// Derived; about the middle it is [`greatest_tilt_rad`](super::greatest_tilt_rad) of a form without flare.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero, the gap is negative, or the pipe with its gap is not thinner than the bore.
///
/// ```
/// use restrand_mechanics::passing::{guide_tilt_rad, Pivot};
/// let tilt_rad = guide_tilt_rad(177.0, 126.5, 3.0, Pivot::Middle { length_mm: 680.0 })?;
/// assert!((tilt_rad - 0.0649).abs() < 5e-5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn guide_tilt_rad(
    bore_mm: f64,
    outer_mm: f64,
    gap_mm: f64,
    pivot: Pivot,
) -> Result<f64, Misfit> {
    let bore = positive(Argument::new("bore_mm"), bore_mm)?;
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    let gap = not_negative(Argument::new("gap_mm"), gap_mm)?;
    let lever = pivot.lever_mm()?;
    above(Argument::new("bore_mm"), bore, outer + 2.0 * gap, "outer_mm with a gap each side")?;
    Ok(angle_where(bore / 2.0, lever, outer / 2.0 + gap).min(FRAC_PI_2))
}

/// Returns what an angle between pipe and guide pipe takes of the gap at the mouth, and what is left.
///
/// # Formula
/// `used = l·sin δ + b/2·(1 - cos δ)`; `left = (b - Do)/2 - used`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | b | the guide pipe's bore, `bore_mm` | mm |
/// | Do | the pipe's diameter, `outer_mm` | mm |
/// | δ | angle between the axes (of placement, or of the tendon), `angle_rad` | rad |
/// | l | lever, [`Pivot`] | mm |
///
/// # Validity
/// As for [`guide_tilt_rad`], whose inverse it is: the gap is square to the pipe. Angles from several causes are added by the caller.
/// In line, the gap is half of what the bore is wider; it may be negative already then.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if the angle is not from 0 to a right angle, or a length is not greater than zero.
///
/// ```
/// use restrand_mechanics::passing::{guide_gap, guide_tilt_rad, Pivot};
/// let anchorage = Pivot::Anchorage { to_mouth_mm: 1000.0 };
/// let gap = guide_gap(176.5, 126.5, 0.01, anchorage)?;
/// assert!((gap.left_mm - 14.9958).abs() < 5e-5);
/// assert!((guide_tilt_rad(176.5, 126.5, gap.left_mm, anchorage)? - 0.01).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn guide_gap(
    bore_mm: f64,
    outer_mm: f64,
    angle_rad: f64,
    pivot: Pivot,
) -> Result<GuideGap, Misfit> {
    let bore = positive(Argument::new("bore_mm"), bore_mm)?;
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    let angle = tilt("angle_rad", angle_rad)?;
    let used_mm = pivot.lever_mm()? * angle.sin() + bore * (angle / 2.0).sin().powi(2);
    Ok(GuideGap { used_mm, left_mm: (bore - outer) / 2.0 - used_mm })
}
