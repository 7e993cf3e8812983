//! The records of the schedule.
//!
//! SI only, the unit in every name: stations, lateral positions, elevations, tendon lengths and radii in
//! metres, all other lengths in millimetres.
//! The frame is right-handed: x along increasing station, `lateral` positive to the left, z up; left and
//! right are seen looking up-station, everywhere.
//! A value may be absent, and absent is never zero.

mod alignment;
mod anchorage;
mod bay;
mod duct;
mod form;
mod jack;
mod opening;
mod part;
mod place;
mod project;
mod section;
mod strand;
mod tendon;

pub use alignment::{AlignmentElement, AlignmentKind, Span, Support, SupportKind};
pub use anchorage::{Anchorage, CapKind};
pub use bay::{Bay, BayObstacle, OutlinePoint};
pub use duct::{Duct, DuctMaterial, InnerConvention};
pub use form::{Form, FormKind};
pub use jack::{CalibrationPoint, Hanging, Jack, JackKind, Side};
pub use opening::{Opening, OpeningPlane, OpeningShape};
pub use part::{Bond, Exit, Part, Permanence, Role};
pub use place::{Face, FaceName, Faces, HoistPoint, Place, PlaceKind, Recess};
pub use project::{DisplayUnits, Project, Stage};
pub use section::Section;
pub use strand::{Relaxation, Series, Strand, StrandCoating};
pub use tendon::{
    BondedPoint, Cut, CutPlace, Deviator, DuctJoint, DuctRun, End, EndKind, EndName, EndObstacle,
    Ends, Event, Fill, Filler, HistoryEntry, Installation, JointKind, Measurement, PumpPlace,
    Release, RemovalSpace, Replacement, Situation, SpaceSource, Status, Stressing, StressingFrom,
    StressingStep, Tendon, TendonMoment, TendonPoint, TendonSide, Vent, VentKind,
};

use crate::reflect::{Date, record};

/// A number in the unit of its field's name, or nothing stated.
pub type Number = Option<f64>;
/// A whole number, or nothing stated.
pub type Count = Option<u32>;
/// Yes or no, or nothing stated.
pub type Flag = Option<bool>;
/// A text, or nothing stated.
pub type Text = Option<Box<str>>;
/// A calendar date, or nothing stated.
pub type Day = Option<Date>;
/// A record, or nothing stated.
pub type One<R> = Option<Box<R>>;

record! {
    /// A tendon schedule: what is stated of a bridge's replaceable tendons and of what surrounds them.
    pub struct Schedule as "schedule" {
        /// Version of this document's format. Example: 1.
        pub restrand: Count,
        /// The bridge and the document.
        pub project: One<Project>,
        /// Elements of the alignment in order of station; none if the bridge is straight.
        pub alignment: Vec<AlignmentElement>,
        /// Spans of the bridge in order of station.
        pub spans: Vec<Span>,
        /// Supports of the bridge in order of station.
        pub supports: Vec<Support>,
        /// Kinds of strand.
        pub strands: Vec<Strand>,
        /// Kinds of duct and pipe.
        pub ducts: Vec<Duct>,
        /// Kinds of anchorage, composed of parts.
        pub anchorages: Vec<Anchorage>,
        /// Kinds of deviator form, composed of parts.
        pub forms: Vec<Form>,
        /// Jacks that may be used.
        pub jacks: Vec<Jack>,
        /// Places of the bridge where tendons are anchored or deviated, or through which they pass.
        pub places: Vec<Place>,
        /// Rooms between places in which people work.
        pub bays: Vec<Bay>,
        /// Openings from outside to bays and between bays.
        pub openings: Vec<Opening>,
        /// Cross-sections of the bridge, for the check with a tendon out.
        pub sections: Vec<Section>,
        /// The tendons.
        pub tendons: Vec<Tendon>,
    }
}

/// The version of the document's format that this crate reads and writes.
pub const VERSION: u32 = 1;
