//! What the plugins for IFC share.
//!
//! [`Entity`] and [`Value`] are a model's content whatever file it stands in; [`terms`] says, for both ways,
//! which entity, type and property a part of the schedule is; [`read`] makes records of entities, [`mod@write`] a model
//! of a schedule.
//!
//! This crate must not know how a file writes entities, nor what the rules ask.

pub mod change;
pub mod read;
pub mod terms;
mod value;
pub mod write;

pub use value::{Entity, Value};
