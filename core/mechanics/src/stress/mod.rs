//! Stress as a share of the strand's strength, by stage and place, and the force at which an end lifts off.
//!
//! It knows no limit: which share is too much at which stage and place is the rulebook's.
//! Authority: definitions.

mod lift_off;
mod shares;

pub use lift_off::lift_off_kn;
pub use shares::{AfterSeating, Shares, Strength, shares, shares_after_seating};
