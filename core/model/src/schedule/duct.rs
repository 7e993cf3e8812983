//! Kinds of duct and pipe.

use super::{Flag, Number, Text};
use crate::reflect::{choice, record};

choice! {
    /// What a duct is made of.
    pub enum DuctMaterial {
        /// Smooth polyethylene pipe.
        Polyethylene = "polyethylene",
        /// Smooth polypropylene pipe.
        Polypropylene = "polypropylene",
        /// Smooth steel pipe.
        Steel = "steel",
        /// Corrugated polymer duct.
        CorrugatedPolymer = "corrugated_polymer",
        /// Corrugated metal sheath.
        CorrugatedMetal = "corrugated_metal",
    }
}

choice! {
    /// How a stated inner diameter was found; for one pipe they differ by about one per cent.
    pub enum InnerConvention {
        /// Outer less twice the least wall.
        MinimumWall = "minimum_wall",
        /// Outer less 2.12 times the least wall, as the wall is on average 6 % over the least.
        AverageWall = "average_wall",
        /// Measured.
        Measured = "measured",
    }
}

record! {
    /// A kind of duct or pipe.
    pub struct Duct as "duct", key id, in "ducts" {
        /// Name by which tendons refer to the duct. Example: PE125.
        pub id: Text,
        /// Material. Example: polyethylene.
        pub material: Option<DuctMaterial>,
        /// Standard of the pipe.
        pub standard: Text,
        /// Nominal size as the standard writes it. Example: 125.
        pub nominal_size: Text,
        /// Pipe schedule of a steel pipe. Example: 40.
        pub pipe_schedule: Text,
        /// Outer diameter. Example: 125.
        pub outer_mm: Number,
        /// Least wall thickness. Example: 7.4.
        pub wall_mm: Number,
        /// Inner diameter. Example: 110.2.
        pub inner_mm: Number,
        /// How the inner diameter was found. Example: minimum_wall.
        pub inner_convention: Option<InnerConvention>,
        /// Dimension ratio, outer diameter over least wall. Example: 17.
        pub dimension_ratio: Number,
        /// Tolerance of the outer diameter, plus and minus on the mean. Example: 0.6.
        pub tolerance_mm: Number [NotNegative],
        /// Greatest less least diameter of one cross-section. Example: 2.
        pub ovality_mm: Number [NotNegative],
        /// Height of one seam or weld bead inside. Example: 1.
        pub seam_mm: Number [NotNegative],
        /// Greatest outer diameter at a joint bead or collar. Example: 131.
        pub bead_outer_mm: Number,
        /// Length of one stick. Example: 6000.
        pub stick_length_mm: Number,
        /// Whether the duct comes as a coil.
        pub coiled: Flag,
        /// Inner diameter of the coil. Example: 2500.
        pub coil_diameter_mm: Number,
        /// Least radius to which the duct may be bent. Example: 9.
        pub minimum_bend_radius_m: Number,
        /// Mass for each length. Example: 2.8.
        pub mass_kg_per_m: Number,
        /// Class of resistance to sunlight, where a part lies outside. Example: C.
        pub uv_class: Text,
        /// Roughness, lubrication or coating inside, for friction.
        pub surface: Text,
    }
}
