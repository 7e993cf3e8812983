//! Standard sizes of strand and pipe, each with its source and the evidence for it.
//!
//! The tables hold what standards print, not what a rule asks.
//! Authority: the standards that each row names, as far as its evidence goes.

mod evidence;
pub mod pipe;
pub mod strand;

pub use evidence::Evidence;
