//! Cross-sections of the bridge.

use super::{Number, Text};
use crate::reflect::record;

record! {
    /// A cross-section of the bridge, for the check with a tendon out.
    pub struct Section as "section", key id {
        /// Name of the section. Example: mid-span 1.
        pub id: Text,
        /// Station. Example: 120.
        pub station_m: Number [Signed],
        /// Area. Example: 5.2.
        pub area_m2: Number,
        /// Second moment of area about the level axis. Example: 4.1.
        pub inertia_level_m4: Number,
        /// Second moment of area about the upright axis. Example: 30.
        pub inertia_upright_m4: Number,
        /// Elevation of the centroid. Example: 3.6.
        pub centroid_elevation_m: Number [Signed],
        /// Lateral position of the centroid. Example: 0.
        pub centroid_lateral_m: Number [Signed],
        /// Elevation of the top fibre. Example: 4.8.
        pub top_elevation_m: Number [Signed],
        /// Elevation of the bottom fibre. Example: 2.
        pub bottom_elevation_m: Number [Signed],
        /// Bending stiffness about the level axis. Example: 140000000.
        pub stiffness_knm2: Number,
        /// Stress at the top under permanent load with all tendons, compression negative. Example: -4.
        pub permanent_top_mpa: Number [Signed],
        /// Stress at the bottom under permanent load with all tendons, compression negative. Example: -6.
        pub permanent_bottom_mpa: Number [Signed],
        /// Stress at the top that live load adds at worst, compression negative. Example: -2.
        pub live_top_mpa: Number [Signed],
        /// Stress at the bottom that live load adds at worst, compression negative. Example: 3.
        pub live_bottom_mpa: Number [Signed],
        /// Axial force of tendons inside the concrete, compression positive. Example: 12000.
        pub internal_force_kn: Number [NotNegative],
        /// Greatest allowed compression, as a negative stress. Example: -20.
        pub limit_compression_mpa: Number [Signed],
        /// Greatest allowed tension. Example: 0.
        pub limit_tension_mpa: Number [Signed],
        /// Greatest share of the axial force that may be missing while a tendon is out. Example: 0.1.
        pub limit_lost_force_share: Number [Share],
    }
}
