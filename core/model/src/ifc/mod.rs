//! How a schedule stands in a model in the terms of IFC 4.3 (ISO 16739-1): ids, property sets, measures.
//!
//! Readers, writers and requirements all take the names from here, so that what one says another understands.
//! This module knows no file format: it gives names and numbers.

mod guid;
pub mod measures;
pub mod sets;

pub use guid::{ELEMENTS, GLOBAL_ID, Ids, compressed, derived, element_of, expanded, stated};
pub use uuid::Uuid;
