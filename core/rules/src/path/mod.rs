//! Rules on the path of a tendon: points, bends, lengths, and what it passes by.

pub(crate) mod angle_mismatch;
pub(crate) mod kink_without_deviator;
pub(crate) mod length_mismatch;
pub(crate) mod lines;
pub(crate) mod near_concrete_or_neighbour;
pub(crate) mod points_impossible;
pub(crate) mod radius_mismatch;
pub(crate) mod radius_small;
pub(crate) mod unsupported_length;
