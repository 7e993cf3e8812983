//! A straight rod, or the straight leg of a tendon, through a bent pipe.

use std::f64::consts::PI;

use super::tilt::angle_where;
use crate::misfit::{Argument, Misfit, SMALLEST, above, not_negative, positive, within};

/// A pipe bent to an arc, with a straight end at each side of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentPipe {
    /// R: radius of the pipe's axis, mm.
    pub axis_radius_mm: f64,
    /// b: bore, at worst, mm; less than twice the radius.
    pub bore_mm: f64,
    /// α: bend, rad; 0 to half a turn.
    pub bend_rad: f64,
    /// e1: length of one straight end, mm; 0 where the arc ends in the face.
    pub one_end_mm: f64,
    /// e2: length of the other, mm.
    pub other_end_mm: f64,
}

/// How long a rod may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RodLength {
    /// It is too thick, at any length.
    Nothing,
    /// Up to a length.
    UpTo {
        /// The greatest length, mm.
        length_mm: f64,
    },
    /// As long as there is room for outside the pipe.
    Any,
}

/// Returns the longest straight rod that passes a bent pipe, given room to swing at both faces.
///
/// # Formula
/// With `ρ = R + b/2` and `h = R - b/2 + Do`, a rod at the angle β to one end's axis lies on the inner wall, and
/// its outer edge, h from the centre, reaches the outer wall at
///
/// `t(β) = √(ρ² - h²)` if `β >= γ = arccos(h / ρ)` (on the arc), else `(ρ - h·cos β) / sin β` (on the straight end), and
/// leaves the pipe through its face if `β <= βe`, where `ρ·cos βe - h = e·sin βe`.
///
/// The rod turns from β = 0 to α, so `L = min over β of t(β) + t(α - β)`. t is convex and its slope is continuous, so the least is at
/// `β = α/2`, brought into `βe1 … α - βe2`; where that is empty, any length passes. So
///
/// - without straight ends: any length if `Do <= ρ·cos(α/2) - (R - b/2)`, else `L = 2·√(ρ² - h²) = 2·√(2c·(2R + Do))`, about `√(16·R·c)`;
/// - with long ones: `L = 2·t(α/2)`.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R, b, α, e1, e2 | the pipe, [`BentPipe`] | mm, rad |
/// | Do | the rod's diameter, at worst, `outer_mm` | mm |
/// | c | radial gap, `(b - Do) / 2` | mm |
/// | L | length of a rod with square ends | mm |
///
/// # Validity
/// The rod is straight and stiff, bend and rod lie in one plane, and outside the faces nothing hinders the rod's swing.
/// Exact for round rods in round pipes with `R > b/2`: both contacts lie in the plane of the bend.
///
/// # Source
/// Derived; checked against a rod that is marched through the pipe.
///
/// # Errors
/// [`Misfit`] if a length is not finite, negative or zero where it can't be, the radius is not greater than half the bore,
/// or the bend is not from 0 to half a turn.
///
/// ```
/// use restrand_mechanics::passing::{longest_rod, BentPipe, RodLength};
/// let pipe = BentPipe {
///     axis_radius_mm: 3000.0, bore_mm: 135.0, bend_rad: 0.20, one_end_mm: 0.0, other_end_mm: 0.0,
/// };
/// let RodLength::UpTo { length_mm } = longest_rod(&pipe, 127.0)? else { panic!() };
/// assert!((length_mm - 442.8).abs() < 0.05);
/// assert_eq!(longest_rod(&BentPipe { bend_rad: 0.10, ..pipe }, 127.0)?, RodLength::Any);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_rod(pipe: &BentPipe, outer_mm: f64) -> Result<RodLength, Misfit> {
    let radius = positive(Argument::new("axis_radius_mm"), pipe.axis_radius_mm)?;
    let bore = positive(Argument::new("bore_mm"), pipe.bore_mm)?;
    above(Argument::new("axis_radius_mm"), radius, bore / 2.0, "half of bore_mm")?;
    let bend = within(Argument::new("bend_rad"), pipe.bend_rad, 0.0, PI)?;
    let ends = [
        not_negative(Argument::new("one_end_mm"), pipe.one_end_mm)?,
        not_negative(Argument::new("other_end_mm"), pipe.other_end_mm)?,
    ];
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    if outer > bore {
        return Ok(RodLength::Nothing);
    }
    let wall = radius + bore / 2.0;
    let edge = radius - bore / 2.0 + outer;
    let [first, last] = ends.map(|end| angle_where(wall, end, edge));
    // A bend by the very angle at which the rod's edge leaves over both faces' rims still lets it by.
    if first + last >= bend {
        return Ok(RodLength::Any);
    }
    let on_arc_from = angle_where(wall, 0.0, edge);
    let on_arc = ((bore - outer) * (wall + edge)).sqrt();
    let reach = |angle: f64| {
        if angle >= on_arc_from {
            on_arc
        } else {
            // (ρ - h·cos β) / sin β, without the difference of nearly equal numbers.
            (bore - outer) / angle.sin() + edge * (angle / 2.0).tan()
        }
    };
    let angle = (bend / 2.0).clamp(first, bend - last);
    let length_mm = reach(angle) + reach(bend - angle);
    Ok(if length_mm < SMALLEST { RodLength::Nothing } else { RodLength::UpTo { length_mm } })
}
