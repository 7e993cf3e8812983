//! Where statements begin and end.

/// Statements, each without its semicolon.
pub(super) struct Statements<'a> {
    pub(super) bytes: &'a [u8],
    /// The first byte that was not looked at.
    pub(super) at: usize,
}

impl Statements<'_> {
    /// The next statement that has an end.
    pub(super) fn next(&mut self) -> Option<(usize, usize)> {
        let start = skip(self.bytes, self.at);
        self.at = start;
        let end = end_of(self.bytes, start);
        if end >= self.bytes.len() {
            return None;
        }
        self.at = end + 1;
        Some((start, end))
    }
}

/// Where the statement that begins here ends: at its semicolon, or before the line on which the next one begins
/// if it has none, or a text in it has no end; at last at the end of the file.
pub(super) fn end_of(bytes: &[u8], start: usize) -> usize {
    let end = semicolon(bytes, start);
    let mut from = start;
    while let Some(found) = memchr::memchr(b'\n', &bytes[from..end]) {
        let line = from + found + 1;
        if begins_instance(bytes[line..end].trim_ascii_start()) {
            return line - 1;
        }
        from = line;
    }
    end
}

/// Whether bytes begin as an instance does: with its number and an equals sign.
pub(super) fn begins_instance(bytes: &[u8]) -> bool {
    let Some(rest) = bytes.strip_prefix(b"#") else { return false };
    let digits = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
    digits > 0 && rest[digits..].trim_ascii_start().starts_with(b"=")
}

/// The semicolon of the statement that begins here, or the end of the file.
fn semicolon(bytes: &[u8], start: usize) -> usize {
    let mut at = start;
    while let Some(found) =
        bytes.get(at..).and_then(|rest| memchr::memchr3(b';', b'\'', b'/', rest))
    {
        at += found;
        match bytes[at] {
            b';' => return at,
            b'\'' => match memchr::memchr(b'\'', &bytes[at + 1..]) {
                // Two quotes within a text are the end of one and the beginning of another, for this purpose.
                Some(end) => at += end + 2,
                None => return bytes.len(),
            },
            _ if bytes.get(at + 1) == Some(&b'*') => {
                match memchr::memmem::find(&bytes[at + 2..], b"*/") {
                    Some(end) => at += end + 4,
                    None => return bytes.len(),
                }
            }
            _ => at += 1,
        }
    }
    bytes.len()
}

/// Whether brackets of a statement stand more levels deep in each other than this.
pub(super) fn is_deeper(statement: &[u8], most: u32) -> bool {
    let most = most as usize;
    // Hardly any statement has as many brackets at all.
    if statement.len() <= most || memchr::memchr_iter(b'(', statement).nth(most).is_none() {
        return false;
    }
    let (mut at, mut depth) = (0, 0_usize);
    while let Some(byte) = statement.get(at) {
        match byte {
            b'(' => depth += 1,
            b')' => depth = depth.saturating_sub(1),
            b'\'' => {
                let end = memchr::memchr(b'\'', &statement[at + 1..]);
                at = end.map_or(statement.len(), |end| at + 1 + end);
            }
            b'/' => at = skip(statement, at).max(at + 1) - 1,
            _ => {}
        }
        if depth > most {
            return true;
        }
        at += 1;
    }
    false
}

/// Steps over spaces and comments.
pub(super) fn skip(bytes: &[u8], mut at: usize) -> usize {
    while let Some(byte) = bytes.get(at) {
        if *byte > b' ' && *byte != b'/' {
            break;
        }
        if *byte <= b' ' {
            at += 1;
        } else if *byte == b'/' && bytes.get(at + 1) == Some(&b'*') {
            at = memchr::memmem::find(&bytes[at + 2..], b"*/")
                .map_or(bytes.len(), |end| at + end + 4);
        } else {
            break;
        }
    }
    at
}

/// The name that bytes begin with.
pub(super) fn word(bytes: &[u8]) -> &[u8] {
    let end = bytes
        .iter()
        .position(|byte| !(byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-')))
        .unwrap_or(bytes.len());
    &bytes[..end]
}
