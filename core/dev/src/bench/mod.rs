//! Files for benches, and the bare figures they are held against.

mod bare;
mod copies;
mod flat;
mod models;
mod stressing;
mod typed;

pub use bare::{BareRead, bare_read};
pub use copies::tendons;
pub use flat::{FLAT_COLUMNS, FLAT_ROWS, flat};
pub use models::{MODEL, load, model};
pub use stressing::{StressingTime, stressing_time};
pub use typed::{TypedRead, typed_read};

use std::fs;
use std::path::{Path, PathBuf};

use restrand_workbook::Workbook;

use crate::output::written;

/// A bench file cannot be made or read.
#[derive(Debug, thiserror::Error)]
pub enum BenchError {
    /// The workbook cannot hold the schedule.
    #[error(transparent)]
    Write(#[from] restrand_kit::WriteError),
    /// The workbook cannot be written.
    #[error("the workbook cannot be written: {0}")]
    Workbook(#[from] rust_xlsxwriter::XlsxError),
    /// The workbook cannot be read.
    #[error("the workbook cannot be read: {0}")]
    Read(#[from] calamine::XlsxError),
    /// The workbook cannot be read into a schedule.
    #[error(transparent)]
    Load(#[from] Box<restrand_kit::LoadError>),
    /// The XML cannot be read.
    #[error("the XML cannot be read: {0}")]
    Xml(#[from] quick_xml::Error),
    /// The ending is that of no model.
    #[error("{} is no model by its ending, which is .ifc or .ifcxml", .0.display())]
    NoModel(PathBuf),
    /// The rulebook is not one.
    #[error("the rulebook cannot be read: {0}")]
    Book(String),
    /// The Python environment did not do what it was asked to.
    #[error("ifcopenshell did not open it; tests/run sets it up:\n{0}")]
    Outside(String),
    /// The system refuses.
    #[error(transparent)]
    Disk(#[from] std::io::Error),
    /// The layout no longer has a column that the flat file is made of.
    #[error("the sheet of tendons has no column {0}")]
    NoColumn(&'static str),
}

/// Tendons of the small file.
pub const SMALL: usize = 60;
/// Tendons of the file with all children.
pub const CHILDREN: usize = 2000;

/// Writes a workbook of so many tendons with all that hangs on them.
///
/// # Errors
/// The file cannot be written.
pub fn with_children(count: usize, path: &Path) -> Result<(), BenchError> {
    fs::write(path, written(&Workbook, &tendons(count))?)?;
    Ok(())
}
