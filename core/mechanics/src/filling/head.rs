//! The pressure of a column of filler at rest.

use crate::misfit::{Argument, Misfit, number, positive};

/// Standard acceleration of gravity, m/s².
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;

/// Returns how much greater the pressure of a filler at rest is at one point than at another.
///
/// # Formula
/// `p = ρ g (z - zi) / 1000`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | ρ | density, `density_kg_per_m3` | kg/m³ |
/// | g | [`STANDARD_GRAVITY_M_PER_S2`] | m/s² |
/// | zi | elevation where the pressure is asked, `at_elevation_m` | m |
/// | z | elevation of the free surface or of the other point, `surface_elevation_m` | m |
/// | p | pressure difference, negative where z is lower | kPa |
///
/// # Validity
/// Filler at rest in a column without a gap; friction while pumping comes on top.
///
/// # Source
/// Hydrostatics.
///
/// # Errors
/// [`Misfit`] if the density is not greater than zero, or an elevation is not finite.
///
/// ```
/// use restrand_mechanics::filling::head_kpa;
/// assert!((head_kpa(2000.0, 50.40, 51.94)? - 30.2).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn head_kpa(
    density_kg_per_m3: f64,
    at_elevation_m: f64,
    surface_elevation_m: f64,
) -> Result<f64, Misfit> {
    let density = positive(Argument::new("density_kg_per_m3"), density_kg_per_m3)?;
    let at = number(Argument::new("at_elevation_m"), at_elevation_m)?;
    let surface = number(Argument::new("surface_elevation_m"), surface_elevation_m)?;
    Ok(density * STANDARD_GRAVITY_M_PER_S2 * (surface - at) / 1000.0)
}
