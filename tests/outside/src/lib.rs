//! Runs Python scripts with the libraries of `requirements.txt`, LibreOffice and Chromium, and reads what they write.

mod pages;

use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use restrand_intake::Reading;
use restrand_kit::recognise::Mapping;
use restrand_kit::{Budget, Bytes, Content, Loss, Output, Part, Parts, Plugin, WriteOptions};
use restrand_model::quantity::System;

pub use pages::pages;

/// The scripts that write schedules as people make them, each with what must be read of its files in a file of the same
/// name.
pub const SCHEDULES: [&str; 10] = [
    "foreign",
    "strangers",
    "parts",
    "offices",
    "habits",
    "desks",
    "bureaus",
    "contractors",
    "traps",
    "registers",
];

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
    if let Err(why) = verdict(script, arguments) {
        panic!("{script} failed:\n{why}");
    }
}

/// Runs a script of `writers/` that checks something.
///
/// # Errors
/// What it has to say against it.
///
/// # Panics
/// The Python environment is not set up.
pub fn verdict(script: &str, arguments: &[&Path]) -> Result<(), String> {
    let python = std::env::var_os("RESTRAND_PYTHON")
        .map_or_else(|| root().join("target/outside/bin/python"), PathBuf::from);
    let output = Command::new(&python)
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("writers").join(script))
        .args(arguments)
        .output()
        .unwrap_or_else(|error| {
            panic!("{} does not run ({error}): tests/run sets it up", python.display())
        });
    match output.status.success() {
        true => Ok(()),
        false => Err(String::from_utf8_lossy(&output.stderr).into_owned()),
    }
}

/// Has LibreOffice write a file anew in another format, as `ods`, beside it; gives the path of what it wrote.
///
/// # Panics
/// LibreOffice is not installed, or does not open the file.
#[must_use]
pub fn office(file: &Path, format: &str) -> PathBuf {
    let folder = file.parent().unwrap_or(Path::new("."));
    let output = Command::new("soffice")
        .arg(format!("-env:UserInstallation=file://{}/office", folder.display()))
        .args(["--headless", "--norestore", "--convert-to", format, "--outdir"])
        .args([folder, file])
        .output()
        .unwrap_or_else(|error| panic!("soffice does not run ({error}): tests/run sets it up"));
    let written = file.with_extension(format);
    assert!(
        output.status.success() && written.exists(),
        "LibreOffice does not open {}:\n{}",
        file.display(),
        String::from_utf8_lossy(&output.stderr)
    );
    written
}

/// Reads a workbook.
///
/// # Panics
/// The file is not there, or is no workbook.
#[must_use]
pub fn read(path: &Path) -> Reading {
    read_as(&restrand_workbook::Workbook, path)
}

/// Reads a file of this format.
///
/// # Panics
/// The file is not there, or is not of the format.
#[must_use]
pub fn read_as(plugin: &dyn Plugin, path: &Path) -> Reading {
    read_mapped_as(plugin, path, &Mapping::default())
}

/// Reads a file with what a mapping file says of its sheets.
///
/// # Panics
/// It cannot be read.
pub fn read_mapped_as(plugin: &dyn Plugin, path: &Path, mapping: &Mapping) -> Reading {
    let bytes = std::fs::read(path)
        .unwrap_or_else(|error| panic!("{} cannot be read: {error}", path.display()));
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    let part = Bytes::new(format!("schedule.{ending}"), bytes);
    restrand_intake::read_mapped(plugin, Parts(&[&part]), Budget::default(), mapping)
        .unwrap_or_else(|error| panic!("{} is not read: {error}", path.display()))
}

/// One part in memory.
#[derive(Default)]
pub struct OnePart(pub Vec<u8>);

impl Output for OnePart {
    fn part(&mut self, _: &str) -> io::Result<&mut dyn io::Write> {
        Ok(&mut self.0)
    }
}

/// Writes what was read in another format, and gives what it could not carry.
///
/// # Panics
/// It cannot be written.
pub fn write_as(plugin: &dyn Plugin, reading: &Reading, system: System, path: &Path) -> Vec<Loss> {
    let content = Content::new(&reading.schedule, &reading.provenance);
    let options = WriteOptions { system, ending: None };
    let mut output = OnePart::default();
    let losses = plugin.write(&content, options, &mut output).expect("it can be written");
    std::fs::write(path, output.0).expect("the file can be written");
    losses
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
