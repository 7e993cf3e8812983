//! Places in a text: line and column of bytes, and the lines around them.
//!
//! Lines and columns of all findings are counted in one pass over the part, whatever their number.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::ops::Range;

use restrand_model::reading::Span;

use crate::checked::Sources;
use crate::excerpt::Excerpt;
use crate::plain::{plain, shortened, width};
use crate::walk::{self, Member, joined};

/// Bytes of a record that are looked through for a member; in a longer one its beginning is shown.
const LONGEST_RECORD: u64 = 64 << 20;
/// Bytes that are read at a time.
const CHUNK: usize = 1 << 16;

/// A place that is to be found: the stretch of a record, and the members that lead to the value.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    /// The part.
    pub(crate) part: &'a str,
    /// The stretch of the record, or of the value if no members follow.
    pub(crate) span: Span,
    /// The members that lead on.
    pub(crate) path: &'a [String],
    /// The member that names the record; nothing if the stretch is no record's.
    pub(crate) key: Option<&'a str>,
}

/// A place in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct At {
    /// The first byte.
    pub(crate) start: u64,
    /// The byte after the last.
    pub(crate) end: u64,
    /// The line of the first byte, from one.
    pub(crate) line: u64,
    /// The column of the first byte in characters, from one.
    pub(crate) column: u64,
    /// How many of the members were found.
    pub(crate) members: usize,
}

type Key = (String, Span, String, bool);

/// The places of the findings of one input.
#[derive(Default)]
pub(crate) struct Places {
    found: BTreeMap<Key, At>,
}

fn key_of(wanted: &Wanted<'_>) -> Key {
    (wanted.part.to_owned(), wanted.span, joined(wanted.path), wanted.key.is_some())
}

impl Places {
    /// Finds all places that are wanted.
    pub(crate) fn find(wanted: &[Wanted<'_>], sources: &dyn Sources) -> Self {
        let mut places = Self::default();
        let mut by_part: BTreeMap<&str, BTreeMap<Span, Vec<&Wanted<'_>>>> = BTreeMap::new();
        for one in wanted {
            by_part.entry(one.part).or_default().entry(one.span).or_default().push(one);
        }
        for (part, by_span) in by_part {
            let mut stretches = Vec::new();
            for (span, group) in by_span {
                in_record(part, span, &group, sources, &mut stretches);
            }
            let starts: BTreeSet<u64> = stretches.iter().map(|(_, range, _)| range.start).collect();
            let Some(lines) = count_lines(part, &starts, sources) else {
                continue;
            };
            for (key, range, members) in stretches {
                if let Some((line, column)) = lines.get(&range.start) {
                    let (line, column) = (*line, *column);
                    places.found.insert(
                        key,
                        At { start: range.start, end: range.end, line, column, members },
                    );
                }
            }
        }
        places
    }

    /// The place of what was wanted.
    pub(crate) fn get(&self, wanted: &Wanted<'_>) -> Option<At> {
        self.found.get(&key_of(wanted)).copied()
    }
}

/// The stretches of all values that are wanted of one record.
fn in_record(
    part: &str,
    span: Span,
    group: &[&Wanted<'_>],
    sources: &dyn Sources,
    stretches: &mut Vec<(Key, Range<u64>, usize)>,
) {
    let length = span.end.saturating_sub(span.start);
    let mut paths = HashSet::new();
    for wanted in group {
        for count in 1..=wanted.path.len() {
            paths.insert(joined(&wanted.path[..count]));
        }
        if let Some(key) = wanted.key {
            paths.insert(joined(&[key]));
        }
    }
    let found = if paths.is_empty() || length > LONGEST_RECORD {
        HashMap::new()
    } else {
        let length = usize::try_from(length).unwrap_or(0);
        let bytes = sources.window(part, span.start, length).unwrap_or_default();
        // Nothing but UTF-8 was read as JSON.
        str::from_utf8(&bytes).map_or_else(|_| HashMap::new(), |text| walk::find(text, &paths))
    };
    let absolute = |range: &Range<usize>| {
        let at = |byte: usize| span.start + byte as u64;
        at(range.start)..at(range.end)
    };
    for wanted in group {
        let deepest = (1..=wanted.path.len())
            .rev()
            .find_map(|count| Some((count, found.get(&joined(&wanted.path[..count]))?)));
        let whole = |member: &Member| {
            // Of a list or a record its name is marked, for it may go on over many lines.
            match &member.name {
                Some(name) => absolute(name),
                None => absolute(&(member.value.start..member.value.start + 1)),
            }
        };
        let (range, members) = match deepest {
            Some((count, member)) if count == wanted.path.len() => (absolute(&member.value), count),
            Some((count, member)) => (whole(member), count),
            None => {
                let named = wanted.key.and_then(|key| found.get(&joined(&[key])));
                match (named, wanted.key) {
                    (Some(named), _) => (absolute(&named.value), 0),
                    (None, Some(_)) => (span.start..span.start + 1, 0),
                    (None, None) => (span.start..span.end, 0),
                }
            }
        };
        stretches.push((key_of(wanted), range, members));
    }
}

/// Line and column of each of these bytes.
fn count_lines(
    part: &str,
    starts: &BTreeSet<u64>,
    sources: &dyn Sources,
) -> Option<HashMap<u64, (u64, u64)>> {
    let mut counted = HashMap::new();
    let mut starts = starts.iter().copied().peekable();
    let (mut offset, mut line, mut column) = (0_u64, 1_u64, 1_u64);
    while starts.peek().is_some() {
        let chunk = sources.window(part, offset, CHUNK)?;
        let mut done = 0;
        if offset == 0 && chunk.starts_with(b"\xef\xbb\xbf") {
            // A byte order mark is no character of the first line.
            done = 3;
        }
        while let Some(start) = starts.peek().copied() {
            let within = usize::try_from(start.saturating_sub(offset)).unwrap_or(usize::MAX);
            if within >= chunk.len() && chunk.len() == CHUNK {
                break;
            }
            let to = within.min(chunk.len()).max(done);
            advance(&chunk[done..to], &mut line, &mut column);
            done = to;
            counted.insert(start, (line, column));
            starts.next();
        }
        advance(&chunk[done..], &mut line, &mut column);
        offset += chunk.len() as u64;
        if chunk.is_empty() {
            break;
        }
    }
    Some(counted)
}

fn advance(bytes: &[u8], line: &mut u64, column: &mut u64) {
    let characters =
        |bytes: &[u8]| bytes.iter().filter(|byte| **byte & 0xc0 != 0x80).count() as u64;
    match bytes.iter().rposition(|byte| *byte == b'\n') {
        Some(last) => {
            *line += bytes[..=last].iter().filter(|byte| **byte == b'\n').count() as u64;
            *column = 1 + characters(&bytes[last + 1..]);
        }
        None => *column += characters(bytes),
    }
}

/// Lines above the marked one that are shown.
const ABOVE: usize = 2;
/// Bytes read before the marked stretch.
const BEFORE: u64 = 2000;
/// Bytes read from the marked stretch on.
const AFTER: usize = 1000;
/// Widest stretch that is marked.
const WIDEST_MARK: usize = 60;

/// The lines around a place, at most `room` columns wide.
pub(crate) fn excerpt(
    part: &str,
    at: At,
    label: String,
    sources: &dyn Sources,
    room: usize,
) -> Option<Excerpt> {
    let from = at.start.saturating_sub(BEFORE);
    let before_length = usize::try_from(at.start - from).ok()?;
    let window = sources.window(part, from, before_length + AFTER)?;
    let (before, after) = window.split_at(before_length.min(window.len()));
    around(before, after, from == 0, at, format!("{part}:{}:{}", at.line, at.column), label, room)
}

/// An excerpt from the bytes before a place, and those from it on.
pub(crate) fn around(
    before: &[u8],
    after: &[u8],
    from_start: bool,
    at: At,
    title: String,
    label: String,
    room: usize,
) -> Option<Excerpt> {
    let before = before.strip_prefix(b"\xef\xbb\xbf").filter(|_| from_start).unwrap_or(before);
    let mut lines: Vec<&[u8]> = before.split(|byte| *byte == b'\n').collect();
    let own = lines.pop()?;
    let cut_before = lines.is_empty() && !from_start;
    if !from_start && !lines.is_empty() {
        // The first line of the window may begin in the middle.
        lines.remove(0);
    }
    let above = &lines[lines.len().saturating_sub(ABOVE)..];
    let line_end = after.iter().position(|byte| *byte == b'\n').unwrap_or(after.len());
    let length = usize::try_from(at.end.saturating_sub(at.start)).unwrap_or(usize::MAX);
    let (marked, rest) = after[..line_end].split_at(length.min(line_end));

    let mark = shortened(&readable(marked), WIDEST_MARK.min(room / 2));
    let left = room.saturating_sub(width(&mark)) / 2;
    let lead = tail(&readable(own), left, cut_before);
    let trail = shortened(&readable(rest), room.saturating_sub(width(&lead) + width(&mark)).max(1));
    let mut text = String::new();
    for line in above {
        text.push_str(&shortened(&readable(line), room));
        text.push('\n');
    }
    text.push_str(&lead);
    let start = text.len();
    text.push_str(&mark);
    let end = text.len();
    text.push_str(&trail);
    if mark.is_empty() {
        // At the end of a line there is nothing to mark but the end.
        text.push(' ');
    }
    let first = at.line.saturating_sub(above.len() as u64);
    Some(Excerpt {
        title: plain(&title),
        first_line: usize::try_from(first).unwrap_or(usize::MAX),
        first_shown: None,
        mark: start..end.max(start + 1),
        text,
        label,
    })
}

fn readable(bytes: &[u8]) -> String {
    // The window may begin in the middle of a character.
    let whole = bytes.iter().position(|byte| *byte & 0xc0 != 0x80).unwrap_or(bytes.len()).min(3);
    let bytes = bytes[whole..].strip_suffix(b"\r").unwrap_or(&bytes[whole..]);
    plain(&String::from_utf8_lossy(bytes))
}

/// The end of a text, at most `most` columns of it.
fn tail(text: &str, most: usize, cut: bool) -> String {
    let mut taken = 0;
    let mut start = text.len();
    for (at, letter) in text.char_indices().rev() {
        let mut buffer = [0; 4];
        taken += width(letter.encode_utf8(&mut buffer));
        if taken + 1 > most {
            break;
        }
        start = at;
    }
    if start == 0 && !cut { text.to_owned() } else { format!("…{}", &text[start..]) }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Text<'a>(&'a [u8]);

    impl Sources for Text<'_> {
        fn window(&self, _: &str, start: u64, length: usize) -> Option<Vec<u8>> {
            let start = (start as usize).min(self.0.len());
            Some(self.0[start..(start + length).min(self.0.len())].to_vec())
        }
    }

    fn place(text: &[u8], span: Range<u64>, path: &[&str], key: Option<&str>) -> At {
        let path: Vec<String> = path.iter().map(|step| (*step).to_owned()).collect();
        let span = Span { start: span.start, end: span.end };
        let wanted = Wanted { part: "p", span, path: &path, key };
        Places::find(&[wanted], &Text(text)).get(&wanted).unwrap()
    }

    #[test]
    fn columns_count_characters_from_one() {
        let text = "\u{feff}{\n \"ü\": {\"mark\": \"T1\"}}";
        let start = text.find("{\"mark\"").unwrap() as u64;
        let at = place(text.as_bytes(), start..text.len() as u64, &["mark"], None);
        assert_eq!((at.line, at.column, at.members), (2, 16, 1));
        let first = place(text.as_bytes(), 3..4, &[], None);
        assert_eq!((first.line, first.column), (1, 1));
    }

    #[test]
    fn an_absent_value_is_placed_at_what_should_hold_it() {
        let text = br#"{"mark": "T1", "ends": {"a": {"tail_mm": 1}}}"#;
        let all = 0..text.len() as u64;
        let at = place(text, all.clone(), &["ends", "a", "jack"], Some("mark"));
        assert_eq!(&text[at.start as usize..at.end as usize], b"\"a\"");
        let at = place(text, all.clone(), &["strand"], Some("mark"));
        assert_eq!(&text[at.start as usize..at.end as usize], b"\"T1\"");
        let at = place(text, all, &["strand"], Some("id"));
        assert_eq!((at.start, at.end), (0, 1));
    }

    #[test]
    fn places_beyond_many_chunks_are_counted_right() {
        let mut text = "x\n".repeat(100_000);
        text.push_str("ab{\"k\":1}");
        let start = 200_002;
        let at = place(text.as_bytes(), start..start + 7, &["k"], None);
        assert_eq!((at.line, at.column), (100_001, 8));
    }

    #[test]
    fn a_huge_line_is_cut_to_what_fits() {
        let mut text = vec![b' '; 300_000];
        text.extend_from_slice(b"{\"k\":123}");
        text.extend_from_slice(&[b'y'; 100_000]);
        let at = place(&text, 300_000..300_009, &["k"], None);
        assert_eq!(at.column, 300_006);
        let excerpt = excerpt("p", at, "k".to_owned(), &Text(&text), 80).unwrap();
        assert_eq!(&excerpt.text[excerpt.mark.clone()], "123");
        assert!(width(&excerpt.text) <= 80, "{}", width(&excerpt.text));
        assert!(excerpt.text.starts_with('…') && excerpt.text.ends_with('…'));
    }

    #[test]
    fn two_lines_above_are_shown() {
        let text = b"zero\none\ntwo\nthree {\"k\": 1}\nfour";
        let start = 19;
        let at = place(text, start..start + 8, &["k"], None);
        let excerpt = excerpt("p", at, "k".to_owned(), &Text(text), 80).unwrap();
        assert_eq!(excerpt.text, "one\ntwo\nthree {\"k\": 1}");
        assert_eq!(excerpt.first_line, 2);
    }
}
