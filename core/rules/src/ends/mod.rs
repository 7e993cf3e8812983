//! The ends of tendons as bodies in space: the anchorage's axis, what sits and moves on it, the clear room behind
//! it, and who stands near.
//!
//! Rules, replacement plans and drawings read it.
//! It makes no finding and knows no limit: allowances are the caller's.
//! An error is always the field without which something is not known.

mod axis;
mod bay;
mod beside;
mod bodies;
mod jack;
mod near;
pub(crate) mod obstacles;
mod recess;
mod room;

pub use axis::{EndAxis, Frame};
pub use bay::BayRoom;
pub(crate) use beside::wall_gap;
pub use beside::{WallGap, clear_for_jack, nearest_live, nearest_obstacle, wall_gaps};
pub use bodies::{CapBody, cap, head_rear_mm, worst_radius_mm};
pub use jack::{JackBody, JackNeeds, Stroke, beside};
pub use near::{Body, Near, Nearest, OnAxis, Standing, What};
pub use obstacles::{Obstacle, OwnBox};
pub use recess::{RecessAround, recess_around};
pub use room::{Clear, ClearBehind, ClearSide, Room, clear_behind, radius_or_any};
