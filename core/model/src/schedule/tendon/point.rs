//! Points of a tendon's axis.

use crate::reflect::{Link, record};
use crate::schedule::{Number, Place, Text};

record! {
    /// A point of a tendon's axis: an end at the bearing plate's face, or a corner at a deviator.
    pub struct TendonPoint as "tendon_point" {
        /// Name of the point. Example: low point.
        pub id: Text,
        /// Station. Example: 101.
        pub station_m: Number [Signed],
        /// Lateral position, positive to the left. Example: 1.2.
        pub lateral_m: Number [Signed],
        /// Elevation. Example: 3.9.
        pub elevation_m: Number [Signed],
        /// The place at the point. Example: A1.
        pub place: Option<Link<Place>>,
        /// Radius of the tendon axis where it bends. Example: 3.1.
        pub radius_m: Number,
        /// Least thickness of the concrete in which an internal duct lies there: of the web, or of the slab. Example: 400.
        pub concrete_thickness_mm: Number,
    }
}
