//! The bare reading of a file: every piece of it, and nothing done with it.

use std::path::Path;
use std::time::{Duration, Instant};

use calamine::{Reader, Xlsx, open_workbook};

use super::{BenchError, models};

/// What a bare reading took.
#[derive(Debug, Clone, Copy)]
pub struct BareRead {
    /// Pieces that were read.
    pub count: u64,
    /// What these are.
    pub what: &'static str,
    /// From opening the file to the last of them.
    pub time: Duration,
    /// The most memory that the process took, where the system tells it.
    pub peak_bytes: Option<u64>,
}

/// Reads a file as barely as can be: an .xlsx cell by cell, an .ifcxml event by event, an .ifc as ifcopenshell opens
/// it in the Python environment of the tests.
///
/// # Errors
/// The file cannot be read, or the environment is not set up.
pub fn bare_read(path: &Path) -> Result<BareRead, BenchError> {
    match path.extension().and_then(|ending| ending.to_str()) {
        Some("ifcxml") => models::events(path),
        Some("ifc") => models::opened(path),
        _ => cells(path),
    }
}

fn cells(path: &Path) -> Result<BareRead, BenchError> {
    let start = Instant::now();
    let mut workbook: Xlsx<_> = open_workbook(path)?;
    let mut count = 0;
    for name in workbook.sheet_names() {
        let mut reader = workbook.worksheet_cells_reader(&name)?;
        while let Some(cell) = reader.next_cell()? {
            std::hint::black_box(cell.get_value());
            count += 1;
        }
    }
    Ok(BareRead { count, what: "cells", time: start.elapsed(), peak_bytes: models::peak_bytes() })
}
