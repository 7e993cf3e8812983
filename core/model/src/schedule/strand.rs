//! Kinds of strand.

use super::{Number, Text};
use crate::reflect::{choice, record};

choice! {
    /// The series of sizes a strand belongs to; their values must not be mixed.
    pub enum Series {
        /// Sizes in inches, as in ASTM A416.
        Inch = "inch",
        /// Sizes in millimetres, as in EN 10138-3.
        Metric = "metric",
    }
}

choice! {
    /// Relaxation class of a strand.
    pub enum Relaxation {
        /// Low relaxation.
        Low = "low",
        /// Normal relaxation.
        Normal = "normal",
    }
}

choice! {
    /// What covers each strand.
    pub enum StrandCoating {
        /// Nothing.
        Bare = "bare",
        /// Grease and an extruded sheath.
        GreasedSheathed = "greased_sheathed",
        /// Epoxy.
        Epoxy = "epoxy",
        /// Zinc.
        Galvanised = "galvanised",
    }
}

record! {
    /// A kind of strand, as its standard or certificate states it.
    pub struct Strand as "strand", key id, in "strands" {
        /// Name by which tendons refer to the strand. Example: Y15.
        pub id: Text,
        /// Standard. Example: EN 10138-3.
        pub standard: Text,
        /// Series of sizes. Example: metric.
        pub series: Option<Series>,
        /// Grade as the standard writes it. Example: Y1860S7.
        pub grade: Text,
        /// Nominal diameter. Example: 15.7.
        pub diameter_mm: Number,
        /// Nominal area. Example: 150.
        pub area_mm2: Number,
        /// Mass for each length, without a coating. Example: 1.172.
        pub mass_kg_per_m: Number,
        /// Tensile strength fpu (fpk). Example: 1860.
        pub fpu_mpa: Number,
        /// Breaking force. Example: 279.
        pub breaking_force_kn: Number,
        /// Yield or 0.1 % proof stress over tensile strength. Example: 0.88.
        pub yield_ratio: Number [Share],
        /// Modulus of elasticity. Example: 195000.
        pub e_mpa: Number,
        /// Test report or certificate that states the modulus.
        pub e_source: Text,
        /// Relaxation class. Example: low.
        pub relaxation: Option<Relaxation>,
        /// What covers each strand. Example: bare.
        pub coating: Option<StrandCoating>,
        /// Outer diameter over the coating. Example: 19.5.
        pub coated_diameter_mm: Number,
    }
}
