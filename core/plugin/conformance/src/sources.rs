//! Parts that are as awkward as parts can be.

use std::io;
use std::sync::atomic::{AtomicU64, Ordering};

use restrand_kit::{Bytes, Part};

/// A part that is not in memory, and gives few bytes at once.
pub(crate) struct Pieces<'a>(pub(crate) &'a Bytes);

impl Part for Pieces<'_> {
    fn name(&self) -> &str {
        self.0.name()
    }

    fn len(&self) -> u64 {
        self.0.len()
    }

    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        /// No power of two, and shorter than any header.
        const PIECE: usize = 997;
        let room = buffer.len().min(PIECE);
        self.0.read_at(offset, &mut buffer[..room])
    }
}

/// A very long part of nothing, which counts what is read of it.
pub(crate) struct Long {
    pub(crate) name: String,
    pub(crate) read: AtomicU64,
}

impl Long {
    pub(crate) const LENGTH: u64 = 1 << 30;
}

impl Part for Long {
    fn name(&self) -> &str {
        &self.name
    }

    fn len(&self) -> u64 {
        Self::LENGTH
    }

    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        let rest = usize::try_from(Self::LENGTH.saturating_sub(offset)).unwrap_or(usize::MAX);
        let count = buffer.len().min(rest);
        buffer[..count].fill(0);
        self.read.fetch_add(count as u64, Ordering::Relaxed);
        Ok(count)
    }
}

/// A part that cannot be read.
pub(crate) struct Broken(pub(crate) String);

impl Part for Broken {
    fn name(&self) -> &str {
        &self.0
    }

    fn len(&self) -> u64 {
        10_000
    }

    fn read_at(&self, _: u64, _: &mut [u8]) -> io::Result<usize> {
        Err(io::Error::other("the disk is gone"))
    }
}

/// Numbers that look like chance, and are the same every time.
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    /// A number below `end`, which is not zero.
    pub(crate) const fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        #[expect(clippy::cast_possible_truncation, reason = "any bits will do")]
        let number = self.0 as usize;
        number % end
    }
}
