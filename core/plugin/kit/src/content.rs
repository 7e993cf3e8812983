//! What a plugin is asked to write.

use restrand_model::reading::Provenance;
use restrand_model::route::Route;
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;

use crate::layout::Layout;

/// What a file is to hold: a schedule, how its values were typed, and what is shown beside it.
#[derive(Debug, Clone, Copy)]
pub struct Content<'a> {
    /// The schedule.
    pub schedule: &'a Schedule,
    /// Where its values were read, with the texts of those that were typed otherwise than they are written.
    pub provenance: &'a Provenance,
    /// Values that differ from those of the file they come from.
    pub changes: &'a [Change],
    /// Tables that are no part of the schedule; only formats with sheets carry them.
    pub tables: &'a [SideTable],
    /// What follows in space; only formats that ask for it get it, see [`crate::Plugin::takes_layout`].
    pub layout: Option<&'a Layout>,
}

impl<'a> Content<'a> {
    /// A schedule and where it was read.
    #[must_use]
    pub const fn new(schedule: &'a Schedule, provenance: &'a Provenance) -> Self {
        Self { schedule, provenance, changes: &[], tables: &[], layout: None }
    }
}

/// A value that is changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The value.
    pub route: Route,
    /// What the file said before, as it stood there; nothing where nothing stood.
    pub before: Option<String>,
    /// What it is from now on, in the unit of its field; nothing where nothing is stated any more.
    pub after: Option<Value>,
    /// Why, as a sentence.
    pub why: String,
}

/// A table that is no part of the schedule: what was corrected, what is open.
#[derive(Debug, Clone, PartialEq)]
pub struct SideTable {
    /// The name of its sheet.
    pub name: String,
    /// What it is, in a sentence above it.
    pub about: String,
    /// The headers.
    pub headers: Vec<String>,
    /// The rows, each as long as the headers.
    pub rows: Vec<Vec<SideCell>>,
}

/// A cell of a side table.
#[derive(Debug, Clone, PartialEq)]
pub struct SideCell {
    /// What it says.
    pub value: Option<Value>,
    /// The value of the schedule that it leads to.
    pub leads_to: Option<Route>,
}
