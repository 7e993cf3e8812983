//! Stress along a tendon: friction, stressing from either end or both, anchor set, in any order.
//!
//! A tendon is a list of [`Run`]s from end A to end B. They make a [`Profile`]: the friction exponent κ over the place x.
//! A [`StressDiagram`] holds σ(x) on it, and each act of stressing changes it:
//!
//! - pulling an end to σj slides the tendon towards that end as far as `σj·e^(-κ)` is more than what is there;
//! - letting an end in slides it away from that end as far as `σ0'·e^(+κ)` is less than what is there.
//!
//! Nothing else can happen where friction is Coulomb's and the same both ways: no part slides before friction is used up,
//! and where it slides friction is used up. So all stages, orders and overlapping zones are these two acts on one diagram,
//! and what comes out is exact: pieces of `c·e^(±κ)`, with no step size.
//!
//! It knows no coefficient, no set and no limit: they come from the schedule and the rulebook.
//! Authority: Coulomb friction on a flexible tendon (Euler, Eytelwein) and Hooke's law.

mod diagram;
mod force;
mod front;
mod profile;
mod rule;
mod set;
mod stationary;
mod wobble;

pub use diagram::{Extreme, Point, Sides, StressDiagram};
pub use force::{after_loss_kn, before_loss_kn, force_kn, stress_mpa};
pub use front::Reach;
pub use profile::{
    Border, End, MOST_EXPONENT, Profile, Run, friction_exponent, kept_share, profile,
};
pub use rule::{
    BothEnds, EndStressing, RuleDifference, larger_of_each_end, rule_difference, stressed_both_ends,
};
pub use set::Seating;
pub use stationary::{Stationary, stationary};
pub use wobble::{ExponentPerM, RadPerM, Wobble, wobble_exponent_per_m};
