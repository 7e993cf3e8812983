//! Ends of tendons, and the room behind them.

use crate::reflect::{Link, choice, record};
use crate::schedule::{
    Anchorage, Count, Day, FaceName, Flag, Jack, Number, One, Part, Place, Text,
};

choice! {
    /// The name of an end: `a` lies at the lower station.
    pub enum EndName {
        /// At the lower station.
        A = "a",
        /// At the higher station.
        B = "b",
    }
}

choice! {
    /// Kind of an end.
    pub enum EndKind {
        /// A jack stresses here, or may.
        Stressing = "stressing",
        /// Anchored in sight, not stressed.
        Dead = "dead",
        /// Anchored inside the concrete.
        Embedded = "embedded",
    }
}

choice! {
    /// How a removal space is known.
    pub enum SpaceSource {
        /// From drawings.
        Designed = "designed",
        /// Measured on the bridge.
        Measured = "measured",
    }
}

record! {
    /// Clear room at an end, from the anchorage's axis and from the face of its bearing plate.
    pub struct RemovalSpace as "removal_space" {
        /// Clear length behind the bearing plate's face, along the axis, away from the span. Example: 1900.
        pub behind_mm: Number [NotNegative],
        /// Clear distance upward from the axis. Example: 600.
        pub up_mm: Number [NotNegative],
        /// Clear distance downward from the axis. Example: 500.
        pub down_mm: Number [NotNegative],
        /// Clear distance to the left of the axis, looking up-station. Example: 500.
        pub left_mm: Number [NotNegative],
        /// Clear distance to the right of the axis, looking up-station. Example: 500.
        pub right_mm: Number [NotNegative],
        /// How it is known. Example: designed.
        pub source: Option<SpaceSource>,
        /// Who measured or drew it.
        pub by: Text,
        /// When it was measured. Example: 2031-05-07.
        pub on: Day,
    }
}

record! {
    /// A box in the room at an end that is in the way, in the anchorage's own axes.
    pub struct EndObstacle as "end_obstacle" {
        /// What it is. Example: drain pipe.
        pub name: Text,
        /// Where it begins on the axis, positive outward. Example: 300.
        pub from_mm: Number [Signed],
        /// Where it ends on the axis. Example: 700.
        pub to_mm: Number [Signed],
        /// Its right side, from the axis, positive to the left. Example: 250.
        pub right_side_mm: Number [Signed],
        /// Its left side, from the axis, positive to the left. Example: 400.
        pub left_side_mm: Number [Signed],
        /// Its underside, from the axis, positive upward. Example: -100.
        pub underside_mm: Number [Signed],
        /// Its top, from the axis, positive upward. Example: 150.
        pub top_mm: Number [Signed],
    }
}

record! {
    /// An end of a tendon.
    pub struct End as "end" {
        /// The place it is anchored in. Example: A1.
        pub place: Option<Link<Place>>,
        /// The face of that place on which the bearing plate sits. Example: down.
        pub face: Option<FaceName>,
        /// Kind of the end. Example: stressing.
        pub kind: Option<EndKind>,
        /// Kind of anchorage. Example: K19.
        pub anchorage: Option<Link<Anchorage>>,
        /// Number of strands anchored. Example: 19.
        pub strand_count: Count,
        /// Jack that stresses it. Example: J19.
        pub jack: Option<Link<Jack>>,
        /// Strand tail left behind the wedge plate under the cap. Example: 40.
        pub tail_mm: Number [NotNegative],
        /// Anchor set (draw-in) at seating. Example: 6.
        pub set_mm: Number [NotNegative],
        /// Slope of the anchorage's axis in elevation, positive where it rises up-station. Example: -0.05.
        pub pitch_rad: Number [Signed],
        /// Turn of the anchorage's axis in plan, positive to the left. Example: 0.01.
        pub yaw_rad: Number [Signed],
        /// Angle between the tendon and the bearing plate's normal. Example: 0.
        pub out_of_square_rad: Number [NotNegative],
        /// Distance from the axis to the nearest edge of the concrete. Example: 450.
        pub edge_distance_mm: Number,
        /// Where the stub is cut on the span side, on the anchorage's axis. Example: -1500.
        pub stub_cut_mm: Number [Signed],
        /// Pulls in which the stub is planned to be drawn out. Example: 2.
        pub stub_pulls: Count,
        /// Straight length of the tendon from the bearing plate's face. Example: 4.
        pub straight_length_m: Number [NotNegative],
        /// Room for a strand pusher, winch or dispenser behind this end. Example: 3000.
        pub strand_equipment_room_mm: Number [NotNegative],
        /// Restraint at this end while the tendon is released, in words.
        pub release_restraint: Text,
        /// Whether the cap may come off before force is zero, as a release is made here.
        pub released_here: Flag,
        /// Clear room at the end.
        pub removal_space: One<RemovalSpace>,
        /// What is in the way in that room.
        pub obstacles: Vec<EndObstacle>,
        /// Parts that differ from the anchorage's, or come in addition.
        pub parts: Vec<Part>,
    }
}

record! {
    /// The two ends of a tendon.
    pub struct Ends as "ends" {
        /// The end at the lower station.
        pub a: One<End>,
        /// The end at the higher station.
        pub b: One<End>,
    }
}

impl EndName {
    /// The name of the other end.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }
}
