//! A file as a part.

use std::fs::File;
use std::io::{self, Read as _};
use std::path::Path;

use restrand_kit::Part;

/// A file: a small one is read at once, of another one what a plugin asks for is read when it asks.
///
/// It is not mapped: a file that is cut short while it is read would end the program.
#[derive(Debug)]
pub struct FilePart {
    name: String,
    length: u64,
    content: Content,
}

#[derive(Debug)]
enum Content {
    Whole(Vec<u8>),
    #[cfg(unix)]
    File(File),
    #[cfg(not(unix))]
    File(std::sync::Mutex<File>),
}

/// Bytes up to which a file is read at once: those who look at its beginning, its list of contents and its contents
/// would each read a piece of it into memory of their own.
const SMALL: u64 = 1_000_000;

impl FilePart {
    /// The file at a path, as a part of this name.
    ///
    /// # Errors
    /// It cannot be opened, or a small one cannot be read.
    pub fn open(path: &Path, name: String) -> io::Result<Self> {
        let mut file = File::open(path)?;
        let metadata = file.metadata()?;
        if metadata.is_file() && metadata.len() <= SMALL {
            let mut whole = Vec::with_capacity(usize::try_from(metadata.len()).unwrap_or_default());
            file.by_ref().take(SMALL + 1).read_to_end(&mut whole)?;
            let length = whole.len() as u64;
            // One that has grown meanwhile is small no longer.
            if length <= SMALL {
                return Ok(Self { name, length, content: Content::Whole(whole) });
            }
        }
        let metadata = file.metadata()?;
        #[cfg(not(unix))]
        let file = std::sync::Mutex::new(file);
        Ok(Self { name, length: metadata.len(), content: Content::File(file) })
    }
}

impl Part for FilePart {
    fn name(&self) -> &str {
        &self.name
    }

    fn len(&self) -> u64 {
        self.length
    }

    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        match &self.content {
            Content::Whole(bytes) => {
                let rest = usize::try_from(offset).ok().and_then(|from| bytes.get(from..));
                rest.unwrap_or_default().read(buffer)
            }
            Content::File(file) => read_at(file, offset, buffer),
        }
    }

    fn slice(&self) -> Option<&[u8]> {
        match &self.content {
            Content::Whole(bytes) => Some(bytes),
            Content::File(_) => None,
        }
    }
}

#[cfg(unix)]
fn read_at(file: &File, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
    use std::os::unix::fs::FileExt;
    loop {
        match file.read_at(buffer, offset) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            result => return result,
        }
    }
}

#[cfg(not(unix))]
fn read_at(file: &std::sync::Mutex<File>, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
    use std::io::{Seek, SeekFrom};
    let mut file = file.lock().map_err(|_| io::Error::other("another reader failed"))?;
    file.seek(SeekFrom::Start(offset))?;
    file.read(buffer)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_file_and_a_large_one_read_the_same() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("tendons.csv");
        for length in [0, 1, SMALL - 1, SMALL, SMALL + 1] {
            let bytes: Vec<u8> = (0..length).map(|at| (at % 251) as u8).collect();
            std::fs::write(&path, &bytes)?;
            let part = FilePart::open(&path, "tendons.csv".to_owned())?;
            assert_eq!((part.len(), part.is_empty()), (length, length == 0));
            let at_once = (length <= SMALL).then_some(bytes.as_slice());
            assert_eq!(part.slice(), at_once, "{length}");
            for offset in [0, length / 2, length.saturating_sub(3), length, length + 1, u64::MAX] {
                let mut buffer = [0; 7];
                let Ok(count) = part.read_at(offset, &mut buffer) else {
                    // No system reads beyond what it can count.
                    assert!(offset == u64::MAX && at_once.is_none());
                    continue;
                };
                let from = usize::try_from(offset.min(length)).expect("it fits");
                let expected = &bytes[from..];
                assert_eq!(
                    buffer[..count],
                    expected[..expected.len().min(7)],
                    "{length}, {offset}"
                );
            }
        }
        Ok(())
    }
}
