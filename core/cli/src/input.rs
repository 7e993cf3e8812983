//! Inputs as parts: files, the files of a folder, and what comes in at standard input.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use restrand_intake::FilePart;
use restrand_kit::{Bytes, LoadError, Part};
use restrand_model::reading::Place;
use restrand_report::Sources;

use crate::mapping;

/// The most that is read from standard input, which has to be kept in memory.
const MOST_FROM_STDIN: u64 = 1 << 30;

/// The name by which an input is shown.
pub(crate) fn shown(path: &Path) -> String {
    if is_stdin(path) { "stdin".to_owned() } else { path.to_string_lossy().into_owned() }
}

/// The name by which an output is shown.
pub(crate) fn shown_output(path: &Path) -> String {
    if is_stdin(path) { "stdout".to_owned() } else { path.to_string_lossy().into_owned() }
}

/// Whether the path means standard input, or output.
pub(crate) fn is_stdin(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// The endings of files that make a folder a schedule.
const TABLES: [&str; 2] = ["csv", "tsv"];
/// Files of a folder that are opened; the layout has some forty sheets.
const MOST_FILES: usize = 256;

/// Opens an input: a file, what comes in at standard input, or the files of a folder.
pub(crate) fn open(path: &Path) -> Result<Vec<Box<dyn Part>>, LoadError> {
    let name = shown(path);
    let part: Box<dyn Part> = if is_stdin(path) {
        let mut bytes = Vec::new();
        io::stdin().lock().take(MOST_FROM_STDIN + 1).read_to_end(&mut bytes).map_err(|error| {
            unreadable(&name, said(&error), "check what is sent to standard input")
        })?;
        if bytes.len() as u64 > MOST_FROM_STDIN {
            return Err(unreadable(
                &name,
                "more than 1 GB came in at standard input",
                "save it as a file and name that",
            ));
        }
        Box::new(Bytes::new(name.clone(), bytes))
    } else {
        // Opening a pipe or a device can wait for ever, so its kind is looked at first.
        let kind = fs::metadata(path).map_err(|error| of_medium(&name, &error))?;
        if kind.is_dir() {
            return open_folder(path);
        }
        if !kind.is_file() {
            return Err(unreadable(
                &name,
                "it is a pipe or a device, not a file",
                "name a file, or send the content to standard input and name -",
            ));
        }
        open_file(path)?
    };
    if part.is_empty() {
        return Err(unreadable(
            &name,
            "there is nothing in it",
            "save the schedule once more, or ask for the file again",
        ));
    }
    Ok(vec![part])
}

fn open_file(path: &Path) -> Result<Box<dyn Part>, LoadError> {
    let name = shown(path);
    match FilePart::open(path, name.clone()) {
        Ok(part) => Ok(Box::new(part)),
        Err(error) => Err(of_medium(&name, &error)),
    }
}

/// Opens the files of a folder in the order of their names, if a table is among them.
///
/// Hidden files are none of the user's making, and a mapping file is no table. A folder inside is a part without content, its name ending
/// with `/`, so that whoever reads the parts can tell that it was passed over.
fn open_folder(path: &Path) -> Result<Vec<Box<dyn Part>>, LoadError> {
    let name = shown(path);
    let mut found = Vec::new();
    for entry in fs::read_dir(path).map_err(|error| of_medium(&name, &error))? {
        let entry = entry.map_err(|error| of_medium(&name, &error))?;
        let name = entry.file_name();
        if !name.to_string_lossy().starts_with('.') && name != mapping::BESIDE {
            found.push(entry.path());
        }
    }
    found.sort();
    let is_table = |path: &PathBuf| {
        path.extension().is_some_and(|ending| {
            TABLES.iter().any(|table| ending.eq_ignore_ascii_case(table)) && path.is_file()
        })
    };
    if !found.iter().any(is_table) {
        return Err(unreadable(
            &name,
            "it is a folder without a CSV file",
            "name the files in it, or save each sheet of the schedule there as CSV",
        ));
    }
    if found.len() > MOST_FILES {
        return Err(unreadable(
            &name,
            format!("it is a folder with more than {MOST_FILES} files"),
            "put the files of the schedule into a folder of their own",
        ));
    }
    found
        .into_iter()
        .map(|path| {
            if path.is_file() {
                return open_file(&path);
            }
            let mark = if path.is_dir() { "/" } else { "" };
            let part: Box<dyn Part> =
                Box::new(Bytes::new(format!("{}{mark}", shown(&path)), Vec::new()));
            Ok(part)
        })
        .collect()
}

fn unreadable(name: &str, why: impl Into<String>, help: &str) -> LoadError {
    LoadError::Unreadable {
        place: Place::Part { part: name.to_owned() },
        why: why.into(),
        help: help.to_owned(),
    }
}

fn of_medium(name: &str, error: &io::Error) -> LoadError {
    let unreadable = |why: &str, help| unreadable(name, why, help);
    match error.kind() {
        io::ErrorKind::NotFound => unreadable(
            "there is no such file",
            "check the name and the folder; a name with spaces has to stand in quotes",
        ),
        io::ErrorKind::PermissionDenied => unreadable(
            "you may not read it",
            "ask for the right to read it, or copy it to a folder of your own",
        ),
        _ => unreadable(&said(error), "check that the file is there, whole, and may be read"),
    }
}

fn said(error: &io::Error) -> String {
    format!("the system says: {error}")
}

/// Reads stretches of an input's parts again.
pub(crate) struct Again<'a>(pub(crate) &'a [Box<dyn Part>]);

impl Sources for Again<'_> {
    fn window(&self, part: &str, start: u64, length: usize) -> Option<Vec<u8>> {
        let part = self.0.iter().find(|other| other.name() == part)?;
        let rest = usize::try_from(part.len().saturating_sub(start)).unwrap_or(usize::MAX);
        let mut bytes = vec![0; length.min(rest)];
        let mut filled = 0;
        while filled < bytes.len() {
            match part.read_at(start + filled as u64, &mut bytes[filled..]) {
                Ok(0) => break,
                Ok(count) => filled += count,
                Err(_) => return None,
            }
        }
        bytes.truncate(filled);
        Some(bytes)
    }
}
