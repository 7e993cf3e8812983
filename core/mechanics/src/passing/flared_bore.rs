//! A flared bore, whose wall is an arc, as short cones that are nowhere wider than it.

use super::bore::Bore;
use crate::misfit::{Argument, LARGEST, Misfit, SMALLEST, positive};

/// How much narrower than its arc a flare may be taken, mm: far below any tolerance of its making.
pub const FLARE_WITHIN_MM: f64 = 0.02;

/// The most cones into which one flare is cut.
pub const MOST_CONES: usize = 4096;

/// What a radius may lack to that of a wall that ends square to the axis, and a share of the wall that is none: rounding.
const ROUNDING: f64 = 1e-9;

/// Cuts a flared bore into cones that are nowhere wider than the flare, and nowhere narrower by more than `within_mm`.
///
/// # Formula
/// The wall is the arc of radius R through both ends of the bore that bulges towards the axis.
/// Each cone touches it at one place, where the wall stands at the angle τ to the axis; beside that place, where it stands at θ,
/// the wall is farther from the axis than the cone by `R·(1 - cos(θ - τ)) / cos τ`. From the flattest place outward, each τ is such
/// that both ends of its cone, at equal angles before and behind τ, are narrower by `within_mm` on diameter.
/// So the cones grow shorter as the wall grows steeper, and reach a wall that ends square to the axis.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R | radius of the wall in section along the axis, `wall_radius_mm` | mm |
/// | θ, τ | angles of the wall to the axis | rad |
///
/// # Validity
/// The wall bulges towards the axis everywhere, as that of a flared form does, and stands square to the axis at its ends at most:
/// `R >= c² / 2l`, c the chord between the ends and l its length along the axis.
/// A bore whose ends are alike and whose wall is an arc has its throat in the middle. Where the wall would reach the axis
/// nothing passes, and the cones are as narrow as [`SMALLEST`](crate::SMALLEST).
///
/// # Source
/// Geometry of the circle; checked against points of the circle.
///
/// # Errors
/// [`Misfit`] if the bore's own numbers cannot be right, R does not reach from end to end without turning back,
/// or `within_mm` is not greater than zero, or so little that it would take more than [`MOST_CONES`].
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
    let argument = Argument::new("wall_radius_mm");
    let radius = positive(argument, wall_radius_mm)?;
    let within = positive(Argument::new("within_mm"), within_mm)?;
    let length = bore.to_mm - bore.from_mm;
    if length < SMALLEST {
        return Ok(vec![bore]);
    }
    let rise = (bore.rear_inner_mm - bore.span_inner_mm) / 2.0;
    let chord = length.hypot(rise);
    let least = chord / length * chord / 2.0;
    if radius < least * (1.0 - ROUNDING) {
        return Err(Misfit::NotWithin { argument, value: radius, least, most: LARGEST });
    }
    let wall = Wall {
        radius_mm: radius,
        half_rad: (chord / 2.0 / radius).min(1.0).asin(),
        slope_rad: rise.atan2(length),
        middle_mm: (
            f64::midpoint(bore.from_mm, bore.to_mm),
            f64::midpoint(bore.span_inner_mm, bore.rear_inner_mm) / 2.0,
        ),
    };
    let Some(joints) = wall.joints(within / 2.0) else {
        let mut floor = within;
        while wall.joints(floor / 2.0).is_none() {
            floor *= 2.0;
        }
        let argument = Argument::new("within_mm");
        let floor_is = "what the greatest number of cones keeps";
        return Err(Misfit::NotAbove { argument, value: within, floor, floor_is });
    };
    let mut places: Vec<(f64, f64)> = joints.iter().map(|joint| wall.place(joint)).collect();
    // The ends are where they are said to be, whatever the sines make of them.
    let last = places.len() - 1;
    places[0].0 = bore.from_mm;
    places[last].0 = bore.to_mm;
    let inner = |off_mm: f64| (2.0 * off_mm).max(SMALLEST);
    let cones = places.windows(2).map(|pair| Bore {
        from_mm: pair[0].0,
        to_mm: pair[1].0,
        span_inner_mm: inner(pair[0].1),
        rear_inner_mm: inner(pair[1].1),
        ..bore
    });
    Ok(cones.collect())
}

/// The arc of a flare in section along the axis. Angles on it count from the middle, so that a large radius costs no digits.
struct Wall {
    radius_mm: f64,
    /// Half the angle between its ends.
    half_rad: f64,
    /// Angle of its chord to the axis, which is that of the wall in the middle; positive where it opens rearward.
    slope_rad: f64,
    /// The chord's middle, along the axis and off it.
    middle_mm: (f64, f64),
}

/// Where two cones meet, or one ends.
struct Joint {
    /// Angle from the wall's middle.
    off_rad: f64,
    /// How much nearer to the axis than the wall, mm.
    inside_mm: f64,
}

impl Wall {
    /// Place of a joint, along the axis and off it.
    fn place(&self, joint: &Joint) -> (f64, f64) {
        let (half, off) = (self.half_rad, joint.off_rad);
        let along = self.radius_mm * off.sin();
        let below = 2.0 * self.radius_mm * ((half + off) / 2.0).sin() * ((half - off) / 2.0).sin();
        let (sin, cos) = self.slope_rad.sin_cos();
        (
            self.middle_mm.0 + along * cos + below * sin,
            self.middle_mm.1 + along * sin - below * cos - joint.inside_mm,
        )
    }

    /// The joints from the span end to the rear end; `None` where there would be too many.
    fn joints(&self, inside_mm: f64) -> Option<Vec<Joint>> {
        let half = self.half_rad;
        // From the flattest place both ways, the way to the span end as if mirrored.
        let mut flattest = (-self.slope_rad).clamp(-half, half);
        if half - flattest.abs() < ROUNDING * half {
            flattest = half.copysign(flattest);
        }
        let mut joints = Vec::new();
        if flattest > -half {
            let mirrored = self.outward(-self.slope_rad, -flattest, inside_mm)?;
            joints.extend(mirrored.into_iter().rev());
            for joint in &mut joints {
                joint.off_rad = -joint.off_rad;
            }
        }
        if flattest < half {
            let mut up = self.outward(self.slope_rad, flattest, inside_mm)?;
            if let Some(met) = joints.pop() {
                up[0].inside_mm = up[0].inside_mm.max(met.inside_mm);
            }
            joints.extend(up);
        }
        (joints.len() <= MOST_CONES + 1).then_some(joints)
    }

    /// The joints from a place on, where the wall grows steeper, to its end; at least two.
    fn outward(&self, slope: f64, from: f64, inside_mm: f64) -> Option<Vec<Joint>> {
        // A cone that touches the wall there reaches so far to both sides.
        let reach = |touch: f64| {
            let cos = (slope + touch).cos().max(0.0);
            2.0 * (inside_mm * cos / (2.0 * self.radius_mm)).sqrt().min(1.0).asin()
        };
        let end = self.half_rad;
        let mut joints: Vec<Joint> = Vec::new();
        let mut at = from;
        while joints.len() <= MOST_CONES {
            let middle = f64::midpoint(at, end);
            if end - middle <= reach(middle) {
                let sin = ((end - middle) / 2.0).sin();
                let last_mm = 2.0 * self.radius_mm * sin * sin / (slope + middle).cos();
                let inside_mm = if joints.is_empty() { last_mm } else { inside_mm };
                joints.push(Joint { off_rad: at, inside_mm });
                joints.push(Joint { off_rad: end, inside_mm: last_mm });
                return Some(joints);
            }
            joints.push(Joint { off_rad: at, inside_mm });
            let (mut near, mut far) = (at, middle);
            for _ in 0..60 {
                let touch = f64::midpoint(near, far);
                if touch - reach(touch) > at { far = touch } else { near = touch }
            }
            at += 2.0 * (near - at);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bore(length: f64, span: f64, rear: f64) -> Bore {
        Bore {
            from_mm: -length,
            to_mm: 0.0,
            rear_inner_mm: rear,
            span_inner_mm: span,
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
            seam_mm: 0.0,
        }
    }

    /// Points of the arc by its angle in the chord's own axes, against the cones over the same place.
    fn least_and_most_missing(
        length: f64,
        span: f64,
        rear: f64,
        radius: f64,
        cones: &[Bore],
    ) -> (f64, f64) {
        let (x1, y1, x2, y2) = (-length, span / 2.0, 0.0, rear / 2.0);
        let chord = ((x2 - x1) * (x2 - x1) + (y2 - y1) * (y2 - y1)).sqrt();
        let half = (chord / 2.0 / radius).min(1.0).asin();
        let tilt = (y2 - y1).atan2(x2 - x1);
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for step in 0..=20_000 {
            let angle = -half + 2.0 * half * f64::from(step) / 20_000.0;
            let along = radius * angle.sin() + chord / 2.0;
            let below = radius * (angle.cos() - half.cos());
            let x = (x1 + along * tilt.cos() + below * tilt.sin()).clamp(x1, x2);
            let inner = 2.0 * (y1 + along * tilt.sin() - below * tilt.cos());
            for cone in cones.iter().filter(|cone| cone.from_mm <= x && x <= cone.to_mm) {
                let missing = inner - cone.cone_mm(x);
                (least, most) = (least.min(missing), most.max(missing));
            }
        }
        (least, most)
    }

    #[test]
    fn the_cones_lie_inside_the_arc_and_near_it() {
        for (length, span, rear, radius) in [
            (479.0, 207.5, 150.0, 4000.0),
            (479.0, 150.0, 207.5, 4000.0),
            (1000.0, 207.5, 207.5, 4000.0),
            (900.0, 207.5, 190.0, 4000.0),
            (300.0, 150.0, 260.0, 900.0),
            // Ending square to the axis, or nearly.
            (25.0, 150.0, 200.0, 25.0),
            (25.0, 200.0, 150.0, 25.0),
            (50.0, 150.0, 249.5, 50.0),
            (24.0, 150.0, 197.5, 24.0),
            (49.0, 150.0, 240.0, 50.0),
            // A wall that is square at both ends, and one within a single cone.
            (40.0, 150.0, 150.0, 20.0),
            (5.0, 150.0, 150.001, 4000.0),
            (300.0, 150.0, 150.0, 1e9),
        ] {
            for within in [0.02, 0.5] {
                let cones = flare(bore(length, span, rear), radius, within).unwrap();
                assert_eq!(cones[0].from_mm, -length);
                assert_eq!(cones[cones.len() - 1].to_mm, 0.0);
                for pair in cones.windows(2) {
                    assert_eq!(pair[0].to_mm, pair[1].from_mm);
                    assert_eq!(pair[0].rear_inner_mm, pair[1].span_inner_mm);
                    assert!(pair[0].from_mm < pair[0].to_mm);
                }
                let (least, most) = least_and_most_missing(length, span, rear, radius, &cones);
                // Where the wall is square, a rounding along it is a thousandth across.
                let rounding = if radius < 100.0 { 2e-5 } else { 1e-6 };
                assert!(least >= -rounding, "{least}: {length} {span} {rear} {radius}");
                assert!(most <= within + rounding, "{most}: {length} {span} {rear} {radius}");
                // No more cones than what even steps of the angle would take at the steepest place they can be kept at.
                assert!(cones.len() < 1000);
            }
        }
    }

    #[test]
    fn a_flare_takes_no_more_cones_than_its_arc_asks_for() {
        // A cone spans 2·√(2 ε / R) of the wall's angle where that is flat, ε on radius.
        let (radius, angle) = (4000.0_f64, 0.1_f64);
        let (length, rise) = (radius * angle.sin(), radius * (1.0 - angle.cos()));
        let cones = flare(bore(length, 150.0, 150.0 + 2.0 * rise), radius, 0.02).unwrap();
        let count = angle / (2.0 * (2.0 * 0.01 / radius).sqrt());
        assert!((cones.len() as f64 - count).abs() < 1.5, "{} {count}", cones.len());
    }

    #[test]
    fn what_cannot_be_kept_is_refused_with_what_can() {
        let straight = bore(4000.0, 150.0, 8000.0);
        let told = flare(straight, 5000.0, 1e-9).unwrap_err();
        let Misfit::NotAbove { argument, floor, .. } = told else { panic!("{told}") };
        assert_eq!(argument.name, "within_mm");
        let cones = flare(straight, 5000.0, floor).unwrap();
        assert!(cones.len() > MOST_CONES / 2 && cones.len() <= MOST_CONES);
        assert!(flare(straight, 5000.0, floor / 4.0).is_err());
    }

    #[test]
    fn a_wall_that_cannot_reach_from_end_to_end_is_refused() {
        let short = bore(500.0, 200.0, 150.0);
        assert!(flare(short, 200.0, 0.02).is_err());
        assert!(flare(short, f64::NAN, 0.02).is_err());
        assert!(flare(short, 4000.0, 0.0).is_err());
        // Over its chord, but past the square to the axis: the arc would turn back before its end.
        let steep = bore(10.0, 200.0, 150.0);
        let told = flare(steep, 14.0, 0.02).unwrap_err().to_string();
        assert_eq!(told, "wall_radius_mm is 14: a value from 36.25 to 1000000000000 is asked");
        assert!(flare(steep, 36.25, 0.02).is_ok());
        assert!(flare(bore(10.0, 150.0, 200.0), 36.2, 0.02).is_err());
    }

    #[test]
    fn a_bore_without_length_stays_and_a_closed_one_lets_nothing_through() {
        let face = bore(0.0, 200.0, 150.0);
        assert_eq!(flare(face, 50.0, 0.02).unwrap(), [face]);
        // Two square ends and a wall higher than half the bore.
        let cones = flare(bore(400.0, 150.0, 150.0), 200.0, 0.02).unwrap();
        assert!(cones.iter().any(|cone| cone.span_inner_mm == SMALLEST));
        assert!(cones.iter().all(|cone| cone.span_inner_mm > 0.0 && cone.rear_inner_mm > 0.0));
    }
}
