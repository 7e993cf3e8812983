//! Whether there is room at an anchorage for the jack and for what is taken off and on there.
//!
//! It knows lengths only: hand room, side room and margins are the caller's.
//! Places are in the anchorage's axes: along (0 at the bearing-plate face, positive rearward), up, left (seen rearward).
//! Authority: geometry.

mod along;
mod cones;
mod neighbour;
mod wall;

pub use along::{JackCase, JackLengths, JackRoom, cap_room_mm, jack_room};
pub use cones::{Cone, nearest_of_cones};
pub use neighbour::{Cylinder, NearestPlace, nearest};
pub use wall::{Envelope, Side, wall_gap_mm, wall_gap_tilted_mm};
