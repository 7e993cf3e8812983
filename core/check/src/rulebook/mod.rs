//! Rulebooks: TOML files that extend one another, and the one that is in force.

mod books;
mod entry;
mod file;
mod filler;
mod limit;
mod required;
mod required_part;
mod resolve;
mod role;
mod schema;
mod severity;
mod starter;
mod waiver;

#[cfg(feature = "threads")]
pub(crate) use books::read_ahead;
pub use books::{BUILT_IN, Books, BuiltIn, Source, built_in, name_for_code};
pub use file::BookError;
pub use resolve::{built_in_force, in_force};
pub use schema::schema;
pub use starter::starter;
