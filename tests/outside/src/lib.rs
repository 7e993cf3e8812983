//! Runs Python scripts with the libraries of `requirements.txt`, and reads what they write.

use std::path::{Path, PathBuf};
use std::process::Command;

use restrand_intake::Reading;
use restrand_kit::{Budget, Bytes, Part, Parts};

/// The root of the project.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Runs a script of `writers/` with arguments.
///
/// # Panics
/// The Python environment is not set up, or the script fails.
pub fn run(script: &str, arguments: &[&Path]) {
    let python = std::env::var_os("RESTRAND_PYTHON")
        .map_or_else(|| root().join("target/outside/bin/python"), PathBuf::from);
    let output = Command::new(&python)
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("writers").join(script))
        .args(arguments)
        .output()
        .unwrap_or_else(|error| {
            panic!("{} does not run ({error}): tests/run sets it up", python.display())
        });
    assert!(
        output.status.success(),
        "{script} failed:\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
}

/// Reads a workbook.
///
/// # Panics
/// The file is not there, or is no workbook.
#[must_use]
pub fn read(path: &Path) -> Reading {
    let bytes = std::fs::read(path)
        .unwrap_or_else(|error| panic!("{} cannot be read: {error}", path.display()));
    let part = Bytes::new("schedule.xlsx", bytes);
    restrand_intake::read(&restrand_workbook::Workbook, Parts(&[&part]), Budget::default())
        .unwrap_or_else(|error| panic!("{} is no workbook: {error}", path.display()))
}

/// Reads the CSV files of a folder.
///
/// # Panics
/// The folder is not there, or holds none.
#[must_use]
pub fn read_folder(path: &Path) -> Reading {
    let entries = std::fs::read_dir(path)
        .unwrap_or_else(|error| panic!("{} cannot be read: {error}", path.display()));
    let mut files: Vec<_> = entries.flatten().map(|entry| entry.path()).collect();
    files.sort();
    let parts: Vec<_> = files
        .iter()
        .map(|file| {
            let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let bytes = std::fs::read(file)
                .unwrap_or_else(|error| panic!("{} cannot be read: {error}", file.display()));
            Bytes::new(name, bytes)
        })
        .collect();
    let parts: Vec<&dyn Part> = parts.iter().map(|part| part as &dyn Part).collect();
    restrand_intake::read(&restrand_csv::Csv, Parts(&parts), Budget::default())
        .unwrap_or_else(|error| panic!("{} is no schedule: {error}", path.display()))
}
