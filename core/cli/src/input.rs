//! Inputs as parts: files, and what comes in at standard input.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

use restrand_kit::{Bytes, LoadError, Part};
use restrand_model::reading::Place;
use restrand_report::Sources;

/// The most that is read from standard input, which has to be kept in memory.
const MOST_FROM_STDIN: u64 = 1 << 30;

/// A file that is read where a plugin asks, without being kept in memory.
///
/// It is not mapped: a file that is cut short while it is read would end the program.
struct FilePart {
    name: String,
    length: u64,
    #[cfg(unix)]
    file: File,
    #[cfg(not(unix))]
    file: std::sync::Mutex<File>,
}

impl Part for FilePart {
    fn name(&self) -> &str {
        &self.name
    }

    fn len(&self) -> u64 {
        self.length
    }

    #[cfg(unix)]
    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        use std::os::unix::fs::FileExt;
        loop {
            match self.file.read_at(buffer, offset) {
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                result => return result,
            }
        }
    }

    #[cfg(not(unix))]
    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        use std::io::{Seek, SeekFrom};
        let mut file = self.file.lock().map_err(|_| io::Error::other("another reader failed"))?;
        file.seek(SeekFrom::Start(offset))?;
        file.read(buffer)
    }
}

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

/// Opens an input.
pub(crate) fn open(path: &Path) -> Result<Box<dyn Part>, LoadError> {
    let name = shown(path);
    let unreadable = |why: String, help: &str| LoadError::Unreadable {
        place: Place::Part { part: name.clone() },
        why,
        help: help.to_owned(),
    };
    let part: Box<dyn Part> =
        if is_stdin(path) {
            let mut bytes = Vec::new();
            io::stdin().lock().take(MOST_FROM_STDIN + 1).read_to_end(&mut bytes).map_err(
                |error| unreadable(said(&error), "check what is sent to standard input"),
            )?;
            if bytes.len() as u64 > MOST_FROM_STDIN {
                return Err(unreadable(
                    "more than 1 GB came in at standard input".to_owned(),
                    "save it as a file and name that",
                ));
            }
            Box::new(Bytes::new(name.clone(), bytes))
        } else {
            // Opening a pipe or a device can wait for ever, so its kind is looked at first.
            let kind = fs::metadata(path).map_err(|error| of_medium(&error, &unreadable))?;
            if kind.is_dir() {
                return Err(unreadable("it is a folder".to_owned(), "name the files in it"));
            }
            if !kind.is_file() {
                return Err(unreadable(
                    "it is a pipe or a device, not a file".to_owned(),
                    "name a file, or send the content to standard input and name -",
                ));
            }
            let file = File::open(path).map_err(|error| of_medium(&error, &unreadable))?;
            let length = file.metadata().map_err(|error| of_medium(&error, &unreadable))?.len();
            #[cfg(not(unix))]
            let file = std::sync::Mutex::new(file);
            Box::new(FilePart { name: name.clone(), length, file })
        };
    if part.is_empty() {
        return Err(unreadable(
            "there is nothing in it".to_owned(),
            "save the schedule once more, or ask for the file again",
        ));
    }
    Ok(part)
}

fn of_medium(error: &io::Error, unreadable: &dyn Fn(String, &str) -> LoadError) -> LoadError {
    match error.kind() {
        io::ErrorKind::NotFound => unreadable(
            "there is no such file".to_owned(),
            "check the name and the folder; a name with spaces has to stand in quotes",
        ),
        io::ErrorKind::PermissionDenied => unreadable(
            "you may not read it".to_owned(),
            "ask for the right to read it, or copy it to a folder of your own",
        ),
        _ => unreadable(said(error), "check that the file is there, whole, and may be read"),
    }
}

fn said(error: &io::Error) -> String {
    format!("the system says: {error}")
}

/// Reads stretches of an input again.
pub(crate) struct Again<'a>(pub(crate) &'a dyn Part);

impl Sources for Again<'_> {
    fn window(&self, part: &str, start: u64, length: usize) -> Option<Vec<u8>> {
        if part != self.0.name() {
            return None;
        }
        let rest = usize::try_from(self.0.len().saturating_sub(start)).unwrap_or(usize::MAX);
        let mut bytes = vec![0; length.min(rest)];
        let mut filled = 0;
        while filled < bytes.len() {
            match self.0.read_at(start + filled as u64, &mut bytes[filled..]) {
                Ok(0) => break,
                Ok(count) => filled += count,
                Err(_) => return None,
            }
        }
        bytes.truncate(filled);
        Some(bytes)
    }
}
