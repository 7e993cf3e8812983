//! From stress to force and back, and the loss inside a jack or an anchorage.

use crate::misfit::{Argument, Misfit, not_negative, number, positive};

/// Returns the force of a tendon from its stress.
///
/// # Formula
/// `P = σ·A / 1000`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σ | stress, `stress_mpa` | MPa |
/// | A | area of all strands, `area_mm2` | mm² |
/// | P | force | kN |
///
/// # Validity
/// All strands carry alike.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the stress is not finite or the area is not greater than zero.
///
/// ```
/// use restrand_mechanics::friction::force_kn;
/// assert_eq!(force_kn(1395.0, 2850.0)?, 3975.75);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn force_kn(stress_mpa: f64, area_mm2: f64) -> Result<f64, Misfit> {
    let stress = number(Argument::new("stress_mpa"), stress_mpa)?;
    Ok(stress * positive(Argument::new("area_mm2"), area_mm2)? / 1000.0)
}

/// Returns the stress of a tendon from its force.
///
/// # Formula
/// `σ = 1000·P / A`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P | force, `force_kn` | kN |
/// | A | area of all strands, `area_mm2` | mm² |
/// | σ | stress | MPa |
///
/// # Validity
/// All strands carry alike.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the force is not finite or the area is not greater than zero.
///
/// ```
/// use restrand_mechanics::friction::stress_mpa;
/// assert_eq!(stress_mpa(3975.75, 2850.0)?, 1395.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn stress_mpa(force_kn: f64, area_mm2: f64) -> Result<f64, Misfit> {
    let force = number(Argument::new("force_kn"), force_kn)?;
    Ok(force * 1000.0 / positive(Argument::new("area_mm2"), area_mm2)?)
}

/// What a loss leaves of a force; a loss is from 0 up to less than everything.
pub(crate) fn left_of(loss_share: f64) -> Result<f64, Misfit> {
    let argument = Argument::new("loss_share");
    let loss = not_negative(argument, loss_share)?;
    let (ceiling, ceiling_is) = (1.0, "the whole");
    positive(Argument::new("share_left"), ceiling - loss).map_err(|_| Misfit::NotBelow {
        argument,
        value: loss,
        ceiling,
        ceiling_is,
    })
}

/// Returns the force on the far side of a loss that is stated as a share: behind a jack's seals, past an anchorage's wedge plate.
///
/// # Formula
/// `P1 = P0·(1 - λ)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P0 | force before the loss, `force_kn` | kN |
/// | λ | loss as a share of P0, `loss_share` | |
/// | P1 | force past it | kN |
///
/// # Validity
/// While the force grows. The loss lies outside the wedges, so it does not come back when they seat.
/// A jack that is calibrated against its gauge has its own loss in the calibration already.
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the force is negative or the share is not from 0 to less than 1.
///
/// ```
/// use restrand_mechanics::friction::after_loss_kn;
/// assert_eq!(after_loss_kn(4000.0, 0.015)?, 3940.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn after_loss_kn(force_kn: f64, loss_share: f64) -> Result<f64, Misfit> {
    Ok(not_negative(Argument::new("force_kn"), force_kn)? * left_of(loss_share)?)
}

/// Returns the force on the near side of a loss that is stated as a share: what the jack must give for a force in the tendon.
///
/// # Formula
/// `P0 = P1 / (1 - λ)`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | P1 | force past the loss, `force_kn` | kN |
/// | λ | loss as a share of P0, `loss_share` | |
/// | P0 | force before it | kN |
///
/// # Validity
/// As for [`after_loss_kn`].
///
/// # Source
/// Definition.
///
/// # Errors
/// [`Misfit`] if the force is negative or the share is not from 0 to less than 1.
///
/// ```
/// use restrand_mechanics::friction::before_loss_kn;
/// assert_eq!(before_loss_kn(3940.0, 0.015)?, 4000.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn before_loss_kn(force_kn: f64, loss_share: f64) -> Result<f64, Misfit> {
    Ok(not_negative(Argument::new("force_kn"), force_kn)? / left_of(loss_share)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loss_of_everything_says_that_less_is_asked() {
        for told in [after_loss_kn(1.0, 1.0), before_loss_kn(1.0, 1.0)] {
            let told = told.unwrap_err().to_string();
            assert_eq!(told, "loss_share is 1: less than the whole (1) is asked");
        }
        assert!(after_loss_kn(1.0, 1.5).is_err() && after_loss_kn(1.0, 0.999).is_ok());
    }
}
