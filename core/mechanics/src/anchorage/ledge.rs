//! The ledge on which a wedge plate or shim plate bears: the ring that the bearing plate's bore leaves under it.
//!
//! A bore widened for withdrawal takes the ledge away.

use std::f64::consts::PI;

use crate::misfit::{Argument, Misfit, above, not_negative, positive};

/// The ring under a plate, and how hard it is pressed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ledge {
    /// Width of the ring, radially, mm.
    pub width_mm: f64,
    /// Area of the ring, mm².
    pub area_mm2: f64,
    /// Mean pressure on it, MPa.
    pub pressure_mpa: f64,
}

/// Returns the ring that a bore leaves under a plate, and the mean pressure on it.
///
/// # Formula
/// `w = (Dp - db) / 2`; `A = π/4 · (Dp² - db²)`; `p = 1000 F / A`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Dp | outside diameter of the wedge or shim plate, `plate_outer_mm` | mm |
/// | db | bore of the bearing plate at its face, `bore_mm` | mm |
/// | F | force, `force_kn` | kN |
/// | w, A, p | width, area and mean pressure of the ring | mm, mm², MPa |
///
/// # Validity
/// A round plate, central over a round bore, square to it; the pressure is a mean, and bending of the plate concentrates it at the bore.
/// Take the plate at its least and the bore at its greatest, with any chamfer: here tolerances count the other way than for passing.
/// A plate let into a recess bears by its own diameter all the same.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a diameter is not greater than zero, the force is negative, or the plate is not wider than the bore and falls through.
///
/// ```
/// use restrand_mechanics::anchorage::ledge;
/// let ring = ledge(260.0, 200.0, 4900.0)?;
/// assert_eq!(ring.width_mm, 30.0);
/// assert!((ring.area_mm2 - 21_677.0).abs() < 0.5);
/// assert!((ring.pressure_mpa - 226.0).abs() < 0.5);
/// assert!(ledge(200.0, 210.0, 4900.0).is_err());
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn ledge(plate_outer_mm: f64, bore_mm: f64, force_kn: f64) -> Result<Ledge, Misfit> {
    let plate = positive(Argument::new("plate_outer_mm"), plate_outer_mm)?;
    let bore = positive(Argument::new("bore_mm"), bore_mm)?;
    let force = not_negative(Argument::new("force_kn"), force_kn)?;
    above(Argument::new("plate_outer_mm"), plate, bore, "bore_mm")?;
    let width_mm = (plate - bore) / 2.0;
    // As a product, which keeps its digits where the two squares are nearly equal.
    let area_mm2 = PI / 4.0 * (plate - bore) * (plate + bore);
    Ok(Ledge {
        width_mm,
        area_mm2,
        pressure_mpa: force * 1000.0 / positive(Argument::new("area_mm2"), area_mm2)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wider_bore_presses_harder() {
        let mut last = 0.0;
        for bore_mm in [180.0, 190.0, 200.0, 210.0, 250.0] {
            let pressure_mpa = ledge(260.0, bore_mm, 4900.0).unwrap().pressure_mpa;
            assert!(pressure_mpa > last);
            last = pressure_mpa;
        }
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(ledge(bad, 200.0, 4900.0).is_err());
            assert!(ledge(260.0, bad, 4900.0).is_err());
            assert!(ledge(260.0, 200.0, bad).is_err());
        }
        assert!(ledge(200.0, 200.0, 4900.0).is_err());
        assert!(ledge(1e-8, 1e-9, 1e12).is_err());
    }
}
