//! Whether pieces, sticks and the jack find their way: through openings, round corners, through a slab.
//!
//! It knows lengths only: gaps, ways of hanging and rooms are the caller's. Everything is rigid.
//! Authority: geometry.

mod corner;
mod opening;
mod rectangle;
mod search;
mod slot;

pub use corner::{RoundCorner, longest_round_corner, longest_round_corner_with_height_mm};
pub use opening::{
    Attitude, Edge, FloorFit, Opening, WallFit, box_through_floor, box_through_wall,
    straight_feed_mm,
};
pub use rectangle::{fits_turned, longest_leaning_mm, longest_turning_mm};
pub use slot::{Feed, FeedLimits, FeedRoom, Slot, longest_through_slot};
