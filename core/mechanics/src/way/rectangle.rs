//! A rectangle in a rectangle: a box in a hatch, a rod that leans or turns in a bay.

use std::f64::consts::FRAC_PI_2;

use crate::misfit::{Argument, Misfit, not_negative, positive};

/// Returns the longest rectangle of a thickness that lies in a rectangle, leaning as it must; `None` where it is too thick.
///
/// # Formula
/// The greatest of `A`, `B` (each if the other is `w` or more) and `L` where `A - w·sin ψ = L·cos ψ` and `B - w·cos ψ = L·sin ψ`.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | A, B | sides of the room, `one_mm`, `other_mm` | mm |
/// | w | thickness, `thickness_mm`; 0 for a line | mm |
/// | ψ | angle of the rod to A | rad |
/// | L | length | mm |
///
/// # Validity
/// Where it can lie; how it comes there is another matter. A round rod in an upright section of a bay counts as square,
/// so that its length is understated by less than its diameter: one that just lies there may be called too long.
///
/// # Source
/// Geometry; checked against a scan of angles.
///
/// # Errors
/// [`Misfit`] if a side is not greater than zero or the thickness negative.
///
/// ```
/// use restrand_mechanics::way::longest_leaning_mm;
/// assert_eq!(longest_leaning_mm(4000.0, 3000.0, 0.0)?, Some(5000.0));
/// assert!(longest_leaning_mm(4000.0, 3000.0, 125.0)?.expect("it is thin") < 4900.0);
/// assert_eq!(longest_leaning_mm(4000.0, 100.0, 125.0)?, None);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_leaning_mm(
    one_mm: f64,
    other_mm: f64,
    thickness_mm: f64,
) -> Result<Option<f64>, Misfit> {
    let one = positive(Argument::new("one_mm"), one_mm)?;
    let other = positive(Argument::new("other_mm"), other_mm)?;
    let thickness = not_negative(Argument::new("thickness_mm"), thickness_mm)?;
    Ok(leaning(one, other, thickness))
}

pub(super) fn leaning(one: f64, other: f64, thickness: f64) -> Option<f64> {
    if thickness > one.min(other) {
        return None;
    }
    if thickness == 0.0 {
        return Some(one.hypot(other));
    }
    let mut longest = one.max(other);
    // Where both limits agree: the sine rule's difference changes sign, at most three times between the two walls.
    let excess = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        one * sin - other * cos - thickness * (sin * sin - cos * cos)
    };
    const STEPS: u32 = 256;
    let at = |index: u32| FRAC_PI_2 * f64::from(index) / f64::from(STEPS);
    let mut was_below = excess(at(0)) < 0.0;
    for index in 0..STEPS {
        let (mut low, mut high) = (at(index), at(index + 1));
        let rising = was_below;
        was_below = excess(high) < 0.0;
        if rising == was_below {
            continue;
        }
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if (excess(middle) < 0.0) == rising { low = middle } else { high = middle }
        }
        // By the limit of which the angle is not near its pole.
        let (sin, cos) = f64::midpoint(low, high).sin_cos();
        let length =
            if cos > sin { (one - thickness * sin) / cos } else { (other - thickness * cos) / sin };
        longest = longest.max(length);
    }
    Some(longest)
}

/// Returns the longest rectangle of a thickness that turns about in a bay, end for end; `None` where none does.
///
/// # Formula
/// `L = √(m² - w²)`, m the lesser side: the diagonal turns in every direction.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | m | the lesser of the bay's sides, `one_mm`, `other_mm` | mm |
/// | w | thickness, `thickness_mm` | mm |
/// | L | length | mm |
///
/// # Validity
/// Level, by half a turn, in a bay without obstacles, and not lifted at one end.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a side is not greater than zero or the thickness negative.
///
/// ```
/// use restrand_mechanics::way::longest_turning_mm;
/// assert_eq!(longest_turning_mm(5000.0, 12000.0, 3000.0)?, Some(4000.0));
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_turning_mm(
    one_mm: f64,
    other_mm: f64,
    thickness_mm: f64,
) -> Result<Option<f64>, Misfit> {
    let one = positive(Argument::new("one_mm"), one_mm)?;
    let other = positive(Argument::new("other_mm"), other_mm)?;
    let thickness = not_negative(Argument::new("thickness_mm"), thickness_mm)?;
    let least = one.min(other);
    Ok((thickness < least).then(|| ((least - thickness) * (least + thickness)).sqrt()))
}

/// Tells whether a rectangle goes through a rectangle, turned as it must be in the opening's plane.
///
/// # Formula
/// With `p >= q` and `a >= b`: yes if `p <= a` and `q <= b`, or if `p > a`, `q <= b` and
/// `b·(p² + q²) >= 2pqa + (p² - q²)·√(p² + q² - a²)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p, q | sides of the piece's section, `piece_mm` | mm |
/// | a, b | sides of the opening, `opening_mm` | mm |
///
/// # Validity
/// A piece that travels along its third edge, square to the opening's plane.
///
/// # Source
/// Carver, "Solution to Problem E 1225", American Mathematical Monthly 64 (1957) (from memory); checked against a scan of angles.
///
/// # Errors
/// [`Misfit`] if a side is not greater than zero.
///
/// ```
/// use restrand_mechanics::way::fits_turned;
/// assert!(fits_turned([1100.0, 50.0], [1000.0, 800.0])?);
/// assert!(!fits_turned([1100.0, 400.0], [1000.0, 800.0])?);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn fits_turned(piece_mm: [f64; 2], opening_mm: [f64; 2]) -> Result<bool, Misfit> {
    for side in piece_mm {
        positive(Argument::new("piece_mm"), side)?;
    }
    for side in opening_mm {
        positive(Argument::new("opening_mm"), side)?;
    }
    let [mut p, mut q] = piece_mm;
    let [mut a, mut b] = opening_mm;
    if p < q {
        (p, q) = (q, p);
    }
    if a < b {
        (a, b) = (b, a);
    }
    if q > b {
        return Ok(false);
    }
    if p <= a {
        return Ok(true);
    }
    // In shares of the piece's diagonal, so that squares of large and small sides keep their digits.
    let diagonal = p.hypot(q);
    let (p, q, a, b) = (p / diagonal, q / diagonal, a / diagonal, b / diagonal);
    Ok(b >= 2.0 * p * q * a + (p * p - q * q) * ((1.0 - a) * (1.0 + a)).max(0.0).sqrt())
}
