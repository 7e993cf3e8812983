//! Fit of an anchorage's parts to each other.
//!
//! It knows no allowed pressure and no system: those come with the anchorage or the rulebook.
//! Authority: geometry.

mod ledge;

pub use ledge::{Ledge, ledge};
