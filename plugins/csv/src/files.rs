//! The files of an input: its parts, or what a zip archive holds.

use std::io::{self, Read};

use restrand_kit::archive::{self, Entry, TAKE_OUT, is_archive, is_of_the_medium, source};
use restrand_kit::{Budget, LoadError, Part, PartReader, Parts};
use restrand_model::reading::Place;
use zip::ZipArchive;
use zip::result::ZipError;

/// The endings of texts that may hold a sheet.
pub(crate) const TEXTS: &[&str] = &["csv", "tsv", "txt"];
/// The endings of texts that are tables.
pub(crate) const TABLES: &[&str] = &["csv", "tsv"];
/// The ending of archives.
pub(crate) const ARCHIVE: &str = "zip";
/// Files of an archive that are read; the layout has some forty sheets.
const MOST_FILES: usize = 256;

/// A file that can be read from its beginning, as often as it takes.
pub(crate) struct File<'a> {
    /// The name by which findings call it.
    pub(crate) name: String,
    part: &'a dyn Part,
    /// Its position in the archive that the part is.
    entry: Option<usize>,
}

/// The files to be read, and the names of those that hold no text.
pub(crate) struct Files<'a> {
    pub(crate) texts: Vec<File<'a>>,
    pub(crate) others: Vec<String>,
}

/// Whether a file's name ends as those of texts do.
pub(crate) fn is_text(name: &str) -> bool {
    has_ending(name, TEXTS)
}

pub(crate) fn has_ending(name: &str, endings: &[&str]) -> bool {
    name.rsplit_once('.')
        .is_some_and(|(_, ending)| endings.iter().any(|one| one.eq_ignore_ascii_case(ending)))
}

/// The beginning of a part.
pub(crate) fn head(part: &dyn Part, length: usize) -> io::Result<Vec<u8>> {
    let mut head = Vec::new();
    PartReader::new(part).take(length as u64).read_to_end(&mut head)?;
    Ok(head)
}

/// Whether the archive that a part is holds texts, and is no file of another format.
pub(crate) fn holds_texts(part: &dyn Part) -> bool {
    let Ok(archive) = ZipArchive::new(source(part)) else { return false };
    let Ok(entries) = archive::entries(&archive) else { return false };
    // Archives of other formats say so in a file of a fixed name, and may hold texts beside.
    let is_other = |entry: &Entry| {
        entry.name == "mimetype" || entry.name.eq_ignore_ascii_case("[Content_Types].xml")
    };
    !entries.iter().any(is_other)
        && entries.iter().any(|entry| !is_aside(&entry.name) && is_text(&entry.name))
}

/// Whether a file of an archive is one that programs put there for themselves, or a folder.
fn is_aside(name: &str) -> bool {
    name.ends_with('/') || name.split('/').any(|step| step.starts_with('.') || step == "__MACOSX")
}

impl<'a> Files<'a> {
    /// The files of the parts.
    ///
    /// # Errors
    /// There is none, or the archive cannot be read or would take too much unpacked.
    pub(crate) fn of(parts: Parts<'a>, budget: Budget) -> Result<Self, LoadError> {
        if let Some(part) = parts.only() {
            if is_archive(&head(part, 4)?) {
                return Self::of_archive(part, budget);
            }
            let name = part.name().to_owned();
            return Ok(Self { texts: vec![File { name, part, entry: None }], others: Vec::new() });
        }
        let mut files = Self { texts: Vec::new(), others: Vec::new() };
        for part in parts.0 {
            let name = part.name().to_owned();
            if is_text(&name) {
                files.texts.push(File { name, part: *part, entry: None });
            } else {
                files.others.push(name);
            }
        }
        if files.texts.is_empty() {
            let name = parts.main().map_or("", |part| part.name());
            return Err(unreadable(name, "no CSV file is among the files", "name a CSV file"));
        }
        Ok(files)
    }

    fn of_archive(part: &'a dyn Part, budget: Budget) -> Result<Self, LoadError> {
        let archive = open(part)?;
        let entries = archive::entries(&archive).map_err(|error| damaged(part.name(), &error))?;
        let mut files = Self { texts: Vec::new(), others: Vec::new() };
        let mut read = Vec::new();
        for entry in entries {
            // Findings call it by a path that leads to it.
            let name = format!("{}/{}", part.name(), entry.name);
            if is_aside(&entry.name) {
                continue;
            }
            if !is_text(&entry.name) {
                files.others.push(name);
                continue;
            }
            if entry.encrypted {
                return Err(unreadable(
                    &name,
                    "it is locked with a password",
                    "unpack the archive and name the folder",
                ));
            }
            if !entry.readable {
                return Err(unreadable(
                    &name,
                    "it is packed in a way that is not read",
                    "unpack the archive and name the folder",
                ));
            }
            files.texts.push(File { name, part, entry: Some(entry.index) });
            read.push(entry);
        }
        if files.texts.is_empty() {
            return Err(unreadable(
                part.name(),
                "it is a zip archive without a CSV file in it",
                "unpack it and name the schedule inside, if there is one",
            ));
        }
        if files.texts.len() > MOST_FILES {
            return Err(unreadable(
                part.name(),
                format!("it is a zip archive with more than {MOST_FILES} CSV files"),
                "pack the files of the schedule into an archive of their own",
            ));
        }
        match archive::unbearable(&read, budget) {
            Some(why) => Err(unreadable(part.name(), why, TAKE_OUT)),
            None => Ok(files),
        }
    }
}

impl File<'_> {
    /// Reads the file from its beginning.
    ///
    /// # Errors
    /// The medium fails, the archive is damaged, or the reading itself fails.
    pub(crate) fn read<T>(
        &self,
        read: impl FnOnce(&mut dyn Read) -> Result<T, LoadError>,
    ) -> Result<T, LoadError> {
        let result = match self.entry {
            None => read(&mut PartReader::new(self.part)),
            Some(index) => {
                let mut archive = open(self.part)?;
                let mut entry =
                    archive.by_index(index).map_err(|error| damaged(&self.name, &error))?;
                read(&mut entry)
            }
        };
        match result {
            Err(LoadError::Medium(error)) if !is_of_the_medium(&error) => {
                Err(damaged(&self.name, &error))
            }
            result => result,
        }
    }

    /// The file as a whole cannot be read.
    pub(crate) fn refuse(&self, why: impl Into<String>, help: impl Into<String>) -> LoadError {
        unreadable(&self.name, why, help)
    }
}

fn open(part: &dyn Part) -> Result<ZipArchive<archive::Source<'_>>, LoadError> {
    ZipArchive::new(source(part)).map_err(|error| match error {
        ZipError::Io(error) if is_of_the_medium(&error) => error.into(),
        error => damaged(part.name(), &error),
    })
}

fn damaged(name: &str, why: &dyn std::fmt::Display) -> LoadError {
    unreadable(
        name,
        format!("it is cut short or damaged: {why}"),
        "copy or download the file once more",
    )
}

fn unreadable(name: &str, why: impl Into<String>, help: impl Into<String>) -> LoadError {
    LoadError::Unreadable {
        place: Place::Part { part: name.to_owned() },
        why: why.into(),
        help: help.into(),
    }
}
