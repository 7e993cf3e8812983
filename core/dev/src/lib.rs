//! What the developers of restrand generate: the demo bridge, its faulty edition, and files for benches.
//!
//! Nothing depends on this crate; it may know everything else.

pub mod bench;
pub mod books;
pub mod demo;
pub mod fault;
pub mod generate;
pub mod header;
mod output;
