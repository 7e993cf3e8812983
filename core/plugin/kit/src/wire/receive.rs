//! Takes lines as they come, holds them to the agreement and hands on the frames.

use restrand_model::reading::{Origin, Place};

use super::frame::{self, WireDescription, WireFailure};
use super::line::{self, EndLine, Line};
use super::{Counts, WireError};
use crate::frame::{At, Frame, Frames, Stopped};
use crate::part::{Parts, is_within};
use crate::plugin::Loss;

/// The part, and how long it is.
struct Extent {
    name: String,
    length: u64,
}

/// A table that has begun.
#[derive(Clone, Copy)]
struct Begun {
    is_sheet: bool,
    /// The length of the part that holds it.
    length: u64,
}

/// Why no more lines are taken.
#[derive(Debug)]
pub enum Refused {
    /// The lines are not as agreed.
    Wire(WireError),
    /// The taker of the frames wants no more.
    Stopped,
}

impl From<Stopped> for Refused {
    fn from(_: Stopped) -> Self {
        Self::Stopped
    }
}

impl From<WireError> for Refused {
    fn from(error: WireError) -> Self {
        Self::Wire(error)
    }
}

/// What the lines of a call came to, besides the frames.
#[derive(Debug, Default)]
pub struct Received {
    /// What could not be carried.
    pub losses: Vec<Loss>,
    /// Why the call did not do what it was asked to.
    pub failure: Option<WireFailure>,
    /// Whether an `end` line with the right counts came last.
    pub ended: bool,
}

/// Takes the lines of one reading or writing.
pub struct Receiver {
    parts: Vec<Extent>,
    tables: Vec<Begun>,
    counts: Counts,
    line: u64,
    received: Received,
}

impl Receiver {
    /// A receiver of what is said about these parts; there are none where something is written anew.
    #[must_use]
    pub fn new(parts: Parts<'_>) -> Self {
        let extent = |part: &&dyn crate::part::Part| Extent {
            name: part.name().to_owned(),
            length: part.len(),
        };
        Self {
            parts: parts.0.iter().map(extent).collect(),
            tables: Vec::new(),
            counts: Counts::default(),
            line: 0,
            received: Received::default(),
        }
    }

    /// Takes whole lines.
    ///
    /// # Errors
    /// A line is not as agreed, or the taker of the frames wants no more.
    pub fn take(&mut self, lines: &[u8], frames: &mut dyn Frames) -> Result<(), Refused> {
        let mut rest = lines;
        while !rest.is_empty() {
            self.line += 1;
            let Some(length) = rest.iter().position(|byte| *byte == b'\n') else {
                return Err(self.malformed("it is not ended by a line feed").into());
            };
            let line = line::read(&rest[..length]).map_err(|why| self.malformed(why))?;
            self.one(line, frames)?;
            rest = &rest[length + 1..];
        }
        Ok(())
    }

    fn one(&mut self, line: Line<'_>, frames: &mut dyn Frames) -> Result<(), Refused> {
        if self.received.ended || self.received.failure.is_some() {
            return Err(self.out_of_order("it comes after the last").into());
        }
        match line {
            Line::Table(line) => {
                let table = frame::table(line).map_err(|why| self.malformed(why))?;
                let length = self.length(&table.part)?;
                self.tables.push(Begun { is_sheet: table.sheet.is_some(), length });
                self.counts.tables += 1;
                frames.take(Frame::Table(table))?;
            }
            Line::Record(line) => {
                let record = frame::record(line).map_err(|why| self.malformed(why))?;
                let table = usize::try_from(record.table).ok();
                let Some(begun) = table.and_then(|table| self.tables.get(table)).copied() else {
                    let why = format!("its table, number {}, has not begun", record.table);
                    return Err(self.out_of_order(&why).into());
                };
                match record.at {
                    At::Row(_) if begun.is_sheet => {}
                    At::Span(span) if !begun.is_sheet => {
                        self.inside(begun.length, span.start, span.end)?;
                    }
                    _ => {
                        let why = "a record of a sheet has a row, any other a span";
                        return Err(self.malformed(why).into());
                    }
                }
                self.counts.records += 1;
                frames.take(Frame::Record(record))?;
            }
            Line::Problem(line) => {
                let problem = frame::problem(line).map_err(|why| self.malformed(why))?;
                self.place(&problem.place)?;
                let of_table = problem.record.get().and_then(|(table, _)| table.try_into().ok());
                if of_table.is_some_and(|table: usize| table >= self.tables.len()) {
                    return Err(self.out_of_order("the table of its record has not begun").into());
                }
                self.counts.problems += 1;
                frames.take(Frame::Problem(problem))?;
            }
            Line::Question(line) => {
                let question = frame::question(line).map_err(|why| self.malformed(why))?;
                self.place(&question.place)?;
                let begun = self.tables.len();
                let has_begun = |record: &Origin| {
                    record
                        .get()
                        .is_none_or(|(table, _)| usize::try_from(table).is_ok_and(|t| t < begun))
                };
                if !question.records.iter().all(has_begun) {
                    return Err(self.out_of_order("the table of its records has not begun").into());
                }
                self.counts.questions += 1;
                frames.take(Frame::Question(question))?;
            }
            Line::Understood(understood) => {
                self.length(&understood.part)?;
                self.counts.understood += 1;
                frames.take(Frame::Understood(understood.into_owned()))?;
            }
            Line::Loss(line) => {
                self.counts.losses += 1;
                self.received.losses.push(frame::loss(line));
            }
            Line::Error(line) => {
                let failure = frame::failure(line).map_err(|why| self.malformed(why))?;
                if let Some(place) = &failure.place {
                    self.place(place)?;
                }
                self.received.failure = Some(failure);
            }
            Line::End(line) => self.end(&line)?,
            Line::Description(_) => {
                return Err(self.out_of_order("a description was not asked for").into());
            }
        }
        Ok(())
    }

    fn end(&mut self, line: &EndLine) -> Result<(), WireError> {
        let EndLine { tables, records, problems, questions, understood, losses } = *line;
        let counted = Counts { tables, records, problems, questions, understood, losses };
        if counted != self.counts {
            return Err(WireError::Miscounted {
                counted: counted.to_string(),
                seen: self.counts.to_string(),
            });
        }
        self.received.ended = true;
        Ok(())
    }

    /// What came, once the call has returned.
    #[must_use]
    pub fn finish(self) -> Received {
        self.received
    }

    /// How long the part of this name is; of a file in an archive nothing can be shown by its bytes, so that it
    /// has none.
    fn length(&self, name: &str) -> Result<u64, WireError> {
        if let Some(part) = self.parts.iter().find(|part| part.name == name) {
            return Ok(part.length);
        }
        if self.parts.iter().any(|part| is_within(name, &part.name)) {
            return Ok(0);
        }
        Err(WireError::Outside { line: self.line, why: format!("there is no part \"{name}\"") })
    }

    /// Holds a stretch to a part of this length.
    fn inside(&self, length: u64, start: u64, end: u64) -> Result<(), WireError> {
        if start <= end && end <= length {
            return Ok(());
        }
        Err(WireError::Outside {
            line: self.line,
            why: format!("bytes {start} to {end} of a part of {length}"),
        })
    }

    fn place(&self, place: &Place) -> Result<(), WireError> {
        match place {
            Place::Text { part, span, .. } => self.inside(self.length(part)?, span.start, span.end),
            _ => self.length(place.part()).map(|_| ()),
        }
    }

    fn malformed(&self, why: impl Into<String>) -> WireError {
        WireError::Malformed { line: self.line, why: why.into() }
    }

    fn out_of_order(&self, why: &str) -> WireError {
        WireError::OutOfOrder { line: self.line, why: why.to_owned() }
    }
}

/// The description that the lines of a plugin's `describe` give.
///
/// # Errors
/// They are anything else than one good `description` line.
pub fn description(lines: &[u8]) -> Result<WireDescription, WireError> {
    let malformed = |why: String| WireError::Malformed { line: 1, why };
    let Some((line, rest)) = lines
        .iter()
        .position(|byte| *byte == b'\n')
        .map(|length| (&lines[..length], &lines[length + 1..]))
    else {
        return Err(WireError::Unfinished);
    };
    if !rest.is_empty() {
        let why = "a description is one line".to_owned();
        return Err(WireError::OutOfOrder { line: 2, why });
    }
    match line::read(line).map_err(malformed)? {
        Line::Description(line) => WireDescription::of(line).map_err(malformed),
        _ => Err(malformed("it is no description".to_owned())),
    }
}
