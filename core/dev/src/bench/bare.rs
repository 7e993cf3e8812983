//! The bare reading of a workbook: every cell of every sheet, and nothing done with it.

use std::path::Path;
use std::time::{Duration, Instant};

use calamine::{Reader, Xlsx, open_workbook};

use super::BenchError;

/// What a bare reading took.
#[derive(Debug, Clone, Copy)]
pub struct BareRead {
    /// Cells that were read.
    pub cells: u64,
    /// From opening the file to the last cell.
    pub time: Duration,
}

/// Reads all sheets of an .xlsx cell by cell and drops the values.
///
/// # Errors
/// The workbook cannot be read.
pub fn bare_read(path: &Path) -> Result<BareRead, BenchError> {
    let start = Instant::now();
    let mut workbook: Xlsx<_> = open_workbook(path)?;
    let mut cells = 0;
    for name in workbook.sheet_names() {
        let mut reader = workbook.worksheet_cells_reader(&name)?;
        while let Some(cell) = reader.next_cell()? {
            std::hint::black_box(cell.get_value());
            cells += 1;
        }
    }
    Ok(BareRead { cells, time: start.elapsed() })
}
