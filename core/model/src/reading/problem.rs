//! What a file says and the schedule cannot take.

use super::provenance::{Origin, Place};

/// What kind of problem a reading met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ProblemKind {
    /// A value is not what its field needs; the field stays absent.
    ValueLost,
    /// A value was read, but not as plainly as it should stand in the file.
    ValueDoubtful,
    /// Something of the file was taken for granted, as its encoding; nothing is lost by it.
    Assumed,
    /// A record could not be read at all, and nothing of it is checked.
    RecordLost,
    /// A column or member that no field takes; its values are kept in `extra`.
    Unknown,
    /// A column whose header is near to that of a field which no other column of its table states: its values were
    /// surely meant for it, and are kept in `extra`.
    ///
    /// The subject names the sheet and the header that was meant, as `Ends: Stub cut`.
    Misnamed,
    /// A sheet that no list takes; nothing of it is read.
    SheetUnknown,
    /// A sheet that surely holds part of the schedule, and of which nothing could be read.
    SheetLost,
    /// A record names its owner, and the schedule has no such record.
    OwnerMissing,
}

/// One problem of a reading, at its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The kind.
    pub kind: ProblemKind,
    /// Where it stands in the file.
    pub place: Place,
    /// The record it belongs to, if that was read.
    pub record: Origin,
    /// The record type and the field, as `tendon.strand_count`; or the sheet or header.
    pub subject: String,
    /// The text as given.
    pub given: Option<String>,
    /// What is wrong, as a clause: `it is not a number`.
    pub why: String,
    /// What to do about it.
    pub help: String,
}
