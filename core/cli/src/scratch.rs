//! A file that is being written and stands nowhere yet.
//!
//! Where the system can, it has no name until it is whole, so that a run that is killed leaves nothing. Elsewhere
//! it has a name of its own beside its place, and is taken away when the run ends.

use std::fs::File;
use std::io;
use std::path::Path;

use tempfile::NamedTempFile;

/// How names begin that are not to last.
pub(crate) const PREFIX: &str = ".restrand-";

/// A file on its way to a place in one folder, or in a folder inside of that.
pub(crate) enum Scratch {
    /// It has no name.
    #[cfg(target_os = "linux")]
    Unnamed(File),
    /// It has a name that is not to last.
    Named(NamedTempFile),
}

impl Scratch {
    /// A new file for this folder.
    pub(crate) fn in_folder(folder: &Path) -> io::Result<Self> {
        #[cfg(target_os = "linux")]
        if let Some(file) = unnamed::file(folder) {
            return Ok(Self::Unnamed(file));
        }
        named(folder).map(Self::Named)
    }

    /// The file.
    pub(crate) fn file(&mut self) -> &mut File {
        match self {
            #[cfg(target_os = "linux")]
            Self::Unnamed(file) => file,
            Self::Named(file) => file.as_file_mut(),
        }
    }

    /// Puts the file in its place, instead of what stands there.
    pub(crate) fn put(mut self, path: &Path) -> io::Result<()> {
        // What has a name is to be whole even where the system ends right after.
        self.file().sync_all()?;
        match self {
            #[cfg(target_os = "linux")]
            Self::Unnamed(file) => unnamed::put(&file, path),
            Self::Named(file) => file.persist(path).map(drop).map_err(|error| error.error),
        }
    }
}

impl io::Write for Scratch {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file().write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file().flush()
    }
}

fn named(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: what the user's mask takes away, the system takes away.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder).map_err(of_system)
}

/// What the system says, without the name of the file aside, which is no name of the user's.
pub(crate) fn of_system(error: io::Error) -> io::Error {
    let said = error.to_string();
    match said.split_once(" at path \"") {
        Some((said, _)) => io::Error::new(error.kind(), said.to_owned()),
        None => error,
    }
}

#[cfg(target_os = "linux")]
mod unnamed {
    use std::fs::File;
    use std::io;
    use std::os::fd::AsRawFd as _;
    use std::path::Path;

    use rustix::fs::{AtFlags, CWD, Mode, OFlags, linkat, open};

    /// A file without a name, where the file system has such and the process can name it later.
    pub(super) fn file(folder: &Path) -> Option<File> {
        let mode = Mode::from_raw_mode(0o666);
        let file = open(folder, OFlags::TMPFILE | OFlags::RDWR | OFlags::CLOEXEC, mode).ok()?;
        let file = File::from(file);
        Path::new(&way(&file)).exists().then_some(file)
    }

    /// Gives the file its name.
    pub(super) fn put(file: &File, path: &Path) -> io::Result<()> {
        match link(file, path) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            result => return result,
        }
        // A name that is taken is not given by linking. The whole file gets one beside it, which then replaces it.
        let aside = tempfile::Builder::new()
            .prefix(super::PREFIX)
            .make_in(crate::output::parent(path), |aside| link(file, aside))
            .map_err(super::of_system)?;
        aside.persist(path).map_err(|error| error.error)
    }

    fn link(file: &File, path: &Path) -> io::Result<()> {
        Ok(linkat(CWD, way(file), CWD, path, AtFlags::SYMLINK_FOLLOW)?)
    }

    /// The way to an open file, whatever its name.
    fn way(file: &File) -> String {
        format!("/proc/self/fd/{}", file.as_raw_fd())
    }
}
