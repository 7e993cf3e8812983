//! Where plugins write their parts: one file, a folder, or standard output; whole or not at all.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::fs;
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};

use restrand_kit::{Bytes, Output};

use crate::fault::Fault;
use crate::gathered;
use crate::output::{Aside, parent, to_stdout};
use crate::scratch::Scratch;

/// What a plugin writes before any of it is put in its place.
pub(crate) enum Target {
    /// One file.
    File(FileOutput),
    /// A folder with a file for each part.
    Folder(FolderOutput),
    /// Standard output.
    Stdout(OnePart),
}

impl Target {
    /// The target of this name: `-` is standard output; what is there stays what it is, a file, a device or a folder;
    /// a new name without an ending is a folder.
    pub(crate) fn of(path: &Path) -> Result<Self, Fault> {
        if path.as_os_str() == "-" {
            return Ok(Self::Stdout(OnePart::default()));
        }
        let named_as_folder = path.to_string_lossy().ends_with(std::path::is_separator);
        let is_new = !path.exists();
        if path.is_dir() || named_as_folder || (is_new && path.extension().is_none()) {
            return FolderOutput::new(path).map(Self::Folder);
        }
        Ok(Self::File(FileOutput { path: path.to_owned(), part: None }))
    }

    pub(crate) fn output(&mut self) -> &mut dyn Output {
        match self {
            Self::File(file) => file,
            Self::Folder(folder) => folder,
            Self::Stdout(part) => part,
        }
    }

    /// Puts in its place what was written.
    pub(crate) fn put(self) -> Result<(), Fault> {
        match self {
            Self::File(file) => match file.part {
                Some((_, aside)) => aside.put(),
                None => Ok(()),
            },
            Self::Folder(folder) => folder.put(),
            Self::Stdout(part) => to_stdout(|out| out.write_all(&part.bytes)),
        }
    }
}

/// One part, into one file.
pub(crate) struct FileOutput {
    path: PathBuf,
    part: Option<(String, Aside)>,
}

impl Output for FileOutput {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn Write> {
        let (first, aside) = match &mut self.part {
            Some(part) => part,
            none => none.insert((name.to_owned(), Aside::of(&self.path)?)),
        };
        if first == name { Ok(aside) } else { Err(several()) }
    }
}

/// One part, kept until it is whole.
#[derive(Default)]
pub(crate) struct OnePart {
    name: Option<String>,
    bytes: Vec<u8>,
}

impl Output for OnePart {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn Write> {
        if self.name.get_or_insert_with(|| name.to_owned()) == name {
            Ok(&mut self.bytes)
        } else {
            Err(several())
        }
    }
}

/// Parts in memory, to be looked at before they are written.
#[derive(Default)]
pub(crate) struct Draft(BTreeMap<String, Vec<u8>>);

impl Draft {
    /// The parts as they can be read.
    pub(crate) fn parts(self) -> Vec<Bytes> {
        self.0.into_iter().map(|(name, bytes)| Bytes::new(name, bytes)).collect()
    }
}

impl Output for Draft {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn Write> {
        Ok(self.0.entry(name.to_owned()).or_default())
    }
}

fn several() -> io::Error {
    io::Error::new(
        io::ErrorKind::InvalidInput,
        "the format writes several files; name a folder to put them in, and the format with --to",
    )
}

/// A file for each part, in a folder that appears with all of them.
pub(crate) struct FolderOutput {
    path: PathBuf,
    parts: BTreeMap<String, Scratch>,
}

impl FolderOutput {
    fn new(path: &Path) -> Result<Self, Fault> {
        // What stands in a folder is somebody's: it is neither replaced nor mixed with what comes.
        let is_taken = fs::read_dir(path).is_ok_and(|mut entries| entries.next().is_some());
        if is_taken {
            return Err(Fault::Usage(format!(
                "the folder {} is not empty; name a new one",
                path.display()
            )));
        }
        Ok(Self { path: path.to_owned(), parts: BTreeMap::new() })
    }

    fn put(self) -> Result<(), Fault> {
        let Self { path, parts } = self;
        put_folder(&path, parts).map_err(|error| Fault::Output { file: Some(path), error })
    }
}

/// Gathers the parts in a folder beside the place, and puts that there.
fn put_folder(path: &Path, parts: BTreeMap<String, Scratch>) -> io::Result<()> {
    let aside = gathered::aside(&parent(path))?;
    for (name, part) in parts {
        part.put(&aside.path().join(name))?;
    }
    match fs::remove_dir(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    fs::rename(aside.path(), path)
}

impl Output for FolderOutput {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn Write> {
        let mut components = Path::new(name).components();
        let is_plain = matches!(components.next(), Some(Component::Normal(_)));
        if !is_plain || components.next().is_some() {
            return Err(io::Error::new(
                io::ErrorKind::InvalidInput,
                format!("\"{name}\" is no name of a file"),
            ));
        }
        // A part may be taken up again.
        Ok(match self.parts.entry(name.to_owned()) {
            Entry::Occupied(part) => part.into_mut(),
            Entry::Vacant(place) => place.insert(Scratch::in_folder(&parent(&self.path))?),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn write(target: &mut Target, name: &str, text: &str) -> io::Result<()> {
        target.output().part(name)?.write_all(text.as_bytes())
    }

    #[test]
    fn a_folder_appears_with_all_its_parts() {
        let scratch = tempfile::tempdir().unwrap();
        let path = scratch.path().join("out");
        let mut target = Target::of(&path).unwrap();
        write(&mut target, "a.csv", "1").unwrap();
        write(&mut target, "b.csv", "2").unwrap();
        write(&mut target, "a.csv", "3").unwrap();
        for name in ["../c", "/c", "c/d", "", ".."] {
            assert!(write(&mut target, name, "4").is_err(), "{name}");
        }
        assert!(!path.exists());
        target.put().unwrap();
        assert_eq!(fs::read_to_string(path.join("a.csv")).unwrap(), "13");
        assert_eq!(fs::read_to_string(path.join("b.csv")).unwrap(), "2");
        assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 1);
        assert!(matches!(Target::of(&path), Err(Fault::Usage(_))), "it is not empty any more");
    }

    #[test]
    fn what_is_not_put_in_place_leaves_nothing() {
        let scratch = tempfile::tempdir().unwrap();
        for name in ["out", "out.json"] {
            let mut target = Target::of(&scratch.path().join(name)).unwrap();
            write(&mut target, "a", "1").unwrap();
            drop(target);
        }
        assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 0);
    }

    #[test]
    fn one_file_takes_one_part() {
        let scratch = tempfile::tempdir().unwrap();
        let mut target = Target::of(&scratch.path().join("out.json")).unwrap();
        write(&mut target, "a", "1").unwrap();
        assert!(write(&mut target, "b", "2").is_err());
    }
}
