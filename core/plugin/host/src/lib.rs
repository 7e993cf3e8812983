//! Plugins that are libraries of their own, as the kit's trait shows them.
//!
//! [`Isolated`] runs each call in a process of its own with limits, so that a crash, a hang or a flood is one
//! error and the host lives; that process calls [`serve`].
//! [`InProcess`] calls the library in this process, for those who know it.
//!
//! This crate must not know any format, nor where plugins are looked for.

mod call;
mod child;
mod error;
mod foreign;
mod library;

pub use child::{Isolated, Limits, Server, serve};
pub use error::HostError;
pub use foreign::Foreign;
pub use library::{InProcess, Library};
