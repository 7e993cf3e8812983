//! Files that are gathered aside and then appear in their folder.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::fault::Fault;
use crate::output::parent;
use crate::scratch::{PREFIX, of_system};

/// A folder aside of others in this one, as open as that. What is not put in its place goes with it.
pub(crate) fn aside(folder: &Path) -> io::Result<TempDir> {
    let aside = tempfile::Builder::new().prefix(PREFIX).tempdir_in(folder).map_err(of_system)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // A folder for a while is closed to others; what comes of it is as open as its parent.
        let mode = fs::metadata(folder)?.permissions().mode();
        fs::set_permissions(aside.path(), fs::Permissions::from_mode(mode & 0o777))?;
    }
    Ok(aside)
}

/// Files for a folder, which may be there already with files of its own, or is made with them.
///
/// They are many, so that none is held open.
#[derive(Debug)]
pub(crate) struct Gathered {
    folder: PathBuf,
    aside: TempDir,
    /// The folder above all that has to be made; none where the folder itself is there.
    made: Option<PathBuf>,
    names: Vec<String>,
}

impl Gathered {
    /// Begins to gather files for this folder.
    pub(crate) fn beside(folder: &Path) -> Result<Self, Fault> {
        let begin = || -> io::Result<Self> {
            let missing: Vec<&Path> = folder
                .ancestors()
                .take_while(|path| !path.as_os_str().is_empty() && !path.exists())
                .collect();
            let made = missing.last().map(|path| path.to_path_buf());
            let aside = aside(&made.as_deref().map_or_else(|| folder.to_owned(), parent))?;
            let gathered = Self { folder: folder.to_owned(), aside, made, names: Vec::new() };
            fs::create_dir_all(gathered.holds())?;
            Ok(gathered)
        };
        begin().map_err(|error| Fault::Output { file: Some(folder.to_owned()), error })
    }

    /// Adds a file of this name.
    pub(crate) fn add(&mut self, name: &str, bytes: &[u8]) -> Result<(), Fault> {
        let write = || -> io::Result<()> {
            let mut file = fs::File::create(self.holds().join(name))?;
            io::Write::write_all(&mut file, bytes)?;
            // What is put in its place is whole even where the system ends right after.
            file.sync_all()
        };
        write().map_err(|error| Fault::Output { file: Some(self.folder.join(name)), error })?;
        self.names.push(name.to_owned());
        Ok(())
    }

    /// Puts all in their place, each instead of what has its name.
    pub(crate) fn put(self) -> Result<(), Fault> {
        let fault = |path: &Path, error| Fault::Output { file: Some(path.to_owned()), error };
        if let Some(made) = &self.made {
            return fs::rename(self.aside.path(), made).map_err(|error| fault(made, error));
        }
        for name in &self.names {
            let path = self.folder.join(name);
            // A link keeps pointing at the file, which is what gets new content.
            let target = fs::canonicalize(&path).unwrap_or_else(|_| path.clone());
            fs::rename(self.holds().join(name), target).map_err(|error| fault(&path, error))?;
        }
        Ok(())
    }

    /// The folder aside that has the files.
    fn holds(&self) -> PathBuf {
        let below = self.made.as_deref().and_then(|made| self.folder.strip_prefix(made).ok());
        self.aside.path().join(below.unwrap_or(Path::new("")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(folder: &Path) -> Vec<PathBuf> {
        let mut found = Vec::new();
        let mut left = vec![folder.to_owned()];
        while let Some(next) = left.pop() {
            for entry in fs::read_dir(next).unwrap() {
                let path = entry.unwrap().path();
                found.push(path.strip_prefix(folder).unwrap().to_owned());
                if path.is_dir() {
                    left.push(path);
                }
            }
        }
        found.sort();
        found
    }

    #[test]
    fn a_folder_that_is_not_there_appears_with_all_its_files() {
        let scratch = tempfile::tempdir().unwrap();
        let folder = scratch.path().join("one").join("two");
        let mut gathered = Gathered::beside(&folder).unwrap();
        gathered.add("a.svg", b"1").unwrap();
        gathered.add("b.svg", b"2").unwrap();
        assert!(!scratch.path().join("one").exists());
        gathered.put().unwrap();
        let names = ["one", "one/two", "one/two/a.svg", "one/two/b.svg"];
        assert_eq!(all(scratch.path()), names.map(PathBuf::from));
    }

    #[test]
    fn a_folder_that_is_there_keeps_its_other_files() {
        let scratch = tempfile::tempdir().unwrap();
        for (name, text) in [("a.svg", "old"), ("mine.txt", "mine")] {
            fs::write(scratch.path().join(name), text).unwrap();
        }
        let mut gathered = Gathered::beside(scratch.path()).unwrap();
        gathered.add("a.svg", b"new").unwrap();
        assert_eq!(fs::read_to_string(scratch.path().join("a.svg")).unwrap(), "old");
        gathered.put().unwrap();
        assert_eq!(fs::read_to_string(scratch.path().join("a.svg")).unwrap(), "new");
        assert_eq!(all(scratch.path()), ["a.svg", "mine.txt"].map(PathBuf::from));
    }

    #[test]
    fn what_is_not_put_in_its_place_leaves_nothing() {
        let scratch = tempfile::tempdir().unwrap();
        for folder in [scratch.path().to_owned(), scratch.path().join("one").join("two")] {
            let mut gathered = Gathered::beside(&folder).unwrap();
            gathered.add("a.svg", b"1").unwrap();
            drop(gathered);
            assert!(all(scratch.path()).is_empty());
        }
    }
}
