//! Records that can be walked by field name.
//!
//! `record!` and `choice!` declare a record or an enumeration once, with its documentation; from the
//! declaration come the Rust type, its [`RecordInfo`], its JSON form, its schema and its columns.

mod info;
mod macros;
mod node;
mod record;
mod scalar;

pub(crate) use info::words;
pub use info::{ChoiceInfo, FieldInfo, Range, RecordInfo, Shape};
pub(crate) use macros::{choice, record};
pub use node::{List, Misfit, Node, Shaped, View, fill};
pub use record::{EXTRA, Extra, GIVEN, Record};
pub use scalar::{Choice, Date, Link, Listed};

#[doc(hidden)]
pub mod build {
    //! What the macros call; not for use by hand.
    pub use super::node::{set_list, set_record};
}
