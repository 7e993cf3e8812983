//! Kinds of anchorage.

use super::{Count, Flag, Jack, Number, Part, Text};
use crate::reflect::{Link, choice, record};

choice! {
    /// What covers wedge plate and strand tails.
    pub enum CapKind {
        /// A permanent cap, filled with the tendon's filler.
        Filled = "filled",
        /// A permanent cap over a tail that can be stressed again.
        Restressable = "restressable",
        /// A concrete pour-back.
        PourBack = "pour_back",
    }
}

record! {
    /// A kind of anchorage, composed of parts; at tender it may be an envelope without them.
    pub struct Anchorage as "anchorage", key id, in "anchorages" {
        /// Name by which tendon ends refer to the anchorage. Example: K19.
        pub id: Text,
        /// How the anchorage is composed, in words.
        pub description: Text,
        /// Numbers of strands that it takes. Example: 15; 19.
        pub strand_counts: Vec<u32>,
        /// Outer diameter of the wedge plate. Example: 220.
        pub wedge_plate_outer_mm: Number,
        /// Thickness of the wedge plate. Example: 80.
        pub wedge_plate_thickness_mm: Number,
        /// Holes in the wedge plate. Example: 19.
        pub wedge_plate_holes: Count,
        /// Diameter of the circle on which the outer holes lie. Example: 150.
        pub hole_circle_mm: Number,
        /// Bore of the bearing plate. Example: 170.
        pub bearing_bore_mm: Number,
        /// Ring of the bearing plate, from bore to wedge plate's edge, on which that plate bears. Example: 25.
        pub bearing_ledge_mm: Number,
        /// Allowed pressure on the ring. Example: 250.
        pub allowed_ring_pressure_mpa: Number,
        /// Length of the cap. Example: 250.
        pub cap_length_mm: Number,
        /// Outer diameter of the cap. Example: 280.
        pub cap_outer_mm: Number,
        /// Kind of cap. Example: filled.
        pub cap_kind: Option<CapKind>,
        /// Diameter of the circle of the cap's bolts. Example: 260.
        pub bolt_circle_mm: Number,
        /// Width of the recess it needs. Example: 400.
        pub recess_width_mm: Number,
        /// Depth of the recess it needs. Example: 0.
        pub recess_depth_mm: Number [NotNegative],
        /// Least distance from the axis to an edge of the concrete. Example: 250.
        pub edge_distance_mm: Number,
        /// Least distance from axis to axis. Example: 450.
        pub centre_distance_mm: Number,
        /// Jacks listed for it. Example: J19.
        pub jacks: Vec<Link<Jack>>,
        /// Whether the tails are kept long so that the tendon can be stressed again.
        pub restressable: Flag,
        /// Length from the rearmost point that must not be cut when the stub is drawn. Example: 300.
        pub whole_length_mm: Number,
        /// Volume of filler in cap and trumpets beyond the duct's. Example: 12.
        pub filler_volume_l: Number,
        /// The parts, from the rear to the span side.
        pub parts: Vec<Part>,
    }
}
