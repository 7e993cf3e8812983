//! The text of a part, and the places in it.
//!
//! Every place is counted in bytes from the beginning of the part, a byte order mark included, whatever
//! stretch of the part is looked at.

use std::io::{self, BufRead, BufReader, Read};
use std::ops::Range;

use restrand_kit::{LoadError, Part, PartReader};
use restrand_model::reading::{Place, Span};

/// The byte order mark of UTF-8.
const BOM: &[u8] = b"\xEF\xBB\xBF";
/// What to do about text in another encoding.
pub(crate) const SAVE_AS_UTF8: &str = "save the file as UTF-8";

/// A stretch of a part, as text.
#[derive(Clone, Copy)]
pub(crate) struct Source<'a> {
    /// The name of the part.
    pub(crate) part: &'a str,
    /// The text.
    pub(crate) text: &'a str,
    /// The place of its first byte in the part.
    pub(crate) base: u64,
}

impl Source<'_> {
    /// Where a stretch of the text stands in the part.
    pub(crate) fn span(&self, range: &Range<usize>) -> Span {
        Span { start: self.base + range.start as u64, end: self.base + range.end as u64 }
    }

    /// The place of a stretch of the text.
    pub(crate) fn place(&self, range: &Range<usize>) -> Place {
        place(self.part, self.span(range))
    }

    /// A stretch of the text, short enough for a message.
    pub(crate) fn shown(&self, range: &Range<usize>) -> String {
        shortened(self.text.get(range.clone()).unwrap_or_default())
    }
}

/// A place in a part that is no record's.
pub(crate) fn place(part: &str, span: Span) -> Place {
    Place::Text { part: part.to_owned(), span, path: Vec::new() }
}

/// What is wrong at a place: why and help, as problems and errors say it.
pub(crate) struct Fault {
    /// The bytes, from the beginning of the text that was looked at.
    pub(crate) at: Range<usize>,
    /// What is wrong, as a clause.
    pub(crate) why: String,
    /// What to do about it.
    pub(crate) help: String,
}

impl Fault {
    /// The error of a part that cannot be read because of it.
    pub(crate) fn into_error(self, source: &Source<'_>) -> LoadError {
        LoadError::Unreadable { place: source.place(&self.at), why: self.why, help: self.help }
    }
}

/// The bytes without a byte order mark, and the length of that.
pub(crate) fn without_mark(bytes: &[u8]) -> (usize, &[u8]) {
    match bytes.strip_prefix(BOM) {
        Some(rest) => (BOM.len(), rest),
        None => (0, bytes),
    }
}

/// Whether nothing stands in the bytes.
pub(crate) fn is_blank(bytes: &[u8]) -> bool {
    bytes.iter().all(u8::is_ascii_whitespace)
}

/// The fault of a part that begins with the mark of an encoding of two or four bytes a character.
pub(crate) fn wide_encoding(bytes: &[u8]) -> Option<Fault> {
    let (name, length) = match bytes {
        [0xFF, 0xFE, 0, 0, ..] | [0, 0, 0xFE, 0xFF, ..] => ("UTF-32", 4),
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => ("UTF-16", 2),
        _ => return None,
    };
    Some(Fault {
        at: 0..length,
        why: format!(
            "the text is {name}, not UTF-8, as the mark at line 1, column 1 (byte 0) shows"
        ),
        help: SAVE_AS_UTF8.to_owned(),
    })
}

/// The bytes as text; `line` and `base` say where in the part they begin.
pub(crate) fn utf8(bytes: &[u8], line: u64, base: u64) -> Result<&str, Fault> {
    std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        let before = &bytes[..at];
        let line_start = before.iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
        let lines = before.iter().filter(|byte| **byte == b'\n').count() as u64;
        // Before the fault the bytes are valid, so that every character has one first byte.
        let column = 1 + before[line_start..].iter().filter(|byte| **byte & 0xC0 != 0x80).count();
        Fault {
            at: at..at + 1,
            why: format!(
                "the byte {:#04X} at line {}, column {column} (byte {}) is not UTF-8",
                bytes[at],
                line + lines,
                base + at as u64,
            ),
            help: SAVE_AS_UTF8.to_owned(),
        }
    })
}

/// All bytes of a part that is not in memory.
pub(crate) fn read_all(part: &dyn Part) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let length = usize::try_from(part.len()).unwrap_or(usize::MAX);
    bytes.try_reserve_exact(length).map_err(|_| io::ErrorKind::OutOfMemory)?;
    PartReader::new(part).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The lines of a part, one at a time.
pub(crate) struct Lines<'a> {
    reader: Box<dyn BufRead + 'a>,
    line: Vec<u8>,
    next: u64,
    begun: bool,
}

impl<'a> Lines<'a> {
    /// The lines of this part.
    pub(crate) fn new(part: &'a dyn Part) -> Self {
        let reader: Box<dyn BufRead + 'a> = match part.slice() {
            Some(bytes) => Box::new(bytes),
            None => Box::new(BufReader::with_capacity(1 << 16, PartReader::new(part))),
        };
        Self { reader, line: Vec::new(), next: 0, begun: false }
    }

    /// The next line without its end, and the place of its first byte.
    pub(crate) fn next(&mut self) -> io::Result<Option<(u64, &[u8])>> {
        self.line.clear();
        let count = self.reader.read_until(b'\n', &mut self.line)?;
        if count == 0 {
            return Ok(None);
        }
        let start = self.next;
        self.next += count as u64;
        let mut line = self.line.as_slice();
        line = line.strip_suffix(b"\n").unwrap_or(line);
        line = line.strip_suffix(b"\r").unwrap_or(line);
        let first = !std::mem::replace(&mut self.begun, true);
        let (mark, line) = if first { without_mark(line) } else { (0, line) };
        Ok(Some((start + mark as u64, line)))
    }
}

/// A text as a message quotes it: one line, and not too much of it.
pub(crate) fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut shown = String::new();
    let mut count = 0;
    for word in text.split_ascii_whitespace() {
        if count > 0 {
            shown.push(' ');
            count += 1;
        }
        for letter in word.chars() {
            if count >= LONGEST {
                shown.push('…');
                return shown;
            }
            shown.push(letter);
            count += 1;
        }
    }
    shown
}
