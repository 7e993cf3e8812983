//! From a text to records: which line each begins on, and which of its values stand in quotes.
//!
//! What a quote or a line end means is the csv crate's to say ([`csv_core`]); this module feeds it, counts
//! lines, and looks at the quotes of each record once more: one that was left open would swallow the lines
//! below it, and one that stands inside a value would vanish from it.

use std::io::{self, Read};

use csv_core::{ReadFieldResult, ReadRecordResult, Reader, ReaderBuilder};

/// Lines that one record may span: more than any remark has.
const MOST_LINES: u32 = 1_000;
/// Bytes that a record of several lines may have.
const LONGEST_ACROSS: usize = 2 * 1024 * 1024;
/// Bytes that a record of one line may have.
const LONGEST: usize = 64 * 1024 * 1024;
/// Values of a record from which on chance does not give each of its lines as many.
const LEAST_WIDTH: usize = 4;

/// What came next in the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    /// A record, which [`Records::fields`] gives.
    Record,
    /// A line whose quotes do not close where they should; the lines below it are read by themselves.
    Stray,
    /// A line longer than can be read.
    TooLong,
    /// The end.
    End,
}

/// A value of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Field<'a> {
    /// Its text, without the quotes round it.
    pub(crate) text: &'a str,
    /// Whether it stands in quotes.
    pub(crate) quoted: bool,
}

/// Reads records from a text in UTF-8.
pub(crate) struct Records<R> {
    text: R,
    delimiter: u8,
    core: Reader,
    buffer: Vec<u8>,
    /// What of the buffer is filled and not yet passed.
    start: usize,
    end: usize,
    at_end: bool,
    /// The line at `start`, from zero.
    line: u32,
    /// The line on which the last record began.
    began: u32,
    /// Values in the row of headers, once it is known.
    width: Option<usize>,
    /// The values of the last record one behind the other, where each ends, and which are quoted.
    values: Vec<u8>,
    ends: Vec<usize>,
    count: usize,
    quoted: Vec<bool>,
}

/// How an attempt to read a record ended.
enum Attempt {
    /// The record takes so many bytes.
    Whole(usize),
    /// It goes on beyond the buffer.
    More,
    /// Nothing is left.
    Nothing,
}

impl<R: Read> Records<R> {
    pub(crate) fn new(text: R, delimiter: u8) -> Self {
        const FIRST: usize = 128 * 1024;
        Self {
            text,
            delimiter,
            core: ReaderBuilder::new().delimiter(delimiter).build(),
            buffer: vec![0; FIRST],
            start: 0,
            end: 0,
            at_end: false,
            line: 0,
            began: 0,
            width: None,
            values: vec![0; 4096],
            ends: vec![0; 64],
            count: 0,
            quoted: Vec::new(),
        }
    }

    /// The line on which the last record, or the last stray line, began; from zero.
    pub(crate) const fn began(&self) -> u32 {
        self.began
    }

    /// Says that the last record is the row of headers.
    pub(crate) const fn is_headers(&mut self) {
        self.width = Some(self.count);
    }

    /// How many values the last record has.
    pub(crate) const fn width(&self) -> usize {
        self.count
    }

    /// How many values the row of headers has.
    pub(crate) fn headers(&self) -> usize {
        self.width.unwrap_or(0)
    }

    /// Whether the last record says something behind the last header.
    pub(crate) fn has_beyond(&self) -> bool {
        self.width.is_some_and(|width| self.count > width) && self.beyond().is_some()
    }

    /// The first value behind the last header, and its position.
    pub(crate) fn beyond(&self) -> Option<(usize, &str)> {
        let behind = self.fields().map(|field| field.text).enumerate().skip(self.headers());
        behind.into_iter().find(|(_, text)| !text.trim().is_empty())
    }

    /// The values of the last record.
    pub(crate) fn fields(&self) -> impl Iterator<Item = Field<'_>> {
        let mut from = 0;
        self.ends[..self.count].iter().enumerate().map(move |(index, end)| {
            let bytes = &self.values[from..*end];
            from = *end;
            Field {
                // Values were found whole, or the record would have been refused.
                text: std::str::from_utf8(bytes).unwrap_or_default(),
                quoted: self.quoted.get(index).copied().unwrap_or(false),
            }
        })
    }

    /// Passes over the first line, which is no record.
    pub(crate) fn pass_line(&mut self) -> io::Result<()> {
        loop {
            let rest = &self.buffer[self.start..self.end];
            match rest.iter().position(|byte| matches!(byte, b'\n' | b'\r')) {
                Some(at) => {
                    self.start += at;
                    return self.pass_line_end();
                }
                None if self.at_end => {
                    self.start = self.end;
                    return Ok(());
                }
                None => self.fill()?,
            }
        }
    }

    /// Goes on to the next record.
    ///
    /// # Errors
    /// The text cannot be read.
    pub(crate) fn advance(&mut self) -> io::Result<Step> {
        self.pass_blank_lines()?;
        self.began = self.line;
        self.count = 0;
        self.quoted.clear();
        loop {
            match self.attempt() {
                Attempt::Nothing => return Ok(Step::End),
                Attempt::Whole(length) => return self.take(length),
                Attempt::More => {
                    let open = &self.buffer[self.start..self.end];
                    let lines = breaks(open);
                    if lines > MOST_LINES || (lines > 0 && open.len() > LONGEST_ACROSS) {
                        return self.stray();
                    }
                    if open.len() > LONGEST {
                        return Ok(Step::TooLong);
                    }
                    self.fill()?;
                }
            }
        }
    }

    /// Takes a record of so many bytes, if its quotes are in order.
    fn take(&mut self, length: usize) -> io::Result<Step> {
        let raw = &self.buffer[self.start..self.start + length];
        let has_quotes = raw.contains(&b'"');
        if std::str::from_utf8(&self.values[..self.values_length()]).is_err() {
            return Err(io::Error::new(
                io::ErrorKind::InvalidData,
                "the text changed while it was read",
            ));
        }
        if has_quotes {
            let lines = breaks(without_line_end(raw)) + 1;
            if lines > MOST_LINES || (lines > 1 && self.is_made_of_rows(without_line_end(raw))) {
                return self.stray();
            }
            if !self.look_at_quotes(length) {
                return self.stray();
            }
            self.line = self.line.saturating_add(lines - 1);
        }
        let ending = {
            let raw = &self.buffer[self.start..self.start + length];
            raw.len() - without_line_end(raw).len()
        };
        self.start += length - ending;
        self.pass_line_end()?;
        Ok(Step::Record)
    }

    fn values_length(&self) -> usize {
        self.count.checked_sub(1).map_or(0, |last| self.ends[last])
    }

    /// Whether each of the lines has as many values as the headers, if its quotes are taken for letters.
    fn is_made_of_rows(&self, raw: &[u8]) -> bool {
        let Some(width) = self.width.filter(|width| *width >= LEAST_WIDTH) else { return false };
        raw.split(|byte| matches!(byte, b'\n' | b'\r'))
            .filter(|line| !line.is_empty())
            .all(|line| line.iter().filter(|byte| **byte == self.delimiter).count() + 1 == width)
    }

    /// Reads the record once more, value by value: a value whose quotes do not stand round the whole of it is
    /// taken as it stands; gives false if such quotes go over the end of a line.
    fn look_at_quotes(&mut self, length: usize) -> bool {
        let raw = &self.buffer[self.start..self.start + length];
        let mut core = ReaderBuilder::new().delimiter(self.delimiter).build();
        let (mut at, mut filled, mut count) = (0, 0, 0);
        let mut begin = 0;
        // A value taken as it stands has more letters than it has without its quotes, but not more than the
        // record.
        if self.values.len() < 2 * length {
            self.values.resize(2 * length, 0);
        }
        self.quoted.clear();
        loop {
            let (result, read, written) = core.read_field(&raw[at..], &mut self.values[filled..]);
            at += read;
            let last = match result {
                // Fed the end of the record, the reader gives the last value.
                ReadFieldResult::InputEmpty if read > 0 => {
                    filled += written;
                    continue;
                }
                ReadFieldResult::InputEmpty
                | ReadFieldResult::OutputFull
                | ReadFieldResult::End => {
                    break;
                }
                ReadFieldResult::Field { record_end } => record_end,
            };
            filled += written;
            let ends = if last { without_line_end(&raw[begin..at]) } else { &raw[begin..at - 1] };
            let value_begin = count_end(&self.ends, count);
            let quoted = match quotes(ends) {
                Quotes::None => false,
                Quotes::Round => true,
                Quotes::Amiss if breaks(ends) > 0 => return false,
                Quotes::Amiss => {
                    filled = value_begin + ends.len();
                    self.values[value_begin..filled].copy_from_slice(ends);
                    false
                }
            };
            if self.ends.len() <= count {
                self.ends.resize(count + 64, 0);
            }
            self.ends[count] = filled;
            self.quoted.push(quoted);
            count += 1;
            begin = at;
            if last {
                break;
            }
        }
        self.count = count;
        true
    }

    /// Passes over the line at which the record begins.
    fn stray(&mut self) -> io::Result<Step> {
        self.pass_line()?;
        self.count = 0;
        Ok(Step::Stray)
    }

    /// Feeds the reader with what the buffer holds.
    fn attempt(&mut self) -> Attempt {
        if self.start == self.end && self.at_end {
            return Attempt::Nothing;
        }
        self.core.reset();
        let (mut at, mut filled, mut count) = (self.start, 0, 0);
        loop {
            let (result, read, written, ended) = self.core.read_record(
                &self.buffer[at..self.end],
                &mut self.values[filled..],
                &mut self.ends[count..],
            );
            at += read;
            filled += written;
            count += ended;
            match result {
                ReadRecordResult::InputEmpty if !self.at_end => return Attempt::More,
                // Fed nothing, the reader ends the record.
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::OutputFull => self.values.resize(2 * self.values.len(), 0),
                ReadRecordResult::OutputEndsFull => self.ends.resize(2 * self.ends.len(), 0),
                ReadRecordResult::Record => {
                    self.count = count;
                    return Attempt::Whole(at - self.start);
                }
                ReadRecordResult::End => return Attempt::Nothing,
            }
        }
    }

    fn pass_blank_lines(&mut self) -> io::Result<()> {
        loop {
            if self.start == self.end {
                if self.at_end {
                    return Ok(());
                }
                self.fill()?;
                continue;
            }
            if !matches!(self.buffer[self.start], b'\n' | b'\r') {
                return Ok(());
            }
            self.pass_line_end()?;
        }
    }

    /// Passes over one end of a line, of one byte or of two.
    fn pass_line_end(&mut self) -> io::Result<()> {
        if self.start == self.end {
            return Ok(());
        }
        let first = self.buffer[self.start];
        self.start += 1;
        self.line = self.line.saturating_add(1);
        if first == b'\r' {
            while self.start == self.end && !self.at_end {
                self.fill()?;
            }
            if self.start < self.end && self.buffer[self.start] == b'\n' {
                self.start += 1;
            }
        }
        Ok(())
    }

    /// Reads more of the text into the buffer, which grows if it is full.
    fn fill(&mut self) -> io::Result<()> {
        if self.start > 0 {
            self.buffer.copy_within(self.start..self.end, 0);
            self.end -= self.start;
            self.start = 0;
        }
        if self.end == self.buffer.len() {
            self.buffer.resize(2 * self.buffer.len(), 0);
        }
        while self.end < self.buffer.len() {
            match self.text.read(&mut self.buffer[self.end..]) {
                Ok(0) => {
                    self.at_end = true;
                    break;
                }
                Ok(count) => self.end += count,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }
}

fn count_end(ends: &[usize], count: usize) -> usize {
    count.checked_sub(1).map_or(0, |last| ends[last])
}

/// How the quotes of a value stand.
enum Quotes {
    /// It does not begin with one.
    None,
    /// Round the whole of it, each one inside doubled.
    Round,
    /// Otherwise.
    Amiss,
}

fn quotes(raw: &[u8]) -> Quotes {
    let Some(inside) = raw.strip_prefix(b"\"") else { return Quotes::None };
    let Some(inside) = inside.strip_suffix(b"\"") else { return Quotes::Amiss };
    let mut bytes = inside.iter();
    while let Some(byte) = bytes.next() {
        if *byte == b'"' && bytes.next() != Some(&b'"') {
            return Quotes::Amiss;
        }
    }
    Quotes::Round
}

fn without_line_end(raw: &[u8]) -> &[u8] {
    raw.strip_suffix(b"\r\n")
        .or_else(|| raw.strip_suffix(b"\n"))
        .or_else(|| raw.strip_suffix(b"\r"))
        .unwrap_or(raw)
}

/// How many ends of lines there are.
fn breaks(raw: &[u8]) -> u32 {
    let mut count = 0_u32;
    let mut before = 0;
    for byte in raw {
        if *byte == b'\r' || (*byte == b'\n' && before != b'\r') {
            count = count.saturating_add(1);
        }
        before = *byte;
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    type Read = Vec<(u32, Vec<String>)>;

    fn read_wide(text: &[u8], delimiter: u8, width: Option<usize>) -> (Read, Vec<u32>) {
        let mut records = Records::new(text, delimiter);
        records.width = width;
        let (mut read, mut stray) = (Vec::new(), Vec::new());
        loop {
            match records.advance().unwrap() {
                Step::Record => read.push((
                    records.began(),
                    records.fields().map(|field| field.text.to_owned()).collect(),
                )),
                Step::Stray => stray.push(records.began()),
                Step::TooLong => panic!("too long"),
                Step::End => return (read, stray),
            }
        }
    }

    fn read(text: &str) -> Read {
        let (read, stray) = read_wide(text.as_bytes(), b',', None);
        assert!(stray.is_empty(), "{text}: {stray:?}");
        read
    }

    fn row(line: u32, values: &[&str]) -> (u32, Vec<String>) {
        (line, values.iter().map(|value| (*value).to_owned()).collect())
    }

    #[test]
    fn lines_are_counted_whatever_ends_them() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["", "", "a,b", "", "1,\"x,\ny\"", "2,", "3"].join(end);
            assert_eq!(
                read(&text),
                [row(2, &["a", "b"]), row(4, &["1", "x,\ny"]), row(6, &["2", ""]), row(7, &["3"])],
                "{end:?}"
            );
        }
        assert_eq!(
            read("a\r\nb\rc\n\rd"),
            [row(0, &["a"]), row(1, &["b"]), row(2, &["c"]), row(4, &["d"])]
        );
    }

    #[test]
    fn quotes_that_are_letters_stay() {
        assert_eq!(
            read("4'-6\",\"A\" frame,\"3/4\"\" rod\",\"\"\n"),
            [row(0, &["4'-6\"", "\"A\" frame", "3/4\" rod", ""])]
        );
        let text = "a,\"A\" x,\"b\"";
        let mut records = Records::new(text.as_bytes(), b',');
        assert_eq!(records.advance().unwrap(), Step::Record);
        let quoted: Vec<_> = records.fields().map(|field| field.quoted).collect();
        assert_eq!(quoted, [false, false, true]);
    }

    #[test]
    fn an_open_quote_costs_its_line_and_no_other() {
        for (text, width, stray, left) in [
            // Never closed.
            ("a,b\nc,\"d\ne,f\ng,h", None, vec![1], vec![0, 2, 3]),
            // Closed by the quote that opens another value.
            ("a,\"b\nc,\"d, e\"\nf,g", None, vec![0], vec![1, 2]),
            // Ditto marks, which close each other: each line has as many values as the headers.
            ("a,\",c,d\nb,\",c,d\ne,f,g,h", Some(4), vec![0, 1], vec![2]),
        ] {
            let (read, lost) = read_wide(text.as_bytes(), b',', width);
            assert_eq!(lost, stray, "{text}");
            assert_eq!(read.iter().map(|(line, _)| *line).collect::<Vec<_>>(), left, "{text}");
        }
        let long = format!("a,\"b{}\nlast,row", "\nx".repeat(2_000));
        let (read, lost) = read_wide(long.as_bytes(), b',', None);
        assert_eq!(lost, [0]);
        assert_eq!(read.last(), Some(&row(2_001, &["last", "row"])));
    }

    #[test]
    fn a_remark_of_several_lines_is_one_value() {
        let text = "T1,\"first, line\nsecond, line\n\nlast\",19,x\nT2,,20,y\n";
        let (read, stray) = read_wide(text.as_bytes(), b',', Some(4));
        assert!(stray.is_empty());
        assert_eq!(read[0], row(0, &["T1", "first, line\nsecond, line\n\nlast", "19", "x"]));
        assert_eq!(read[1].0, 4);
    }

    #[test]
    fn long_values_and_many_of_them_are_read() {
        let text = format!("{},\"{}\"\nb", "x".repeat(200_000), "y\"\"".repeat(200_000));
        let read = read(&text);
        assert_eq!(read[0].1[0].len(), 200_000);
        assert_eq!(read[0].1[1].len(), 400_000);
        assert_eq!(read[1], row(1, &["b"]));
        let wide = "1,".repeat(1_000_000);
        let (read, _) = read_wide(wide.as_bytes(), b',', None);
        assert_eq!(read[0].1.len(), 1_000_001);
    }

    proptest! {
        #[test]
        fn any_text_is_read_to_its_end(text in "[ab\",;\n\r\u{e9}]{0,60}", width in 0usize..6) {
            let (read, _) = read_wide(text.as_bytes(), b',', Some(width));
            for pair in read.windows(2) {
                prop_assert!(pair[0].0 < pair[1].0, "{:?}", read);
            }
        }

        #[test]
        fn what_is_quoted_by_the_book_reads_back(
            rows in prop::collection::vec(prop::collection::vec("[ab\",\n\r\u{e9} ]{0,6}", 3), 1..5)
        ) {
            let text: String = rows
                .iter()
                .map(|row| {
                    let row: Vec<_> =
                        row.iter().map(|v| format!("\"{}\"", v.replace('"', "\"\""))).collect();
                    row.join(",") + "\r\n"
                })
                .collect();
            let read: Vec<_> = read(&text).into_iter().map(|(_, row)| row).collect();
            prop_assert_eq!(read, rows);
        }
    }
}
