//! What restrand says, one file for each output.
//!
//! Renderers take a finished check and write it down; they decide words, units and layout, never what is
//! found.
//! This crate opens no file, reads no environment and no clock: bytes of an input come through
//! [`Sources`], and width, colour, units and date are given by the caller.

mod alike;
pub mod bcf;
mod checked;
pub mod corrections;
mod coverage;
pub mod draw;
mod excerpt;
pub mod explain;
mod facts;
pub mod formats;
pub mod html;
mod identity;
pub mod ids;
pub mod json;
pub mod junit;
mod letters;
mod located;
pub mod losses;
mod plain;
pub mod plan;
pub mod reading;
mod records;
mod row;
pub mod rulebook;
pub mod rules;
pub mod sarif;
mod spot;
pub mod terminal;
mod text;
mod walk;
mod xml;

pub use checked::{Checked, InForce, NoSources, Sources};
pub use identity::Identity;
pub use letters::{cell, letters};
