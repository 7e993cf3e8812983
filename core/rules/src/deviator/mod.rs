//! Rules on deviators: the form that a deviation needs, what it guides, its force, and what leaves it.

pub(crate) mod guided;

pub(crate) mod angle_reserve;
pub(crate) mod duct_wall_left;
pub(crate) mod exit_narrow;
pub(crate) mod force_off;
pub(crate) mod form_missing;
pub(crate) mod form_short;
pub(crate) mod no_room_to_swing;
pub(crate) mod not_replaceable;
