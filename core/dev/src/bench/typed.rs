//! The reading of a workbook to typed, schema-checked records: what a check does before any rule runs.

use std::path::Path;
use std::time::{Duration, Instant};

use restrand_intake::Counts;
use restrand_kit::{Budget, Bytes, Parts};
use restrand_workbook::Workbook;

use super::BenchError;

/// What a typed reading took.
#[derive(Debug, Clone, Copy)]
pub struct TypedRead {
    /// Records that were read, and what was lost of them.
    pub counts: Counts,
    /// From opening the file to the joined schedule.
    pub time: Duration,
}

/// Reads a workbook into a schedule, and drops it.
///
/// # Errors
/// The file is not there, or is no workbook.
pub fn typed_read(path: &Path) -> Result<TypedRead, BenchError> {
    let start = Instant::now();
    let part = Bytes::new(path.display().to_string(), std::fs::read(path)?);
    let reading =
        restrand_intake::read(&Workbook, Parts(&[&part]), Budget::default()).map_err(Box::new)?;
    let time = start.elapsed();
    let counts = reading.counts;
    // The process ends here: giving the memory back piece by piece is no part of the reading.
    std::mem::forget(reading);
    Ok(TypedRead { counts, time })
}
