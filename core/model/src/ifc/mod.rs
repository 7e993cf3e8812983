//! How a schedule stands in a model in the terms of IFC 4.3 (ISO 16739-1): ids, property sets, measures.
//!
//! Readers, writers and requirements all take the names from here, so that what one says another understands.
//! This module knows no file format: it gives names and numbers.

mod guid;
mod measure;
mod property;

pub use guid::{ELEMENTS, GLOBAL_ID, Ids, compressed, element_of, expanded, stated};
pub use measure::{Measure, measure_of};
pub use property::{Property, PropertySet, SETS, properties, property_of, set_of};
pub use uuid::Uuid;
