//! The host's takers of lines and of written parts.

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_abi as abi;

use super::{BAD_CALL, Trouble};
use crate::frame::{Frame, Frames, Stopped};
use crate::plugin::Output;
use crate::wire::{Counts, write_frame};

/// Bytes that are gathered before they are handed over.
const BATCH: usize = 64 * 1024;

/// Gathers lines and hands them over by the batch.
pub(super) struct Lines {
    host: abi::RestrandLines,
    batch: Vec<u8>,
}

impl Lines {
    /// # Safety
    /// `host` is null or as [`restrand_abi`] says, for as long as this lives.
    pub(super) unsafe fn new(host: *const abi::RestrandLines) -> Option<Self> {
        // SAFETY: the caller's promise.
        let host = unsafe { host.as_ref() }?;
        host.take?;
        Some(Self { host: *host, batch: Vec::new() })
    }

    /// Where further lines are written.
    pub(super) const fn buffer(&mut self) -> &mut Vec<u8> {
        &mut self.batch
    }

    /// Hands over what was gathered, once it is much.
    pub(super) fn flush_if_full(&mut self) -> Result<(), Stopped> {
        if self.batch.len() < BATCH { Ok(()) } else { self.flush() }
    }

    /// Hands over what was gathered.
    pub(super) fn flush(&mut self) -> Result<(), Stopped> {
        if self.batch.is_empty() {
            return Ok(());
        }
        let lines = lent(&self.batch);
        let take = self.host.take.ok_or(Stopped)?;
        // SAFETY: the lines live until the call returns, and the context is the host's own.
        let status = unsafe { take(self.host.context, lines) };
        self.batch.clear();
        if status == abi::RESTRAND_OK { Ok(()) } else { Err(Stopped) }
    }
}

const fn lent(bytes: &[u8]) -> abi::RestrandBytes {
    abi::RestrandBytes { start: bytes.as_ptr(), length: bytes.len() }
}

/// Makes lines of frames.
pub(super) struct FrameLines<'a> {
    lines: &'a mut Lines,
    counts: Counts,
}

impl<'a> FrameLines<'a> {
    pub(super) fn new(lines: &'a mut Lines) -> Self {
        Self { lines, counts: Counts::default() }
    }

    pub(super) const fn counts(&self) -> Counts {
        self.counts
    }
}

impl Frames for FrameLines<'_> {
    fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
        write_frame(&frame, &mut self.counts, self.lines.buffer());
        self.lines.flush_if_full()
    }
}

/// Hands written bytes over to the host.
pub(super) struct Files {
    host: abi::RestrandOutput,
    files: BTreeMap<String, File>,
}

impl Files {
    /// # Safety
    /// `host` is null or as [`restrand_abi`] says, for as long as this lives.
    pub(super) unsafe fn new(host: *const abi::RestrandOutput) -> Result<Self, Trouble> {
        // SAFETY: the caller's promise.
        let host = unsafe { host.as_ref() }.filter(|host| host.write.is_some()).ok_or(BAD_CALL)?;
        Ok(Self { host: *host, files: BTreeMap::new() })
    }
}

impl Output for Files {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn Write> {
        if !self.files.contains_key(name) {
            let mut file = File { host: self.host, name: name.to_owned() };
            // A part into which nothing is written is there nevertheless.
            file.hand_over(&[])?;
            self.files.insert(name.to_owned(), file);
        }
        match self.files.get_mut(name) {
            Some(file) => Ok(file),
            None => unreachable!("it was put in above if it was not there"),
        }
    }
}

struct File {
    host: abi::RestrandOutput,
    name: String,
}

impl File {
    fn hand_over(&mut self, bytes: &[u8]) -> io::Result<()> {
        let refused = || io::Error::other("the host could not write the part");
        let write = self.host.write.ok_or_else(refused)?;
        // SAFETY: name and bytes live until the call returns, and the context is the host's own.
        let status = unsafe { write(self.host.context, lent(self.name.as_bytes()), lent(bytes)) };
        if status == abi::RESTRAND_OK { Ok(()) } else { Err(refused()) }
    }
}

impl Write for File {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let bytes = &bytes[..bytes.len().min(abi::RESTRAND_LONGEST_BATCH)];
        self.hand_over(bytes)?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
