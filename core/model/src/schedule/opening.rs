//! Openings on the way.

use super::{Bay, Number, Place, Text};
use crate::reflect::{Link, choice, record};

choice! {
    /// Shape of an opening.
    pub enum OpeningShape {
        /// A rectangle.
        Rectangle = "rectangle",
        /// A circle.
        Circle = "circle",
    }
}

choice! {
    /// In what an opening is.
    pub enum OpeningPlane {
        /// In a wall or diaphragm: one goes through level.
        Wall = "wall",
        /// In a floor: one goes through upright.
        Floor = "floor",
        /// In a roof or deck: one goes through upright.
        Roof = "roof",
    }
}

record! {
    /// An opening from outside to a bay, or between two bays.
    pub struct Opening as "opening", key id, in "openings" {
        /// Name of the opening. Example: O3.
        pub id: Text,
        /// The bay on one side; absent if that side is outside. Example: B12.
        pub from_bay: Option<Link<Bay>>,
        /// The bay on the other side. Example: B13.
        pub to_bay: Option<Link<Bay>>,
        /// The place through which it goes, if any. Example: D11.
        pub place: Option<Link<Place>>,
        /// Shape. Example: rectangle.
        pub shape: Option<OpeningShape>,
        /// In what it is. Example: wall.
        pub plane: Option<OpeningPlane>,
        /// Clear width; in a floor, across the station line. Example: 900.
        pub width_mm: Number,
        /// Clear height; in a floor, along the station line. Example: 1200.
        pub height_mm: Number,
        /// Clear diameter of a circle. Example: 900.
        pub diameter_mm: Number,
        /// Depth: thickness of wall or slab. Example: 600.
        pub depth_mm: Number,
        /// Height of the sill above the floor of the first bay. Example: 200.
        pub sill_mm: Number [NotNegative],
        /// Clear length in front of it, on the side of the first bay. Example: 3000.
        pub clear_before_mm: Number,
        /// Clear length beyond it; under a floor opening, the clear height below. Example: 12000.
        pub clear_beyond_mm: Number,
        /// Mass that may be hoisted through it. Example: 1000.
        pub hoist_limit_kg: Number,
        /// What lies under a floor opening. Example: farm track.
        pub below: Text,
        /// Station of the middle. Example: 165.
        pub station_m: Number [Signed],
        /// Lateral position of the middle. Example: 0.
        pub lateral_m: Number [Signed],
        /// Elevation of the middle. Example: 2.2.
        pub elevation_m: Number [Signed],
    }
}
