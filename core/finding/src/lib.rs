//! What a rule says of a schedule. Types only.
//!
//! A finding names its place by route and its numbers as facts; how it is shown, in which units and at
//! which cell, is decided where it is rendered.

mod citation;
mod correction;
mod fact;
mod finding;
mod outcome;

pub use citation::{Citation, Evidence};
pub use correction::{Class, Correction, Edit};
pub use fact::{Fact, FactValue, Rounding, Source, fill_in};
pub use finding::{Finding, Kind, Related, Remedy, Severity, Where};
pub use outcome::{Group, Outcomes, Tally};
