//! The arithmetic behind the checks of replaceable post-tensioning tendons: paths, friction and stressing, deviators, filling, passing,
//! removal, room and ways, statics, and the tables they rest on.
//!
//! # What it is for
//! Each function takes plain numbers and gives plain numbers, so that a rule, a replacement plan and a test use the same formula.
//! Each one states its formula, its symbols with units, where it holds and where it comes from.
//!
//! # What it must not know
//! Schedules, limits and rulebooks: no default, no code value and no severity lives here; whoever calls brings them.
//! Files, environment, clock and printing: the crate has no dependency and also builds for the browser.
//!
//! # Conventions
//! - SI, with the unit in every name: `_mm`, `_mm2`, `_kn`, `_mpa`, `_kg_per_m`; ratios are bare.
//! - An anchorage's axis has 0 at the bearing-plate face and is positive outward (rearward, away from the span).
//! - A number that cannot be right is answered with a [`Misfit`]; nothing panics and no NaN comes out.
//!   A value that is absent is an `Option`, never zero.
//! - Tabled values carry their [`Evidence`](tables::Evidence): a value from memory is not a published one.
#![forbid(unsafe_code)]

pub mod anchorage;
pub mod deviator;
pub mod duct;
pub mod elongation;
pub mod filling;
pub mod friction;
pub mod jack;
mod misfit;
pub mod passing;
pub mod path;
pub mod removal;
pub mod room;
pub mod statics;
pub mod stress;
pub mod tables;
pub mod vibration;
pub mod way;

pub use misfit::{Argument, LARGEST, Misfit, SMALLEST};
