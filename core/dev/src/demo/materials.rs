//! Strand, duct and jack (1.2, 1.6).

use restrand_model::reflect::Date;
use restrand_model::schedule::{
    CalibrationPoint, Duct, DuctMaterial, Hanging, InnerConvention, Jack, JackKind, Relaxation,
    Series, Side, Strand, StrandCoating,
};

use super::make::text;

pub(super) const STRAND: &str = "Y1860-157";
pub(super) const DUCT: &str = "PE125";
pub(super) const JACK: &str = "QJ-19";

/// Strands of every tendon.
pub(super) const STRAND_COUNT: u32 = 19;
/// Area of one strand, mm².
pub(super) const STRAND_AREA_MM2: f64 = 150.0;
/// Mass of one strand, kg/m.
pub(super) const STRAND_MASS_KG_PER_M: f64 = 1.172;
/// Modulus of elasticity, MPa.
pub(super) const E_MPA: f64 = 195_000.0;
/// Tensile strength, MPa.
pub(super) const FPU_MPA: f64 = 1860.0;
/// Bore of the duct, mm.
pub(super) const BORE_MM: f64 = 110.2;
/// Length of one stick, m.
pub(super) const STICK_M: f64 = 6.0;
/// Length of tail between wedge plate and grip that stretches with the tendon, mm.
pub(super) const GRIPPED_MM: f64 = 900.0;

/// Steel of a whole tendon, mm².
pub(super) fn steel_mm2() -> f64 {
    f64::from(STRAND_COUNT) * STRAND_AREA_MM2
}

pub(super) fn strands() -> Vec<Strand> {
    vec![Strand {
        id: text(STRAND),
        standard: text("EN 10138-3"),
        series: Some(Series::Metric),
        grade: text("Y1860S7"),
        diameter_mm: Some(15.7),
        area_mm2: Some(STRAND_AREA_MM2),
        mass_kg_per_m: Some(STRAND_MASS_KG_PER_M),
        fpu_mpa: Some(FPU_MPA),
        breaking_force_kn: Some(279.0),
        yield_ratio: Some(0.88),
        e_mpa: Some(E_MPA),
        relaxation: Some(Relaxation::Low),
        coating: Some(StrandCoating::Bare),
        ..Strand::default()
    }]
}

pub(super) fn ducts() -> Vec<Duct> {
    vec![Duct {
        id: text(DUCT),
        material: Some(DuctMaterial::Polyethylene),
        nominal_size: text("125"),
        outer_mm: Some(125.0),
        wall_mm: Some(7.4),
        inner_mm: Some(BORE_MM),
        inner_convention: Some(InnerConvention::MinimumWall),
        dimension_ratio: Some(17.0),
        tolerance_mm: Some(0.5),
        ovality_mm: Some(2.0),
        stick_length_mm: Some(STICK_M * 1000.0),
        coiled: Some(false),
        mass_kg_per_m: Some(2.6),
        uv_class: text("stabilised"),
        surface: text("smooth, dry"),
        ..Duct::default()
    }]
}

/// Gauge in MPa against force in kN.
const CALIBRATION: [(f64, f64); 6] =
    [(0.0, 0.0), (10.0, 880.0), (20.0, 1765.0), (30.0, 2650.0), (40.0, 3535.0), (50.0, 4420.0)];

pub(super) fn jacks() -> Vec<Jack> {
    vec![Jack {
        id: text(JACK),
        kind: Some(JackKind::MultiStrand),
        strand_counts: vec![STRAND_COUNT],
        piston_area_mm2: Some(90_000.0),
        stroke_mm: Some(200.0),
        retracted_mm: Some(900.0),
        extended_mm: Some(1100.0),
        diameter_mm: Some(450.0),
        nose_diameter_mm: Some(250.0),
        nose_length_mm: Some(100.0),
        hose_side: Some(Side::Up),
        hose_room_mm: Some(100.0),
        mass_kg: Some(850.0),
        lifting_eyes: Some(2),
        hanging: vec![Hanging::Level, Hanging::Upright],
        sling_height_mm: Some(350.0),
        support: text("Lifting table from below, or slings"),
        tail_mm: Some(1000.0),
        gripped_length_mm: Some(GRIPPED_MM),
        rated_force_kn: Some(4500.0),
        gauge_resolution_mpa: Some(0.2),
        internal_loss: Some(0.02),
        calibrated_on: Date::new(2026, 9, 15),
        calibration: CALIBRATION
            .into_iter()
            .map(|(gauge, force)| CalibrationPoint {
                gauge_mpa: Some(gauge),
                force_kn: Some(force),
                ..CalibrationPoint::default()
            })
            .collect(),
        ..Jack::default()
    }]
}

/// Gauge reading for a force, on the straight lines of the calibration.
pub(super) fn gauge_mpa(force_kn: f64) -> Option<f64> {
    CALIBRATION.windows(2).find_map(|pair| {
        let [(gauge, force), (next_gauge, next_force)] = [pair[0], pair[1]];
        (force_kn <= next_force)
            .then(|| gauge + (force_kn - force) / (next_force - force) * (next_gauge - gauge))
    })
}
