//! What findings look like: the same small schedule as JSON and as a workbook, checked and rendered.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod beck;
#[path = "../common/mod.rs"]
mod common;
mod excerpts;
mod programs;
mod terminal;
