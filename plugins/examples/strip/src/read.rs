//! From lines to frames.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read};

use restrand_kit::{At, Budget, Frame, Frames, LoadError, PartReader, Parts, RecordFrame, Stopped};
use restrand_model::reading::{Origin, Place, Problem, ProblemKind, Span, Table};
use restrand_model::reflect::Shape;
use restrand_model::schedule::Schedule;
use restrand_model::value::{Fields, Name, Value};

use crate::HEAD;

/// Bytes of a line above which it is no record.
const LONGEST_LINE: u64 = 1 << 20;

pub(crate) fn load(
    parts: Parts<'_>,
    budget: Budget,
    frames: &mut dyn Frames,
) -> Result<(), LoadError> {
    let Some(part) = parts.main() else {
        return Err(LoadError::Medium(std::io::Error::other("there is no part")));
    };
    let name = part.name();
    let mut lines = BufReader::new(PartReader::new(part));
    let mut reading =
        Reading { part: name, depth: budget.depth, frames, tables: BTreeMap::new(), records: 0 };
    let mut start = 0;
    let mut line = Vec::new();
    loop {
        line.clear();
        let count = (&mut lines).take(LONGEST_LINE).read_until(b'\n', &mut line)? as u64;
        let span = Span { start, end: start + count };
        if start == 0 && line.trim_ascii() != HEAD.as_bytes() {
            return Err(unreadable(name, "its first line is not \"strip 1\"".to_owned()));
        }
        if count == 0 {
            return Ok(());
        }
        if count == LONGEST_LINE {
            return Err(unreadable(name, format!("a line is longer than {LONGEST_LINE} bytes")));
        }
        if start > 0 {
            reading.line(&line, span)?;
        }
        start += count;
    }
}

fn unreadable(part: &str, why: String) -> LoadError {
    LoadError::Unreadable {
        place: Place::Part { part: part.to_owned() },
        why,
        help: "write the strip again with restrand".to_owned(),
    }
}

struct Reading<'a> {
    part: &'a str,
    depth: u32,
    frames: &'a mut dyn Frames,
    /// The number of the table of each list.
    tables: BTreeMap<&'static str, u32>,
    records: u32,
}

impl Reading<'_> {
    fn line(&mut self, line: &[u8], span: Span) -> Result<(), LoadError> {
        let Ok(line) = std::str::from_utf8(line) else {
            return Ok(self.lost(span, "it is not UTF-8")?);
        };
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            return Ok(());
        }
        let (list, rest) = line.split_once(' ').unwrap_or((line, ""));
        let field = Schedule::INFO
            .field(list)
            .filter(|field| matches!(field.shape, Shape::Record(_) | Shape::Records(_)));
        let Some(field) = field else {
            return Ok(self.lost(span, "it does not begin with the name of a list")?);
        };
        let mut fields = Fields::new();
        let mut rest = rest.trim_start();
        while !rest.is_empty() {
            let Some((way, value, after)) = value(rest) else {
                return Ok(self.lost(span, "a value in it is not as way=value")?);
            };
            let way: Vec<&str> = way.split('.').collect();
            if way.len() > self.depth as usize {
                return Err(unreadable(self.part, "it is nested deeper than is read".to_owned()));
            }
            if put(&mut fields, &way, value).is_none() {
                return Ok(self.lost(span, "a value in it stands where another is")?);
            }
            rest = after.trim_start();
        }
        let table = self.table(field.name)?;
        self.records += 1;
        self.frames.take(Frame::Record(RecordFrame {
            table,
            at: At::Span(span),
            links: Vec::new(),
            fields,
            texts: Vec::new(),
            apart: Vec::new(),
        }))?;
        Ok(())
    }

    fn table(&mut self, list: &'static str) -> Result<u32, Stopped> {
        if let Some(table) = self.tables.get(list) {
            return Ok(*table);
        }
        let table = u32::try_from(self.tables.len()).unwrap_or(u32::MAX);
        self.frames.take(Frame::Table(Table {
            part: self.part.to_owned(),
            list: list.to_owned(),
            ..Table::default()
        }))?;
        self.tables.insert(list, table);
        Ok(table)
    }

    /// A line of which nothing is read.
    fn lost(&mut self, span: Span, why: &str) -> Result<(), Stopped> {
        self.frames.take(Frame::Problem(Problem {
            kind: ProblemKind::RecordLost,
            place: Place::Text { part: self.part.to_owned(), span, path: Vec::new() },
            record: Origin::default(),
            subject: "line".to_owned(),
            given: None,
            why: why.to_owned(),
            help: "correct the line, or make it a remark with # before it".to_owned(),
        }))
    }
}

/// The way, the value and the rest of a text that begins with them.
fn value(text: &str) -> Option<(&str, Value, &str)> {
    let (way, rest) = text.split_once('=')?;
    if way.is_empty() || way.contains([' ', '"']) {
        return None;
    }
    if let Some(quoted) = rest.strip_prefix('"') {
        let (text, after) = unquoted(quoted)?;
        return Some((way, Value::Text(text.into()), after));
    }
    let (bare, after) = rest.split_at(rest.find(' ').unwrap_or(rest.len()));
    let value = match bare {
        "yes" => Value::Flag(true),
        "no" => Value::Flag(false),
        number => Value::Number(number.parse().ok().filter(|number: &f64| number.is_finite())?),
    };
    Some((way, value, after))
}

/// A text up to its closing quote, and what follows.
fn unquoted(text: &str) -> Option<(String, &str)> {
    let mut out = String::new();
    let mut letters = text.char_indices();
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' => return Some((out, &text[at + 1..])),
            '\\' => out.push(match letters.next()?.1 {
                'n' => '\n',
                letter @ ('"' | '\\') => letter,
                _ => return None,
            }),
            letter => out.push(letter),
        }
    }
    None
}

/// Puts a value into a record; nothing if its place is taken by another.
fn put(fields: &mut Fields, way: &[&str], value: Value) -> Option<()> {
    let (step, rest) = way.split_first()?;
    if fields.get(step).is_none() {
        fields.push(Name::from(*step), empty(rest, &value));
        if rest.is_empty() {
            return Some(());
        }
    } else if rest.is_empty() {
        return None;
    }
    let (_, inner) = fields.iter_mut().find(|(name, _)| name.as_str() == *step)?;
    put_into(inner, rest, value)
}

fn put_into(holder: &mut Value, way: &[&str], value: Value) -> Option<()> {
    match holder {
        Value::Fields(fields) => put(fields, way, value),
        Value::List(items) => {
            let (step, rest) = way.split_first()?;
            let position: usize = step.parse().ok()?;
            if position == items.len() {
                items.push(empty(rest, &value));
                if rest.is_empty() {
                    return Some(());
                }
            } else if rest.is_empty() {
                return None;
            }
            put_into(items.get_mut(position)?, rest, value)
        }
        _ => None,
    }
}

/// What will hold the rest of the way: a record, a list, or the value itself.
fn empty(rest: &[&str], value: &Value) -> Value {
    match rest.first() {
        None => value.clone(),
        Some(step) if step.bytes().all(|byte| byte.is_ascii_digit()) => Value::List(Vec::new()),
        Some(_) => Value::Fields(Fields::new()),
    }
}
