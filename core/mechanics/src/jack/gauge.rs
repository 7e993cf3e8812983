//! Force and gauge pressure, by the piston's area or by the jack's calibration.

use crate::friction::{after_loss_kn, before_loss_kn};
use crate::misfit::{Argument, Misfit, above, not_negative, positive};

/// Returns the gauge pressure for a force, from the area of the piston.
///
/// # Formula
/// `p = 1000·F / (A·(1 - λ))`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | F | force that the jack gives, `force_kn` | kN |
/// | A | area of the piston, `piston_area_mm2` | mm² |
/// | λ | loss inside the jack, as a share, `loss_share` | |
/// | p | pressure | MPa |
///
/// # Validity
/// While the force grows. Friction of seals is no fixed share: at little force it takes much more, and a calibration tells.
///
/// # Source
/// Definition of pressure.
///
/// # Errors
/// [`Misfit`] if the force is negative, the area is not greater than zero, or the share is not from 0 to less than 1.
///
/// ```
/// use restrand_mechanics::jack::pressure_by_area_mpa;
/// assert_eq!(pressure_by_area_mpa(3600.0, 90_000.0, 0.0)?, 40.0);
/// assert!((pressure_by_area_mpa(3600.0, 90_000.0, 0.02)? - 40.82).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn pressure_by_area_mpa(
    force_kn: f64,
    piston_area_mm2: f64,
    loss_share: f64,
) -> Result<f64, Misfit> {
    let area = positive(Argument::new("piston_area_mm2"), piston_area_mm2)?;
    Ok(before_loss_kn(force_kn, loss_share)? * 1000.0 / area)
}

/// Returns the force for a gauge pressure, from the area of the piston.
///
/// # Formula
/// `F = p·A·(1 - λ) / 1000`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | pressure, `pressure_mpa` | MPa |
/// | A | area of the piston, `piston_area_mm2` | mm² |
/// | λ | loss inside the jack, as a share, `loss_share` | |
/// | F | force that the jack gives | kN |
///
/// # Validity
/// As for [`pressure_by_area_mpa`].
///
/// # Source
/// Definition of pressure.
///
/// # Errors
/// [`Misfit`] if the pressure is negative, the area is not greater than zero, or the share is not from 0 to less than 1.
///
/// ```
/// use restrand_mechanics::jack::force_by_area_kn;
/// assert_eq!(force_by_area_kn(40.0, 90_000.0, 0.0)?, 3600.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn force_by_area_kn(
    pressure_mpa: f64,
    piston_area_mm2: f64,
    loss_share: f64,
) -> Result<f64, Misfit> {
    let pressure = not_negative(Argument::new("pressure_mpa"), pressure_mpa)?;
    let area = positive(Argument::new("piston_area_mm2"), piston_area_mm2)?;
    // Area first: the product of two great numbers is no force of this trade and is refused.
    after_loss_kn(pressure * area / 1000.0, loss_share)
}

/// One line of a jack's calibration with its gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalibrationPoint {
    /// What the gauge showed, MPa.
    pub pressure_mpa: f64,
    /// What the load cell showed, kN.
    pub force_kn: f64,
}

/// Checks that a calibration has two points or more and that both columns grow strictly.
fn check(calibration: &[CalibrationPoint]) -> Result<(), Misfit> {
    if calibration.len() < 2 {
        return Err(Misfit::NotAbove {
            argument: Argument::new("calibration.len"),
            value: calibration.len() as f64,
            floor: 1.0,
            floor_is: "one point",
        });
    }
    for (index, point) in calibration.iter().enumerate() {
        let pressure = Argument::of("calibration", index, "pressure_mpa");
        let force = Argument::of("calibration", index, "force_kn");
        not_negative(pressure, point.pressure_mpa)?;
        not_negative(force, point.force_kn)?;
        if let Some(before) = index.checked_sub(1).map(|before| calibration[before]) {
            above(pressure, point.pressure_mpa, before.pressure_mpa, "the point before")?;
            above(force, point.force_kn, before.force_kn, "the point before")?;
        }
    }
    Ok(())
}

/// Between two points of a table; outside it is an error.
fn between(
    calibration: &[CalibrationPoint],
    argument: Argument,
    value: f64,
    from: impl Fn(&CalibrationPoint) -> f64,
    to: impl Fn(&CalibrationPoint) -> f64,
) -> Result<f64, Misfit> {
    check(calibration)?;
    let (first, last) = (&calibration[0], &calibration[calibration.len() - 1]);
    let (least, most) = (from(first), from(last));
    let value = not_negative(argument, value)?;
    if value < least || value > most {
        return Err(Misfit::NotWithin { argument, value, least, most });
    }
    let upper = calibration.partition_point(|point| from(point) < value).max(1);
    let (low, high) = (&calibration[upper - 1], &calibration[upper]);
    let share = (value - from(low)) / (from(high) - from(low));
    // Rounding must not lead out of the table.
    Ok((to(low) + (to(high) - to(low)) * share).clamp(to(low), to(high)))
}

/// Returns the gauge pressure for a force, from the jack's calibration.
///
/// # Formula
/// `p = p1 + (p2 - p1)·(F - F1)/(F2 - F1)` between the two points around F
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | F | force that the jack gives, `force_kn` | kN |
/// | F1, p1, F2, p2 | neighbouring points of the calibration, [`CalibrationPoint`] | kN, MPa |
/// | p | pressure | MPa |
///
/// # Validity
/// Within the calibration only; the losses inside the jack are in it.
///
/// # Source
/// Linear interpolation.
///
/// # Errors
/// [`Misfit`] if the force lies outside the calibration, or the calibration has less than two points or does not grow strictly in both columns.
///
/// ```
/// use restrand_mechanics::jack::{pressure_by_calibration_mpa, CalibrationPoint};
/// let calibration = [(0.0, 0.0), (40.0, 3535.0), (50.0, 4420.0)]
///     .map(|(pressure_mpa, force_kn)| CalibrationPoint { pressure_mpa, force_kn });
/// assert!((pressure_by_calibration_mpa(&calibration, 3600.0)? - 40.73).abs() < 0.005);
/// assert!(pressure_by_calibration_mpa(&calibration, 4421.0).is_err());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn pressure_by_calibration_mpa(
    calibration: &[CalibrationPoint],
    force_kn: f64,
) -> Result<f64, Misfit> {
    let argument = Argument::new("force_kn");
    between(calibration, argument, force_kn, |point| point.force_kn, |point| point.pressure_mpa)
}

/// Returns the force for a gauge pressure, from the jack's calibration.
///
/// # Formula
/// `F = F1 + (F2 - F1)·(p - p1)/(p2 - p1)` between the two points around p
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | pressure, `pressure_mpa` | MPa |
/// | F1, p1, F2, p2 | neighbouring points of the calibration, [`CalibrationPoint`] | kN, MPa |
/// | F | force that the jack gives | kN |
///
/// # Validity
/// As for [`pressure_by_calibration_mpa`].
///
/// # Source
/// Linear interpolation.
///
/// # Errors
/// [`Misfit`] if the pressure lies outside the calibration, or the calibration has less than two points or does not grow strictly in both columns.
///
/// ```
/// use restrand_mechanics::jack::{force_by_calibration_kn, CalibrationPoint};
/// let calibration = [(0.0, 0.0), (10.0, 880.0), (20.0, 1765.0)]
///     .map(|(pressure_mpa, force_kn)| CalibrationPoint { pressure_mpa, force_kn });
/// assert_eq!(force_by_calibration_kn(&calibration, 15.0)?, 1322.5);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn force_by_calibration_kn(
    calibration: &[CalibrationPoint],
    pressure_mpa: f64,
) -> Result<f64, Misfit> {
    let argument = Argument::new("pressure_mpa");
    between(calibration, argument, pressure_mpa, |point| point.pressure_mpa, |point| point.force_kn)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(points: &[(f64, f64)]) -> Vec<CalibrationPoint> {
        points
            .iter()
            .map(|&(pressure_mpa, force_kn)| CalibrationPoint { pressure_mpa, force_kn })
            .collect()
    }

    #[test]
    fn a_calibration_that_is_no_curve_is_refused() {
        for points in [
            &[][..],
            &[(0.0, 0.0)],
            &[(0.0, 0.0), (10.0, 0.0)],
            &[(10.0, 880.0), (10.0, 900.0)],
            &[(0.0, 0.0), (20.0, 1765.0), (10.0, 1800.0)],
            &[(0.0, 0.0), (f64::NAN, 1765.0)],
        ] {
            let calibration = table(points);
            assert!(pressure_by_calibration_mpa(&calibration, 0.0).is_err());
            assert!(force_by_calibration_kn(&calibration, 0.0).is_err());
        }
    }

    #[test]
    fn its_own_points_come_back_and_nothing_is_extrapolated() {
        let calibration = table(&[(5.0, 400.0), (10.0, 880.0), (20.0, 1765.0)]);
        for point in &calibration {
            let pressure = pressure_by_calibration_mpa(&calibration, point.force_kn).unwrap();
            assert!((pressure - point.pressure_mpa).abs() < 1e-12);
        }
        for outside in [399.0, 1766.0, f64::NAN] {
            assert!(pressure_by_calibration_mpa(&calibration, outside).is_err());
        }
        for outside in [4.9, 20.1, f64::INFINITY] {
            assert!(force_by_calibration_kn(&calibration, outside).is_err());
        }
    }
}
