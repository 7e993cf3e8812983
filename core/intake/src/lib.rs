//! From a plugin's frames to a typed schedule.
//!
//! Each record is checked against its schema as it comes and typed at once; rows that belong to another
//! record wait until all have come.
//! A bad value is left out and said, a bad record is left out and counted, and the others go on.
//!
//! This crate must not know any format, nor what the rules ask.

mod build;
mod file;
mod given;
mod join;
mod read;
mod turn;
mod unread;
mod validate;

pub use build::Builder;
pub use file::FilePart;
pub use read::{read, read_mapped};
pub use unread::not_kept;

use std::fmt;
use std::sync::Arc;

use restrand_model::Record;
use restrand_model::reading::{Problem, Provenance, Question, Understood};
use restrand_model::schedule::Schedule;

/// What was read: the schedule, where each value stands, and what could not be read.
#[derive(Debug, Clone, Default)]
pub struct Reading {
    /// The schedule.
    pub schedule: Schedule,
    /// Where everything stands in the file.
    pub provenance: Provenance,
    /// What could not be read, or only with doubt, in the order of the file.
    pub problems: Vec<Problem>,
    /// What only the author of the file can say, in the order of the file.
    pub questions: Vec<Question>,
    /// How sheets that are not in the schedule's own layout were understood, in the order of the file.
    pub understood: Vec<Understood>,
    /// Records that were read and have no place in the schedule, so that what they state can be shown.
    pub lost: Vec<LostRecord>,
    /// How many records and values were read and lost.
    pub counts: Counts,
    /// Where no tendon was found: how a file of the format states them, as advice, where the format says so.
    pub tendons_stated: Option<String>,
}

/// A record that was read and has no place in the schedule; what is wrong with it is one of the problems.
#[derive(Clone)]
pub struct LostRecord {
    /// The record.
    pub record: Arc<dyn Record>,
    /// What its row holds under the link columns of its sheet, by the column's header.
    pub links: Vec<(&'static str, Box<str>)>,
}

impl fmt::Debug for LostRecord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let fields = self.record.to_fields();
        f.debug_struct("LostRecord").field("record", &fields).field("links", &self.links).finish()
    }
}

/// How much was read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    /// Records that were read.
    pub records: usize,
    /// Records that could not be read, and are not checked.
    pub records_lost: usize,
    /// Values that could not be read, and are absent.
    pub values_lost: usize,
    /// Sheets that hold part of the schedule and could not be read.
    pub sheets_lost: usize,
}

impl Counts {
    /// Whether anything was lost, and so is not checked.
    #[must_use]
    pub const fn any_lost(&self) -> bool {
        self.records_lost > 0 || self.values_lost > 0 || self.sheets_lost > 0
    }
}
