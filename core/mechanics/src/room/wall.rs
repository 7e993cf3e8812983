//! Room beside the anchorage's axis: the jack's circle, with hoses on one side, against the walls round it.

use std::f64::consts::FRAC_PI_2;

use crate::misfit::{Argument, Misfit, not_negative, number, positive, within};

/// A side of the anchorage's axis, seen rearward.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Up.
    Up,
    /// Down.
    Down,
    /// Left.
    Left,
    /// Right.
    Right,
}

/// What a jack takes beside the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Envelope {
    /// Radius of the jack, mm.
    pub radius_mm: f64,
    /// How far hoses and fittings stand out beyond the radius, mm; 0 without.
    pub hose_mm: f64,
    /// The side on which they do.
    pub hose_side: Side,
}

impl Envelope {
    fn reach_mm(&self, side: Side) -> Result<f64, Misfit> {
        let radius = positive(Argument::new("radius_mm"), self.radius_mm)?;
        let hose = not_negative(Argument::new("hose_mm"), self.hose_mm)?;
        Ok(if side == self.hose_side { radius + hose } else { radius })
    }
}

/// Returns the gap between an envelope and the nearest wall on one side, where the least distance is stated.
///
/// # Formula
/// `g = w - (r + q)`, q only on the hoses' side
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | w | least distance from the axis to the wall, over the length in question, `wall_mm` | mm |
/// | r, q | radius, hoses, [`Envelope`] | mm |
/// | g | gap; negative where it does not fit | mm |
///
/// # Validity
/// The distance is taken square to the axis and is the least over the jack's whole travel.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is not finite, or the envelope's is negative or zero where it can't be.
///
/// ```
/// use restrand_mechanics::room::{wall_gap_mm, Envelope, Side};
/// let jack = Envelope { radius_mm: 225.0, hose_mm: 80.0, hose_side: Side::Up };
/// assert_eq!(wall_gap_mm(&jack, Side::Up, 360.0)?, 55.0);
/// assert_eq!(wall_gap_mm(&jack, Side::Left, 360.0)?, 135.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn wall_gap_mm(envelope: &Envelope, side: Side, wall_mm: f64) -> Result<f64, Misfit> {
    Ok(number(Argument::new("wall_mm"), wall_mm)? - envelope.reach_mm(side)?)
}

/// Returns the gap between an envelope and a flat wall towards or from which the axis is tilted.
///
/// # Formula
/// `g = w·cos τ - (r + q)·cos τ - x·sin τ`, x the end that is nearer the wall: `to` if `τ > 0`, else `from`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | w | distance from the axis to the wall at the bearing-plate face, square to the axis, `wall_mm` | mm |
/// | τ | angle of the axis towards the wall, going rearward; negative away from it, `tilt_rad` | rad |
/// | from, to | stretch of the axis that the envelope takes, from the bearing-plate face, `from_mm`, `to_mm` | mm |
/// | r, q | radius, hoses, [`Envelope`] | mm |
/// | g | least gap, square to the wall; negative where it does not fit | mm |
///
/// # Validity
/// A flat wall; the envelope's ends are square to the axis, and its hoses run along its whole length.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a number is not finite, the tilt is beyond a right angle, `to` is before `from`, or a radius is not greater than zero.
///
/// ```
/// use restrand_mechanics::room::{wall_gap_tilted_mm, Envelope, Side};
/// let jack = Envelope { radius_mm: 225.0, hose_mm: 0.0, hose_side: Side::Up };
/// let gap_mm = wall_gap_tilted_mm(&jack, Side::Up, 650.0, 0.0961, 0.0, 3000.0)?;
/// assert!((gap_mm - 135.2).abs() < 0.1);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn wall_gap_tilted_mm(
    envelope: &Envelope,
    side: Side,
    wall_mm: f64,
    tilt_rad: f64,
    from_mm: f64,
    to_mm: f64,
) -> Result<f64, Misfit> {
    let wall = number(Argument::new("wall_mm"), wall_mm)?;
    let tilt = within(Argument::new("tilt_rad"), tilt_rad, -FRAC_PI_2, FRAC_PI_2)?;
    let from = number(Argument::new("from_mm"), from_mm)?;
    let to = within(Argument::new("to_mm"), to_mm, from, crate::misfit::LARGEST)?;
    let (sin, cos) = tilt.sin_cos();
    let nearest = if tilt > 0.0 { to } else { from };
    Ok((wall - envelope.reach_mm(side)?) * cos - nearest * sin)
}
