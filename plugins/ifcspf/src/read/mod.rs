//! Reading a STEP physical file (ISO 10303-21).
//!
//! One pass finds where each instance begins and what it is; an instance is read only when something asks for it.
//! So the thousands of entities of a model that are no tendons cost a step over them.

mod file;
mod parse;
mod pieces;
mod scan;
mod statements;
mod text;

pub(crate) use file::{load, probe, with_scanned};
pub(crate) use scan::Scanned;
