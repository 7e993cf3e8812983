//! What follows from a schedule in space: courses, seats and bodies, for formats that show models.
//!
//! A plugin has no mechanics of its own. What it draws is laid out for it, in the frame of the bridge: x along the
//! straight bridge or the first axis of the plan, y to the left of it, z up.
//! What does not follow from the schedule is among [`Layout::unlaid`], with the field without which it does not.

use restrand_model::route::Route;
use serde::{Deserialize, Serialize};

/// Shares along x, y and z of the bridge's frame, or of a body's own.
pub type Triple = [f64; 3];

/// What is laid out of a schedule.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Layout {
    /// The axes of tendons, and of their lengths of duct.
    pub courses: Vec<Course>,
    /// Where places, ends and deviators stand.
    pub seats: Vec<Seat>,
    /// The room that is kept clear at ends, and what moves in it.
    pub bodies: Vec<Body>,
    /// What could not be laid out.
    pub unlaid: Vec<Unlaid>,
}

impl Layout {
    /// The course of the record at the end of this route.
    #[must_use]
    pub fn course(&self, route: &Route) -> Option<&Course> {
        self.courses.iter().find(|course| course.route == *route)
    }

    /// Where the record at the end of this route stands.
    #[must_use]
    pub fn seat(&self, route: &Route) -> Option<&Seat> {
        self.seats.iter().find(|seat| seat.route == *route)
    }
}

/// An axis in space: straight pieces and arcs, one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The tendon, or the length of duct.
    pub route: Route,
    /// Where it begins, m.
    pub start_m: Triple,
    /// The pieces in order.
    pub pieces: Vec<Piece>,
    /// Length along the pieces, m.
    pub length_m: f64,
}

/// A straight piece or an arc of a course.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Piece {
    /// Where it ends, m.
    pub to_m: Triple,
    /// The middle of an arc, m; nothing of a straight piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub through_m: Option<Triple>,
}

/// Where a record stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// The place, end or deviator.
    pub route: Route,
    /// Its own axes.
    pub frame: Frame,
}

/// Axes of a record's own. The third, square to both, makes them right-handed: it is `up` times `along`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Frame {
    /// Where they meet, m. At an end this is the face of the bearing plate.
    pub at_m: Triple,
    /// The first; its length is 1. At an end it runs away from the span.
    pub along: Triple,
    /// The third, upward; its length is 1.
    pub up: Triple,
}

/// What stands or moves at an end.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// The end.
    pub route: Route,
    /// What it is.
    pub kind: BodyKind,
    /// The axes in which its solids are given.
    pub frame: Frame,
    /// The solids that make it up.
    pub solids: Vec<Solid>,
}

/// What a body is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BodyKind {
    /// The clear room as the schedule states it.
    RemovalSpace,
    /// The stub as it sits before it is drawn, from the cut on the span side to its rearmost point.
    Stub,
    /// The stated jack in all its cases: threading on, stressing, taking off.
    Jack,
}

/// A solid in the axes of its body.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Solid {
    /// A box between two corners, mm.
    Box {
        /// Its lowest corner.
        low_mm: Triple,
        /// Its highest corner.
        high_mm: Triple,
    },
    /// A cylinder round the first axis, mm.
    Cylinder {
        /// Where it begins.
        from_mm: f64,
        /// Where it ends.
        to_mm: f64,
        /// Its radius.
        radius_mm: f64,
    },
}

/// What could not be laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unlaid {
    /// The record.
    pub route: Route,
    /// What of it, as a noun.
    pub what: String,
    /// The field without which it does not follow, or that cannot be right.
    pub field: String,
}
