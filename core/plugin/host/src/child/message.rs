//! What host and process say to each other: a letter, a length, and so many bytes.

use std::io::{self, Read, Write};

use serde::{Deserialize, Serialize};

/// What the host asks; parts and content that it hands over follow as messages of their own.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Request {
    pub(super) call: Asked,
    pub(super) parts: Vec<PartHead>,
    pub(super) unpacked_bytes: u64,
    pub(super) depth: u32,
    pub(super) time_seconds: u64,
    pub(super) memory_bytes: u64,
}

#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
pub(super) enum Asked {
    Describe,
    Probe,
    Load,
    Write,
    Patch,
}

#[derive(Debug, Serialize, Deserialize)]
pub(super) struct PartHead {
    pub(super) name: String,
    pub(super) length: u64,
    /// Whether its bytes follow; others are asked for.
    pub(super) follows: bool,
}

/// A process cannot open its plugin, or the plugin does what it must not.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Fault {
    pub(super) why: String,
    pub(super) help: String,
}

/// The letters.
pub(super) mod letter {
    /// Host: what is asked.
    pub(in crate::child) const REQUEST: u8 = b'Q';
    /// Host: bytes of a part or a content.
    pub(in crate::child) const BYTES: u8 = b'B';
    /// Host: go on.
    pub(in crate::child) const GO_ON: u8 = b'G';
    /// Host: no more is wanted.
    pub(in crate::child) const STOP: u8 = b'S';
    /// Host: the medium failed; says how.
    pub(in crate::child) const MEDIUM: u8 = b'M';
    /// Process: lines.
    pub(in crate::child) const LINES: u8 = b'L';
    /// Process: wants bytes of a part: its number, the offset, how many.
    pub(in crate::child) const READ: u8 = b'R';
    /// Process: the name of a written part.
    pub(in crate::child) const NAME: u8 = b'N';
    /// Process: bytes of the written part that was named.
    pub(in crate::child) const WRITTEN: u8 = b'W';
    /// Process: the call ended: status and confidence.
    pub(in crate::child) const DONE: u8 = b'D';
    /// Process: a fault.
    pub(in crate::child) const FAULT: u8 = b'F';
}

/// The longest message; a content and a part that follows may be longer, for the host makes them.
pub(super) const LONGEST: u64 = restrand_abi::RESTRAND_LONGEST_BATCH as u64;

/// Says something.
pub(super) fn say(to: &mut impl Write, letter: u8, bytes: &[u8]) -> io::Result<()> {
    let mut head = [letter, 0, 0, 0, 0, 0, 0, 0, 0];
    head[1..].copy_from_slice(&(bytes.len() as u64).to_le_bytes());
    to.write_all(&head)?;
    to.write_all(bytes)?;
    to.flush()
}

/// Hears something of at most `longest` bytes; the buffer then holds it.
pub(super) fn hear(from: &mut impl Read, longest: u64, buffer: &mut Vec<u8>) -> io::Result<u8> {
    let mut head = [0; 9];
    from.read_exact(&mut head)?;
    let [letter, length @ ..] = head;
    let length = u64::from_le_bytes(length);
    if length > longest {
        let why = format!("a message of {length} bytes");
        return Err(io::Error::new(io::ErrorKind::InvalidData, why));
    }
    buffer.clear();
    // Grows with what comes, whatever the length says.
    let read = from.take(length).read_to_end(buffer)?;
    if read as u64 == length { Ok(letter) } else { Err(io::ErrorKind::UnexpectedEof.into()) }
}
