//! What only the author of a file can say.

use super::provenance::{Origin, Place};

/// Values of a column that can mean two things, with nothing in the column that tells which.
///
/// None of them is taken: they are absent from the schedule, and counted as lost.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Where the first of them stands.
    pub place: Place,
    /// Their records, in the order of the file.
    pub records: Vec<Origin>,
    /// The record type and the field, as `tendon.length_m`.
    pub subject: String,
    /// The header of the column.
    pub header: String,
    /// The first of them as given.
    pub given: String,
    /// What the first of them may mean, with the unit of the column.
    pub readings: Vec<String>,
    /// What is unclear, as a clause.
    pub why: String,
    /// How to answer.
    pub help: String,
}
