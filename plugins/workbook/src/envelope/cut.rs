//! Values of which the reader gives a piece, or nothing, and does not say so.

/// Looks for what cuts the values of cells, in a text that comes by the chunk.
#[derive(Default)]
pub(super) struct Values {
    /// The beginning of the last tag of the chunks before.
    last: Vec<u8>,
}

impl Values {
    /// Bytes of a tag that tell whether it is that of a value: `<v` with a prefix of any sensible length.
    const TELLING: usize = 64;

    /// Whether a value has something in it that is no value; `chunk` follows the one before.
    pub(super) fn is_cut(&mut self, chunk: &[u8]) -> bool {
        if self.last.ends_with(b"<") && chunk.first() != Some(&b'!') {
            // The `<` begins a tag that goes on here.
            self.last.clear();
            self.last.push(b'<');
        }
        let mut at = 0;
        while let Some(mark) = exclamation(&chunk[at..]) {
            let mark = at + mark;
            at = mark + 1;
            let begin = match mark.checked_sub(1) {
                Some(begin) if chunk[begin] == b'<' => &chunk[..begin],
                // The chunk before ended with the `<`, which is the last tag that it kept.
                None if self.last.ends_with(b"<") => {
                    if self.last.len() > 1 && is_value(&self.last[..self.last.len() - 1]) {
                        return true;
                    }
                    continue;
                }
                _ => continue,
            };
            let is_cut = match begin.iter().rposition(|byte| *byte == b'<') {
                Some(tag) => is_value(&begin[tag..]),
                None => {
                    let rest = Self::TELLING.saturating_sub(self.last.len()).min(begin.len());
                    is_value(&[&self.last, &begin[..rest]].concat())
                }
            };
            if is_cut {
                return true;
            }
        }
        self.keep(chunk);
        false
    }

    /// Keeps the beginning of the last tag, and that of the one before if the last is a mere `<`.
    fn keep(&mut self, chunk: &[u8]) {
        let telling = |from: usize| &chunk[from..chunk.len().min(from + Self::TELLING)];
        let (open, before) = match chunk.strip_suffix(b"<") {
            Some(before) => (&b"<"[..], before),
            None => (&b""[..], chunk),
        };
        match before.iter().rposition(|byte| *byte == b'<') {
            Some(tag) => {
                self.last.clear();
                let end = before.len().min(tag + Self::TELLING);
                self.last.extend_from_slice(&before[tag..end]);
            }
            None => {
                let rest = Self::TELLING.saturating_sub(self.last.len()).min(before.len());
                self.last.extend_from_slice(&telling(0)[..rest]);
            }
        }
        self.last.extend_from_slice(open);
    }
}

/// The first exclamation mark; they are rare, so whole stretches are passed over by a search for one byte.
fn exclamation(bytes: &[u8]) -> Option<usize> {
    const STRETCH: usize = 1024;
    let (stretch, bytes) =
        bytes.chunks(STRETCH).enumerate().find(|(_, part)| part.contains(&b'!'))?;
    Some(stretch * STRETCH + bytes.iter().position(|byte| *byte == b'!')?)
}

/// Whether a tag is that of a cell's value: `<v>`, `<v xml:space="preserve">`, `<x:v>`.
fn is_value(tag: &[u8]) -> bool {
    let name = tag.strip_prefix(b"<").unwrap_or(tag);
    let end =
        name.iter().position(|byte| matches!(byte, b'>' | b'/' | b' ' | b'\t' | b'\r' | b'\n'));
    let name = &name[..end.unwrap_or(name.len())];
    name.rsplit(|byte| *byte == b':').next() == Some(b"v")
}

#[cfg(test)]
mod tests {
    use super::Values;

    #[test]
    fn a_cut_value_is_found_wherever_the_chunks_end() {
        let long = format!("<v>{}<!-- x --></v>", "1".repeat(200));
        for (text, is_cut) in [
            ("<c><v>19<!-- x -->00</v></c>", true),
            ("<c><v><![CDATA[1900]]></v></c>", true),
            ("<x:c><x:v>19<!-- x --></x:v></x:c>", true),
            (long.as_str(), true),
            ("<!-- by a program --><c><v>1!2</v><!-- x --><f>A!B</f></c>", false),
            ("<is><t>a<![CDATA[b]]></t></is><vm><!-- x --></vm>", false),
        ] {
            for size in 1..=text.len() {
                let mut values = Values::default();
                let found = text.as_bytes().chunks(size).any(|chunk| values.is_cut(chunk));
                assert_eq!(found, is_cut, "{text} by {size}");
            }
        }
    }
}
