//! The volume that a filler takes up inside the tendon.

use std::f64::consts::PI;

use super::cap::{Cap, cap_litres};
use crate::misfit::{Argument, Misfit, above, not_negative, positive};

pub(super) const MM3_PER_LITRE: f64 = 1e6;

/// A round, straight-sided inside: a duct, pipe or hose where both diameters are equal, a cone or trumpet where they are not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hollow {
    /// Length along its axis, mm.
    pub length_mm: f64,
    /// Inside diameter at one end, mm.
    pub start_inner_mm: f64,
    /// Inside diameter at the other end, mm.
    pub end_inner_mm: f64,
}

impl Hollow {
    fn check(&self, list: &'static str, index: usize) -> Result<(), Misfit> {
        for (name, value) in [
            ("length_mm", self.length_mm),
            ("start_inner_mm", self.start_inner_mm),
            ("end_inner_mm", self.end_inner_mm),
        ] {
            positive(Argument::of(list, index, name), value)?;
        }
        Ok(())
    }

    fn volume_litres(&self) -> f64 {
        frustum_litres(self.length_mm, self.start_inner_mm, self.end_inner_mm)
    }
}

/// `π/12 · L · (a² + a b + b²)`.
pub(super) fn frustum_litres(length_mm: f64, start_mm: f64, end_mm: f64) -> f64 {
    PI / 12.0 * length_mm * (start_mm * start_mm + start_mm * end_mm + end_mm * end_mm)
        / MM3_PER_LITRE
}

/// The insides of one tendon, from anchorage to anchorage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TendonInside<'a> {
    /// Ducts, pipes, sleeves and cones one after another; their lengths together are the length of the steel in them.
    pub hollows: &'a [Hollow],
    /// The caps behind the anchorages.
    pub caps: &'a [Cap<'a>],
    /// Area of all strands together, mm².
    pub steel_area_mm2: f64,
    /// What the pump and its hoses hold and is not got back; no steel runs in them.
    pub hoses: &'a [Hollow],
    /// What is spilt, vented and left in the mixer, as a share of what the tendon takes up.
    pub waste_share: f64,
}

/// What one tendon takes up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TendonFill {
    /// The hollows without steel, litres.
    pub hollow_litres: f64,
    /// The steel in them, litres.
    pub steel_litres: f64,
    /// The caps, less the plates and tails in them, litres.
    pub cap_litres: f64,
    /// What stays in the tendon, litres.
    pub net_litres: f64,
    /// Waste, litres.
    pub waste_litres: f64,
    /// Hoses, litres.
    pub hose_litres: f64,
    /// What is to be mixed, litres.
    pub gross_litres: f64,
}

/// Returns the volume of one duct, pipe, hose or cone, empty.
///
/// # Formula
/// `V = π/12 · L · (a² + a b + b²) / 10⁶`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L | length, `length_mm` | mm |
/// | a, b | inside diameters at the ends | mm |
/// | V | volume | L |
///
/// # Validity
/// Round, with straight sides. An oval of small ovality has the volume of its mean diameter but for a share of (ov/2d)².
///
/// # Source
/// Geometry: the frustum of a cone.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero.
///
/// ```
/// use restrand_mechanics::filling::{hollow_litres, Hollow};
/// let cone = Hollow { length_mm: 600.0, start_inner_mm: 168.0, end_inner_mm: 110.2 };
/// assert!((hollow_litres(&cone)? - 9.25).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn hollow_litres(hollow: &Hollow) -> Result<f64, Misfit> {
    hollow.check("hollow", 0)?;
    Ok(hollow.volume_litres())
}

/// Returns the room for filler in one metre of duct.
///
/// # Formula
/// `v = (π/4 · d² - A) / 1000`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | d | inside diameter, `inner_mm` | mm |
/// | A | area of all strands, `steel_area_mm2` | mm² |
/// | v | free volume | L/m |
///
/// # Validity
/// Round duct; the strands' nominal area, which is that of their wires without the gaps between them.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a value is not greater than zero, or the steel fills the duct.
///
/// ```
/// use restrand_mechanics::filling::free_litres_per_m;
/// assert!((free_litres_per_m(110.2, 2850.0)? - 6.69).abs() < 0.005);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn free_litres_per_m(inner_mm: f64, steel_area_mm2: f64) -> Result<f64, Misfit> {
    let inner = positive(Argument::new("inner_mm"), inner_mm)?;
    let steel = positive(Argument::new("steel_area_mm2"), steel_area_mm2)?;
    let bore_mm2 = PI / 4.0 * inner * inner;
    let free_mm2 = above(Argument::new("bore_mm2"), bore_mm2, steel, "steel_area_mm2")? - steel;
    Ok(positive(Argument::new("free_mm2"), free_mm2)? / 1000.0)
}

/// Returns how much filler one tendon takes up and how much is to be mixed.
///
/// # Formula
/// `net = Σ π/12 · L (a² + a b + b²) - A ΣL + Σ caps`; `gross = net (1 + waste) + Σ hoses`
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | L, a, b | length and inside diameters of each hollow | mm |
/// | A | area of all strands, `steel_area_mm2` | mm² |
/// | waste | `waste_share` | |
/// | caps | each by [`cap_litres`] | L |
///
/// # Validity
/// The inside of the tendon only: no annulus between two skins, see [`annulus_litres`](super::annulus_litres).
/// Hollows follow one another, so that the steel runs through all of them once; its extra length for being out of the middle is left out.
/// Waste is a share of what stays in the tendon; hoses are counted whole.
///
/// # Source
/// Geometry.
///
/// # Errors
/// [`Misfit`] if a length is not greater than zero, an allowance is negative, there is no hollow, or the steel does not go into one.
///
/// ```
/// use restrand_mechanics::filling::{tendon_fill, Hollow, TendonInside};
/// let duct = Hollow { length_mm: 30_000.0, start_inner_mm: 100.0, end_inner_mm: 100.0 };
/// let hose = Hollow { length_mm: 20_000.0, start_inner_mm: 25.0, end_inner_mm: 25.0 };
/// let fill = tendon_fill(&TendonInside {
///     hollows: &[duct], caps: &[], steel_area_mm2: 2660.0, hoses: &[hose], waste_share: 0.10,
/// })?;
/// assert!((fill.net_litres - 155.8).abs() < 0.05);
/// assert!((fill.gross_litres - 181.2).abs() < 0.05);
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn tendon_fill(inside: &TendonInside<'_>) -> Result<TendonFill, Misfit> {
    let steel_mm2 = positive(Argument::new("steel_area_mm2"), inside.steel_area_mm2)?;
    let waste = not_negative(Argument::new("waste_share"), inside.waste_share)?;
    positive(Argument::new("number of hollows"), inside.hollows.len() as f64)?;
    let mut hollow_litres = 0.0;
    let mut length_mm = 0.0;
    for (index, hollow) in inside.hollows.iter().enumerate() {
        hollow.check("hollows", index)?;
        let least_mm = hollow.start_inner_mm.min(hollow.end_inner_mm);
        let bore_mm2 = PI / 4.0 * least_mm * least_mm;
        let argument = Argument::of("hollows", index, "bore_mm2");
        above(argument, bore_mm2, steel_mm2, "steel_area_mm2")?;
        hollow_litres += hollow.volume_litres();
        length_mm += hollow.length_mm;
    }
    let mut caps_litres = 0.0;
    for cap in inside.caps {
        caps_litres += cap_litres(cap, steel_mm2)?;
    }
    let mut hose_litres = 0.0;
    for (index, hose) in inside.hoses.iter().enumerate() {
        hose.check("hoses", index)?;
        hose_litres += hose.volume_litres();
    }
    let steel_litres = steel_mm2 * length_mm / MM3_PER_LITRE;
    let net_litres = hollow_litres - steel_litres + caps_litres;
    let waste_litres = net_litres * waste;
    Ok(TendonFill {
        hollow_litres,
        steel_litres,
        cap_litres: caps_litres,
        net_litres,
        waste_litres,
        hose_litres,
        gross_litres: net_litres + waste_litres + hose_litres,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const DUCT: Hollow = Hollow { length_mm: 1000.0, start_inner_mm: 100.0, end_inner_mm: 100.0 };

    #[test]
    fn a_metre_of_duct_is_its_free_section() {
        let inside = TendonInside {
            hollows: &[DUCT],
            caps: &[],
            steel_area_mm2: 2660.0,
            hoses: &[],
            waste_share: 0.0,
        };
        let fill = tendon_fill(&inside).unwrap();
        assert!((fill.net_litres - free_litres_per_m(100.0, 2660.0).unwrap()).abs() < 1e-12);
        assert!((fill.gross_litres - fill.net_litres).abs() < 1e-12);
    }

    #[test]
    fn a_hollow_that_the_strands_do_not_go_into_is_named() {
        let throat = Hollow { end_inner_mm: 55.0, ..DUCT };
        let inside = TendonInside {
            hollows: &[DUCT, throat],
            caps: &[],
            steel_area_mm2: 2660.0,
            hoses: &[],
            waste_share: 0.0,
        };
        let told = tendon_fill(&inside).unwrap_err();
        assert!(told.to_string().starts_with("hollows[1].bore_mm2"), "{told}");
        assert!(tendon_fill(&TendonInside { hollows: &[], ..inside }).is_err());
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
            for wrong in [
                Hollow { length_mm: bad, ..DUCT },
                Hollow { start_inner_mm: bad, ..DUCT },
                Hollow { end_inner_mm: bad, ..DUCT },
            ] {
                assert!(hollow_litres(&wrong).is_err());
            }
            assert!(free_litres_per_m(bad, 2660.0).is_err());
            assert!(free_litres_per_m(100.0, bad).is_err());
        }
    }
}
