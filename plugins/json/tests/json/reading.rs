//! Reads a text and keeps every frame; assembles a schedule as plainly as can be.

use std::io;

use restrand_json::Json;
use restrand_kit::{At, Budget, Bytes, Frame, LoadError, Part, Parts, Plugin, RecordFrame};
use restrand_model::reading::{Place, Problem, ProblemKind, Span, Table};
use restrand_model::reflect::{Record, fill};
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;

/// Everything that a reading handed over.
#[derive(Debug, Default)]
pub(crate) struct Reading {
    pub(crate) tables: Vec<Table>,
    pub(crate) records: Vec<RecordFrame>,
    pub(crate) problems: Vec<Problem>,
}

/// A part that does not show its bytes and gives few at a time.
pub(crate) struct Slow(pub(crate) Bytes);

impl Part for Slow {
    fn name(&self) -> &str {
        self.0.name()
    }

    fn len(&self) -> u64 {
        self.0.len()
    }

    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        let most = buffer.len().min(7);
        self.0.read_at(offset, &mut buffer[..most])
    }
}

pub(crate) fn read_part(part: &dyn Part) -> Result<Reading, LoadError> {
    let mut reading = Reading::default();
    Json.load(Parts(&[part]), Budget::default(), &mut |frame| {
        match frame {
            Frame::Table(table) => reading.tables.push(table),
            Frame::Record(record) => {
                assert!(reading.tables.get(record.table as usize).is_some());
                assert!(record.links.is_empty() && record.texts.is_empty());
                reading.records.push(record);
            }
            Frame::Problem(problem) => reading.problems.push(problem),
            Frame::Question(question) => panic!("a document asks nothing: {question:?}"),
            Frame::Understood(sheet) => panic!("a document has no sheet: {sheet:?}"),
        }
        Ok(())
    })?;
    Ok(reading)
}

pub(crate) fn read(name: &str, text: &[u8]) -> Result<Reading, LoadError> {
    read_part(&Bytes::new(name, text.to_vec()))
}

/// Reads a document that can be read.
pub(crate) fn document(text: &str) -> Reading {
    read("s.json", text.as_bytes()).unwrap()
}

/// The stretch, why and help of the error of a text that cannot be read.
pub(crate) fn refusal(name: &str, text: &[u8]) -> (Span, String, String) {
    match read(name, text) {
        Err(LoadError::Unreadable { place: Place::Text { part, span, path }, why, help }) => {
            assert_eq!(part, name);
            assert!(path.is_empty());
            assert!(span.start <= span.end && span.end <= text.len() as u64);
            (span, why, help)
        }
        other => panic!("{other:?}"),
    }
}

/// The bytes of a stretch.
pub(crate) fn cut(text: &str, span: Span) -> &str {
    &text[span.start as usize..span.end as usize]
}

impl Reading {
    pub(crate) fn schedule(self) -> Schedule {
        let mut schedule = Schedule { restrand: Some(1), ..Schedule::default() };
        let root: &mut dyn Record = &mut schedule;
        for record in self.records {
            let list = &self.tables[record.table as usize].list;
            let Some(index) = root.info().index_of(list) else {
                assert_eq!(list, "schedule");
                fill(root, record.fields).unwrap();
                continue;
            };
            let field = root.field_mut(index);
            let mut items = match field.view().to_value() {
                Some(Value::List(items)) => items,
                _ => Vec::new(),
            };
            items.push(Value::Fields(record.fields));
            let value = if list == "project" { items.remove(0) } else { Value::List(items) };
            field.set(value).unwrap();
        }
        schedule
    }

    /// What each record says for itself, beside its list.
    pub(crate) fn stretches<'t>(&self, text: &'t str) -> Vec<(&str, &'t str)> {
        self.records
            .iter()
            .map(|record| {
                let At::Span(span) = record.at else { panic!("a row in a document") };
                (self.tables[record.table as usize].list.as_str(), cut(text, span))
            })
            .collect()
    }

    /// Kind, subject and stretch of each problem.
    pub(crate) fn faults<'t>(&self, text: &'t str) -> Vec<(ProblemKind, &str, &'t str)> {
        self.problems
            .iter()
            .map(|problem| {
                let Place::Text { span, path, .. } = &problem.place else {
                    panic!("{:?}", problem.place)
                };
                assert!(path.is_empty() && !problem.why.is_empty() && !problem.help.is_empty());
                (problem.kind, problem.subject.as_str(), cut(text, *span))
            })
            .collect()
    }
}
