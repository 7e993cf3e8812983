//! Reading and writing in memory, for the tests of this crate.
#![allow(dead_code, unreachable_pub, reason = "each test takes what it needs")]
#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use std::collections::BTreeMap;
use std::io::{self, Cursor, Write as _};

use restrand_csv::Csv;
use restrand_kit::{
    Budget, Bytes, Content, Frame, LoadError, Loss, Output, Part, Parts, Plugin, RecordFrame,
    WriteOptions,
};
use restrand_model::reading::{Place, Problem, Provenance, Question, Table, Understood};
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// What a reading gave.
#[derive(Default)]
pub struct Read {
    pub tables: Vec<Table>,
    pub records: Vec<RecordFrame>,
    pub problems: Vec<Problem>,
    pub questions: Vec<Question>,
    pub understood: Vec<Understood>,
}

impl Read {
    /// A value of a record.
    pub fn value(&self, record: usize, field: &str) -> Option<&Value> {
        self.records[record].fields.get(field)
    }

    pub fn number(&self, record: usize, field: &str) -> Option<f64> {
        match self.value(record, field) {
            Some(Value::Number(number)) => Some(*number),
            _ => None,
        }
    }

    pub fn text(&self, record: usize, field: &str) -> Option<&str> {
        match self.value(record, field) {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        }
    }

    /// A further value of a record.
    pub fn extra(&self, record: usize, name: &str) -> Option<&Value> {
        self.value(record, "extra")?.as_fields()?.get(name)
    }
}

pub fn load_parts(files: &[(&str, Vec<u8>)], budget: Budget) -> Result<Read, LoadError> {
    let parts: Vec<_> =
        files.iter().map(|(name, bytes)| Bytes::new(*name, bytes.clone())).collect();
    let parts: Vec<&dyn Part> = parts.iter().map(|part| part as &dyn Part).collect();
    let mut read = Read::default();
    Csv.load(Parts(&parts), budget, &mut |frame: Frame| {
        match frame {
            Frame::Table(table) => read.tables.push(table),
            Frame::Record(record) => read.records.push(record),
            Frame::Problem(problem) => read.problems.push(problem),
            Frame::Question(question) => read.questions.push(question),
            Frame::Understood(sheet) => read.understood.push(sheet),
        }
        Ok(())
    })?;
    Ok(read)
}

pub fn load(name: &str, bytes: impl AsRef<[u8]>) -> Read {
    load_parts(&[(name, bytes.as_ref().to_vec())], Budget::default()).unwrap()
}

/// A line, counted from one, and a column from zero.
pub fn at(part: &str, sheet: &str, line: u32, column: Option<u32>) -> Place {
    Place::Line { part: part.into(), sheet: sheet.into(), line: line - 1, column }
}

pub fn archive(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(*name, SimpleFileOptions::default()).unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

/// Keeps what is written, by the names of the parts.
#[derive(Default)]
pub struct Written(pub BTreeMap<String, Vec<u8>>);

impl Output for Written {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn io::Write> {
        Ok(self.0.entry(name.to_owned()).or_default())
    }
}

pub fn write(schedule: &Schedule, options: WriteOptions) -> (Written, Vec<Loss>) {
    let mut written = Written::default();
    let provenance = Provenance::default();
    let losses = Csv.write(&Content::new(schedule, &provenance), options, &mut written).unwrap();
    (written, losses)
}
