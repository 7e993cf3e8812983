//! Rules on anchorages: what bears on what, distances, and the tendon's line into them.

pub(crate) mod edge_distance;
pub(crate) mod ledge_short;
pub(crate) mod not_square;
pub(crate) mod straight_too_short;
