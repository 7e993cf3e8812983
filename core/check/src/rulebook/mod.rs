//! Rulebooks: TOML files that extend one another, and the one that is in force.

mod file;
mod resolve;

pub use file::BookError;
pub use resolve::{BUILT_IN, built_in, in_force, name_for_code};
