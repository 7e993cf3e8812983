//! The friction exponent along a tendon: straight in x over each run, with a step where a run has no length.

use super::Wobble;
use crate::misfit::{Argument, Misfit, not_negative, number, positive};

/// The greatest friction exponent over a tendon.
///
/// At 50 a part in 10²¹ of the force arrives; a wrong unit of angle is the likely reason long before.
/// The bound also keeps exponentials finite and greater than zero.
pub const MOST_EXPONENT: f64 = 50.0;

/// An end of a tendon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Where x is 0.
    A,
    /// Where x is the tendon's length.
    B,
}

impl End {
    /// The end on the other side.
    pub(super) fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }
}

/// A stretch of tendon with one friction: a free length, a curve, or a deviator taken as a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Length, m; 0 for a deviator that is taken as a step.
    pub length_m: f64,
    /// Intended deviation, the sum of absolute angles, spread evenly over the length, rad.
    pub angle_rad: f64,
    /// Unintended deviation on top of it, as some codes add per deviator, rad.
    pub inadvertent_rad: f64,
    /// μ: friction coefficient.
    pub mu: f64,
    /// Wobble over the length.
    pub wobble: Wobble,
}

impl Run {
    fn exponent(&self, argument: impl Fn(&'static str) -> Argument) -> Result<f64, Misfit> {
        let (wobble_name, wobble) = self.wobble.stated();
        for (name, value) in [
            ("length_m", self.length_m),
            ("angle_rad", self.angle_rad),
            ("inadvertent_rad", self.inadvertent_rad),
            ("mu", self.mu),
            (wobble_name, wobble),
        ] {
            not_negative(argument(name), value)?;
        }
        let exponent = self.mu * (self.angle_rad + self.inadvertent_rad)
            + self.wobble.per_m(self.mu) * self.length_m;
        // An exponent that e^-κ cannot show is none, and must not be divided by.
        Ok(if exponent < f64::EPSILON { 0.0 } else { exponent })
    }
}

/// A border between two runs, or an end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Border {
    /// x: distance from end A, m.
    pub at_m: f64,
    /// κ: friction exponent from end A.
    pub exponent: f64,
}

/// The friction exponent along a tendon, checked: from [`profile`].
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// One more than there are runs, in order.
    borders: Vec<Border>,
}

impl Profile {
    /// Returns end A, the borders between the runs, and end B: run i lies between borders i and i + 1.
    ///
    /// # Formula
    /// `x_i = Σ l`, `κ_i = Σ (μ(α + Δα) + K·l)` over the runs before
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | x, κ | place and exponent from end A, [`Border`] | m, 1 |
    /// | l, α, Δα, μ, K | of a [`Run`] | m, rad, rad, 1, 1/m |
    ///
    /// # Validity
    /// Those of [`profile`].
    ///
    /// # Source
    /// Definition.
    ///
    /// ```
    /// use restrand_mechanics::friction::{profile, Run, Wobble};
    /// let free = Run { length_m: 15.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
    /// let deviator = Run { length_m: 0.0, angle_rad: 0.15, ..free };
    /// let tendon = profile(&[free, deviator, free])?;
    /// let places: Vec<f64> = tendon.borders().iter().map(|border| border.at_m).collect();
    /// assert_eq!(places, [0.0, 15.0, 15.0, 30.0]);
    /// assert_eq!(tendon.borders()[2].exponent, 0.03);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn borders(&self) -> &[Border] {
        &self.borders
    }

    /// End B: the tendon's length and its whole exponent.
    pub(crate) fn last(&self) -> Border {
        self.borders[self.borders.len() - 1]
    }
}

/// Returns the friction exponent of one run.
///
/// # Formula
/// `κ = μ·(α + Δα) + K·l`, or `κ = μ·(α + Δα + k·l)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | α | intended deviation, `angle_rad` | rad |
/// | Δα | unintended deviation, `inadvertent_rad` | rad |
/// | μ | friction coefficient, `mu` | |
/// | K, k | wobble, in either convention, `wobble` | 1/m, rad/m |
/// | l | length, `length_m` | m |
///
/// # Validity
/// Angles are in space: a bend in plan and elevation at once counts once, by its true angle.
/// The wobble of a run without length is nothing.
///
/// # Source
/// EN 1992-1-1:2023 (7.34); AASHTO LRFD 5.9.3.2.2b (from memory) for K and for the angle added per deviator.
///
/// # Errors
/// [`Misfit`] if a number is negative or not finite.
///
/// ```
/// use restrand_mechanics::friction::{friction_exponent, Run, Wobble};
/// let deviator = Run {
///     length_m: 0.0, angle_rad: 0.10, inadvertent_rad: 0.04, mu: 0.25, wobble: Wobble::None,
/// };
/// assert!((friction_exponent(&deviator)? - 0.035).abs() < 1e-15);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn friction_exponent(run: &Run) -> Result<f64, Misfit> {
    run.exponent(Argument::new)
}

/// Returns the share of a force that is left past a friction exponent.
///
/// # Formula
/// `P/P0 = e^-κ`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | κ | friction exponent, `exponent` | |
/// | P/P0 | share that is left | |
///
/// # Validity
/// The tendon slides towards P0 over the whole stretch.
///
/// # Source
/// Euler and Eytelwein.
///
/// # Errors
/// [`Misfit`] if the exponent is negative, not finite or more than [`MOST_EXPONENT`].
///
/// ```
/// use restrand_mechanics::friction::kept_share;
/// // A deviator of 0.10 rad with 0.04 rad added, μ = 0.25.
/// assert!((kept_share(0.25 * 0.14)? - 0.9656).abs() < 5e-5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn kept_share(exponent: f64) -> Result<f64, Misfit> {
    let argument = Argument::new("exponent");
    Ok((-bounded(argument, not_negative(argument, exponent)?)?).exp())
}

fn bounded(argument: Argument, exponent: f64) -> Result<f64, Misfit> {
    if exponent <= MOST_EXPONENT {
        Ok(exponent)
    } else {
        Err(Misfit::TooLarge { argument, value: exponent, most: MOST_EXPONENT })
    }
}

/// Puts the runs of a tendon one behind the other, from end A to end B.
///
/// # Formula
/// `κ(x) = Σ (μ(α + Δα) + K·l)` over what lies between end A and x
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x | distance from end A | m |
/// | κ | friction exponent from end A | |
///
/// # Validity
/// Over each run the exponent grows evenly: a curve of one radius, or a parabola as flat as tendons have.
/// A deviator may be a step or, with its length, a curve.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] names the run whose number cannot be right; also if the tendon has no length or its exponent is more than [`MOST_EXPONENT`].
///
/// ```
/// use restrand_mechanics::friction::{profile, Run, ExponentPerM, Wobble};
/// let curve = Run {
///     length_m: 12.0, angle_rad: 0.10, inadvertent_rad: 0.0, mu: 0.2,
///     wobble: Wobble::Exponent(ExponentPerM(0.002)),
/// };
/// let tendon = profile(&[curve])?;
/// assert!((tendon.borders()[1].exponent - 0.044).abs() < 1e-15);
/// assert!(profile(&[]).is_err());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn profile(runs: &[Run]) -> Result<Profile, Misfit> {
    let mut here = Border { at_m: 0.0, exponent: 0.0 };
    let mut borders = Vec::with_capacity(runs.len() + 1);
    borders.push(here);
    for (index, run) in runs.iter().enumerate() {
        here.exponent += run.exponent(|name| Argument::of("runs", index, name))?;
        here.at_m += run.length_m;
        borders.push(here);
    }
    // The sums, too, must be numbers of this trade, whatever the count of runs.
    positive(Argument::new("length_m"), here.at_m)?;
    bounded(Argument::new("exponent"), number(Argument::new("exponent"), here.exponent)?)?;
    Ok(Profile { borders })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_misfit_names_its_run() {
        let good = Run {
            length_m: 1.0,
            angle_rad: 0.1,
            inadvertent_rad: 0.0,
            mu: 0.2,
            wobble: Wobble::None,
        };
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            for wrong in [
                Run { length_m: bad, ..good },
                Run { angle_rad: bad, ..good },
                Run { inadvertent_rad: bad, ..good },
                Run { mu: bad, ..good },
                Run { wobble: Wobble::Angle(super::super::RadPerM(bad)), ..good },
                Run { wobble: Wobble::Exponent(super::super::ExponentPerM(bad)), ..good },
            ] {
                let told = profile(&[good, wrong]).unwrap_err().to_string();
                assert!(told.starts_with("runs[1]."), "{told}");
            }
        }
    }

    #[test]
    fn degrees_taken_for_radians_are_refused_when_they_can_be_told() {
        let turns = Run {
            length_m: 1.0,
            angle_rad: 360.0,
            inadvertent_rad: 0.0,
            mu: 0.2,
            wobble: Wobble::None,
        };
        assert!(profile(&[turns]).is_err());
    }

    #[test]
    fn a_tendon_of_deviators_alone_has_no_length() {
        let step = Run {
            length_m: 0.0,
            angle_rad: 0.1,
            inadvertent_rad: 0.0,
            mu: 0.2,
            wobble: Wobble::None,
        };
        assert!(profile(&[step]).is_err());
    }
}
