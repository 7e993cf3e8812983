//! The engine: which rulebook holds, which rules run on what, and in which order findings come.
//!
//! The same reading and rulebook give the same report, whatever the number of threads.

mod correct;
mod implied;
mod layout;
mod locate;
pub mod rulebook;
mod run;
#[cfg(feature = "threads")]
mod threads;
mod waive;

pub use correct::{Change, Corrected, Offered, Unmade, Wishes, Withdrawn, correct};
pub use layout::layout;
pub use locate::{LocatedFinding, LocatedRelated};
pub use run::{Coverage, Report, check, unreadable};
#[cfg(feature = "threads")]
pub use threads::take_part;
pub use waive::Waived;
