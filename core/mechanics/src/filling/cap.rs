//! The room for filler in a cap, beside the plates and tails in it.

use std::f64::consts::PI;

use super::volume::MM3_PER_LITRE;
use crate::misfit::{Argument, LARGEST, Misfit, not_negative, number, positive};

/// A plate that stands in a cap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CapPlate {
    /// Outside diameter, mm.
    pub outer_mm: f64,
    /// The bore through which the strands run together, mm; 0 for a wedge plate, whose holes the strands fill.
    pub bore_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
}

/// A cap over an anchorage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cap<'a> {
    /// Inside diameter, mm.
    pub inner_mm: f64,
    /// Inside length from the bearing-plate face to the cap's end, mm.
    pub length_mm: f64,
    /// The plates in it, one upon another.
    pub plates: &'a [CapPlate],
    /// How far the strands stand out of the rearmost plate, mm.
    pub tail_mm: f64,
}

/// Returns the room for filler in a cap.
///
/// # Formula
/// `V = [π/4 · d² L - Σ π/4 (D² - b²) t - A (c + Σ t of the plates with b > 0)] / 10⁶`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | d, L | inside diameter and length of the cap | mm |
/// | D, b, t | outside diameter, bore and thickness of each plate | mm |
/// | A | area of all strands, `steel_area_mm2` | mm² |
/// | c | tails, `tail_mm` | mm |
/// | V | free volume | L |
///
/// # Validity
/// A cylinder with the plates standing on the bearing plate. A wedge plate is solid but for holes that strands and wedges fill;
/// the bore of a shim plate is filled around the strands, which is why it counts here: the duct's lengths end at the bearing-plate face.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero or negative where it may be zero, a plate is wider than the cap or narrower than its bore,
/// the strands do not go through a bore, or plates and tails are longer than the cap.
///
/// ```
/// use restrand_mechanics::filling::{cap_litres, Cap, CapPlate};
/// let wedge_plate = CapPlate { outer_mm: 270.0, bore_mm: 0.0, thickness_mm: 75.0 };
/// let cap = Cap { inner_mm: 300.0, length_mm: 178.0, plates: &[wedge_plate], tail_mm: 40.0 };
/// assert!((cap_litres(&cap, 2850.0)? - 8.17).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn cap_litres(cap: &Cap<'_>, steel_area_mm2: f64) -> Result<f64, Misfit> {
    let inner = positive(Argument::new("inner_mm"), cap.inner_mm)?;
    let length = positive(Argument::new("length_mm"), cap.length_mm)?;
    let tail = not_negative(Argument::new("tail_mm"), cap.tail_mm)?;
    let steel = positive(Argument::new("steel_area_mm2"), steel_area_mm2)?;
    not_more(Argument::new("steel_area_mm2"), steel, PI / 4.0 * inner * inner)?;
    let mut taken_mm = tail;
    let mut volume_mm3 = PI / 4.0 * inner * inner * length - steel * tail;
    for (index, plate) in cap.plates.iter().enumerate() {
        let name = |name| Argument::of("plates", index, name);
        let outer = positive(name("outer_mm"), plate.outer_mm)?;
        let bore = not_negative(name("bore_mm"), plate.bore_mm)?;
        let thickness = positive(name("thickness_mm"), plate.thickness_mm)?;
        not_more(name("outer_mm"), outer, inner)?;
        not_more(name("bore_mm"), bore, outer)?;
        volume_mm3 -= PI / 4.0 * (outer - bore) * (outer + bore) * thickness;
        if bore > 0.0 {
            not_more(Argument::new("steel_area_mm2"), steel, PI / 4.0 * bore * bore)?;
            volume_mm3 -= steel * thickness;
        }
        taken_mm += thickness;
    }
    // Sums of decimals are not exact.
    not_more(Argument::new("plates and tails"), taken_mm, length * (1.0 + 1e-9))?;
    number(Argument::new("volume_litres"), volume_mm3.max(0.0) / MM3_PER_LITRE)
}

fn not_more(argument: Argument, value: f64, most: f64) -> Result<(), Misfit> {
    if value > most.min(LARGEST) { Err(Misfit::TooLarge { argument, value, most }) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WEDGE_PLATE: CapPlate = CapPlate { outer_mm: 270.0, bore_mm: 0.0, thickness_mm: 75.0 };
    const SHIM: CapPlate = CapPlate { outer_mm: 310.0, bore_mm: 165.0, thickness_mm: 50.0 };

    fn litres(plates: &[CapPlate], length_mm: f64) -> Result<f64, Misfit> {
        cap_litres(&Cap { inner_mm: 316.0, length_mm, plates, tail_mm: 40.0 }, 2850.0)
    }

    #[test]
    fn the_bore_of_a_shim_plate_is_filled_around_the_strands() {
        let solid = CapPlate { bore_mm: 0.0, ..SHIM };
        let more = litres(&[SHIM, WEDGE_PLATE], 228.0).unwrap()
            - litres(&[solid, WEDGE_PLATE], 228.0).unwrap();
        assert!((more - (21_382.46 - 2850.0) * 50.0 / 1e6).abs() < 1e-6);
    }

    #[test]
    fn what_does_not_go_into_the_cap_is_refused() {
        assert!(litres(&[SHIM, WEDGE_PLATE], 165.0).is_ok());
        assert!(litres(&[SHIM, WEDGE_PLATE], 164.0).is_err());
        assert!(litres(&[CapPlate { outer_mm: 320.0, ..SHIM }], 228.0).is_err());
        assert!(litres(&[CapPlate { bore_mm: 311.0, ..SHIM }], 228.0).is_err());
        assert!(litres(&[CapPlate { bore_mm: 50.0, ..SHIM }], 228.0).is_err());
    }
}
