//! What is handed over: tables, records and problems, each at the place of its entity.

use restrand_kit::{At, Frame, Frames, RecordFrame, Stopped};
use restrand_model::reading::{
    Apart, Grid, Origin, Place, Problem, ProblemKind, Remark as UnderstoodRemark, Table,
    Understood, UnderstoodTable,
};
use restrand_model::value::{Fields, Name, Value};

use super::entities::Once;
use super::model::{Stand, file_of};

/// The frames of one reading.
pub(super) struct Said<'a> {
    part: String,
    frames: &'a mut dyn Frames,
    /// The tables that were begun, by list or sheet.
    tables: Vec<&'static str>,
    records: u32,
    /// How the model was understood, as sentences.
    remarks: Vec<String>,
    in_lines: bool,
}

/// What is wrong with something, and what to do.
pub(super) struct Remark {
    pub(super) kind: ProblemKind,
    pub(super) place: Place,
    pub(super) subject: String,
    pub(super) given: Option<String>,
    pub(super) why: String,
    pub(super) help: &'static str,
    /// What it is said once of; nothing where it is said each time.
    pub(super) once: Option<Once>,
}

impl<'a> Said<'a> {
    pub(super) fn new(part: &str, frames: &'a mut dyn Frames) -> Self {
        Self {
            part: part.to_owned(),
            frames,
            tables: Vec::new(),
            records: 0,
            remarks: Vec::new(),
            in_lines: false,
        }
    }

    /// Hands over a record of a sheet of the layout; `links` name its owner.
    pub(super) fn record(
        &mut self,
        sheet: &'static str,
        stand: Stand,
        links: Vec<Option<Box<str>>>,
        fields: Fields,
        apart: Vec<Apart>,
    ) -> Result<(), Stopped> {
        self.in_lines = matches!(stand, Stand::Line(_));
        let table = match self.tables.iter().position(|begun| *begun == sheet) {
            Some(table) => table,
            None => {
                self.frames.take(Frame::Table(Table {
                    part: self.part.clone(),
                    // A file in an archive has lines and no bytes.
                    sheet: self.in_lines.then(|| file_of(&self.part).to_owned()),
                    grid: if self.in_lines { Grid::Lines } else { Grid::Cells },
                    list: sheet.to_owned(),
                    ..Table::default()
                }))?;
                self.tables.push(sheet);
                self.tables.len() - 1
            }
        };
        self.records += 1;
        let at = match stand {
            Stand::Span(span) => At::Span(span),
            Stand::Line(line) => At::Row(line),
        };
        self.frames.take(Frame::Record(RecordFrame {
            table: u32::try_from(table).unwrap_or(u32::MAX),
            at,
            links,
            fields,
            texts: Vec::new(),
            apart,
        }))
    }

    /// Hands over a problem.
    pub(super) fn remark(&mut self, remark: Remark) -> Result<(), Stopped> {
        let Remark { kind, place, subject, given, why, help, once: _ } = remark;
        self.problem(Problem {
            kind,
            place,
            record: Origin::default(),
            subject,
            given,
            why,
            help: help.to_owned(),
        })
    }

    /// Keeps a sentence on how the model was understood.
    pub(super) fn understood(&mut self, what: String) {
        self.remarks.push(what);
    }

    /// Hands over how the model was understood.
    pub(super) fn say_understood(&mut self, tables: Vec<UnderstoodTable>) -> Result<(), Stopped> {
        let remarks = std::mem::take(&mut self.remarks);
        self.frames.take(Frame::Understood(Understood {
            part: self.part.clone(),
            sheet: String::new(),
            tables,
            remarks: remarks.into_iter().map(|what| UnderstoodRemark { row: None, what }).collect(),
            exchanged: Vec::new(),
        }))
    }

    pub(super) fn problem(&mut self, problem: Problem) -> Result<(), Stopped> {
        self.frames.take(Frame::Problem(problem))
    }
}

/// Puts a member of the model's own name into fields.
pub(super) fn put(fields: &mut Fields, name: &'static str, value: impl Into<Option<Value>>) {
    if let Some(value) = value.into() {
        fields.push(Name::Known(name), value);
    }
}
