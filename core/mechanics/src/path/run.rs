//! A stretch of a tendon as friction sees it: a length and the angle turned in it.

use crate::misfit::{Argument, Misfit, not_negative};

/// What a run is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunKind {
    /// Straight in space; turns by nothing.
    Straight,
    /// The bend at an inner point of the tendon; its length is zero where no radius is given.
    /// It stands there even if it turns by nothing, so that an unintended angle can be added to it.
    Bend {
        /// The point's place in the tendon's list.
        point: usize,
    },
    /// Part of a parabola.
    Curve,
    /// A corner where pieces of profile or plan meet without a common tangent.
    Corner,
}

/// A stretch of a tendon; runs are listed in order along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// What it is.
    pub kind: RunKind,
    /// Length in space, m.
    pub length_m: f64,
    /// Angle through which the tangent turns in it, never negative, rad.
    pub angle_rad: f64,
}

fn total(runs: &[Run], name: &'static str, of: impl Fn(&Run) -> f64) -> Result<f64, Misfit> {
    runs.iter().enumerate().try_fold(0.0, |sum, (index, run)| {
        Ok(sum + not_negative(Argument::of("runs", index, name), of(run))?)
    })
}

/// Returns the developed length of a list of runs.
///
/// # Formula
/// `L = Σ l`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | l | length of a run, [`Run::length_m`] | m |
///
/// # Validity
/// Always.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is negative or not finite.
///
/// ```
/// use restrand_mechanics::path::{total_length_m, Run, RunKind};
/// let runs = [
///     Run { kind: RunKind::Straight, length_m: 13.5, angle_rad: 0.0 },
///     Run { kind: RunKind::Bend { point: 1 }, length_m: 0.25, angle_rad: 0.1 },
/// ];
/// assert_eq!(total_length_m(&runs)?, 13.75);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn total_length_m(runs: &[Run]) -> Result<f64, Misfit> {
    total(runs, "length_m", |run| run.length_m)
}

/// Returns the total angle of a list of runs: the sum of absolute angle changes.
///
/// # Formula
/// `α = Σ |Δ|`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Δ | angle turned in a run, [`Run::angle_rad`] | rad |
///
/// # Validity
/// Turns to opposite sides add up and never cancel. No unintended angle is in it.
///
/// # Source
/// EN 1992-1-1, 5.10.5.2: the sum of absolute angular deviations, irrespective of sign (from memory).
///
/// # Errors
/// [`Misfit`] if an angle is negative or not finite.
///
/// ```
/// use restrand_mechanics::path::{total_angle_rad, Run, RunKind};
/// let bend = Run { kind: RunKind::Bend { point: 1 }, length_m: 0.25, angle_rad: 0.125 };
/// assert_eq!(total_angle_rad(&[bend, bend])?, 0.25);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn total_angle_rad(runs: &[Run]) -> Result<f64, Misfit> {
    total(runs, "angle_rad", |run| run.angle_rad)
}
