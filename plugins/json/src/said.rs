//! What has been handed over: numbers tables and records.
//!
//! How many problems are too many is for the taker to say, who counts what they lose.

use restrand_kit::{At, Frame, Frames, RecordFrame, Stopped};
use restrand_model::reading::{Origin, Place, Problem, ProblemKind, Span, Table};
use restrand_model::value::Fields;

/// What is wrong, before its record is known.
pub(crate) struct Remark {
    /// The kind.
    pub(crate) kind: ProblemKind,
    /// Where it stands.
    pub(crate) place: Place,
    /// The record type and the field, or the list and the position.
    pub(crate) subject: String,
    /// The text as given, shortened.
    pub(crate) given: Option<String>,
    /// What is wrong, as a clause.
    pub(crate) why: String,
    /// What to do about it.
    pub(crate) help: String,
}

/// The frames of one reading.
pub(crate) struct Said<'a> {
    part: &'a str,
    frames: &'a mut dyn Frames,
    tables: u32,
    records: u32,
}

impl<'a> Said<'a> {
    /// Nothing yet.
    pub(crate) fn new(part: &'a str, frames: &'a mut dyn Frames) -> Self {
        Self { part, frames, tables: 0, records: 0 }
    }

    /// Begins a list, and gives its number.
    pub(crate) fn table(&mut self, list: &'static str) -> Result<u32, Stopped> {
        self.frames.take(Frame::Table(Table {
            part: self.part.to_owned(),
            list: list.to_owned(),
            ..Table::default()
        }))?;
        self.tables += 1;
        Ok(self.tables - 1)
    }

    /// The origin of the next record, if it is one of this table.
    ///
    /// Its position is its number among all records of the reading, in which order their spans are kept.
    pub(crate) const fn next_record(&self, table: u32) -> Origin {
        Origin::new(table, self.records)
    }

    /// Hands over a record.
    pub(crate) fn record(&mut self, table: u32, span: Span, fields: Fields) -> Result<(), Stopped> {
        self.records += 1;
        self.frames.take(Frame::Record(RecordFrame {
            table,
            at: At::Span(span),
            links: Vec::new(),
            fields,
            texts: Vec::new(),
            apart: Vec::new(),
        }))
    }

    /// Hands over a problem that belongs to no record.
    pub(crate) fn problem(&mut self, remark: Remark) -> Result<(), Stopped> {
        self.problem_of(Origin::default(), remark)
    }

    /// Hands over a problem of a record.
    pub(crate) fn problem_of(&mut self, record: Origin, remark: Remark) -> Result<(), Stopped> {
        let Remark { kind, place, subject, given, why, help } = remark;
        self.frames.take(Frame::Problem(Problem { kind, place, record, subject, given, why, help }))
    }
}
