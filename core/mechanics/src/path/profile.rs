//! Parabolas in elevation laid over a plan, as runs.

use super::axis::{between_rad, turned_by};
use super::{JOINT_M, Parabola, PlanPiece, Run, RunKind};
use crate::misfit::{Argument, Misfit, above, number, positive};

/// An angle that is none, rad: slopes that should be equal differ by rounding.
pub const NO_ANGLE_RAD: f64 = 1e-9;

/// Returns the runs of a tendon of parabolas over its plan, in order along it.
///
/// Every joint of profile or plan ends a run; where the tangents there differ, a corner stands between.
///
/// # Formula
/// [`Parabola::run`] for each stretch of one parabola over one piece of plan; at a corner `α = ∠((φ1, 0), (φ2, turn))`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | φ1, φ2 | angles of slope before and after a joint | rad |
/// | turn | corner of the plan there, [`PlanPiece::turn_before_rad`] | rad |
///
/// # Validity
/// Parabolas adjoin, in order; the plan is as long as they are. Both count from the same end.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a list is empty, a number is not finite, a piece is no longer than [`JOINT_M`], parabolas do not adjoin in place and elevation, or the lengths differ.
///
/// ```
/// use restrand_mechanics::path::{
///     parabolas_level_at, runs_on_plan, total_angle_rad, Alignment, ProfilePoint, plan_beside,
/// };
/// let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
/// let profile = parabolas_level_at(at(0.0, 1.0), at(16.0, 0.2), at(40.0, 1.4))?;
/// let plan = plan_beside(&Alignment::Straight, 100.0, 140.0, -1.5)?;
/// let runs = runs_on_plan(&profile, &plan)?;
/// assert_eq!(runs.len(), 2);
/// assert!((total_angle_rad(&runs)? - 2.0 * 0.1_f64.atan()).abs() < 1e-12);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn runs_on_plan(profile: &[Parabola], plan: &[PlanPiece]) -> Result<Vec<Run>, Misfit> {
    check_profile(profile)?;
    let ends_m = plan_ends_m(profile[0].from_m, plan)?;
    check_ends(profile[profile.len() - 1].to_m, ends_m[ends_m.len() - 1])?;
    let mut runs = Vec::with_capacity(profile.len() + plan.len());
    let mut at_m = profile[0].from_m;
    let (mut high, mut wide) = (0, 0);
    while let (Some(parabola), Some(piece)) = (profile.get(high), plan.get(wide)) {
        let end_m = parabola.to_m.min(ends_m[wide]);
        // Joints of profile and plan that differ by a rounding are one.
        if end_m - at_m > JOINT_M {
            runs.push(parabola.part(at_m, end_m).run(piece.radius_m)?);
            at_m = end_m;
        }
        let profile_ends = parabola.to_m - end_m <= JOINT_M;
        let plan_ends = ends_m[wide] - end_m <= JOINT_M;
        high += usize::from(profile_ends);
        wide += usize::from(plan_ends);
        let slope = parabola.part(at_m, end_m).to_slope;
        let next = if profile_ends { profile.get(high).map(|next| next.from_slope) } else { None };
        let turn = if plan_ends { plan.get(wide).map(|next| next.turn_before_rad) } else { None };
        let before = turned_by(slope.atan(), 0.0).vector();
        let after = turned_by(next.unwrap_or(slope).atan(), turn.unwrap_or(0.0)).vector();
        let angle_rad = between_rad(before, after);
        if angle_rad > NO_ANGLE_RAD {
            runs.push(Run { kind: RunKind::Corner, length_m: 0.0, angle_rad });
        }
    }
    Ok(runs)
}

fn check_profile(profile: &[Parabola]) -> Result<(), Misfit> {
    above(Argument::new("number of parabolas"), profile.len() as f64, 0.0, "none")?;
    for parabola in profile {
        parabola.checked()?;
    }
    for (index, pair) in profile.windows(2).enumerate() {
        let end = pair[0].part(pair[0].to_m, pair[0].to_m);
        for (name, value, asked) in [
            ("from_m", pair[1].from_m, end.from_m),
            ("from_elevation_m", pair[1].from_elevation_m, end.from_elevation_m),
        ] {
            within(Argument::of("profile", index + 1, name), value, asked)?;
        }
    }
    Ok(())
}

fn plan_ends_m(start_m: f64, plan: &[PlanPiece]) -> Result<Vec<f64>, Misfit> {
    above(Argument::new("number of plan pieces"), plan.len() as f64, 0.0, "none")?;
    let mut end_m = start_m;
    let mut ends_m = Vec::with_capacity(plan.len());
    for (index, piece) in plan.iter().enumerate() {
        let named = |name| Argument::of("plan", index, name);
        let length_m = positive(named("length_m"), piece.length_m)?;
        above(named("length_m"), length_m, JOINT_M, "the least length, m")?;
        number(named("turn_before_rad"), piece.turn_before_rad)?;
        if let Some(radius_m) = piece.radius_m {
            number(named("radius_m"), radius_m)?;
            positive(named("radius_m"), radius_m.abs())?;
        }
        end_m += length_m;
        ends_m.push(end_m);
    }
    Ok(ends_m)
}

fn check_ends(profile_m: f64, plan_m: f64) -> Result<(), Misfit> {
    within(Argument::new("end of the plan, m"), plan_m, profile_m)
}

fn within(argument: Argument, value: f64, asked: f64) -> Result<(), Misfit> {
    if (value - asked).abs() <= JOINT_M {
        return Ok(());
    }
    Err(Misfit::NotWithin { argument, value, least: asked - JOINT_M, most: asked + JOINT_M })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::{total_angle_rad, total_length_m};

    const FALL: Parabola = Parabola {
        from_m: 0.0,
        to_m: 10.0,
        from_elevation_m: 1.0,
        from_slope: -0.1,
        to_slope: 0.0,
    };
    const RISE: Parabola = Parabola {
        from_m: 10.0,
        to_m: 30.0,
        from_elevation_m: 0.5,
        from_slope: 0.0,
        to_slope: 0.1,
    };

    fn line(length_m: f64, turn_before_rad: f64) -> PlanPiece {
        PlanPiece { length_m, radius_m: None, turn_before_rad }
    }

    #[test]
    fn a_joint_of_the_plan_does_not_change_the_sums() {
        let whole = runs_on_plan(&[FALL, RISE], &[line(30.0, 0.0)]).unwrap();
        let parts: Vec<_> = vec![line(7.0, 0.0), line(3.0 + 1e-7, 0.0), line(20.0, 0.0)];
        let parts = runs_on_plan(&[FALL, RISE], &parts).unwrap();
        assert_eq!((whole.len(), parts.len()), (2, 3));
        for total in [total_angle_rad, total_length_m] {
            assert!((total(&whole).unwrap() - total(&parts).unwrap()).abs() < 1e-6);
        }
    }

    #[test]
    fn corners_of_plan_and_profile_are_runs_without_length() {
        let kinked = Parabola { from_slope: 0.05, ..RISE };
        let runs = runs_on_plan(&[FALL, kinked], &[line(10.0, 0.0), line(20.0, 0.05)]).unwrap();
        assert_eq!(runs.len(), 3);
        assert_eq!((runs[1].kind, runs[1].length_m), (RunKind::Corner, 0.0));
        assert!((runs[1].angle_rad - 0.05_f64.hypot(0.05)).abs() < 1e-4);
    }

    #[test]
    fn what_does_not_adjoin_is_refused() {
        let plan = [line(30.0, 0.0)];
        assert!(runs_on_plan(&[FALL, Parabola { from_elevation_m: 0.6, ..RISE }], &plan).is_err());
        assert!(runs_on_plan(&[FALL, Parabola { from_m: 10.5, ..RISE }], &plan).is_err());
        assert!(runs_on_plan(&[FALL, RISE], &[line(29.0, 0.0)]).is_err());
        assert!(runs_on_plan(&[FALL, RISE], &[]).is_err());
        assert!(runs_on_plan(&[], &plan).is_err());
        for bad in [f64::NAN, f64::INFINITY, 0.0, 1e-7] {
            assert!(runs_on_plan(&[FALL, RISE], &[line(bad, 0.0)]).is_err());
            let arc = PlanPiece { radius_m: Some(bad), ..line(30.0, 0.0) };
            assert!(bad == 1e-7 || runs_on_plan(&[FALL, RISE], &[arc]).is_err());
        }
        assert!(runs_on_plan(&[FALL, RISE], &[line(30.0, f64::NAN)]).is_err());
    }
}
