//! A rod carried level round the corner of two corridors that meet at a right angle.

use super::rectangle::leaning;
use super::search::least;
use crate::misfit::{Argument, Misfit, not_negative, positive};

/// The longest rods that go round a corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundCorner {
    /// Turned in the corner, so that it is carried lengthwise in both corridors, mm; `None` where it is too thick for one of them.
    pub turned_mm: Option<f64>,
    /// Not turned: lengthwise in one corridor and sideways in the other, mm; `None` where it is too thick for both.
    pub sideways_mm: Option<f64>,
    /// The greater of the two, mm; 0 where there is none.
    pub longest_mm: f64,
}

/// Returns the longest rod that goes level round the corner of two corridors.
///
/// # Formula
/// - turned: `L = min over θ of a/sin θ + b/cos θ - w/(sin θ·cos θ)`; for `w = 0` that is `(a^⅔ + b^⅔)^(3/2)`
/// - sideways: `L = a` if `w <= b`, or `L = b` if `w <= a`, the greater
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | a, b | widths of the corridors, `one_mm`, `other_mm` | mm |
/// | w | thickness of the rod in plan, `thickness_mm` | mm |
/// | θ | angle of the rod to the corridor b while it turns | rad |
/// | L | length | mm |
///
/// # Validity
/// Level, rigid, square ends, a right angle, both corridors as long as the rod. For thick bars the turn alone is incomplete: carrying
/// sideways may pass a longer one. Sideways it must come into the corridor in that attitude: it is not turned there.
/// The result is meant for rods that are longer than thick.
///
/// # Source
/// Elementary calculus (the ladder round the corner, with a thickness); checked against a search over all places and angles.
///
/// # Errors
/// [`Misfit`] if a width is not greater than zero or the thickness negative.
///
/// ```
/// use restrand_mechanics::way::longest_round_corner;
/// let rod = longest_round_corner(1200.0, 900.0, 150.0)?;
/// assert!((rod.longest_mm - 2658.1).abs() < 0.05);
/// // A thick bar goes round sideways.
/// let bar = longest_round_corner(1200.0, 1200.0, 1100.0)?;
/// assert!((bar.turned_mm.expect("it is thinner") - 1194.1).abs() < 0.05);
/// assert_eq!(bar.longest_mm, 1200.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_round_corner(
    one_mm: f64,
    other_mm: f64,
    thickness_mm: f64,
) -> Result<RoundCorner, Misfit> {
    let one = positive(Argument::new("one_mm"), one_mm)?;
    let other = positive(Argument::new("other_mm"), other_mm)?;
    let thickness = not_negative(Argument::new("thickness_mm"), thickness_mm)?;
    let turned_mm = (thickness <= one.min(other)).then(|| turned(one, other, thickness));
    let sideways_mm = if thickness <= one.min(other) {
        Some(one.max(other))
    } else if thickness <= other {
        Some(one)
    } else {
        (thickness <= one).then_some(other)
    };
    let longest_mm = turned_mm.unwrap_or(0.0).max(sideways_mm.unwrap_or(0.0));
    Ok(RoundCorner { turned_mm, sideways_mm, longest_mm })
}

fn turned(one: f64, other: f64, thickness: f64) -> f64 {
    if thickness == 0.0 {
        let roots = one.cbrt().powi(2) + other.cbrt().powi(2);
        return roots * roots.sqrt();
    }
    // Over the logarithm of tan θ, about the thin rod's best: corridors of very unlike widths turn at very flat angles.
    let thin = (one / other).ln() / 3.0;
    least(thin - 20.0, thin + 20.0, |log_tan| {
        let tan = log_tan.exp();
        let secant = 1.0_f64.hypot(tan);
        (one + other * tan - thickness * secant) * (secant / tan)
    })
    .max(0.0)
}

/// Returns the longest rod that goes round a corner when one end may be held higher; `None` where it is too thick.
///
/// # Formula
/// The longest rectangle `L × w` that leans in a rectangle of the level rod's length by the corridor's height; for `w = 0`, `√(P² + H²)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | the longest level rod, [`longest_round_corner`] | mm |
/// | H | clear height, `height_mm` | mm |
/// | w | thickness, `thickness_mm` | mm |
/// | L | length | mm |
///
/// # Validity
/// As for [`longest_round_corner`]; the rod is held at one slope all the way, so that its plan is that of a shorter one.
/// A round rod counts as square. Exact for a line, else never overstated: a rod that just goes round may be called too long.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a width or the height is not greater than zero or the thickness negative.
///
/// ```
/// use restrand_mechanics::way::longest_round_corner_with_height_mm;
/// let longest_mm = longest_round_corner_with_height_mm(1000.0, 1000.0, 1000.0, 0.0)?.expect("a line");
/// assert!((longest_mm - 3000.0).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn longest_round_corner_with_height_mm(
    one_mm: f64,
    other_mm: f64,
    height_mm: f64,
    thickness_mm: f64,
) -> Result<Option<f64>, Misfit> {
    let level = longest_round_corner(one_mm, other_mm, thickness_mm)?;
    let height = positive(Argument::new("height_mm"), height_mm)?;
    Ok(leaning(level.longest_mm, height, thickness_mm))
}
