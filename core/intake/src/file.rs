//! A file as a part.

use std::fs::File;
use std::io;
use std::path::Path;

use restrand_kit::Part;

/// A file that is read where a plugin asks, without being kept in memory.
///
/// It is not mapped: a file that is cut short while it is read would end the program.
#[derive(Debug)]
pub struct FilePart {
    name: String,
    length: u64,
    #[cfg(unix)]
    file: File,
    #[cfg(not(unix))]
    file: std::sync::Mutex<File>,
}

impl FilePart {
    /// The file at a path, as a part of this name.
    ///
    /// # Errors
    /// It cannot be opened.
    pub fn open(path: &Path, name: String) -> io::Result<Self> {
        let file = File::open(path)?;
        let length = file.metadata()?.len();
        #[cfg(not(unix))]
        let file = std::sync::Mutex::new(file);
        Ok(Self { name, length, file })
    }
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
        use std::io::{Read, Seek, SeekFrom};
        let mut file = self.file.lock().map_err(|_| io::Error::other("another reader failed"))?;
        file.seek(SeekFrom::Start(offset))?;
        file.read(buffer)
    }
}
