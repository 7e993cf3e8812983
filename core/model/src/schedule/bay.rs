//! Bays: rooms between places.

use super::{Number, Place, Text};
use crate::reflect::{Link, record};

record! {
    /// A corner of a bay's clear section.
    pub struct OutlinePoint as "outline_point" {
        /// Lateral position. Example: 2.
        pub lateral_m: Number [Signed],
        /// Elevation. Example: 2.4.
        pub elevation_m: Number [Signed],
    }
}

record! {
    /// A box in a bay that is in the way.
    pub struct BayObstacle as "bay_obstacle" {
        /// What it is. Example: drain pipe.
        pub name: Text,
        /// Where the box begins. Example: 110.
        pub from_m: Number [Signed],
        /// Where the box ends. Example: 130.
        pub to_m: Number [Signed],
        /// Lateral position of its right side. Example: -1.8.
        pub lateral_from_m: Number [Signed],
        /// Lateral position of its left side. Example: -1.5.
        pub lateral_to_m: Number [Signed],
        /// Elevation of its underside. Example: 2.1.
        pub elevation_from_m: Number [Signed],
        /// Elevation of its top. Example: 2.4.
        pub elevation_to_m: Number [Signed],
    }
}

record! {
    /// A room between two places, in which people work.
    pub struct Bay as "bay", key id, in "bays" {
        /// Name of the bay. Example: B12.
        pub id: Text,
        /// The place at its lower station; absent if it ends in the open or at a wall. Example: A1.
        pub from_place: Option<Link<Place>>,
        /// The place at its higher station; absent if it ends in the open or at a wall. Example: D11.
        pub to_place: Option<Link<Place>>,
        /// Station at which its clear room begins, where no place gives it. Example: 97.6.
        pub from_m: Number [Signed],
        /// Station at which its clear room ends, where no place gives it. Example: 99.6.
        pub to_m: Number [Signed],
        /// Clear width, where the section is a rectangle. Example: 4000.
        pub width_mm: Number,
        /// Clear height, where the section is a rectangle. Example: 2400.
        pub height_mm: Number,
        /// Lateral position of the middle of a rectangle. Example: 0.
        pub middle_lateral_m: Number [Signed],
        /// Elevation of the floor at the lower station. Example: 2.2.
        pub floor_elevation_m: Number [Signed],
        /// Slope of the floor along the station line, as a ratio, positive upward. Example: 0.02.
        pub floor_slope: Number [Signed],
        /// Corners of the clear section, where it is no rectangle.
        pub outline: Vec<OutlinePoint>,
        /// What is in the way.
        pub obstacles: Vec<BayObstacle>,
    }
}
