//! A plugin in a process of its own.
//!
//! Each call has its own process, which ends with the call, so that nothing a plugin did lasts.
//! The process speaks and the host answers, one at a time; neither ever waits for the other to take what it
//! has to say, but while the host hands over what it asks for, which the process reads first.

mod client;
mod limits;
mod message;
mod serve;

pub use client::{Isolated, Server};
pub use limits::Limits;
pub use serve::serve;
