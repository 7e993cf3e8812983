//! Both ends stressed and seated: what holds by equilibrium, and beside it the code rule for zones that overlap.

use std::cmp::Ordering;

use super::diagram::Piece;
use super::{End, Point, Profile, Seating, StressDiagram};
use crate::misfit::Misfit;

/// A difference of `ln σ` that is none.
const ROUNDING: f64 = 1e-13;

/// What is done at one end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndStressing {
    /// Stress in the tendon at that end, past jack and anchorage, MPa.
    pub stress_mpa: f64,
    /// Set when it is seated, mm.
    pub set_mm: f64,
}

/// Both ends pulled, then seated one after the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BothEnds {
    /// End A.
    pub a: EndStressing,
    /// End B.
    pub b: EndStressing,
    /// The end that is seated first.
    pub seated_first: End,
    /// E: modulus of the strand, MPa.
    pub e_mpa: f64,
}

impl BothEnds {
    fn end(&self, end: End) -> EndStressing {
        match end {
            End::A => self.a,
            End::B => self.b,
        }
    }

    fn seating(&self, end: End) -> Seating {
        Seating { set_mm: self.end(end).set_mm, e_mpa: self.e_mpa }
    }
}

/// How far the code rule for overlapping zones is from equilibrium.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleDifference {
    /// What holds: the state that absorbs both sets.
    pub exact: StressDiagram,
    /// What the rule says.
    pub rule: StressDiagram,
    /// Rule over exact at end A, less 1; positive where the rule promises too much.
    pub at_a_share: f64,
    /// The same at end B.
    pub at_b_share: f64,
}

/// Stresses a tendon from both ends, and seats them in the stated order.
///
/// # Formula
/// `σ = max(σa·e^-κ, σb·e^-(κ_L - κ))`, then [`StressDiagram::seat`] at one end and at the other
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σa, σb | stress at end A and B, [`EndStressing::stress_mpa`] | MPa |
/// | κ, κ_L | friction exponent from end A, and over the tendon | |
///
/// # Validity
/// While the first end is seated, the other's jack holds its place, not its force.
/// Other orders are sequences of the acts themselves: [`StressDiagram::jack`], [`StressDiagram::seat`].
///
/// # Source
/// Derived: equilibrium with Coulomb friction.
///
/// # Errors
/// [`Misfit`] if a number cannot be right or a set leaves the tendon slack.
///
/// ```
/// use restrand_mechanics::friction::{
///     profile, stressed_both_ends, BothEnds, End, EndStressing, Run, Wobble,
/// };
/// let short = Run { length_m: 10.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
/// let end = EndStressing { stress_mpa: 1400.0, set_mm: 5.0 };
/// let both = BothEnds { a: end, b: end, seated_first: End::A, e_mpa: 200_000.0 };
/// let stress = stressed_both_ends(&profile(&[short])?, &both)?;
/// // Both sets come off the one short length: 2 · 200 000 · 5 / 10 000.
/// assert_eq!(stress.end_mpa(End::A), 1200.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn stressed_both_ends(profile: &Profile, both: &BothEnds) -> Result<StressDiagram, Misfit> {
    let mut stress = StressDiagram::jacked(profile, End::A, both.a.stress_mpa)?;
    stress.jack(End::B, both.b.stress_mpa)?;
    for end in [both.seated_first, both.seated_first.other()] {
        stress.seat(end, both.seating(end))?;
    }
    Ok(stress)
}

/// Returns the stress by the code rule for overlapping zones: each end by itself, and the larger of the two at each section.
///
/// # Formula
/// `σ(x) = max(σ_A(x), σ_B(x))`, each pulled and seated as if the other end were dead
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σ_A, σ_B | stress with only that end stressed and seated | MPa |
///
/// # Validity
/// A rule of thumb: where the zones do not meet it is equilibrium; where they overlap it absorbs less than the two sets,
/// so it promises more stress than there is.
///
/// # Source
/// JTG 3362, appendix G.0.3 (read in a reproduction).
///
/// # Errors
/// [`Misfit`] if a number cannot be right or a set leaves the tendon slack.
///
/// ```
/// use restrand_mechanics::friction::{
///     larger_of_each_end, profile, BothEnds, End, EndStressing, Run, Wobble,
/// };
/// let short = Run { length_m: 10.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
/// let end = EndStressing { stress_mpa: 1400.0, set_mm: 5.0 };
/// let both = BothEnds { a: end, b: end, seated_first: End::A, e_mpa: 200_000.0 };
/// let stress = larger_of_each_end(&profile(&[short])?, &both)?;
/// assert_eq!(stress.end_mpa(End::A), 1300.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn larger_of_each_end(profile: &Profile, both: &BothEnds) -> Result<StressDiagram, Misfit> {
    let alone = |end: End| {
        let mut stress = StressDiagram::jacked(profile, end, both.end(end).stress_mpa)?;
        stress.seat(end, both.seating(end))?;
        Ok::<_, Misfit>(stress)
    };
    Ok(larger(&alone(End::A)?, &alone(End::B)?))
}

/// Returns how far the code rule for overlapping zones is from equilibrium at each anchor.
///
/// # Formula
/// `d = σ_rule/σ_exact - 1` at each end
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σ_rule | by [`larger_of_each_end`] | MPa |
/// | σ_exact | by [`stressed_both_ends`] | MPa |
/// | d | difference, `at_a_share`, `at_b_share` | |
///
/// # Validity
/// Those of the two.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a number cannot be right or a set leaves the tendon slack.
///
/// ```
/// use restrand_mechanics::friction::{
///     profile, rule_difference, BothEnds, End, EndStressing, Run, Wobble,
/// };
/// let short = Run { length_m: 10.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
/// let end = EndStressing { stress_mpa: 1400.0, set_mm: 5.0 };
/// let both = BothEnds { a: end, b: end, seated_first: End::A, e_mpa: 200_000.0 };
/// let difference = rule_difference(&profile(&[short])?, &both)?;
/// assert!((difference.at_a_share - 100.0 / 1200.0).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn rule_difference(profile: &Profile, both: &BothEnds) -> Result<RuleDifference, Misfit> {
    let exact = stressed_both_ends(profile, both)?;
    let rule = larger_of_each_end(profile, both)?;
    let share = |end: End| rule.end_mpa(end) / exact.end_mpa(end) - 1.0;
    Ok(RuleDifference { at_a_share: share(End::A), at_b_share: share(End::B), exact, rule })
}

/// The larger of two diagrams of one profile, at each place.
fn larger(one: &StressDiagram, other: &StressDiagram) -> StressDiagram {
    let mut points: Vec<Point> = Vec::with_capacity(one.points.len() + other.points.len());
    let (mut i, mut j) = (0, 0);
    while i < one.pieces() && j < other.pieces() {
        let (p, q) = (one.piece(End::A, i), other.piece(End::A, j));
        // Both have the borders of the runs; a piece without length at a border may stand in one of them alone.
        match p.near.run.cmp(&q.near.run) {
            Ordering::Less => i += 1,
            Ordering::Greater => j += 1,
            Ordering::Equal => {
                let (p_long, q_long) = (p.length_m() > 0.0, q.length_m() > 0.0);
                let to_m = p.far.at_m.min(q.far.at_m);
                if p_long && q_long {
                    let from_m = p.near.at_m.max(q.near.at_m);
                    let part = |piece: &Piece| Piece {
                        near: piece.at(from_m),
                        far: piece.at(to_m),
                        ..*piece
                    };
                    push_larger(&mut points, &part(&p), &part(&q));
                } else if p_long == q_long {
                    let stress_mpa = p.near.stress_mpa.max(q.near.stress_mpa);
                    points.push(Point { stress_mpa, ..p.near });
                }
                i += usize::from(!p_long || q_long && p.far.at_m <= to_m);
                j += usize::from(!q_long || p_long && q.far.at_m <= to_m);
            }
        }
    }
    let (last, rest) = (one.points[one.pieces()], other.points[other.pieces()]);
    points.push(Point { stress_mpa: last.stress_mpa.max(rest.stress_mpa), ..last });
    StressDiagram { points }
}

/// Adds the near end of the larger of two pieces over one stretch, and their crossing if they cross.
fn push_larger(points: &mut Vec<Point>, p: &Piece, q: &Piece) {
    let lead = |p: &Point, q: &Point| (p.stress_mpa / q.stress_mpa).ln();
    let (near, far) = (lead(&p.near, &q.near), lead(&p.far, &q.far));
    let crossing = near * far < 0.0 && near.abs().min(far.abs()) > ROUNDING;
    let p_first = if crossing { near > 0.0 } else { near + far >= 0.0 };
    let (first, second) = if p_first { (p, q) } else { (q, p) };
    points.push(Point { stress_mpa: p.near.stress_mpa.max(q.near.stress_mpa), ..first.near });
    if crossing {
        let at = second.inside(near / (near - far));
        points.push(Point { rises: second.rises, ..at });
    }
}
