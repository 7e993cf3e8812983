//! Encodings: which one a file is in, and its text in UTF-8.

use std::io::{self, Read};

use encoding_rs::{CoderResult, Decoder, Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

/// How a file's letters are stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Letters {
    encoding: &'static Encoding,
    /// Whether the bytes are UTF-8 already.
    is_plain: bool,
    /// Bytes of the mark at the beginning.
    mark: usize,
    /// Whether nothing in the file states it.
    pub(crate) assumed: bool,
}

/// Bytes that are looked at for the zeros of two-byte letters.
const HEAD: usize = 4096;
/// Bytes read at once.
const CHUNK: usize = 64 * 1024;

impl Letters {
    /// Looks at a file's beginning, and where that states nothing at the whole of it.
    ///
    /// # Errors
    /// The file cannot be read.
    pub(crate) fn of(bytes: &mut dyn Read) -> io::Result<Self> {
        let mut chunk = vec![0; CHUNK];
        let mut length = fill(bytes, &mut chunk)?;
        let (mut letters, mark) = Self::by_head(&chunk[..length]);
        letters.mark = mark;
        if letters.encoding != UTF_8 {
            return Ok(letters);
        }
        // A letter may be cut in two at the end of a chunk.
        let mut kept = 0;
        loop {
            let filled = kept + length;
            match std::str::from_utf8(&chunk[..filled]) {
                Ok(_) => kept = 0,
                Err(error) if error.error_len().is_none() && length > 0 => {
                    let valid = error.valid_up_to();
                    kept = filled - valid;
                    chunk.copy_within(valid..filled, 0);
                }
                // What says that it is UTF-8 is read as such, its damaged letters marked.
                Err(_) if letters.mark > 0 => return Ok(Self { is_plain: false, ..letters }),
                Err(_) => return Ok(Self::new(WINDOWS_1252, true)),
            }
            if length == 0 {
                return Ok(letters);
            }
            length = fill(bytes, &mut chunk[kept..])?;
        }
    }

    /// Looks at the beginning of a file only.
    pub(crate) fn by_head(head: &[u8]) -> (Self, usize) {
        if let Some((encoding, mark)) = Encoding::for_bom(head) {
            return (Self::new(encoding, false), mark);
        }
        let head = &head[..head.len().min(HEAD)];
        let zeros = |from: usize| head.iter().skip(from).step_by(2).filter(|b| **b == 0).count();
        let (first, second) = (zeros(0), zeros(1));
        let pairs = head.len() / 2;
        // Letters of Western texts have a zero for their upper byte, and none for their lower.
        let is_upper = |upper: usize, lower: usize| 2 * upper > pairs && 20 * lower < pairs;
        let letters = if is_upper(second, first) {
            Self::new(UTF_16LE, true)
        } else if is_upper(first, second) {
            Self::new(UTF_16BE, true)
        } else {
            Self::new(UTF_8, false)
        };
        (letters, 0)
    }

    fn new(encoding: &'static Encoding, assumed: bool) -> Self {
        Self { encoding, is_plain: encoding == UTF_8, mark: 0, assumed }
    }

    /// The name of the encoding.
    pub(crate) fn name(self) -> &'static str {
        match self.encoding.name() {
            "windows-1252" => "Windows-1252",
            name => name,
        }
    }
}

/// Fills a buffer as far as there is something to read.
fn fill(bytes: &mut dyn Read, buffer: &mut [u8]) -> io::Result<usize> {
    let mut filled = 0;
    while filled < buffer.len() {
        match bytes.read(&mut buffer[filled..]) {
            Ok(0) => break,
            Ok(count) => filled += count,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(filled)
}

/// Reads the text of a file as UTF-8, by the piece.
pub(crate) struct Text<'r> {
    bytes: &'r mut dyn Read,
    decoder: Option<Decoder>,
    /// Bytes of a mark at the beginning that are still to be passed over.
    mark: usize,
    raw: Vec<u8>,
    start: usize,
    end: usize,
    ended: bool,
    /// Whether some bytes were no letters, and stand as U+FFFD.
    pub(crate) is_damaged: bool,
}

impl<'r> Text<'r> {
    pub(crate) fn new(bytes: &'r mut dyn Read, letters: Letters) -> Self {
        let decoder =
            (!letters.is_plain).then(|| letters.encoding.new_decoder_without_bom_handling());
        Self {
            bytes,
            decoder,
            mark: letters.mark,
            raw: Vec::new(),
            start: 0,
            end: 0,
            ended: false,
            is_damaged: false,
        }
    }

    /// The beginning of the text, at most so many bytes, without a letter that is cut in two.
    pub(crate) fn beginning(&mut self, length: usize) -> io::Result<String> {
        let mut buffer = vec![0; length];
        let filled = fill(self, &mut buffer)?;
        buffer.truncate(filled);
        Ok(match String::from_utf8(buffer) {
            Ok(text) => text,
            Err(error) => {
                let valid = error.utf8_error().valid_up_to();
                let mut bytes = error.into_bytes();
                bytes.truncate(valid);
                String::from_utf8(bytes).unwrap_or_default()
            }
        })
    }
}

impl Read for Text<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.mark > 0 {
            let mut mark = [0; 4];
            let length = self.mark.min(mark.len());
            fill(self.bytes, &mut mark[..length])?;
            self.mark = 0;
        }
        loop {
            let Some(decoder) = &mut self.decoder else { return self.bytes.read(buffer) };
            self.raw.resize(CHUNK, 0);
            if self.start == self.end && !self.ended {
                self.start = 0;
                self.end = fill(self.bytes, &mut self.raw)?;
                self.ended = self.end == 0;
            }
            let raw = &self.raw[self.start..self.end];
            let (result, read, written, damaged) = decoder.decode_to_utf8(raw, buffer, self.ended);
            self.start += read;
            self.is_damaged |= damaged;
            let is_done = self.ended && result == CoderResult::InputEmpty;
            if is_done {
                // Nothing is left to read; the decoder must not be asked again.
                self.decoder = None;
            }
            if written > 0 || is_done {
                return Ok(written);
            }
            // The longest letter has four bytes.
            if result == CoderResult::OutputFull {
                return Err(io::ErrorKind::WriteZero.into());
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> (String, &'static str, bool, bool) {
        let letters = Letters::of(&mut &*bytes).unwrap();
        let mut reader = bytes;
        let mut text = Text::new(&mut reader, letters);
        let read = text.beginning(1 << 20).unwrap();
        (read, letters.name(), letters.assumed, text.is_damaged)
    }

    fn utf16(text: &str, big: bool) -> Vec<u8> {
        let bytes = |unit: u16| if big { unit.to_be_bytes() } else { unit.to_le_bytes() };
        text.encode_utf16().flat_map(bytes).collect()
    }

    #[test]
    fn every_encoding_gives_the_same_text() {
        let text = "Mark;Länge [m];½ ø ±\r\nT1;12,5;x\r\n".repeat(5_000);
        let latin: Vec<u8> =
            text.chars().map(|letter| u8::try_from(u32::from(letter)).unwrap()).collect();
        let mut marked = b"\xef\xbb\xbf".to_vec();
        marked.extend(text.as_bytes());
        let (little, big) = (utf16(&text, false), utf16(&text, true));
        for (bytes, name, assumed) in [
            (text.clone().into_bytes(), "UTF-8", false),
            (marked, "UTF-8", false),
            (latin, "Windows-1252", true),
            (little.clone(), "UTF-16LE", true),
            (big.clone(), "UTF-16BE", true),
            ([b"\xff\xfe".to_vec(), little].concat(), "UTF-16LE", false),
            ([b"\xfe\xff".to_vec(), big].concat(), "UTF-16BE", false),
        ] {
            let (read, found, was_assumed, damaged) = read(&bytes);
            assert_eq!((found, was_assumed, damaged), (name, assumed, false));
            assert!(read == text, "{name}");
        }
    }

    #[test]
    fn damaged_letters_are_marked_and_told() {
        assert_eq!(read(b"\xef\xbb\xbfa\xffb"), ("a\u{fffd}b".into(), "UTF-8", false, true));
        assert_eq!(read(b"\xff\xfea\0\0\xd8").0, "a\u{fffd}");
        assert_eq!(read(b""), (String::new(), "UTF-8", false, false));
        // Cut in the middle of a letter.
        assert_eq!(read(b"a\xc3").1, "Windows-1252");
    }
}
