//! A flared bore, whose wall is an arc, as short cones that are nowhere wider than it.

use super::bore::Bore;
use crate::misfit::{Argument, Misfit, above, positive};

/// How much narrower than its arc a flare may be taken, mm: far below any tolerance of its making.
pub const FLARE_WITHIN_MM: f64 = 0.02;

/// The most cones into which one flare is cut.
const MOST: f64 = 4096.0;

/// Cuts a flared bore into cones that are nowhere wider than the flare, and nowhere narrower by more than `within_mm`.
///
/// # Formula
/// The wall is the arc of radius R through both ends of the bore that bulges towards the axis.
/// Seen along the axis, with the chord of length c at the slope φ, the wall at a share of the chord lies inside it by the sagitta
/// `s(t) = √(R² - t²) - √(R² - c²/4)`, t from the chord's middle, at right angles to the chord; on diameter that is `2 s / cos φ` at most.
/// The arc is cut at even steps along the axis into n chords; each of them is moved towards the axis by its own greatest sagitta,
/// `(l/n / cos φe)² / 8R` on radius, where φe is the arc's steepest slope.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R | radius of the wall in section along the axis, `wall_radius_mm` | mm |
/// | l | length of the bore along the axis | mm |
/// | n | cones | |
///
/// # Validity
/// The wall bulges towards the axis everywhere, as that of a flared form does. R must reach over the chord.
/// A bore whose ends are alike and whose wall is an arc has its throat in the middle.
///
/// # Source
/// Geometry of the circle; checked against points of the circle.
///
/// # Errors
/// [`Misfit`] if the bore's own numbers cannot be right, R is less than half the chord, or `within_mm` is not greater than zero.
///
/// ```
/// use restrand_mechanics::passing::{flare, Bore};
/// // From a throat of 150 mm to 207.6 mm over 479 mm, on a wall of 4 m: tangent to the axis at the throat.
/// let bore = Bore {
///     from_mm: -500.0, to_mm: -21.0, rear_inner_mm: 150.0, span_inner_mm: 207.57,
///     tolerance_mm: 0.0, ovality_mm: 0.0, seam_mm: 0.0,
/// };
/// let cones = flare(bore, 4000.0, 0.05)?;
/// let at = cones.iter().find(|cone| cone.to_mm > -260.0).expect("the place lies in the bore");
/// // The straight line between the ends would say 178.7 mm here, the arc says 164.3 mm.
/// assert!(at.span_inner_mm > 164.0 && at.rear_inner_mm < 165.0);
/// assert!(at.span_inner_mm - at.rear_inner_mm < 5.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn flare(bore: Bore, wall_radius_mm: f64, within_mm: f64) -> Result<Vec<Bore>, Misfit> {
    bore.check(0)?;
    let radius = positive(Argument::new("wall_radius_mm"), wall_radius_mm)?;
    let within = positive(Argument::new("within_mm"), within_mm)?;
    let length = bore.to_mm - bore.from_mm;
    let rise = (bore.rear_inner_mm - bore.span_inner_mm) / 2.0;
    let half_chord = length.hypot(rise) / 2.0;
    if half_chord <= 0.0 {
        return Ok(vec![bore]);
    }
    above(Argument::new("wall_radius_mm"), radius, half_chord, "half the chord of the wall")?;
    // The centre lies outside the chord, on the side away from the axis.
    let to_centre = ((radius - half_chord) * (radius + half_chord)).sqrt();
    let (along, out) = (length / 2.0 / half_chord, rise / 2.0 / half_chord);
    let centre_x = f64::midpoint(bore.from_mm, bore.to_mm) - out * to_centre;
    let centre_r = f64::midpoint(bore.span_inner_mm, bore.rear_inner_mm) / 2.0 + along * to_centre;
    let wall = |x: f64| {
        let x = x - centre_x;
        centre_r - ((radius - x) * (radius + x)).max(0.0).sqrt()
    };
    let steepest = (bore.from_mm - centre_x).abs().max((bore.to_mm - centre_x).abs());
    let cos = ((1.0 - steepest / radius) * (1.0 + steepest / radius)).max(0.0).sqrt();
    let secant = 1.0 / cos.max(1e-3);
    // On diameter, a chord of the slope φ and length l / cos φ has the sagitta l² / (8 R cos² φ), seen across as one more / cos φ.
    let sagitta = |count: f64| 2.0 * (length / count).powi(2) * secant.powi(3) / (8.0 * radius);
    let count = (sagitta(1.0) / within).sqrt().ceil().clamp(1.0, MOST);
    let inset = sagitta(count);
    let place = |step: f64| bore.from_mm + length * (step / count);
    let mut cones = Vec::new();
    let mut step = 0.0;
    while step < count {
        let (from_mm, to_mm) = (place(step), place(step + 1.0));
        let inner = |x: f64| (2.0 * wall(x) - inset).max(crate::misfit::SMALLEST);
        cones.push(Bore {
            from_mm,
            to_mm,
            span_inner_mm: inner(from_mm),
            rear_inner_mm: inner(to_mm),
            ..bore
        });
        step += 1.0;
    }
    Ok(cones)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Points of the arc through both ends by bisection of the bulge, without the centre.
    #[test]
    fn the_cones_lie_inside_the_arc_and_near_it() {
        for (length, span, rear, radius) in [
            (479.0, 207.5, 150.0, 4000.0),
            (479.0, 150.0, 207.5, 4000.0),
            (1000.0, 207.5, 207.5, 4000.0),
            (300.0, 150.0, 260.0, 900.0),
        ] {
            let bore = Bore {
                from_mm: -length,
                to_mm: 0.0,
                rear_inner_mm: rear,
                span_inner_mm: span,
                tolerance_mm: 0.0,
                ovality_mm: 0.0,
                seam_mm: 0.0,
            };
            let cones = flare(bore, radius, 0.02).unwrap();
            assert_eq!(cones[0].from_mm, -length);
            assert!((cones.last().unwrap().to_mm).abs() < 1e-9);
            // The arc as a function of its angle: start angle from the end points, radius from the argument.
            let (x1, y1, x2, y2) = (-length, span / 2.0, 0.0, rear / 2.0);
            let chord = ((x2 - x1) * (x2 - x1) + (y2 - y1) * (y2 - y1)).sqrt();
            let half = (chord / 2.0 / radius).asin();
            let tilt = (y2 - y1).atan2(x2 - x1);
            for step in 0..=2000 {
                let angle = -half + 2.0 * half * f64::from(step) / 2000.0;
                // In the chord's own axes: along it, and below it (towards the axis).
                let along = radius * angle.sin() + chord / 2.0;
                let below = radius * (angle.cos() - half.cos());
                let x = x1 + along * tilt.cos() + below * tilt.sin();
                let inner = 2.0 * (y1 + along * tilt.sin() - below * tilt.cos());
                let Some(cone) = cones.iter().find(|c| c.from_mm <= x && x <= c.to_mm) else {
                    continue;
                };
                let missing = inner - cone.cone_mm(x);
                assert!((-1e-6..0.05).contains(&missing), "{missing} at {x} of {radius}");
            }
        }
    }

    #[test]
    fn a_wall_that_cannot_reach_over_its_chord_is_refused() {
        let bore = Bore {
            from_mm: -500.0,
            to_mm: 0.0,
            rear_inner_mm: 150.0,
            span_inner_mm: 200.0,
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
            seam_mm: 0.0,
        };
        assert!(flare(bore, 200.0, 0.02).is_err());
        assert!(flare(bore, f64::NAN, 0.02).is_err());
    }
}
