//! The process's side: opens one library, makes one call, and ends.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use restrand_kit::{Budget, Part, Parts};

use super::limits::{Limits, hold};
use super::message::{Asked, Fault, LONGEST, PartHead, Request, hear, letter, say};
use crate::call::{Call, Flow, Taker, sealed::Caller};
use crate::{HostError, Library};

/// Serves one call of the library at this path, as the host asks at standard input.
///
/// Standard input and output are taken away from the plugin first: what it prints goes to standard error.
///
/// # Errors
/// The host has gone, or this process cannot be held to its limits.
pub fn serve(path: &Path) -> io::Result<()> {
    let (from, to) = streams()?;
    let mut line = Line { from: BufReader::new(from), to: BufWriter::new(to), heard: Vec::new() };
    let request: Request = match line.hear(u64::MAX)? {
        letter::REQUEST => serde_json::from_slice(&line.heard)?,
        _ => return Err(io::Error::other("this is for restrand itself to call")),
    };
    hold(Limits {
        time: Duration::from_secs(request.time_seconds),
        memory_bytes: request.memory_bytes,
    })?;
    let mut parts = Vec::new();
    for head in request.parts {
        let bytes = if head.follows {
            line.hear(u64::MAX)?;
            Some(std::mem::take(&mut line.heard))
        } else {
            None
        };
        parts.push((head, bytes));
    }
    line.hear(u64::MAX)?;
    let content = std::mem::take(&mut line.heard);
    let line = Mutex::new(line);
    let parts: Vec<RemotePart<'_, _, _>> = parts
        .into_iter()
        .zip(0_u32..)
        .map(|((head, bytes), number)| RemotePart { head, bytes, number, line: &line })
        .collect();
    let parts: Vec<&dyn Part> = parts.iter().map(|part| part as &dyn Part).collect();
    let parts = Parts(&parts);
    let call = match request.call {
        Asked::Describe => Call::Describe,
        Asked::Probe => Call::Probe(parts),
        Asked::Load => {
            let (unpacked_bytes, depth) = (request.unpacked_bytes, request.depth);
            Call::Load(parts, Budget { unpacked_bytes, depth })
        }
        Asked::Write => Call::Write(&content),
        Asked::Patch => Call::Patch(parts, &content),
    };
    let ended = Library::open(path)
        .and_then(|library| library.call(call, &mut Remote { line: &line, flow: Flow::GoOn }));
    let mut line = line.lock().unwrap_or_else(PoisonError::into_inner);
    match ended {
        Ok(ended) => {
            let mut said = ended.status.to_le_bytes().to_vec();
            said.extend(ended.confidence.to_le_bytes());
            line.say(letter::DONE, &said)
        }
        Err(error) => {
            let fault = Fault { why: error.to_string(), help: HostError::help(&error) };
            line.say(letter::FAULT, &serde_json::to_vec(&fault)?)
        }
    }
}

/// The host's streams, out of the plugin's reach.
#[cfg(unix)]
fn streams() -> io::Result<(File, File)> {
    use rustix::io::fcntl_dupfd_cloexec;
    use rustix::stdio::{dup2_stdin, dup2_stdout};
    /// The first number after the three standard streams.
    const AFTER_STANDARD: i32 = 3;
    let from = fcntl_dupfd_cloexec(io::stdin(), AFTER_STANDARD)?;
    let to = fcntl_dupfd_cloexec(io::stdout(), AFTER_STANDARD)?;
    dup2_stdin(File::open("/dev/null")?)?;
    dup2_stdout(io::stderr())?;
    Ok((from.into(), to.into()))
}

/// The standard streams themselves; a plugin that prints garbles them, which the host notices.
#[cfg(not(unix))]
fn streams() -> io::Result<(io::Stdin, io::Stdout)> {
    Ok((io::stdin(), io::stdout()))
}

/// Both directions to the host.
struct Line<R, W: Write> {
    from: BufReader<R>,
    to: BufWriter<W>,
    heard: Vec<u8>,
}

impl<R: Read, W: Write> Line<R, W> {
    fn say(&mut self, letter: u8, bytes: &[u8]) -> io::Result<()> {
        say(&mut self.to, letter, bytes)
    }

    fn hear(&mut self, longest: u64) -> io::Result<u8> {
        hear(&mut self.from, longest, &mut self.heard)
    }

    /// Says something and hears the answer.
    fn ask(&mut self, letter: u8, bytes: &[u8]) -> io::Result<u8> {
        self.say(letter, bytes)?;
        match self.hear(LONGEST)? {
            letter::MEDIUM => {
                Err(io::Error::other(String::from_utf8_lossy(&self.heard).into_owned()))
            }
            answer => Ok(answer),
        }
    }
}

/// A part that the host reads.
struct RemotePart<'a, R, W: Write> {
    head: PartHead,
    bytes: Option<Vec<u8>>,
    number: u32,
    line: &'a Mutex<Line<R, W>>,
}

impl<R: Read + Send, W: Write + Send> Part for RemotePart<'_, R, W> {
    fn name(&self) -> &str {
        &self.head.name
    }

    fn len(&self) -> u64 {
        self.head.length
    }

    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        if let Some(bytes) = &self.bytes {
            let start = usize::try_from(offset).unwrap_or(usize::MAX).min(bytes.len());
            let count = buffer.len().min(bytes.len() - start);
            buffer[..count].copy_from_slice(&bytes[start..start + count]);
            return Ok(count);
        }
        let wanted = (buffer.len() as u64).min(LONGEST);
        let mut said = self.number.to_le_bytes().to_vec();
        said.extend(offset.to_le_bytes());
        said.extend(wanted.to_le_bytes());
        let mut line = self.line.lock().unwrap_or_else(PoisonError::into_inner);
        line.ask(letter::READ, &said)?;
        let read = line.heard.get(..buffer.len()).unwrap_or(&line.heard);
        buffer[..read.len()].copy_from_slice(read);
        Ok(read.len())
    }

    fn slice(&self) -> Option<&[u8]> {
        self.bytes.as_deref()
    }
}

/// Hands on to the host what the plugin says.
struct Remote<'a, R, W: Write> {
    line: &'a Mutex<Line<R, W>>,
    /// What the host said last; once it wants no more it is not asked again, whatever the plugin goes on to say.
    flow: Flow,
}

impl<R: Read, W: Write> Taker for Remote<'_, R, W> {
    fn lines(&mut self, lines: &[u8]) -> Flow {
        if self.flow == Flow::GoOn {
            let mut line = self.line.lock().unwrap_or_else(PoisonError::into_inner);
            self.flow = match line.ask(letter::LINES, lines) {
                Ok(letter::GO_ON) => Flow::GoOn,
                _ => Flow::Stop,
            };
        }
        self.flow
    }

    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut line = self.line.lock().unwrap_or_else(PoisonError::into_inner);
        line.say(letter::NAME, name.as_bytes())?;
        line.ask(letter::WRITTEN, bytes).map(|_| ())
    }
}
