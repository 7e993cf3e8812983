//! Places of the bridge.

use super::{Number, Text};
use crate::reflect::{choice, record};

choice! {
    /// Kind of a place.
    pub enum PlaceKind {
        /// Abutment.
        Abutment = "abutment",
        /// Pier, with its diaphragm.
        Pier = "pier",
        /// Diaphragm at an expansion joint.
        ExpansionJoint = "expansion_joint",
        /// Diaphragm in a span.
        IntermediateDiaphragm = "intermediate_diaphragm",
        /// Deviator: rib, block or saddle.
        Deviator = "deviator",
        /// Blister at web or slab.
        Blister = "blister",
    }
}

choice! {
    /// A face of a place.
    pub enum FaceName {
        /// The face up-station.
        Up = "up",
        /// The face down-station.
        Down = "down",
    }
}

record! {
    /// A recess in a face, in which an anchorage sits.
    pub struct Recess as "recess" {
        /// Lateral position of the middle. Example: 1.2.
        pub lateral_m: Number [Signed],
        /// Elevation of the middle. Example: 3.1.
        pub elevation_m: Number [Signed],
        /// Width. Example: 500.
        pub width_mm: Number,
        /// Height. Example: 500.
        pub height_mm: Number,
        /// Depth. Example: 200.
        pub depth_mm: Number,
    }
}

record! {
    /// A face of a place.
    pub struct Face as "face" {
        /// Station of the face, where thickness and station do not give it. Example: 100.8.
        pub station_m: Number [Signed],
        /// Concrete that may be removed at the face for access, in words.
        pub removable_concrete: Text,
        /// Recesses in the face.
        pub recesses: Vec<Recess>,
    }
}

record! {
    /// The two faces of a place.
    pub struct Faces as "faces" {
        /// The face up-station.
        pub up: super::One<Face>,
        /// The face down-station.
        pub down: super::One<Face>,
    }
}

record! {
    /// A point from which loads may be hung.
    pub struct HoistPoint as "hoist_point", key id {
        /// Name of the point. Example: H1.
        pub id: Text,
        /// Station. Example: 99.2.
        pub station_m: Number [Signed],
        /// Lateral position. Example: 1.2.
        pub lateral_m: Number [Signed],
        /// Elevation. Example: 4.6.
        pub elevation_m: Number [Signed],
        /// Mass that may be hung. Example: 1000.
        pub capacity_kg: Number,
    }
}

record! {
    /// A place of the bridge where tendons are anchored or deviated, or through which they pass.
    pub struct Place as "place", key id, in "places" {
        /// Name of the place. Example: P2.
        pub id: Text,
        /// Kind of the place. Example: pier.
        pub kind: Option<PlaceKind>,
        /// Station of the middle. Example: 140.
        pub station_m: Number [Signed],
        /// Thickness along the station line. Example: 2000.
        pub thickness_mm: Number,
        /// Skew, positive where the left end lies up-station. Example: 0.
        pub skew_rad: Number [Signed],
        /// Movement by which a joint can close from the drawn state. Example: 40.
        pub joint_closing_mm: Number [NotNegative],
        /// Movement by which a joint can open from the drawn state. Example: 60.
        pub joint_opening_mm: Number [NotNegative],
        /// The two faces.
        pub faces: super::One<Faces>,
        /// Points from which loads may be hung.
        pub hoist_points: Vec<HoistPoint>,
    }
}
