//! A straight bar that stands askew in a flared throat.

use std::f64::consts::FRAC_PI_2;

use super::Flare;
use crate::misfit::{Argument, Misfit, not_negative, positive, within};

/// Returns the throat that a straight bar needs at a tilt.
///
/// # Formula
/// `Dt = (Do + 2R + Lt·sin φ) / cos φ - 2R`
///
/// In a section along the axis the walls are discs of radius R with centres ± (Dt/2 + R) off the axis and ± Lt/2 along it.
/// Across the bar, the nearest pair of centres is `(Dt + 2R)·cos φ - Lt·sin φ` apart, and must be `Do + 2R`.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Do | the bar's diameter, at worst, `outer_mm` | mm |
/// | R | wall radius, `wall_radius_mm`; 0 for a straight pipe with sharp ends | mm |
/// | Lt | length of the straight throat, `throat_length_mm` | mm |
/// | φ | tilt of the bar to the form's axis, `tilt_rad` | rad |
/// | Dt | the throat's bore | mm |
///
/// # Validity
/// The bar is longer than the form and turns in its middle. The flare is at least φ, else the bar bears on the face's edge
/// and [`tilted_gap_mm`] holds. Exact for round bars in forms of revolution: the nearest places lie in the plane of the tilt.
///
/// # Source
/// Derived; checked against sampled walls.
///
/// # Errors
/// [`Misfit`] if a length is not finite, negative or zero where it can't be, or the tilt is not from 0 to a right angle.
///
/// ```
/// use restrand_mechanics::passing::throat_for_tilt_mm;
/// let throat_mm = throat_for_tilt_mm(114.3, 3000.0, 0.0, 4.0_f64.to_radians())?;
/// assert!((throat_mm - 129.2).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn throat_for_tilt_mm(
    outer_mm: f64,
    wall_radius_mm: f64,
    throat_length_mm: f64,
    tilt_rad: f64,
) -> Result<f64, Misfit> {
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    let wall = not_negative(Argument::new("wall_radius_mm"), wall_radius_mm)?;
    let length = not_negative(Argument::new("throat_length_mm"), throat_length_mm)?;
    let tilt = tilt("tilt_rad", tilt_rad)?;
    let (sin, cos) = tilt.sin_cos();
    Ok((outer + length * sin + 4.0 * wall * (tilt / 2.0).sin().powi(2)) / cos)
}

/// Returns the radial gap of a straight bar that stands in a flared form, tilted about its middle.
///
/// # Formula
/// `g = ((Dt + 2R)·cos φ - Lt·sin φ - 2R - Do) / 2` if `φ <= θf`; else, at the edge of the face,
/// `g = re·cos φ - xe·sin φ - Do/2` with `re = Dt/2 + R·(1 - cos θf)`, `xe = Lt/2 + R·sin θf`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R, Dt, Lt, θf | the form, [`Flare`] | mm, rad |
/// | Do | the bar's diameter, `outer_mm` | mm |
/// | φ | tilt of the bar to the form's axis, `tilt_rad` | rad |
/// | g | gap each side; negative where it does not stand there | mm |
///
/// # Validity
/// As for [`throat_for_tilt_mm`], at any flare. The gap is what is left each side when the bar lies in the middle.
///
/// # Source
/// Derived; checked against sampled walls.
///
/// # Errors
/// [`Misfit`] if a length or angle of the form or the bar cannot be right.
///
/// ```
/// use restrand_mechanics::passing::{tilted_gap_mm, Flare};
/// let form = Flare { wall_radius_mm: 3000.0, throat_mm: 130.0, throat_length_mm: 0.0, flare_rad: 0.1 };
/// assert!((tilted_gap_mm(&form, 114.3, 0.0)? - 7.85).abs() < 1e-9);
/// assert!((tilted_gap_mm(&form, 114.3, 0.07)? - 0.344).abs() < 0.001);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tilted_gap_mm(form: &Flare, outer_mm: f64, tilt_rad: f64) -> Result<f64, Misfit> {
    form.check()?;
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    Ok(form.half_width_mm(tilt("tilt_rad", tilt_rad)?) - outer / 2.0)
}

/// Returns the greatest tilt at which a straight bar keeps a gap in a flared form; `None` where it does not even straight.
///
/// # Formula
/// `φ = arccos((Do + 2g + 2R) / h) - ψ` with `h = √((Dt + 2R)² + Lt²)`, `tan ψ = Lt / (Dt + 2R)`, if that is `θf` or less; else
/// `φ = arccos((Do/2 + g) / he) - ψe` with `he = √(re² + xe²)`, `tan ψe = xe / re`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R, Dt, Lt, θf | the form, [`Flare`] | mm, rad |
/// | re, xe | radius and distance from the middle of the face's edge, see [`tilted_gap_mm`] | mm |
/// | Do | the bar's diameter, `outer_mm` | mm |
/// | g | gap that is asked each side, `gap_mm` | mm |
/// | φ | tilt of the bar to the form's axis | rad |
///
/// # Validity
/// As for [`tilted_gap_mm`], whose inverse it is. A straight guide pipe is a form with wall radius and flare 0.
///
/// # Source
/// Derived; checked against the gap and against sampled walls.
///
/// # Errors
/// [`Misfit`] if a length or angle of the form or the bar cannot be right.
///
/// ```
/// use restrand_mechanics::passing::{greatest_tilt_rad, Flare};
/// let form = Flare { wall_radius_mm: 4000.0, throat_mm: 147.0, throat_length_mm: 0.0, flare_rad: 0.12 };
/// let tilt_rad = greatest_tilt_rad(&form, 126.5, 0.0)?.expect("the throat is wider");
/// assert!((tilt_rad - 0.0710).abs() < 5e-5);
/// assert_eq!(greatest_tilt_rad(&form, 150.0, 0.0)?, None);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn greatest_tilt_rad(form: &Flare, outer_mm: f64, gap_mm: f64) -> Result<Option<f64>, Misfit> {
    form.check()?;
    let outer = positive(Argument::new("outer_mm"), outer_mm)?;
    let gap = not_negative(Argument::new("gap_mm"), gap_mm)?;
    Ok(tilt_where_half_width_is(form, outer / 2.0 + gap))
}

pub(super) fn tilt_where_half_width_is(form: &Flare, half_mm: f64) -> Option<f64> {
    if half_mm > form.half_width_mm(0.0) {
        return None;
    }
    let at_face = form.half_width_mm(form.flare_rad) >= half_mm;
    let (across, along, half) = if at_face {
        (form.exit_radius_mm(), form.half_length_mm(), half_mm)
    } else {
        let wall = form.wall_radius_mm;
        (form.throat_mm / 2.0 + wall, form.throat_length_mm / 2.0, half_mm + wall)
    };
    Some(angle_where(across, along, half).clamp(0.0, FRAC_PI_2))
}

/// The angle φ >= 0 at which `across·cos φ - along·sin φ` is `half`.
///
/// In tangents of half the angle, which keep their digits where the arccosine of nearly 1 loses them.
pub(super) fn angle_where(across: f64, along: f64, half: f64) -> f64 {
    let slack = across - half;
    if slack <= 0.0 {
        return 0.0;
    }
    let root = (along * along + slack * (across + half)).sqrt();
    2.0 * (slack / (along + root)).atan()
}

pub(super) fn tilt(name: &'static str, value: f64) -> Result<f64, Misfit> {
    within(Argument::new(name), value, 0.0, FRAC_PI_2)
}
