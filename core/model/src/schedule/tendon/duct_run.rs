//! Lengths of duct, their joints, and the tubes on them.

use crate::reflect::{Link, choice, record};
use crate::schedule::{Duct, Number, Text};

choice! {
    /// Kind of a duct joint.
    pub enum JointKind {
        /// Ends fused face to face.
        ButtFusion = "butt_fusion",
        /// A sleeve with a heating wire.
        ElectroFusion = "electro_fusion",
        /// A mechanical coupling.
        Mechanical = "mechanical",
        /// A sleeve shrunk on.
        ShrinkSleeve = "shrink_sleeve",
    }
}

choice! {
    /// What a tube on the duct is for.
    pub enum VentKind {
        /// Filler goes in.
        Inlet = "inlet",
        /// Air and filler come out.
        Vent = "vent",
        /// Water drains.
        Drain = "drain",
    }
}

record! {
    /// A length of one kind of duct.
    pub struct DuctRun as "duct_run" {
        /// Kind of duct. Example: PE125.
        pub duct: Option<Link<Duct>>,
        /// Station at which the length begins. Example: 102.
        pub from_m: Number [Signed],
        /// Station at which the length ends. Example: 138.
        pub to_m: Number [Signed],
        /// Friction coefficient over this length. Example: 0.2.
        pub mu: Number [NotNegative],
        /// Wobble coefficient K, for each length of tendon, over this length. Example: 0.
        pub wobble_per_m: Number [NotNegative],
        /// Unintended angle k for each length of tendon, over this length. Example: 0.
        pub unintended_angle_rad_per_m: Number [NotNegative],
    }
}

record! {
    /// A joint of a duct.
    pub struct DuctJoint as "duct_joint" {
        /// Station of its middle. Example: 108.
        pub station_m: Number [Signed],
        /// Kind of joint. Example: butt_fusion.
        pub kind: Option<JointKind>,
        /// Outer diameter over bead, collar or coupling. Example: 131.
        pub outer_mm: Number,
        /// Least inner diameter at the joint. Example: 106.
        pub inner_mm: Number,
        /// Length along the duct. Example: 12.
        pub length_mm: Number,
    }
}

record! {
    /// An inlet, vent or drain.
    pub struct Vent as "vent" {
        /// Name of the tube. Example: V1.
        pub id: Text,
        /// What it is for. Example: vent.
        pub kind: Option<VentKind>,
        /// Station. Example: 101.2.
        pub station_m: Number [Signed],
        /// Inner diameter. Example: 19.
        pub inner_mm: Number,
        /// The part on which it sits: a part's name, `duct` or `cap`. Example: cap.
        pub fixed_on: Text,
    }
}
