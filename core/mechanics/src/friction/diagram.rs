//! The stress along a tendon, in pieces of `c·e^(±κ)`.

use super::{End, Profile};
use crate::misfit::{Argument, Misfit, SAME_PLACE_M, number};

/// Stresses that differ by less than this share are one: rounding, not mechanics.
const SAME: f64 = 1e-12;

/// A place where one piece of the diagram ends and the next begins.
///
/// A step has two points at one place. Between points `ln σ` is straight in x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// x: distance from end A, m.
    pub at_m: f64,
    /// κ: friction exponent from end A.
    pub exponent: f64,
    /// σ, MPa.
    pub stress_mpa: f64,
    /// The run in which the piece from here towards B lies; at end B the last run.
    pub run: usize,
    /// Whether friction holds the next piece so that stress grows towards B; a step may hold anything up to its exponent either way.
    pub rises: bool,
}

/// The stress on both sides of a place; they differ only at a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sides {
    /// On the side of end A, MPa.
    pub towards_a_mpa: f64,
    /// On the side of end B, MPa.
    pub towards_b_mpa: f64,
}

/// A greatest or least stress, and from where to where it stands: over a whole free length where there is no friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// The stress, MPa.
    pub stress_mpa: f64,
    /// Where it is first met, from end A, m.
    pub from_m: f64,
    /// Where it is last met without a break, from end A, m.
    pub to_m: f64,
    /// The run in which it is first met.
    pub run: usize,
}

/// Stress along a tendon that has been stressed: from [`StressDiagram::jacked`], changed by what is done next.
#[derive(Debug, Clone, PartialEq)]
pub struct StressDiagram {
    /// At least two, in order; neighbours' stresses differ by no more than their exponents allow.
    pub(super) points: Vec<Point>,
}

/// `(e^z - 1)/z`: the mean of `e^t` for t from 0 to z.
pub(super) fn growth(z: f64) -> f64 {
    if z == 0.0 { 1.0 } else { z.exp_m1() / z }
}

/// A piece of the diagram, seen from one end.
#[derive(Clone, Copy)]
pub(super) struct Piece {
    pub(super) near: Point,
    pub(super) far: Point,
    /// Whether stress grows from near to far.
    pub(super) rises: bool,
}

impl Piece {
    pub(super) fn length_m(&self) -> f64 {
        (self.far.at_m - self.near.at_m).abs()
    }

    pub(super) fn exponent(&self) -> f64 {
        (self.far.exponent - self.near.exponent).abs()
    }

    /// What `ln σ` gains from near to far.
    fn gain(&self) -> f64 {
        if self.rises { self.exponent() } else { -self.exponent() }
    }

    /// ∫σ dx.
    pub(super) fn integral_mpa_m(&self) -> f64 {
        self.length_m() * self.near.stress_mpa * growth(self.gain())
    }

    /// The point inside at a share of the length, counted from near.
    pub(super) fn inside(&self, share: f64) -> Point {
        let between = |near: f64, far: f64| near + (far - near) * share;
        Point {
            at_m: between(self.near.at_m, self.far.at_m),
            exponent: between(self.near.exponent, self.far.exponent),
            stress_mpa: self.near.stress_mpa * (self.gain() * share).exp(),
            ..self.near
        }
    }

    /// The point at a place inside, for a piece seen from end A.
    pub(super) fn at(&self, at_m: f64) -> Point {
        if at_m >= self.far.at_m {
            Point { run: self.near.run, rises: self.near.rises, ..self.far }
        } else if at_m <= self.near.at_m {
            self.near
        } else {
            Point { at_m, ..self.inside((at_m - self.near.at_m) / self.length_m()) }
        }
    }
}

impl StressDiagram {
    /// Stresses a slack tendon from one end.
    ///
    /// # Formula
    /// `σ(x) = σj·e^-κ`, κ counted from that end
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | σj | stress in the tendon at that end, past jack and anchorage, `stress_mpa` | MPa |
    /// | κ | friction exponent | |
    ///
    /// # Validity
    /// The other end is held. The tendon was slack: what had been pulled before only to take up slack is covered by this pull.
    ///
    /// # Source
    /// Euler and Eytelwein; EN 1992-1-1:2023 (7.34).
    ///
    /// # Errors
    /// [`Misfit`] if the stress is not greater than zero.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// let stress = StressDiagram::jacked(&tendon, End::A, 1395.0)?;
    /// assert!((stress.end_mpa(End::B) - 1353.77).abs() < 0.005);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn jacked(profile: &Profile, end: End, stress_mpa: f64) -> Result<Self, Misfit> {
        let jacked = crate::misfit::positive(Argument::new("stress_mpa"), stress_mpa)?;
        let borders = profile.borders();
        // A later act adds a point at most, so there is room for the usual ones.
        let mut points = Vec::with_capacity(borders.len() + 4);
        let whole = profile.last().exponent;
        points.extend(borders.iter().enumerate().map(|(index, border)| {
            let exponent = match end {
                End::A => border.exponent,
                End::B => whole - border.exponent,
            };
            Point {
                at_m: border.at_m,
                exponent: border.exponent,
                stress_mpa: jacked * (-exponent).exp(),
                run: index.min(borders.len() - 2),
                rises: end == End::B,
            }
        }));
        Ok(Self { points })
    }

    /// Returns the points at which pieces of the diagram meet, for drawing it.
    ///
    /// # Formula
    /// Between neighbours `σ = σ1·(σ2/σ1)^((x - x1)/(x2 - x1))`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | x, σ | place and stress of a [`Point`] | m, MPa |
    ///
    /// # Validity
    /// Always.
    ///
    /// # Source
    /// Derived.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// let stress = StressDiagram::jacked(&tendon, End::A, 1395.0)?;
    /// let places: Vec<f64> = stress.points().iter().map(|point| point.at_m).collect();
    /// assert_eq!(places, [0.0, 15.0, 15.0, 30.0]);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Returns the stress at an end, inside the anchorage.
    ///
    /// # Formula
    /// `σ(0)` or `σ(L)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | σ | stress | MPa |
    ///
    /// # Validity
    /// Always; where a tendon begins with a step, it is the stress outside it.
    ///
    /// # Source
    /// Definition.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let stress = StressDiagram::jacked(&profile(&[free])?, End::A, 1395.0)?;
    /// assert_eq!((stress.end_mpa(End::A), stress.end_mpa(End::B)), (1395.0, 1395.0));
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn end_mpa(&self, end: End) -> f64 {
        self.points[self.index(end, 0)].stress_mpa
    }

    /// Returns the stress at a place, on both sides of it.
    ///
    /// # Formula
    /// `σ(x-)`, `σ(x+)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | x | distance from end A, `at_m` | m |
    /// | σ | stress | MPa |
    ///
    /// # Validity
    /// Always. A place within a millionth of a millimetre of a step or an end is at it.
    ///
    /// # Source
    /// Definition.
    ///
    /// # Errors
    /// [`Misfit`] if the place is not on the tendon.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// let stress = StressDiagram::jacked(&tendon, End::A, 1395.0)?;
    /// let sides = stress.at(15.0)?;
    /// assert_eq!(sides.towards_a_mpa, 1395.0);
    /// assert!((sides.towards_b_mpa - 1353.77).abs() < 0.005);
    /// assert!(stress.at(31.0).is_err());
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn at(&self, at_m: f64) -> Result<Sides, Misfit> {
        let at_m = self.on_it("at_m", at_m)?;
        let last = self.points.len() - 1;
        // The first piece that reaches the place, and the last that begins at or before it.
        let first = self.points.partition_point(|point| point.at_m < at_m).max(1) - 1;
        let second = self.points.partition_point(|point| point.at_m <= at_m).min(last) - 1;
        let end = at_m >= self.points[last].at_m;
        let towards_b_mpa = if end {
            self.points[last].stress_mpa
        } else {
            self.piece(End::A, second).at(at_m).stress_mpa
        };
        let towards_a_mpa = if at_m <= 0.0 {
            self.points[0].stress_mpa
        } else {
            self.piece(End::A, first).at(at_m).stress_mpa
        };
        Ok(Sides { towards_a_mpa, towards_b_mpa })
    }

    /// Returns the integral of stress between two places: its product with 1/E is how much that part is stretched.
    ///
    /// # Formula
    /// `∫σ dx`, piece by piece `σ1·l·(e^±Δκ - 1)/(±Δκ)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | x | distance from end A, from `from_m` to `to_m` | m |
    /// | σ1 | stress at the beginning of a piece | MPa |
    /// | l, Δκ | its length and friction exponent | m, 1 |
    ///
    /// # Validity
    /// As [`StressDiagram::at`].
    ///
    /// # Source
    /// Derived.
    ///
    /// # Errors
    /// [`Misfit`] if a place is not on the tendon or the second lies before the first.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let stress = StressDiagram::jacked(&profile(&[free])?, End::A, 1400.0)?;
    /// assert_eq!(stress.integral_mpa_m(5.0, 15.0)?, 14_000.0);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn integral_mpa_m(&self, from_m: f64, to_m: f64) -> Result<f64, Misfit> {
        let from_m = self.on_it("from_m", from_m)?;
        let to_m = self.on_it("to_m", to_m)?;
        if to_m < from_m {
            let most = self.points[self.points.len() - 1].at_m;
            let argument = Argument::new("to_m");
            return Err(Misfit::NotWithin { argument, value: to_m, least: from_m, most });
        }
        let mut sum = 0.0;
        for k in 0..self.points.len() - 1 {
            let piece = self.piece(End::A, k);
            if piece.far.at_m > from_m && piece.near.at_m < to_m {
                let inner = Piece { near: piece.at(from_m), far: piece.at(to_m), ..piece };
                sum += inner.integral_mpa_m();
            }
        }
        Ok(sum)
    }

    /// Returns the greatest stress and where it stands.
    ///
    /// # Formula
    /// `max σ(x)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | σ, x | stress and place | MPa, m |
    ///
    /// # Validity
    /// Always; of several equal ones the first from end A. It may stand at an anchorage.
    ///
    /// # Source
    /// Definition.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// let greatest = StressDiagram::jacked(&tendon, End::A, 1395.0)?.greatest();
    /// assert_eq!((greatest.stress_mpa, greatest.from_m, greatest.to_m), (1395.0, 0.0, 15.0));
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn greatest(&self) -> Extreme {
        self.extreme(|stress, so_far| stress > so_far)
    }

    /// Returns the least stress and where it stands.
    ///
    /// # Formula
    /// `min σ(x)`
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | σ, x | stress and place | MPa, m |
    ///
    /// # Validity
    /// Always; of several equal ones the first from end A.
    ///
    /// # Source
    /// Definition.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, End, Run, StressDiagram, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// let least = StressDiagram::jacked(&tendon, End::A, 1395.0)?.least();
    /// assert_eq!((least.from_m, least.to_m, least.run), (15.0, 30.0, 2));
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn least(&self) -> Extreme {
        self.extreme(|stress, so_far| stress < so_far)
    }

    fn extreme(&self, beats: impl Fn(f64, f64) -> bool) -> Extreme {
        let mut best = 0;
        for (index, point) in self.points.iter().enumerate() {
            // What rounding alone makes better is not: the first place of a flat stands.
            let so_far = self.points[best].stress_mpa;
            if beats(point.stress_mpa, so_far) && (point.stress_mpa - so_far).abs() > SAME * so_far
            {
                best = index;
            }
        }
        let Point { at_m, stress_mpa, run, .. } = self.points[best];
        let same = |point: &&Point| (point.stress_mpa - stress_mpa).abs() <= SAME * stress_mpa;
        let to_m =
            self.points[best..].iter().take_while(same).last().map_or(at_m, |last| last.at_m);
        Extreme { stress_mpa, from_m: at_m, to_m, run }
    }

    /// ∫σ dx over the whole tendon.
    pub(super) fn whole_mpa_m(&self) -> f64 {
        (0..self.pieces()).map(|k| self.piece(End::A, k).integral_mpa_m()).sum()
    }

    /// The number of pieces.
    pub(super) fn pieces(&self) -> usize {
        self.points.len() - 1
    }

    /// Where the k-th point from an end stands in the list.
    pub(super) fn index(&self, end: End, k: usize) -> usize {
        match end {
            End::A => k,
            End::B => self.points.len() - 1 - k,
        }
    }

    /// The k-th piece from an end.
    pub(super) fn piece(&self, end: End, k: usize) -> Piece {
        let near = self.points[self.index(end, k)];
        let far = self.points[self.index(end, k + 1)];
        match end {
            End::A => Piece { near, far, rises: near.rises },
            End::B => Piece { near, far, rises: !far.rises },
        }
    }

    /// A place on the tendon; what is beside a point by a rounding is at it.
    fn on_it(&self, name: &'static str, at_m: f64) -> Result<f64, Misfit> {
        let argument = Argument::new(name);
        let at_m = number(argument, at_m)?;
        let after = self.points.partition_point(|point| point.at_m < at_m);
        let beside = self.points[after.saturating_sub(1)..].iter().take(2).map(|point| point.at_m);
        let nearest = beside.min_by(|a, b| (a - at_m).abs().total_cmp(&(b - at_m).abs()));
        match nearest {
            Some(point_m) if (point_m - at_m).abs() <= SAME_PLACE_M => Ok(point_m),
            _ => {
                let length_m = self.points[self.points.len() - 1].at_m;
                crate::misfit::within(argument, at_m, 0.0, length_m)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Run, Wobble, profile};
    use super::*;

    #[test]
    fn a_place_a_rounding_beside_a_step_or_an_end_is_at_it() {
        let free = |length_m| Run {
            length_m,
            angle_rad: 0.0,
            inadvertent_rad: 0.0,
            mu: 0.2,
            wobble: Wobble::None,
        };
        let step = Run { angle_rad: 0.3, ..free(0.0) };
        let tendon = profile(&[free(0.1), free(0.2), step, free(0.7)]).unwrap();
        let stress = StressDiagram::jacked(&tendon, End::A, 1400.0).unwrap();
        // The step's place is a sum, and not 0.3.
        let exact = stress.at(0.1 + 0.2).unwrap();
        assert!(exact.towards_a_mpa > 1399.9 && exact.towards_b_mpa < 1319.0);
        for at_m in [0.3, 0.3 - 1e-10, 0.3 + 1e-10] {
            assert_eq!(stress.at(at_m).unwrap(), exact, "{at_m}");
        }
        let beside = stress.at(0.3 - 1e-8).unwrap();
        assert!((beside.towards_a_mpa - beside.towards_b_mpa).abs() < 1e-9);
        let length_m = stress.points()[stress.points().len() - 1].at_m;
        let whole = stress.integral_mpa_m(0.0, length_m).unwrap();
        for off in [1e-13, 1e-10] {
            assert_eq!(stress.at(length_m + off).unwrap(), stress.at(length_m).unwrap());
            assert_eq!(stress.at(-off).unwrap(), stress.at(0.0).unwrap());
            assert_eq!(stress.integral_mpa_m(-off, length_m + off).unwrap(), whole);
        }
        for off in [1e-8, 1.0] {
            assert!(stress.at(length_m + off).is_err() && stress.at(-off).is_err());
        }
    }
}
