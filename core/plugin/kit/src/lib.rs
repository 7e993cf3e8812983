//! What authors of format plugins build on.
//!
//! A plugin reads named parts and hands over frames ([`Frame`]), or writes a schedule into named parts.
//! It opens no file, reads no environment and prints nothing: the host does that.
//! [`export_plugin!`] makes of a plugin a library that any restrand can open; [`wire`] says what then crosses.
//! For formats made of rows and columns, [`sheet`] does all but the reading of cells.

#[cfg(feature = "archive")]
pub mod archive;
mod content;
pub mod export;
mod frame;
pub mod json_text;
pub mod layout;
mod part;
mod plugin;
pub mod recognise;
pub mod sheet;
pub mod wire;

pub use content::{Change, Content, SideCell, SideTable};
pub use frame::{At, Frame, Frames, RecordFrame, Stopped};
pub use layout::Layout;
pub use part::{Bytes, Part, PartReader, Parts, is_within};
pub use plugin::{
    Budget, Confidence, Description, Failure, FailureKind, LoadError, Loss, Output, Plugin,
    WriteError, WriteOptions,
};
