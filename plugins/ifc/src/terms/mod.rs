//! The names that a schedule has in IFC: one truth, used to read and to write.
//!
//! * [`Kind`] and [`EntityInfo`]: the entities that are read or written, with their attributes in order;
//! * [`kinds`]: which entity and which predefined type is which record, role or kind;
//! * [`sets`]: the property sets and properties that hold the fields of a record;
//! * [`measures`]: in which measure a field is stated, and which unit a measure is in.
//!
//! Sets and measures are the model's own, for requirements on models take their names from there too.

mod entities;
pub mod kinds;
mod releases;

pub use entities::{Attribute, EntityInfo, Form, Kind};
pub use releases::Release;
pub use restrand_model::ifc::{measures, sets};
