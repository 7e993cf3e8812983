//! The tendon schedule as a document.
//!
//! Everything restrand reads becomes one [`Schedule`]: SI only, the unit in every field name, a value
//! either given or absent.
//! The records are declared once, in [`schedule`], with `record!`; the JSON Schema, the sheets of a
//! workbook, the routes that findings name and the list of references all follow from those
//! declarations, so that no field name is written down twice.
//!
//! This crate must not know files, formats, rules, the environment or the clock.

pub mod ifc;
pub mod near;
pub mod quantity;
pub mod reading;
pub mod reflect;
pub mod resolve;
pub mod route;
pub mod schedule;
pub mod schema;
pub mod sheet;
mod shortened;
pub mod value;

pub use quantity::{Dimension, System, Unit};
pub use reading::{Origin, Provenance};
pub use reflect::{List, Node, Record, View};
pub use route::Route;
pub use schedule::Schedule;
pub use shortened::shortened;
pub use value::{Fields, Name, Value};
