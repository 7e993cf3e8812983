//! Places, their faces and hoist points (A1).

use restrand_model::schedule::{Face, Faces, HoistPoint, Place, PlaceKind};

use super::make::{one, text};
use super::rooms::CEILING_M;

/// Name, station, capacity in kg.
type Hoist = (&'static str, f64, f64);

/// Name, kind, station, thickness, hoist points.
type Row = (&'static str, PlaceKind, f64, f64, &'static [Hoist]);

const PLACES: [Row; 10] = [
    ("A1", PlaceKind::Abutment, 100.0, 1300.0, &[("HP-CH1", 98.5, 250.0)]),
    ("D11", PlaceKind::Deviator, 113.0, 1000.0, &[]),
    ("D12", PlaceKind::Deviator, 127.0, 1000.0, &[]),
    ("P2", PlaceKind::Pier, 140.0, 2000.0, &[("HP-P2D", 137.5, 1250.0), ("HP-P2U", 142.5, 1250.0)]),
    // The point over the hatch H1 is listed with the nearer diaphragm down-station.
    ("D21", PlaceKind::Deviator, 156.5, 1000.0, &[("HP-H1", 165.0, 1250.0)]),
    ("D22", PlaceKind::Deviator, 173.5, 1000.0, &[]),
    ("P3", PlaceKind::Pier, 190.0, 2000.0, &[("HP-P3D", 187.5, 1250.0), ("HP-P3U", 192.5, 1250.0)]),
    ("D31", PlaceKind::Deviator, 203.0, 1000.0, &[]),
    ("D32", PlaceKind::Deviator, 217.0, 1000.0, &[]),
    ("A4", PlaceKind::Abutment, 230.0, 1300.0, &[("HP-CH4", 232.3, 1250.0)]),
];

/// Down and up face of a place.
pub(super) fn faces_m(id: &str) -> Option<[f64; 2]> {
    PLACES.iter().find(|place| place.0 == id).map(|(_, _, station, thickness, _)| {
        let half = thickness / 2000.0;
        [station - half, station + half]
    })
}

pub(super) fn places() -> Vec<Place> {
    PLACES
        .into_iter()
        .map(|(id, kind, station, thickness, hoists)| {
            let half = thickness / 2000.0;
            let face = |station| one(Face { station_m: Some(station), ..Face::default() });
            Place {
                id: text(id),
                kind: Some(kind),
                station_m: Some(station),
                thickness_mm: Some(thickness),
                skew_rad: Some(0.0),
                joint_closing_mm: Some(0.0),
                joint_opening_mm: Some(0.0),
                faces: one(Faces {
                    up: face(station + half),
                    down: face(station - half),
                    ..Faces::default()
                }),
                hoist_points: hoists.iter().map(|hoist| hoist_point(*hoist)).collect(),
                ..Place::default()
            }
        })
        .collect()
}

/// All hang from the ceiling, in the middle of the box.
fn hoist_point((id, station, capacity): Hoist) -> HoistPoint {
    HoistPoint {
        id: text(id),
        station_m: Some(station),
        lateral_m: Some(0.0),
        elevation_m: Some(CEILING_M),
        capacity_kg: Some(capacity),
        ..HoistPoint::default()
    }
}
