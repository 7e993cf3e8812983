//! The line of the bridge in plan, its spans and supports.

use super::{Number, Place, Text};
use crate::reflect::{Link, choice, record};

choice! {
    /// Kind of an element of the alignment.
    pub enum AlignmentKind {
        /// Straight in plan.
        Line = "line",
        /// A circular arc in plan.
        Arc = "arc",
    }
}

choice! {
    /// What a support holds.
    pub enum SupportKind {
        /// Holds vertically, free to turn.
        Pinned = "pinned",
        /// Holds vertically and against turning.
        Fixed = "fixed",
    }
}

record! {
    /// An element of the alignment in plan, from one station to another.
    pub struct AlignmentElement as "alignment_element" {
        /// Kind of the element. Example: arc.
        pub kind: Option<AlignmentKind>,
        /// Station at which the element begins. Example: 100.
        pub from_m: Number [Signed],
        /// Station at which the element ends. Example: 140.
        pub to_m: Number [Signed],
        /// Radius in plan of an arc, positive where the centre lies to the left. Example: 450.
        pub radius_m: Number [Signed],
    }
}

record! {
    /// A span of the bridge.
    pub struct Span as "span", key id, in "spans" {
        /// Name of the span. Example: S1.
        pub id: Text,
        /// Station at which the span begins. Example: 100.
        pub from_m: Number [Signed],
        /// Station at which the span ends. Example: 140.
        pub to_m: Number [Signed],
    }
}

record! {
    /// A support of the bridge, for the analysis as a continuous beam.
    pub struct Support as "support", key id {
        /// Name of the support. Example: P2.
        pub id: Text,
        /// Station of the support. Example: 140.
        pub station_m: Number [Signed],
        /// What the support holds. Example: pinned.
        pub kind: Option<SupportKind>,
        /// The place of the bridge at the support. Example: P2.
        pub place: Option<Link<Place>>,
    }
}
