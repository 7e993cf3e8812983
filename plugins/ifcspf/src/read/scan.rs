//! Finds the instances of a file, and what each is.

use std::ops::Range;

use restrand_ifc::read::{Found, Model, Stand, place};
use restrand_ifc::terms::Kind;
use restrand_ifc::{Entity, Value};
use restrand_model::reading::{Place, Problem, ProblemKind, Span};

use super::parse::{Arguments, number_of};
use super::text::decode;

/// An instance.
#[derive(Debug, Clone, Copy)]
struct Instance {
    number: u64,
    /// Its first byte.
    start: u64,
    /// Bytes up to its semicolon.
    length: u32,
    kind: Kind,
}

/// How places in the file are told.
pub(crate) enum Lines {
    /// By bytes of the part.
    Bytes,
    /// By lines, where nobody can look at the bytes again: the first byte of each line after the first.
    Starts(Vec<u64>),
}

/// A file whose instances are known.
pub(crate) struct Scanned<'a> {
    part: String,
    bytes: &'a [u8],
    lines: Lines,
    depth: u32,
    schema: String,
    /// The instances that a schedule may need, by number.
    instances: Vec<Instance>,
    /// The numbers of all others.
    others: Vec<u64>,
    problems: Vec<Problem>,
    /// Whether the file said that it ends.
    ended: bool,
}

/// What a file is not that it should be.
pub(crate) struct NotOne {
    pub(crate) at: usize,
    pub(crate) why: String,
    pub(crate) help: String,
}

impl<'a> Scanned<'a> {
    /// Looks over the file.
    pub(crate) fn of(
        part: String,
        bytes: &'a [u8],
        lines: Lines,
        depth: u32,
    ) -> Result<Self, NotOne> {
        let scanned = Self {
            part,
            bytes,
            lines,
            depth,
            schema: String::new(),
            instances: Vec::new(),
            others: Vec::new(),
            problems: Vec::new(),
            ended: false,
        };
        scanned.scan()
    }

    fn scan(mut self) -> Result<Self, NotOne> {
        let mut statements = Statements { bytes: self.bytes, at: 0 };
        if self.bytes.starts_with(b"\xef\xbb\xbf") {
            statements.at = 3;
        }
        let first = statements.next();
        if !first.is_some_and(|(start, end)| {
            self.bytes[start..end].trim_ascii().eq_ignore_ascii_case(b"ISO-10303-21")
        }) {
            return Err(NotOne {
                at: 0,
                why: "it does not begin with ISO-10303-21, as a STEP physical file does".to_owned(),
                help: "save the model as IFC once more".to_owned(),
            });
        }
        let mut in_data = false;
        let mut seen_data = false;
        while let Some((start, end)) = statements.next() {
            let statement = &self.bytes[start..end];
            if statement.first() == Some(&b'#') {
                if in_data {
                    if self.bytes[end] != b';' {
                        self.problem(
                            ProblemKind::ValueDoubtful,
                            start,
                            end,
                            "it has no semicolon at its end, or a text in it has no end; it is taken to end \
                             before the next one",
                            "correct it, or save the model once more",
                        );
                    }
                    self.instance(start, end);
                } else {
                    self.wrong(start, end, "an instance stands outside the section DATA");
                }
                continue;
            }
            let name = word(statement);
            if name.eq_ignore_ascii_case(b"DATA") {
                in_data = true;
                seen_data = true;
            } else if name.eq_ignore_ascii_case(b"ENDSEC") {
                in_data = false;
            } else if name.eq_ignore_ascii_case(b"FILE_SCHEMA") {
                self.schema = schema_of(&statement[name.len()..]);
            } else if name.eq_ignore_ascii_case(b"END-ISO-10303-21") {
                self.ended = true;
                break;
            } else if in_data {
                self.wrong(start, end, "it is no instance, which begins with # and its number");
            }
        }
        if !seen_data {
            return Err(NotOne {
                at: self.bytes.len(),
                why: "it has no section DATA, in which the model stands".to_owned(),
                help: "the file may have been cut short; save or send it once more".to_owned(),
            });
        }
        if !self.ended {
            let rest = statements.at.min(self.bytes.len());
            let end = self.bytes.len();
            self.problem(
                ProblemKind::RecordLost,
                rest,
                end,
                "the file ends before it says END-ISO-10303-21, so that what followed is lost",
                "the file may have been cut short; save or send it once more",
            );
        }
        self.sort();
        Ok(self)
    }

    /// Notes an instance: its number, and what it is.
    fn instance(&mut self, start: usize, end: usize) {
        let statement = &self.bytes[start..end];
        let digits = statement[1..].iter().position(|byte| !byte.is_ascii_digit());
        let digits = digits.map_or(statement.len(), |length| length + 1);
        let number = match number_of(&statement[1..digits]) {
            Ok(number) => number,
            Err(why) => return self.wrong(start, end, &why),
        };
        let mut at = skip(statement, digits);
        if statement.get(at) != Some(&b'=') {
            return self.wrong(start, end, "no = follows its number");
        }
        at = skip(statement, at + 1);
        let name = word(&statement[at..]);
        if name.is_empty() && statement.get(at) != Some(&b'(') {
            return self.wrong(start, end, "no name of an entity follows the =");
        }
        let kind = Kind::of_upper(name).or_else(|| {
            // Names are written in upper case; a writer that does not is understood.
            let is_lower = name.iter().any(u8::is_ascii_lowercase);
            is_lower.then(|| Kind::of_upper(&name.to_ascii_uppercase())).flatten()
        });
        match kind {
            Some(kind) => {
                let length = u32::try_from(end - start).unwrap_or(u32::MAX);
                self.instances.push(Instance { number, start: start as u64, length, kind });
            }
            None => self.others.push(number),
        }
    }

    /// Brings the instances in order, and finds numbers that stand twice.
    fn sort(&mut self) {
        if !self.instances.is_sorted_by_key(|instance| instance.number) {
            self.instances.sort_by_key(|instance| instance.number);
        }
        if !self.others.is_sorted() {
            self.others.sort_unstable();
        }
        let mut twice = Vec::new();
        self.instances.dedup_by(|later, first| {
            let same = later.number == first.number;
            if same {
                twice.push((later.number, later.start));
            }
            same
        });
        for (number, start) in twice {
            let start = usize::try_from(start).unwrap_or(usize::MAX);
            let end = end_of(self.bytes, start);
            self.problem(
                ProblemKind::RecordLost,
                start,
                end,
                &format!("the number #{number} stands twice; the first holds"),
                "give each instance a number of its own; nothing of this one is read",
            );
        }
    }

    fn wrong(&mut self, start: usize, end: usize, why: &str) {
        self.problem(
            ProblemKind::RecordLost,
            start,
            end,
            why,
            "correct it, or save the model once more; nothing of it is read",
        );
    }

    fn problem(&mut self, kind: ProblemKind, start: usize, end: usize, why: &str, help: &str) {
        let given = &self.bytes[start.min(end)..end.min(start + 160).min(self.bytes.len())];
        self.problems.push(Problem {
            kind,
            place: self.place_of(start, end),
            record: restrand_model::reading::Origin::default(),
            subject: "instance".to_owned(),
            given: (!given.is_empty()).then(|| String::from_utf8_lossy(given).trim().to_owned()),
            why: why.to_owned(),
            help: help.to_owned(),
        });
    }

    fn stand_of(&self, start: usize, end: usize) -> Stand {
        match &self.lines {
            Lines::Bytes => Stand::Span(Span { start: start as u64, end: end as u64 }),
            Lines::Starts(starts) => {
                let line = starts.partition_point(|begin| *begin <= start as u64);
                Stand::Line(u32::try_from(line).unwrap_or(u32::MAX))
            }
        }
    }

    fn place_of(&self, start: usize, end: usize) -> Place {
        place(&self.part, self.stand_of(start, end))
    }

    /// The file.
    pub(crate) const fn bytes(&self) -> &'a [u8] {
        self.bytes
    }

    /// The greatest number of an instance, of whatever kind; zero without any.
    pub(crate) fn greatest(&self) -> u64 {
        let known = self.instances.last().map_or(0, |instance| instance.number);
        known.max(self.others.last().copied().unwrap_or(0))
    }

    /// The last byte of the instances that are known; the first byte of the file without any.
    pub(crate) fn last(&self) -> usize {
        (0..self.instances.len()).map(|at| self.statement(at).1).max().unwrap_or(0)
    }

    /// The stretch of an argument of an instance, by its position.
    pub(crate) fn argument(&self, at: usize, position: usize) -> Option<Range<usize>> {
        let (start, end) = self.statement(at);
        let statement = &self.bytes[start..end];
        let arguments = arguments(statement);
        let stretches = Arguments::new(&statement[arguments..], self.depth).stretches().ok()?;
        let stretch = stretches.get(position)?;
        let before = start + arguments;
        Some(before + stretch.start..before + stretch.end)
    }

    /// The first byte of an instance, and that of its semicolon.
    pub(crate) fn statement(&self, at: usize) -> (usize, usize) {
        let Instance { start, length, .. } = self.instances[at];
        let start = usize::try_from(start).unwrap_or(usize::MAX);
        match usize::try_from(length) {
            Ok(length) if length < u32::MAX as usize => (start, start + length),
            // Longer ones are rare enough to be looked through again.
            _ => (start, end_of(self.bytes, start)),
        }
    }
}

impl Model for Scanned<'_> {
    fn part(&self) -> &str {
        &self.part
    }

    fn count(&self) -> usize {
        self.instances.len()
    }

    fn kind(&self, at: usize) -> Kind {
        self.instances[at].kind
    }

    fn entity(&self, at: usize) -> Result<Entity<'_>, String> {
        let kind = self.instances[at].kind;
        let (start, end) = self.statement(at);
        let statement = &self.bytes[start..end];
        let attributes = Arguments::new(&statement[arguments(statement)..], self.depth).read()?;
        Ok(Entity { kind, attributes })
    }

    fn find(&self, number: u64) -> Found {
        // Numbers often run without a gap, so that the position follows from them.
        let first = self.instances.first().map_or(0, |instance| instance.number);
        if let Some(at) = number.checked_sub(first).and_then(|at| usize::try_from(at).ok())
            && self.instances.get(at).is_some_and(|instance| instance.number == number)
        {
            return Found::At(at);
        }
        if let Ok(at) = self.instances.binary_search_by_key(&number, |instance| instance.number) {
            Found::At(at)
        } else if self.others.binary_search(&number).is_ok() {
            Found::Other
        } else {
            Found::Nothing
        }
    }

    fn stand(&self, at: usize) -> Stand {
        let (start, end) = self.statement(at);
        self.stand_of(start, end)
    }

    fn name(&self, number: u64) -> String {
        format!("#{number}")
    }

    fn number(&self, at: usize) -> u64 {
        self.instances[at].number
    }

    fn schema(&self) -> &str {
        &self.schema
    }

    fn problems(&self) -> Vec<Problem> {
        self.problems.clone()
    }
}

/// Where the arguments of an instance begin, of which what stands before them was looked at.
fn arguments(statement: &[u8]) -> usize {
    let equals = memchr::memchr(b'=', statement).unwrap_or(0) + 1;
    let name = skip(statement, equals);
    name + word(&statement[name..]).len()
}

/// The first name in the brackets of `FILE_SCHEMA`.
fn schema_of(arguments: &[u8]) -> String {
    match Arguments::new(arguments, super::parse::DEEPEST).read() {
        Ok(values) => match values.first() {
            Some(Value::List(names)) => {
                names.first().and_then(Value::text).unwrap_or_default().to_owned()
            }
            Some(name) => name.text().unwrap_or_default().to_owned(),
            None => String::new(),
        },
        Err(_) => decode(arguments).trim_matches(['(', ')', '\'', ' ']).to_owned(),
    }
}

/// Statements, each without its semicolon.
struct Statements<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Statements<'_> {
    /// The next statement that has an end.
    fn next(&mut self) -> Option<(usize, usize)> {
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
fn end_of(bytes: &[u8], start: usize) -> usize {
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
fn begins_instance(bytes: &[u8]) -> bool {
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

/// Steps over spaces and comments.
fn skip(bytes: &[u8], mut at: usize) -> usize {
    while let Some(byte) = bytes.get(at) {
        if byte.is_ascii_whitespace() || *byte < b' ' {
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
fn word(bytes: &[u8]) -> &[u8] {
    let end = bytes
        .iter()
        .position(|byte| !(byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-')))
        .unwrap_or(bytes.len());
    &bytes[..end]
}
