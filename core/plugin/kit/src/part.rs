//! Named parts: the file, or the files, that a plugin reads.

use std::io::{self, Read, Seek, SeekFrom};

/// A named stretch of bytes that can be read from any position.
pub trait Part: Send + Sync {
    /// The name, as a file name.
    fn name(&self) -> &str;

    /// The length in bytes.
    fn len(&self) -> u64;

    /// Whether there is no byte.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Reads bytes from `offset` on; returns how many, zero only at the end.
    ///
    /// # Errors
    /// Whatever the medium reports.
    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize>;

    /// The bytes at once, if they are in memory already.
    fn slice(&self) -> Option<&[u8]> {
        None
    }
}

/// Whether a name that a plugin gives to what it has read is that of a file in an archive that is this part, as
/// `bridge.zip/Tendons.csv` is one of `bridge.zip`.
#[must_use]
pub fn is_within(name: &str, part: &str) -> bool {
    name.strip_prefix(part)
        .and_then(|rest| rest.strip_prefix('/'))
        .is_some_and(|path| !path.is_empty())
}

/// A part that is in memory.
#[derive(Debug, Clone)]
pub struct Bytes {
    name: String,
    bytes: Vec<u8>,
}

impl Bytes {
    /// A part of this name and these bytes.
    #[must_use]
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self { name: name.into(), bytes }
    }
}

impl Part for Bytes {
    fn name(&self) -> &str {
        &self.name
    }

    fn len(&self) -> u64 {
        self.bytes.len() as u64
    }

    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        let start = usize::try_from(offset).unwrap_or(usize::MAX).min(self.bytes.len());
        let count = buffer.len().min(self.bytes.len() - start);
        buffer[..count].copy_from_slice(&self.bytes[start..start + count]);
        Ok(count)
    }

    fn slice(&self) -> Option<&[u8]> {
        Some(&self.bytes)
    }
}

/// The parts of one input; the first is the one the user named.
#[derive(Clone, Copy)]
pub struct Parts<'a>(pub &'a [&'a dyn Part]);

impl<'a> Parts<'a> {
    /// The part that the user named.
    #[must_use]
    pub fn main(&self) -> Option<&'a dyn Part> {
        self.0.first().copied()
    }

    /// The one part, for formats that are a single file; nothing if there are several, or none.
    #[must_use]
    pub fn only(&self) -> Option<&'a dyn Part> {
        match self.0 {
            [part] => Some(*part),
            _ => None,
        }
    }
}

/// Reads a part as a file is read.
pub struct PartReader<'a> {
    part: &'a dyn Part,
    position: u64,
}

impl<'a> PartReader<'a> {
    /// A reader at the beginning of the part.
    #[must_use]
    pub fn new(part: &'a dyn Part) -> Self {
        Self { part, position: 0 }
    }
}

impl Read for PartReader<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.part.read_at(self.position, buffer)?;
        self.position += count as u64;
        Ok(count)
    }
}

impl Seek for PartReader<'_> {
    fn seek(&mut self, target: SeekFrom) -> io::Result<u64> {
        let position = match target {
            SeekFrom::Start(offset) => Some(offset),
            SeekFrom::End(offset) => self.part.len().checked_add_signed(offset),
            SeekFrom::Current(offset) => self.position.checked_add_signed(offset),
        };
        self.position = position.ok_or_else(before_the_beginning)?;
        Ok(self.position)
    }
}

pub(crate) fn before_the_beginning() -> io::Error {
    io::Error::new(io::ErrorKind::InvalidInput, "a position before the beginning of the part")
}
