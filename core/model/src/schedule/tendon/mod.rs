//! Tendons, with all that hangs on one.

mod deviator;
mod duct_run;
mod end;
mod fill;
mod point;
mod record_of_life;
mod replacement;
mod stressing;

pub use deviator::Deviator;
pub use duct_run::{DuctJoint, DuctRun, JointKind, Vent, VentKind};
pub use end::{End, EndKind, EndName, EndObstacle, Ends, RemovalSpace, SpaceSource};
pub use fill::{Fill, Filler, PumpPlace};
pub use point::TendonPoint;
pub use record_of_life::{Event, HistoryEntry, Measurement};
pub use replacement::{BondedPoint, Cut, CutPlace, Release, Replacement, TendonMoment};
pub use stressing::{Stressing, StressingFrom, StressingStep};

use super::{Count, Duct, Flag, Number, One, Span, Stage, Strand, Text};
use crate::reflect::{Link, choice, record};

choice! {
    /// Side of the bridge on which a tendon lies, seen looking up-station.
    pub enum TendonSide {
        /// Left.
        Left = "left",
        /// Right.
        Right = "right",
        /// In the middle.
        Centre = "centre",
    }
}

choice! {
    /// Where a tendon lies.
    pub enum Situation {
        /// Outside the concrete.
        External = "external",
        /// Inside the concrete.
        Internal = "internal",
    }
}

choice! {
    /// What a tendon is there for.
    pub enum Status {
        /// Carries.
        InUse = "in_use",
        /// Forms are there for a tendon that may be added.
        Reserved = "reserved",
        /// Ducts are there in case force is missing during building.
        Contingency = "contingency",
        /// Taken out and not replaced.
        Removed = "removed",
    }
}

choice! {
    /// How strands come in.
    pub enum Installation {
        /// Pushed in one by one.
        Push = "push",
        /// Pulled in as a bundle.
        Pull = "pull",
        /// Laid in before the duct is closed.
        Place = "place",
    }
}

record! {
    /// A tendon.
    pub struct Tendon as "tendon", key mark, in "tendons" {
        /// Mark of the tendon, unique in the schedule. Example: T11L.
        pub mark: Text,
        /// Spans it runs through, from the lower station. Example: S1.
        pub spans: Vec<Link<Span>>,
        /// Web or cell it belongs to. Example: left web.
        pub web: Text,
        /// Side of the bridge. Example: left.
        pub side: Option<TendonSide>,
        /// The tendon that mirrors it on the other side. Example: T11R.
        pub twin: Option<Link<Tendon>>,
        /// Place in the order of stressing. Example: 1.
        pub order: Count,
        /// Outside or inside the concrete. Example: external.
        pub situation: Option<Situation>,
        /// Whether it must be replaceable.
        pub replaceable: Flag,
        /// What it is there for. Example: in_use.
        pub status: Option<Status>,
        /// How far its data have come, where they differ from the project's. Example: as_built.
        pub stage: Option<Stage>,
        /// Kind of strand. Example: Y15.
        pub strand: Option<Link<Strand>>,
        /// Number of strands. Example: 19.
        pub strand_count: Count,
        /// Number of strands for which forms, ducts and anchorages are laid out. Example: 19.
        pub strand_capacity: Count,
        /// Kind of duct over the free length. Example: PE125.
        pub duct: Option<Link<Duct>>,
        /// Lengths of duct where they differ.
        pub duct_runs: Vec<DuctRun>,
        /// Joints of the duct.
        pub duct_joints: Vec<DuctJoint>,
        /// Inlets, vents and drains.
        pub vents: Vec<Vent>,
        /// What closes forms and bores while no tendon is in them.
        pub closures: Text,
        /// Filler around the strands. Example: cement_grout.
        pub filler: Option<Filler>,
        /// How strands come in. Example: push.
        pub installation: Option<Installation>,
        /// How the replacement's strands come in, where it differs. Example: push.
        pub replacement_installation: Option<Installation>,
        /// Points of the axis in order along the tendon.
        pub points: Vec<TendonPoint>,
        /// The two ends.
        pub ends: One<Ends>,
        /// The deviators in order of station.
        pub deviators: Vec<Deviator>,
        /// How it is stressed.
        pub stressing: One<Stressing>,
        /// The stressing table.
        pub stressing_steps: Vec<StressingStep>,
        /// What was measured.
        pub measurements: Vec<Measurement>,
        /// How it is filled.
        pub fill: One<Fill>,
        /// Points at which it is bonded to the structure.
        pub bonded_points: Vec<BondedPoint>,
        /// How it is replaced.
        pub replacement: One<Replacement>,
        /// Stated cuts.
        pub cuts: Vec<Cut>,
        /// Stated moments of the tendon on the bridge.
        pub moments: Vec<TendonMoment>,
        /// What happened to it.
        pub history: Vec<HistoryEntry>,
        /// Stated length from bearing plate to bearing plate. Example: 39.2.
        pub length_m: Number,
        /// Stated mass of the steel. Example: 870.
        pub steel_mass_kg: Number,
        /// Note on vibration of the free lengths, or the analysis that covers it.
        pub vibration_note: Text,
    }
}

impl Tendon {
    /// The ends that are stated, with their names.
    pub fn stated_ends(&self) -> impl Iterator<Item = (EndName, &End)> {
        let ends = self.ends.as_deref();
        [
            (EndName::A, ends.and_then(|ends| ends.a.as_deref())),
            (EndName::B, ends.and_then(|ends| ends.b.as_deref())),
        ]
        .into_iter()
        .filter_map(|(name, end)| end.map(|end| (name, end)))
    }
}
