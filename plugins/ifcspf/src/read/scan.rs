//! Finds the instances of a file, and what each is.

use std::ops::Range;

use restrand_ifc::read::{Found, Model, Slot, Stand, place};
use restrand_ifc::terms::Kind;
use restrand_ifc::{Entity, Value};
use restrand_model::reading::{Place, Problem, ProblemKind, Span};

use super::parse::Arguments;
use super::pieces::{Instance, Note, look_over};
use super::statements::{Statements, end_of, skip, word};
use super::text::decode;

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
    /// The same as a text, if the whole of it is one.
    text: Option<&'a str>,
    lines: Lines,
    depth: u32,
    schema: String,
    /// The first byte of what states it, and that of its semicolon.
    schema_at: Option<(usize, usize)>,
    /// The instances that a schedule may need, by number.
    instances: Vec<Instance>,
    /// The numbers of all others.
    others: Vec<u64>,
    /// What stands behind each number from the first on, where the numbers lie close together.
    close: Vec<Slot>,
    problems: Vec<Problem>,
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
            text: std::str::from_utf8(bytes).ok(),
            lines,
            depth,
            schema: String::new(),
            schema_at: None,
            instances: Vec::new(),
            others: Vec::new(),
            close: Vec::new(),
            problems: Vec::new(),
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
        let mut found = look_over(self.bytes, statements.at);
        self.instances = std::mem::take(&mut found.instances);
        self.others = std::mem::take(&mut found.others);
        self.schema_at = found.schema;
        self.schema = found.schema.map_or_else(String::new, |(start, end)| {
            let statement = &self.bytes[start..end];
            schema_of(&statement[word(statement).len()..])
        });
        for Note { kind, start, end, why, help } in std::mem::take(&mut found.notes) {
            self.problem(kind, start, end, &why, help);
        }
        if !found.has_data {
            return Err(NotOne {
                at: self.bytes.len(),
                why: "it has no section DATA, in which the model stands".to_owned(),
                help: "the file may have been cut short; save or send it once more".to_owned(),
            });
        }
        if !found.has_ended {
            let rest = found.next.min(self.bytes.len());
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
        self.note_close();
    }

    /// Notes what stands behind each number, if the numbers run with few gaps, as programs write them.
    fn note_close(&mut self) {
        let count = self.instances.len() + self.others.len();
        let greatest = self.greatest().checked_sub(self.first());
        let span = greatest.and_then(|span| usize::try_from(span).ok()).unwrap_or(usize::MAX);
        if span / 2 > count || u32::try_from(count).is_err() {
            return;
        }
        let first = self.first();
        let mut close = vec![Slot::NOTHING; span + 1];
        let mut put = |number: u64, slot: Slot| {
            if let Some(known) =
                number.checked_sub(first).and_then(|at| close.get_mut(usize::try_from(at).ok()?))
            {
                *known = slot;
            }
        };
        for number in &self.others {
            put(*number, Slot::OTHER);
        }
        for (at, instance) in self.instances.iter().enumerate() {
            put(instance.number, Slot::at(at));
        }
        self.close = close;
    }

    /// The least number of an instance, of whatever kind; zero without any.
    fn first(&self) -> u64 {
        let known = self.instances.first().map(|instance| instance.number);
        known.into_iter().chain(self.others.first().copied()).min().unwrap_or(0)
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
        let Instance { kind, arguments: before, .. } = self.instances[at];
        let (start, end) = self.statement(at);
        let statement = &self.bytes[start..end];
        let before = match usize::from(before) {
            Instance::FAR => arguments(statement),
            before => before,
        };
        let arguments = match self.text.and_then(|text| text.get(start + before..end)) {
            Some(text) => Arguments::of(text.as_bytes(), Some(text), self.depth),
            None => Arguments::new(&statement[before..], self.depth),
        };
        let attributes = arguments.read(kind.info().len())?;
        Ok(Entity { kind, attributes })
    }

    fn find(&self, number: u64) -> Found {
        if !self.close.is_empty() {
            let at = number.checked_sub(self.first()).and_then(|at| usize::try_from(at).ok());
            let close = at.and_then(|at| self.close.get(at));
            return close.map_or(Found::Nothing, |close| close.found());
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

    fn schema_stand(&self) -> Option<Stand> {
        self.schema_at.map(|(start, end)| self.stand_of(start, end))
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
    match Arguments::new(arguments, super::parse::DEEPEST).read(1) {
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
