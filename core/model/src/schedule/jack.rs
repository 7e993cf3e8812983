//! Jacks.

use super::{Count, Day, Flag, Number, Text};
use crate::reflect::{choice, record};

choice! {
    /// Kind of a jack.
    pub enum JackKind {
        /// Centre-hole jack that pulls all strands of a tendon.
        MultiStrand = "multi_strand",
        /// Jack that pulls one strand.
        SingleStrand = "single_strand",
        /// Jack under a plate or ring, for stressing again or releasing.
        LiftOff = "lift_off",
    }
}

choice! {
    /// How a jack may hang.
    pub enum Hanging {
        /// Axis level.
        Level = "level",
        /// Axis upright.
        Upright = "upright",
        /// Axis at any slope.
        AnySlope = "any_slope",
    }
}

choice! {
    /// A side, as seen looking up-station.
    pub enum Side {
        /// Up.
        Up = "up",
        /// Down.
        Down = "down",
        /// Left.
        Left = "left",
        /// Right.
        Right = "right",
        /// At the rear, along the axis.
        Rear = "rear",
    }
}

record! {
    /// One line of a jack's calibration.
    pub struct CalibrationPoint as "calibration_point" {
        /// Force. Example: 2000.
        pub force_kn: Number [NotNegative],
        /// Gauge reading. Example: 31.
        pub gauge_mpa: Number [NotNegative],
    }
}

record! {
    /// A jack that may be used.
    pub struct Jack as "jack", key id, in "jacks" {
        /// Name by which anchorages and ends refer to the jack. Example: J19.
        pub id: Text,
        /// Kind of the jack. Example: multi_strand.
        pub kind: Option<JackKind>,
        /// Numbers of strands that it takes. Example: 19.
        pub strand_counts: Vec<u32>,
        /// Pressed area of the piston. Example: 70000.
        pub piston_area_mm2: Number,
        /// Stroke. Example: 200.
        pub stroke_mm: Number,
        /// Length with the piston in. Example: 900.
        pub retracted_mm: Number,
        /// Length with the piston out. Example: 1100.
        pub extended_mm: Number,
        /// Greatest outer diameter. Example: 400.
        pub diameter_mm: Number,
        /// Outer diameter of the nose. Example: 250.
        pub nose_diameter_mm: Number,
        /// Length of the nose. Example: 120.
        pub nose_length_mm: Number,
        /// Side on which the hoses leave. Example: up.
        pub hose_side: Option<Side>,
        /// Room that the hoses need beyond the jack. Example: 150.
        pub hose_room_mm: Number [NotNegative],
        /// Mass. Example: 600.
        pub mass_kg: Number,
        /// Lifting eyes. Example: 2.
        pub lifting_eyes: Count,
        /// How it may hang. Example: level.
        pub hanging: Vec<Hanging>,
        /// Height that slings and hook need above it. Example: 400.
        pub sling_height_mm: Number,
        /// What carries it at the anchorage where it cannot hang, in words.
        pub support: Text,
        /// Strand tail that it needs, from the wedge plate. Example: 1000.
        pub tail_mm: Number,
        /// Length that its strands stretch behind the wedge plate. Example: 800.
        pub gripped_length_mm: Number,
        /// Rated force. Example: 4500.
        pub rated_force_kn: Number,
        /// Rated pressure. Example: 70.
        pub rated_pressure_mpa: Number,
        /// Smallest step that the gauge shows. Example: 0.2.
        pub gauge_resolution_mpa: Number,
        /// Loss inside the jack, as a share of its force; that of the anchorage is the stressing's. Example: 0.02.
        pub internal_loss: Number [Share],
        /// Whether it can release a tendon that is anchored.
        pub can_release: Flag,
        /// Date of the calibration. Example: 2031-04-01.
        pub calibrated_on: Day,
        /// Who calibrated it.
        pub calibrated_by: Text,
        /// The calibration, from the least force to the greatest.
        pub calibration: Vec<CalibrationPoint>,
    }
}
