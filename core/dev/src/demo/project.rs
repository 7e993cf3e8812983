//! The project, its spans, supports and sections (1.1, A8).

use restrand_model::reflect::Date;
use restrand_model::schedule::{
    DisplayUnits, One, Project, Section, Span, Stage, Support, SupportKind,
};

use super::make::{link, one, text};

pub(super) fn project() -> One<Project> {
    one(Project {
        bridge: text("Quillmere Viaduct"),
        structure_number: text("QV-001"),
        owner: text("Quillmere Valley Roads"),
        designer: text("Quillmere Valley Roads, bridge office"),
        drawing: text("QV-PT-101"),
        revision: text("A"),
        date: Date::new(2026, 11, 25),
        stage: Some(Stage::ShopDrawing),
        design_code: text("AASHTO LRFD"),
        design_code_edition: text("2020"),
        display_units: Some(DisplayUnits::Si),
        alignment_straight: Some(true),
        first_frequency_hz: Some(2.5),
        tendons_out: Some(1),
        live_load_restriction: text("One lane each way, no vehicle over 40 t"),
        measures_while_out: text(
            "Two survey readings a day; props not needed unless the engineer in charge asks",
        ),
        hand_carry_kg: Some(80.0),
        ..Project::default()
    })
}

/// Name, from, to.
const SPANS: [(&str, f64, f64); 3] =
    [("S1", 100.0, 140.0), ("S2", 140.0, 190.0), ("S3", 190.0, 230.0)];

pub(super) fn spans() -> Vec<Span> {
    SPANS
        .into_iter()
        .map(|(id, from, to)| Span {
            id: text(id),
            from_m: Some(from),
            to_m: Some(to),
            ..Span::default()
        })
        .collect()
}

/// Name, which is the place's too, and station.
const SUPPORTS: [(&str, f64); 4] = [("A1", 100.0), ("P2", 140.0), ("P3", 190.0), ("A4", 230.0)];

pub(super) fn supports() -> Vec<Support> {
    SUPPORTS
        .into_iter()
        .map(|(id, station)| Support {
            id: text(id),
            station_m: Some(station),
            kind: Some(SupportKind::Pinned),
            place: link(id),
            ..Support::default()
        })
        .collect()
}

/// Name and station.
const SECTIONS: [(&str, f64); 3] =
    [("mid-span 1", 120.0), ("mid-span 2", 165.0), ("mid-span 3", 210.0)];

/// Stiffness and stresses are absent on purpose: the check with a tendon out ends at forces.
pub(super) fn sections() -> Vec<Section> {
    SECTIONS
        .into_iter()
        .map(|(id, station)| Section {
            id: text(id),
            station_m: Some(station),
            centroid_elevation_m: Some(51.6),
            centroid_lateral_m: Some(0.0),
            internal_force_kn: Some(30_000.0),
            limit_lost_force_share: Some(0.1),
            ..Section::default()
        })
        .collect()
}
