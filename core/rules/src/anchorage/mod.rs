//! Rules on anchorages: what bears on what, distances, the tendon's line into them, and their jacks.

pub(crate) mod dead_end_embedded;
pub(crate) mod edge_distance;
pub(crate) mod jack_not_listed;
pub(crate) mod ledge_short;
pub(crate) mod not_square;
pub(crate) mod straight_too_short;
