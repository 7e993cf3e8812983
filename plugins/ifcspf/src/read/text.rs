//! Texts of Part 21, and what stands for letters that it does not write itself.

use std::borrow::Cow;

/// The text between the quotes, decoded.
///
/// Letters beyond the basic alphabet come as `\X\`, `\X2\`, `\X4\` or `\S\`; many writers put UTF-8 or Latin-1
/// there as it is. What is cut short or no letter becomes the mark for a lost letter.
pub(crate) fn decode(raw: &[u8]) -> Cow<'_, str> {
    let is_plain = memchr::memchr2(b'\\', b'\'', raw).is_none();
    let text: Cow<'_, str> = match std::str::from_utf8(raw) {
        Ok(text) => Cow::Borrowed(text),
        // Every byte is a letter in Latin-1.
        Err(_) => Cow::Owned(raw.iter().map(|byte| char::from(*byte)).collect()),
    };
    if is_plain { text } else { Cow::Owned(unescaped(&text)) }
}

fn unescaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['\\', '\'']) {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        if let Some(after) = rest.strip_prefix('\'') {
            // A quote in a text stands twice.
            out.push('\'');
            rest = after.strip_prefix('\'').unwrap_or(after);
        } else if let Some(after) = rest.strip_prefix("\\\\") {
            out.push('\\');
            rest = after;
        } else if let Some(after) = rest.strip_prefix("\\X2\\") {
            rest = wide(after, 4, &mut out);
        } else if let Some(after) = rest.strip_prefix("\\X4\\") {
            rest = wide(after, 8, &mut out);
        } else if let Some(after) = rest.strip_prefix("\\X\\") {
            let code = after.get(..2).and_then(|digits| u8::from_str_radix(digits, 16).ok());
            out.push(code.map_or(char::REPLACEMENT_CHARACTER, char::from));
            rest = if code.is_some() { &after[2..] } else { after };
        } else if let Some(after) = rest.strip_prefix("\\S\\") {
            let mut letters = after.chars();
            let letter = letters.next().filter(char::is_ascii);
            out.push(match letter {
                Some(letter) => char::from((letter as u8) | 0x80),
                None => char::REPLACEMENT_CHARACTER,
            });
            rest = if letter.is_some() { letters.as_str() } else { after };
        } else if let Some(page) = rest.as_bytes().get(..4)
            && page.starts_with(b"\\P")
            && page[2].is_ascii_uppercase()
            && page[3] == b'\\'
        {
            // The page is that of Latin-1 unless said otherwise, which no writer of models is known to do.
            rest = &rest[4..];
        } else {
            out.push('\\');
            rest = &rest[1..];
        }
    }
    out.push_str(rest);
    out
}

/// Letters by their codes, up to `\X0\`.
fn wide<'a>(text: &'a str, digits: usize, out: &mut String) -> &'a str {
    let (codes, rest) = match text.find("\\X0\\") {
        Some(end) => (&text[..end], &text[end + 4..]),
        None => {
            let end = text.find(|c: char| !c.is_ascii_hexdigit()).unwrap_or(text.len());
            (&text[..end], &text[end..])
        }
    };
    let mut units = Vec::new();
    for chunk in codes.as_bytes().chunks(digits) {
        let code = std::str::from_utf8(chunk)
            .ok()
            .filter(|chunk| chunk.len() == digits)
            .and_then(|chunk| u32::from_str_radix(chunk, 16).ok());
        match (code, digits) {
            (Some(code), 4) => units.push(u16::try_from(code).unwrap_or(0xfffd)),
            (Some(code), _) => {
                out.push(char::from_u32(code).unwrap_or(char::REPLACEMENT_CHARACTER));
            }
            (None, _) => units.push(0xfffd),
        }
    }
    let letters = char::decode_utf16(units);
    out.extend(letters.map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)));
    rest
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 10303-21:2016, 6.4.3 (from memory): the ways of writing letters.
    #[test]
    fn texts_are_decoded() {
        for (raw, text) in [
            (&b"Mike''s"[..], "Mike's"),
            (b"a\\\\b", "a\\b"),
            (b"\\X\\C4rger", "Ärger"),
            (b"\\X\\27", "'"),
            (b"\\X2\\00E400F6\\X0\\x", "äöx"),
            (b"\\X2\\D83DDE00\\X0\\", "\u{1f600}"),
            (b"\\X4\\0001F600\\X0\\", "\u{1f600}"),
            (b"\\S\\D", "Ä"),
            (b"\\PA\\x", "x"),
            (b"M\xfcller", "Müller"),
            ("Brücke".as_bytes(), "Brücke"),
            (b"\\X2\\00E", "\u{fffd}"),
            (b"\\X", "\\X"),
            (b"\\S\\", "\u{fffd}"),
            (b"\\X\\", "\u{fffd}"),
        ] {
            assert_eq!(decode(raw), text, "{}", String::from_utf8_lossy(raw));
        }
    }
}
