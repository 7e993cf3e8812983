//! Bays and openings (A2, A3).

use restrand_model::reflect::Link;
use restrand_model::schedule::{Bay, Opening, OpeningPlane, OpeningShape, Place};

use super::make::{link, rounded, text};
use super::places::faces_m;

const FLOOR_M: f64 = 50.0;
pub(super) const CEILING_M: f64 = 52.4;

/// Name, place at either end, and station of a wall where there is none.
type BayRow = (&'static str, Option<&'static str>, Option<&'static str>, f64);

const BAYS: [BayRow; 11] = [
    ("CH1", None, Some("A1"), 97.45),
    ("B1A", Some("A1"), Some("D11"), 0.0),
    ("B1B", Some("D11"), Some("D12"), 0.0),
    ("B1C", Some("D12"), Some("P2"), 0.0),
    ("B2A", Some("P2"), Some("D21"), 0.0),
    ("B2B", Some("D21"), Some("D22"), 0.0),
    ("B2C", Some("D22"), Some("P3"), 0.0),
    ("B3A", Some("P3"), Some("D31"), 0.0),
    ("B3B", Some("D31"), Some("D32"), 0.0),
    ("B3C", Some("D32"), Some("A4"), 0.0),
    ("CH4", Some("A4"), None, 234.05),
];

pub(super) fn bays() -> Vec<Bay> {
    BAYS.into_iter()
        .map(|(id, from, to, wall)| {
            let face = |place: Option<&'static str>, side: usize| {
                place.and_then(faces_m).map_or(wall, |faces| faces[side])
            };
            let place = |id: Option<&'static str>| id.map(Link::<Place>::to);
            Bay {
                id: text(id),
                from_place: place(from),
                to_place: place(to),
                from_m: Some(face(from, 1)),
                to_m: Some(face(to, 0)),
                width_mm: Some(4000.0),
                height_mm: Some(2400.0),
                middle_lateral_m: Some(0.0),
                floor_elevation_m: Some(FLOOR_M),
                floor_slope: Some(0.0),
                ..Bay::default()
            }
        })
        .collect()
}

/// Half the width of an opening in a diaphragm, m.
const WALL_OPENING_HALF_WIDTH_M: f64 = 0.45;
/// Underside and top of an opening in a diaphragm.
const WALL_OPENING_M: [f64; 2] = [50.1, 51.3];

/// From a point of a diaphragm's face to the nearest edge of concrete, which is that of the opening: the
/// diaphragm is cast with webs and slabs.
pub(super) fn edge_distance_mm(lateral_m: f64, elevation_m: f64) -> f64 {
    let across = (lateral_m.abs() - WALL_OPENING_HALF_WIDTH_M).max(0.0);
    let [underside, top] = WALL_OPENING_M;
    let upright = (underside - elevation_m).max(elevation_m - top).max(0.0);
    rounded(across.hypot(upright) * 1000.0, 0)
}

/// Name, bay to bay, place, station, depth.
type WallRow = (&'static str, [&'static str; 2], &'static str, f64, f64);

const WALLS: [WallRow; 10] = [
    ("O-A1", ["B1A", "CH1"], "A1", 100.0, 1300.0),
    ("O-D11", ["B1A", "B1B"], "D11", 113.0, 1000.0),
    ("O-D12", ["B1B", "B1C"], "D12", 127.0, 1000.0),
    ("O-P2", ["B1C", "B2A"], "P2", 140.0, 2000.0),
    ("O-D21", ["B2A", "B2B"], "D21", 156.5, 1000.0),
    ("O-D22", ["B2B", "B2C"], "D22", 173.5, 1000.0),
    ("O-P3", ["B2C", "B3A"], "P3", 190.0, 2000.0),
    ("O-D31", ["B3A", "B3B"], "D31", 203.0, 1000.0),
    ("O-D32", ["B3B", "B3C"], "D32", 217.0, 1000.0),
    ("O-A4", ["B3C", "CH4"], "A4", 230.0, 1300.0),
];

pub(super) fn openings() -> Vec<Opening> {
    let bays = bays();
    // Nothing stands in line with the openings: each bay is clear over all its length.
    let clear_mm = |id: &str| {
        let bay = bays.iter().find(|bay| bay.id.as_deref() == Some(id))?;
        Some(rounded((bay.to_m? - bay.from_m?) * 1000.0, 0))
    };
    let walls = WALLS.into_iter().map(|(id, [from, to], place, station, depth)| Opening {
        id: text(id),
        from_bay: link(from),
        to_bay: link(to),
        place: link(place),
        shape: Some(OpeningShape::Rectangle),
        plane: Some(OpeningPlane::Wall),
        width_mm: Some(900.0),
        height_mm: Some(1200.0),
        depth_mm: Some(depth),
        sill_mm: Some(100.0),
        clear_before_mm: clear_mm(from),
        clear_beyond_mm: clear_mm(to),
        station_m: Some(station),
        lateral_m: Some(0.0),
        elevation_m: Some(50.7),
        ..Opening::default()
    });
    [hatch()].into_iter().chain(walls).chain([way_out()]).collect()
}

/// The hatch in the bottom slab, long side along the bridge.
fn hatch() -> Opening {
    Opening {
        id: text("H1"),
        to_bay: link("B2B"),
        shape: Some(OpeningShape::Rectangle),
        plane: Some(OpeningPlane::Floor),
        width_mm: Some(1000.0),
        height_mm: Some(1200.0),
        depth_mm: Some(250.0),
        sill_mm: Some(0.0),
        clear_before_mm: Some(2400.0),
        clear_beyond_mm: Some(6000.0),
        // As HP-H1 above it carries.
        hoist_limit_kg: Some(1250.0),
        below: text("Level field, nothing else"),
        station_m: Some(165.0),
        lateral_m: Some(0.0),
        elevation_m: Some(49.875),
        ..Opening::default()
    }
}

/// The door of the chamber at A4.
fn way_out() -> Opening {
    Opening {
        id: text("W1"),
        to_bay: link("CH4"),
        shape: Some(OpeningShape::Rectangle),
        plane: Some(OpeningPlane::Wall),
        width_mm: Some(1000.0),
        height_mm: Some(2000.0),
        depth_mm: Some(300.0),
        sill_mm: Some(50.0),
        clear_before_mm: Some(8000.0),
        clear_beyond_mm: Some(3400.0),
        below: text("Level path outside"),
        station_m: Some(234.2),
        lateral_m: Some(0.0),
        elevation_m: Some(51.05),
        ..Opening::default()
    }
}
