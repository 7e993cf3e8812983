//! Pulling an end and letting an end in: the one front that runs from that end into the tendon.

use super::diagram::Piece;
use super::{End, Point, StressDiagram};
use crate::misfit::{Argument, Misfit, not_negative, positive};

/// How far an act at an end was felt, and what it changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Where the part that slid ends, from end A, m; at a step, the step holds the rest.
    pub at_m: f64,
    /// The run in which it ends; the step's where a step holds.
    pub run: usize,
    /// Whether the whole tendon slid, up to the other end.
    pub whole: bool,
    /// ∫(new - old) dx, MPa·m: positive for a pull, negative for letting in.
    pub change_mpa_m: f64,
    /// The stress at the end afterwards, MPa.
    pub end_mpa: f64,
}

/// Which way the end moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Act {
    /// Outwards: stress falls from the end inwards.
    Pull,
    /// Inwards: stress rises from the end inwards.
    LetIn,
}

impl StressDiagram {
    /// Pulls an end to a stress.
    ///
    /// # Formula
    /// `σ_new(x) = max(σ_old(x), σj·e^-κ)`, κ counted from that end
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | σj | stress in the tendon at that end, past jack and anchorage, `stress_mpa` | MPa |
    /// | κ | friction exponent | |
    ///
    /// # Validity
    /// The other end is held in place, by its anchorage or by a jack whose oil is shut in.
    /// A pull that is less than what the anchor holds moves nothing.
    ///
    /// # Source
    /// Derived: the part that slides has used up its friction, the rest has not moved.
    /// Two ends pulled at once give the same as one after the other, as the larger of two curves has no order.
    ///
    /// # Errors
    /// [`Misfit`] if the stress is not greater than zero; the diagram is then unchanged.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// let mut stress = StressDiagram::jacked(&tendon, End::A, 1395.0)?;
    /// let reach = stress.jack(End::B, 1395.0)?;
    /// assert_eq!((reach.at_m, reach.run), (15.0, 1));
    /// assert_eq!(stress.end_mpa(End::B), 1395.0);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn jack(&mut self, end: End, stress_mpa: f64) -> Result<Reach, Misfit> {
        let stress = positive(Argument::new("stress_mpa"), stress_mpa)?;
        Ok(self.advance(end, stress, Act::Pull))
    }

    /// Lets an end in until its stress has come down to a value: a jack released without locking off.
    ///
    /// # Formula
    /// `σ_new(x) = min(σ_old(x), σr·e^κ)`, κ counted from that end
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | σr | stress to which the end comes down, `stress_mpa`; 0 where it is let go | MPa |
    /// | κ | friction exponent | |
    ///
    /// # Validity
    /// The other end is held in place; friction is the same both ways. A stress that is more than what there is moves nothing.
    /// Friction holds in proportion to the force, so an end let in to nothing leaves the whole tendon slack.
    ///
    /// # Source
    /// Derived: the part that slides has used up its friction, the rest has not moved.
    ///
    /// # Errors
    /// [`Misfit`] if the stress is negative; the diagram is then unchanged.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// // Overstressed and released: the far end keeps what the greater force brought it.
    /// let mut stress = StressDiagram::jacked(&tendon, End::A, 1450.0)?;
    /// let far = stress.end_mpa(End::B);
    /// let reach = stress.let_in(End::A, 1395.0)?;
    /// assert_eq!((reach.at_m, stress.end_mpa(End::A)), (15.0, 1395.0));
    /// assert_eq!(stress.end_mpa(End::B), far);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn let_in(&mut self, end: End, stress_mpa: f64) -> Result<Reach, Misfit> {
        let stress = not_negative(Argument::new("stress_mpa"), stress_mpa)?;
        Ok(self.advance(end, stress, Act::LetIn))
    }

    /// Runs the front of an act from an end as far as it changes anything.
    pub(super) fn advance(&mut self, end: End, stress: f64, act: Act) -> Reach {
        let way = match act {
            Act::Pull => 1.0,
            Act::LetIn => -1.0,
        };
        let changes = |new: f64, old: f64| way * (new - old) > 0.0;
        let whole = self.pieces();
        let end_exponent = self.points[self.index(end, 0)].exponent;
        let mut change_mpa_m = 0.0;
        let mut new_near = stress;
        let mut split: Option<Point> = None;
        let mut k = 0;
        while changes(new_near, self.points[self.index(end, k)].stress_mpa) {
            let near_index = self.index(end, k);
            if k == whole {
                self.points[near_index].stress_mpa = new_near;
                break;
            }
            let piece = self.piece(end, k);
            self.points[near_index].stress_mpa = new_near;
            let new_far = stress * (-way * (piece.far.exponent - end_exponent).abs()).exp();
            if changes(new_far, piece.far.stress_mpa) {
                change_mpa_m += self.swap(end, k, &piece, new_near, act);
                new_near = new_far;
                k += 1;
                continue;
            }
            // A step holds what is left between its two sides. In a piece of some length old and new run apart by twice the
            // exponent, so half of what they differ by is the way to their crossing.
            if piece.length_m() > 0.0 {
                let way_to = (new_near / piece.near.stress_mpa).ln().abs() / 2.0;
                let opposite = piece.rises == (act == Act::Pull);
                if opposite && way_to < piece.exponent() {
                    let at = piece.inside(way_to / piece.exponent());
                    let before = Piece { far: at, ..piece };
                    let near = Point { stress_mpa: new_near, ..piece.near };
                    let after = Piece { near, far: at, rises: act == Act::LetIn };
                    change_mpa_m += after.integral_mpa_m() - before.integral_mpa_m();
                    split = Some(Point { run: piece_run(&piece, end), ..at });
                } else {
                    // They meet at the far end, but for rounding.
                    change_mpa_m += self.swap(end, k, &piece, new_near, act);
                    k += 1;
                }
            }
            break;
        }
        let reached = self.index(end, k);
        let rises = (act == Act::LetIn) == (end == End::A);
        let (at_m, run) = if let Some(mut point) = split {
            // The old piece goes on beyond the split, and keeps its own direction.
            match end {
                End::A => {
                    self.points.insert(k + 1, point);
                    self.points[k].rises = rises;
                }
                End::B => {
                    point.rises = rises;
                    self.points.insert(reached, point);
                }
            }
            (point.at_m, point.run)
        } else if k == whole {
            let far = self.points[reached];
            (far.at_m, far.run)
        } else {
            (self.points[reached].at_m, piece_run(&self.piece(end, k), end))
        };
        Reach { at_m, run, whole: k == whole, change_mpa_m, end_mpa: self.end_mpa(end) }
    }

    /// Gives a whole piece its new direction and returns what its integral gains.
    fn swap(&mut self, end: End, k: usize, old: &Piece, new_near: f64, act: Act) -> f64 {
        let start = match end {
            End::A => self.index(end, k),
            End::B => self.index(end, k + 1),
        };
        self.points[start].rises = (act == Act::LetIn) == (end == End::A);
        let near = Point { stress_mpa: new_near, ..old.near };
        let new = Piece { near, rises: act == Act::LetIn, ..*old };
        new.integral_mpa_m() - old.integral_mpa_m()
    }
}

/// The run in which a piece lies: written at its point on the side of end A.
fn piece_run(piece: &Piece, end: End) -> usize {
    match end {
        End::A => piece.near.run,
        End::B => piece.far.run,
    }
}
