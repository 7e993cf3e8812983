//! The tendons (1.7, A4 to A7): the left one of each pair as listed, the right one mirrored.

use restrand_model::schedule::{EndName, FaceName, Filler, Status, Tendon};

use super::derive::tendon;
use super::mirror::mirrored;

/// A point: station, lateral position, elevation, place.
pub(super) type Point = (f64, f64, f64, &'static str);
/// A deviator: place, pitch and yaw of the form's axis.
pub(super) type Bend = (&'static str, f64, f64);
/// An end: face, anchorage, room behind, up, down, left, right.
pub(super) type EndRow = (FaceName, &'static str, [f64; 5]);

/// What the sheet lists of a pair, for the left tendon.
pub(super) struct Row {
    pub(super) pair: &'static str,
    pub(super) span: &'static str,
    /// Place of the left tendon in the order of stressing; the right one comes next.
    pub(super) order: u32,
    pub(super) status: Status,
    pub(super) filler: Filler,
    pub(super) from: EndName,
    pub(super) jacking_kn: f64,
    pub(super) points: [Point; 4],
    pub(super) bends: [Bend; 2],
    pub(super) ends: [EndRow; 2],
}

const GROUT: Filler = Filler::CementGrout;
const DOWN: FaceName = FaceName::Down;
const UP: FaceName = FaceName::Up;

const ROWS: [Row; 9] = [
    Row {
        pair: "T11",
        span: "S1",
        order: 1,
        status: Status::InUse,
        filler: GROUT,
        from: EndName::B,
        jacking_kn: 3600.0,
        points: [
            (99.35, 0.75, 51.4, "A1"),
            (113.0, 1.0, 50.4, "D11"),
            (127.0, 1.0, 50.4, "D12"),
            (141.0, 0.75, 51.75, "P2"),
        ],
        bends: [("D11", -0.035, 0.01), ("D12", 0.05, -0.01)],
        ends: [
            (DOWN, "K-13", [1900.0, 860.0, 1400.0, 1250.0, 2710.0]),
            (UP, "S-20", [3000.0, 360.0, 1750.0, 1250.0, 2690.0]),
        ],
    },
    Row {
        pair: "T12",
        span: "S1",
        order: 3,
        status: Status::InUse,
        filler: GROUT,
        from: EndName::B,
        jacking_kn: 3600.0,
        points: [
            (99.35, 1.5, 51.0, "A1"),
            (113.0, 1.5, 50.4, "D11"),
            (127.0, 1.5, 50.4, "D12"),
            (141.0, 1.65, 51.75, "P2"),
        ],
        bends: [("D11", -0.02, 0.0), ("D12", 0.05, 0.005)],
        ends: [
            (DOWN, "K-13", [1900.0, 1310.0, 1000.0, 500.0, 3500.0]),
            (UP, "S-20", [3000.0, 360.0, 1750.0, 310.0, 3650.0]),
        ],
    },
    Row {
        pair: "T21",
        span: "S2",
        order: 5,
        status: Status::InUse,
        filler: GROUT,
        from: EndName::A,
        jacking_kn: 3600.0,
        points: [
            (139.0, 1.2, 51.75, "P2"),
            (156.5, 0.95, 50.8, "D21"),
            (173.5, 0.95, 50.8, "D22"),
            (191.0, 1.2, 51.75, "P3"),
        ],
        bends: [("D21", -0.025, -0.005), ("D22", 0.025, 0.005)],
        ends: [
            (DOWN, "K-20", [3000.0, 480.0, 1750.0, 750.0, 3200.0]),
            (UP, "K-20", [3000.0, 480.0, 1750.0, 750.0, 3200.0]),
        ],
    },
    Row {
        pair: "T22",
        span: "S2",
        order: 7,
        status: Status::InUse,
        filler: Filler::Wax,
        from: EndName::A,
        jacking_kn: 3500.0,
        points: [
            (139.0, 1.2, 51.05, "P2"),
            (156.5, 1.45, 50.8, "D21"),
            (173.5, 1.45, 50.8, "D22"),
            (191.0, 1.2, 51.05, "P3"),
        ],
        bends: [("D21", -0.005, 0.005), ("D22", 0.005, -0.005)],
        ends: [
            (DOWN, "K-20", [3000.0, 1300.0, 1050.0, 800.0, 3150.0]),
            (UP, "K-20", [3000.0, 1300.0, 1050.0, 800.0, 3150.0]),
        ],
    },
    Row {
        pair: "T23",
        span: "S2",
        order: 9,
        status: Status::InUse,
        filler: GROUT,
        from: EndName::B,
        jacking_kn: 3500.0,
        points: low_points(0.75),
        bends: LOW_BENDS,
        ends: [
            (DOWN, "S-20", [3000.0, 1800.0, 550.0, 1250.0, 2750.0]),
            (UP, "S-20", [3000.0, 1800.0, 550.0, 1250.0, 2750.0]),
        ],
    },
    Row {
        pair: "T24",
        span: "S2",
        order: 11,
        status: Status::InUse,
        filler: GROUT,
        from: EndName::B,
        jacking_kn: 3500.0,
        points: low_points(1.2),
        bends: LOW_BENDS,
        ends: [
            (DOWN, "S-20", [3000.0, 1800.0, 550.0, 800.0, 3200.0]),
            (UP, "S-20", [3000.0, 1800.0, 550.0, 800.0, 3200.0]),
        ],
    },
    Row {
        pair: "T25",
        span: "S2",
        order: 17,
        status: Status::Reserved,
        filler: GROUT,
        from: EndName::A,
        jacking_kn: 3500.0,
        points: low_points(1.65),
        bends: LOW_BENDS,
        ends: [
            (DOWN, "S-20", [3000.0, 1800.0, 550.0, 350.0, 3650.0]),
            (UP, "S-20", [3000.0, 1800.0, 550.0, 350.0, 3650.0]),
        ],
    },
    Row {
        pair: "T31",
        span: "S3",
        order: 13,
        status: Status::InUse,
        filler: GROUT,
        from: EndName::B,
        jacking_kn: 3600.0,
        points: [
            (189.0, 0.75, 51.75, "P3"),
            (203.0, 1.0, 50.4, "D31"),
            (217.0, 1.0, 50.4, "D32"),
            (230.65, 0.75, 51.4, "A4"),
        ],
        bends: [("D31", -0.05, 0.01), ("D32", 0.035, -0.01)],
        ends: [
            (DOWN, "S-20", [3000.0, 360.0, 1750.0, 1250.0, 2690.0]),
            (UP, "K-13", [3400.0, 750.0, 1400.0, 1250.0, 2680.0]),
        ],
    },
    Row {
        pair: "T32",
        span: "S3",
        order: 15,
        status: Status::InUse,
        filler: GROUT,
        from: EndName::B,
        jacking_kn: 3600.0,
        points: [
            (189.0, 1.65, 51.75, "P3"),
            (203.0, 1.5, 50.4, "D31"),
            (217.0, 1.5, 50.4, "D32"),
            (230.65, 1.5, 51.0, "A4"),
        ],
        bends: [("D31", -0.05, -0.005), ("D32", 0.02, 0.0)],
        ends: [
            (DOWN, "S-20", [3000.0, 360.0, 1750.0, 310.0, 3650.0]),
            (UP, "K-13", [3400.0, 1250.0, 1000.0, 500.0, 3500.0]),
        ],
    },
];

/// The low tendons of span 2 differ in their lateral position only.
const fn low_points(lateral_m: f64) -> [Point; 4] {
    [
        (139.0, lateral_m, 50.55, "P2"),
        (156.5, lateral_m, 50.3, "D21"),
        (173.5, lateral_m, 50.3, "D22"),
        (191.0, lateral_m, 50.55, "P3"),
    ]
}

const LOW_BENDS: [Bend; 2] = [("D21", -0.005, 0.0), ("D22", 0.005, 0.0)];

pub(super) fn tendons() -> Vec<Tendon> {
    ROWS.iter()
        .flat_map(|row| {
            let left = tendon(row);
            let right = mirrored(&left);
            [left, right]
        })
        .collect()
}
