//! The place that stays where it is while both ends are pulled.

use super::Profile;
use crate::misfit::{Argument, Misfit, positive};

/// A difference of exponents that is none: rounding of sums.
const SAME: f64 = 1e-12;

/// Where both ends' pulls meet: one place, or a length without friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stationary {
    /// From here, from end A, m.
    pub from_m: f64,
    /// To here, m: the same place unless there is no friction between.
    pub to_m: f64,
}

/// Returns where the pulls of both ends meet.
///
/// # Formula
/// `κ = (κ_L + ln(σa/σb))/2`, counted from end A
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σa, σb | stress in the tendon at its ends, `at_a_mpa`, `at_b_mpa` | MPa |
/// | κ_L | friction exponent over the tendon | |
///
/// # Validity
/// Both ends are pulled, at once or one after the other, and none is seated between.
/// Where one end's pull alone brings more to the other than is pulled there, that other end is the place.
/// On a length without friction between two deviators that both slide, the place is not determined by equilibrium.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a stress is not greater than zero.
///
/// ```
/// use restrand_mechanics::friction::{profile, stationary, ExponentPerM, Run, Wobble};
/// let wobble = Wobble::Exponent(ExponentPerM(0.002));
/// let run = |length_m, angle_rad| Run { length_m, angle_rad, inadvertent_rad: 0.0, mu: 0.2, wobble };
/// let tendon = profile(&[run(12.0, 0.10), run(18.0, 0.30), run(25.0, 0.05)])?;
/// let place = stationary(&tendon, 1395.0, 1395.0)?;
/// assert!((place.from_m - 22.5).abs() < 1e-9 && (place.to_m - 22.5).abs() < 1e-9);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn stationary(profile: &Profile, at_a_mpa: f64, at_b_mpa: f64) -> Result<Stationary, Misfit> {
    let a = positive(Argument::new("at_a_mpa"), at_a_mpa)?;
    let b = positive(Argument::new("at_b_mpa"), at_b_mpa)?;
    let last = profile.last();
    let meeting = (last.exponent + (a / b).ln()) / 2.0;
    if meeting < -SAME {
        return Ok(Stationary { from_m: 0.0, to_m: 0.0 });
    }
    if meeting > last.exponent + SAME {
        return Ok(Stationary { from_m: last.at_m, to_m: last.at_m });
    }
    let (mut from_m, mut to_m) = (last.at_m, 0.0);
    for pair in profile.borders().windows(2) {
        let [near, far] = [pair[0], pair[1]];
        if far.exponent < meeting - SAME || near.exponent > meeting + SAME {
            continue;
        }
        // Of a run that lies at the meeting exponent all is meant, of another the one place.
        let gained = far.exponent - near.exponent;
        let (first, second) = if gained <= SAME {
            (near.at_m, far.at_m)
        } else {
            let share = ((meeting - near.exponent) / gained).clamp(0.0, 1.0);
            let at_m = near.at_m + (far.at_m - near.at_m) * share;
            (at_m, at_m)
        };
        from_m = f64::min(from_m, first);
        to_m = f64::max(to_m, second);
    }
    Ok(Stationary { from_m, to_m })
}
