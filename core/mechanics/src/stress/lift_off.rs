//! Lift-off: the jack pulls at a seated end until it takes the anchor's force over.

use crate::friction::{End, StressDiagram, force_kn};
use crate::misfit::Misfit;

/// Returns the force at which a seated end lifts off.
///
/// # Formula
/// `P = σ_end·A / 1000`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | σ_end | stress at that end, [`StressDiagram::end_mpa`] | MPa |
/// | A | area of all strands, `area_mm2` | mm² |
/// | P | force | kN |
///
/// # Validity
/// Of the wedge plate as one, lifted off its seat; the jack's own loss is not in it. Nothing but the end has moved when it lifts.
///
/// # Source
/// Derived: equilibrium of the wedge plate when its seat is unloaded.
///
/// # Errors
/// [`Misfit`] if the area is not greater than zero.
///
/// ```
/// use restrand_mechanics::friction::{profile, End, Run, Seating, StressDiagram, Wobble};
/// use restrand_mechanics::stress::lift_off_kn;
/// let free = Run { length_m: 20.0, angle_rad: 0.0, inadvertent_rad: 0.0, mu: 0.2, wobble: Wobble::None };
/// let mut stress = StressDiagram::jacked(&profile(&[free])?, End::A, 1400.0)?;
/// stress.seat(End::A, Seating { set_mm: 8.0, e_mpa: 200_000.0 })?;
/// assert_eq!(lift_off_kn(&stress, End::A, 2000.0)?, 2640.0);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn lift_off_kn(stress: &StressDiagram, end: End, area_mm2: f64) -> Result<f64, Misfit> {
    force_kn(stress.end_mpa(end), area_mm2)
}
