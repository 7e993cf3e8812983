//! Reads a model from XML.
//!
//! `file` finds the root and in which letters it is written; `events` is what stands in the file, element by element;
//! `parse` makes entities of elements; `elements` is what an element says of itself; `held` is the model that they
//! make.

mod elements;
mod events;
mod file;
mod held;
mod parse;

pub(crate) use file::{load, probe};
