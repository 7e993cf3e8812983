//! How fast the filler's front goes, and how long filling takes.

use crate::misfit::{Argument, Misfit, positive};

/// Returns how fast the filler's front goes along the duct.
///
/// # Formula
/// `v = Q / a`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Q | rate of the pump, `rate_l_per_min` | L/min |
/// | a | free volume per metre, `free_l_per_m` | L/m |
/// | v | speed of the front | m/min |
///
/// # Validity
/// A full section behind the front, one branch at a time: where the filler goes both ways, each gets a share of the rate.
///
/// # Source
/// Derived: continuity.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero.
///
/// ```
/// use restrand_mechanics::filling::front_speed_m_per_min;
/// assert!((front_speed_m_per_min(80.0, 6.69)? - 11.96).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn front_speed_m_per_min(rate_l_per_min: f64, free_l_per_m: f64) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("rate_l_per_min"), rate_l_per_min)?
        / positive(Argument::new("free_l_per_m"), free_l_per_m)?)
}

/// Returns the rate of the pump that drives the filler's front so fast.
///
/// # Formula
/// `Q = v a`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | v | speed of the front, `speed_m_per_min` | m/min |
/// | a | free volume per metre, `free_l_per_m` | L/m |
/// | Q | rate of the pump | L/min |
///
/// # Validity
/// As [`front_speed_m_per_min`], whose inverse it is.
///
/// # Source
/// Derived: continuity.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero.
///
/// ```
/// use restrand_mechanics::filling::pump_rate_l_per_min;
/// assert_eq!(pump_rate_l_per_min(5.0, 5.2)?, 26.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn pump_rate_l_per_min(speed_m_per_min: f64, free_l_per_m: f64) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("speed_m_per_min"), speed_m_per_min)?
        * positive(Argument::new("free_l_per_m"), free_l_per_m)?)
}

/// Returns how long a pump takes for a volume.
///
/// # Formula
/// `t = V / Q`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | V | volume, `litres` | L |
/// | Q | rate of the pump, `rate_l_per_min` | L/min |
/// | t | time | min |
///
/// # Validity
/// Steady pumping without stops.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero.
///
/// ```
/// use restrand_mechanics::filling::filling_minutes;
/// assert!((filling_minutes(325.0, 80.0)? - 4.06).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn filling_minutes(litres: f64, rate_l_per_min: f64) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("litres"), litres)?
        / positive(Argument::new("rate_l_per_min"), rate_l_per_min)?)
}

/// Returns how long the filler's front takes for a length of duct.
///
/// # Formula
/// `t = L / v`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | length of the branch, `length_m` | m |
/// | v | speed of the front, `speed_m_per_min` | m/min |
/// | t | time | min |
///
/// # Validity
/// Constant free section; caps and cones take longer than their length says.
///
/// # Source
/// Derived.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero.
///
/// ```
/// use restrand_mechanics::filling::travel_minutes;
/// assert_eq!(travel_minutes(21.0, 12.0)?, 1.75);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn travel_minutes(length_m: f64, speed_m_per_min: f64) -> Result<f64, Misfit> {
    Ok(positive(Argument::new("length_m"), length_m)?
        / positive(Argument::new("speed_m_per_min"), speed_m_per_min)?)
}
