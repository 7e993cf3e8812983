//! Filling (10): the inside of the tendon only; the gap between cast and removable pipes stays empty.
//!
//! `V = Σ bore·length − steel·length + caps`, where a cone counts as a frustum:
//! - duct: `π/4 d² l` over what cones, pipes and sleeves leave of the developed length;
//! - K cone, 168 to 110.2 mm over 600 mm: `π/12 l (D² + D d + d²)`;
//! - S pipe, 158 mm over 2300 mm, and its sleeve, 158 to 110.2 mm over 350 mm;
//! - cap: `π/4 d²` over its length less an end plate of 12 mm, less wedge plate, shim plate and tails.

use std::f64::consts::PI;

use restrand_model::schedule::{Fill, Filler, PumpPlace, Tendon};

use super::anchorages::{Kind, TAIL_MM, WEDGE_PLATE_MM, WEDGE_PLATE_OUTER_MM};
use super::make::{one, rounded, text};
use super::materials::{BORE_MM, steel_mm2};

/// Thickness of a cap's end plate, mm.
const CAP_PLATE_MM: f64 = 12.0;
/// Outer diameter of the shim plate, mm.
const SHIM_OUTER_MM: f64 = 310.0;
/// Grout of one bag of 50 kg at a water-cement ratio of 0.40, litres.
const BAG_L: f64 = 35.87;
/// Share of the volume added for waste.
const WASTE: f64 = 0.1;
/// Filler left in hoses and lines, litres.
const HOSES_L: f64 = 15.0;
/// Rate of the pump, litres a minute.
const RATE_L_PER_MIN: f64 = 80.0;
/// Station of the hatch, below which the pump stands.
const HATCH_M: f64 = 165.0;
/// Length of hose from the pump into the box, m.
const HOSE_TO_BOX_M: f64 = 15.0;

fn cylinder_l(diameter_mm: f64, length_mm: f64) -> f64 {
    PI / 4.0 * diameter_mm * diameter_mm * length_mm / 1.0e6
}

fn frustum_l(large_mm: f64, small_mm: f64, length_mm: f64) -> f64 {
    PI / 12.0 * length_mm * (large_mm * large_mm + large_mm * small_mm + small_mm * small_mm)
        / 1.0e6
}

/// The bores at an end, wider than the duct: their volume in litres and their length in mm.
fn wide_bores(kind: &Kind) -> (f64, f64) {
    if kind.has_cone() {
        (frustum_l(168.0, BORE_MM, 600.0), 600.0)
    } else {
        (cylinder_l(158.0, 2300.0) + frustum_l(158.0, BORE_MM, 350.0), 2650.0)
    }
}

fn cap_l(kind: &Kind) -> f64 {
    cylinder_l(kind.cap_inner_mm, kind.cap_mm - CAP_PLATE_MM)
        - cylinder_l(WEDGE_PLATE_OUTER_MM, WEDGE_PLATE_MM)
        - cylinder_l(SHIM_OUTER_MM, kind.shim_mm)
        - steel_mm2() * TAIL_MM / 1.0e6
}

/// Filler of cap and wide bores beyond what the duct would take over their length, litres.
pub(super) fn beyond_duct_l(kind: &Kind) -> f64 {
    let (volume, length) = wide_bores(kind);
    volume - cylinder_l(BORE_MM, length) + cap_l(kind)
}

/// Filler of a whole tendon, litres.
fn volume_l(developed_m: f64, kinds: [&Kind; 2], bore_mm: f64) -> f64 {
    let mut duct_mm = developed_m * 1000.0;
    let mut volume = 0.0;
    for kind in kinds {
        let (wide, length) = wide_bores(kind);
        volume += wide + cap_l(kind);
        duct_mm -= length;
    }
    volume + cylinder_l(bore_mm, duct_mm) - steel_mm2() * developed_m / 1000.0
}

pub(super) fn fill(
    filler: Filler,
    developed_m: f64,
    kinds: [&Kind; 2],
    bore_mm: f64,
    inlet_m: f64,
) -> Fill {
    let volume = volume_l(developed_m, kinds, bore_mm);
    let waste = WASTE * volume + HOSES_L;
    let mut fill = Fill {
        volume_l: Some(rounded(volume, 1)),
        waste_volume_l: Some(rounded(waste, 1)),
        pressure_mpa: Some(1.0),
        duration_s: Some(rounded(volume / RATE_L_PER_MIN * 60.0, 0)),
        pump: Some(PumpPlace::Below),
        hose_length_mm: Some(((HATCH_M - inlet_m).abs() + HOSE_TO_BOX_M) * 1000.0),
        ..Fill::default()
    };
    if filler == Filler::Wax {
        fill.mix = text("wax, injected hot; the pipe is drained warm");
        fill.temperature_celsius = Some(90.0);
    } else {
        fill.mix = text("neat cement grout");
        fill.water_cement_ratio = Some(0.4);
        fill.bag_mass_kg = Some(50.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small positive whole number"
        )]
        let bags = ((volume + waste) / BAG_L).ceil() as u32;
        fill.bags = Some(bags);
    }
    fill
}

/// States the filler anew for another bore of the duct.
pub(super) fn refill(tendon: &mut Tendon, bore_mm: f64) {
    let developed_m = super::path_of(tendon).developed_m();
    let mut kinds = tendon
        .stated_ends()
        .filter_map(|(_, end)| Kind::named(end.anchorage.as_ref()?.key()))
        .collect::<Vec<_>>()
        .into_iter();
    let inlet = tendon.vents.iter().find_map(|vent| {
        (vent.kind == Some(restrand_model::schedule::VentKind::Inlet)).then_some(vent.station_m)?
    });
    if let (Some(a), Some(b), Some(filler), Some(inlet)) =
        (kinds.next(), kinds.next(), tendon.filler, inlet)
    {
        tendon.fill = one(fill(filler, developed_m, [&a, &b], bore_mm, inlet));
    }
}
