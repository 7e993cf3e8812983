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

impl Problem {
    /// The way from the record to the value that the subject names, its steps joined by points; nothing where it names
    /// none.
    #[must_use]
    pub fn path(&self) -> Option<String> {
        self.subject.split_once('.').map(|(_, path)| subject_path(path))
    }
}

/// The way of a problem's subject with positions as steps: `points[#2].station_m` is `points.1.station_m`.
#[must_use]
pub fn subject_path(path: &str) -> String {
    let steps = path.split('.').flat_map(|step| match step.split_once("[#") {
        Some((list, ordinal)) => {
            let ordinal = ordinal.trim_end_matches(']').parse::<usize>().ok();
            let item = ordinal.and_then(|ordinal| ordinal.checked_sub(1));
            [Some(list.to_owned()), item.map(|item| item.to_string())]
        }
        None => [Some(step.to_owned()), None],
    });
    steps.flatten().collect::<Vec<_>>().join(".")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_of_a_subject_are_steps_from_zero() {
        assert_eq!(subject_path("points[#2].station_m"), "points.1.station_m");
        assert_eq!(subject_path("points.1.station_m"), "points.1.station_m");
        assert_eq!(subject_path("ends.a.jack"), "ends.a.jack");
        assert_eq!(subject_path("spans[#0]"), "spans");
    }
}
