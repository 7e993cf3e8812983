//! The faulty edition of the demo bridge: planted faults, each for one rule.
//!
//! The list follows appendix C of `fixtures/demo/replacement-by-hand.md`.
//! A fault that a schedule can hold is planted in the schedule; one that it cannot hold, as a text in a
//! column of numbers, is planted in the sheets and in the JSON text.

mod document;
mod list;
mod place;
mod workbook;

pub use list::faults;
pub use place::Way;
pub use workbook::{Shown, shown};

use restrand_kit::WriteError;
use restrand_model::schedule::Schedule;

/// A planted fault.
#[derive(Debug)]
pub struct Fault {
    /// Its number in the list.
    pub number: u32,
    /// The rule that finds it, and no other does.
    pub rule: &'static str,
    /// What is wrong, in one sentence.
    pub what: &'static str,
    /// The way from the schedule to the value or the record.
    pub way: &'static [Way],
    /// How it is planted.
    plant: Plant,
}

/// How a fault is planted.
#[derive(Debug, Clone, Copy)]
enum Plant {
    /// By a change of the schedule.
    Edit(fn(&mut Schedule)),
    /// As a text where the value should be.
    Text(&'static str),
    /// As a column that no field takes, with this value in each row; in JSON as a member of one record.
    Column { header: &'static str, value: &'static str },
    /// As a second record, the same as the first.
    Twice,
}

/// A fault cannot be planted or shown: the list and the demo bridge no longer fit together.
#[derive(Debug, thiserror::Error)]
pub enum FaultError {
    /// The way of a fault leads nowhere.
    #[error("fault {0}: its way leads nowhere")]
    Nowhere(u32),
    /// The cell of a fault was not found in the written workbook.
    #[error("fault {0}: its cell was not found in the workbook")]
    NoCell(u32),
    /// The workbook or the document cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// A workbook cannot carry what a fault says.
    #[error("{0} was not carried")]
    Lost(String),
    /// The workbook that was written cannot be read.
    #[error("the written workbook cannot be read: {0}")]
    Workbook(#[from] calamine::XlsxError),
    /// The document that was written cannot be read.
    #[error("the written document cannot be read: {0}")]
    Document(#[from] serde_json::Error),
}

/// The demo bridge with one fault alone, for each that a schedule can hold.
pub fn alone() -> impl Iterator<Item = (&'static Fault, Schedule)> {
    faults().iter().filter_map(|fault| {
        let Plant::Edit(edit) = fault.plant else { return None };
        let mut schedule = crate::demo::bridge();
        edit(&mut schedule);
        Some((fault, schedule))
    })
}

/// The demo bridge with every fault that a schedule can hold.
#[must_use]
pub fn schedule() -> Schedule {
    let mut schedule = crate::demo::bridge();
    for fault in faults() {
        if let Plant::Edit(edit) = fault.plant {
            edit(&mut schedule);
        }
    }
    schedule
}

/// The faulty edition as a workbook.
///
/// # Errors
/// The list no longer fits the demo bridge.
pub fn workbook() -> Result<Vec<u8>, FaultError> {
    workbook::planted(&schedule(), faults())
}

/// The faulty edition as a JSON document.
///
/// # Errors
/// The list no longer fits the demo bridge.
pub fn document() -> Result<Vec<u8>, FaultError> {
    document::planted(&schedule(), faults())
}
