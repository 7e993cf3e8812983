//! What the tests share: reading to a list of frames, and workbooks made part by part.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]
#![allow(dead_code, reason = "each test uses some of it")]

pub(crate) mod binary;
pub(crate) mod old;

use std::io::{Cursor, Write};

use restrand_kit::recognise::Mapping;
use restrand_kit::{
    Budget, Bytes, Content, Frame, LoadError, Loss, Output, Part, Parts, Plugin, RecordFrame,
    Stopped, WriteOptions,
};
use restrand_model::quantity::System;
use restrand_model::reading::{Place, Problem, Provenance, Question, Table, Understood};
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;
use restrand_workbook::Workbook;
use zip::write::SimpleFileOptions;

/// What a reading handed over.
#[derive(Debug, Default)]
pub(crate) struct Read {
    pub(crate) tables: Vec<Table>,
    pub(crate) records: Vec<RecordFrame>,
    pub(crate) problems: Vec<Problem>,
    pub(crate) questions: Vec<Question>,
    pub(crate) understood: Vec<Understood>,
}

impl Read {
    /// The value of a field of a record.
    pub(crate) fn value(&self, record: usize, path: &str) -> Option<&Value> {
        let mut fields = &self.records[record].fields;
        let mut steps = path.split('.').peekable();
        loop {
            let value = fields.get(steps.next()?)?;
            if steps.peek().is_none() {
                return Some(value);
            }
            fields = value.as_fields()?;
        }
    }

    pub(crate) fn number(&self, record: usize, path: &str) -> Option<f64> {
        self.value(record, path).and_then(Value::as_number)
    }

    pub(crate) fn text(&self, record: usize, path: &str) -> Option<&str> {
        self.value(record, path).and_then(Value::as_text)
    }

    /// The only problem, which the reading must have.
    pub(crate) fn problem(&self) -> &Problem {
        assert_eq!(self.problems.len(), 1, "{:#?}", self.problems);
        &self.problems[0]
    }
}

pub(crate) fn load_with(name: &str, bytes: &[u8], budget: Budget) -> Result<Read, LoadError> {
    load_by(name, bytes, budget, &Mapping::default())
}

pub(crate) fn load_by(
    name: &str,
    bytes: &[u8],
    budget: Budget,
    mapping: &Mapping,
) -> Result<Read, LoadError> {
    let part = Bytes::new(name, bytes.to_vec());
    let parts: [&dyn Part; 1] = [&part];
    let mut read = Read::default();
    let mut take = |frame: Frame| -> Result<(), Stopped> {
        match frame {
            Frame::Table(table) => read.tables.push(table),
            Frame::Record(record) => read.records.push(record),
            Frame::Problem(problem) => read.problems.push(problem),
            Frame::Question(question) => read.questions.push(question),
            Frame::Understood(sheet) => read.understood.push(sheet),
        }
        Ok(())
    };
    Workbook.load_mapped(Parts(&parts), budget, mapping, &mut take)?;
    Ok(read)
}

pub(crate) fn load(bytes: &[u8]) -> Read {
    load_with("schedule.xlsx", bytes, Budget::default()).unwrap()
}

/// Why the bytes cannot be read, and what to do about it.
pub(crate) fn refused(name: &str, bytes: &[u8]) -> (Place, String, String) {
    match load_with(name, bytes, Budget::default()) {
        Err(LoadError::Unreadable { place, why, help }) => (place, why, help),
        other => panic!("{other:?}"),
    }
}

#[derive(Default)]
struct Buffers(Vec<(String, Vec<u8>)>);

impl Output for Buffers {
    fn part(&mut self, name: &str) -> std::io::Result<&mut dyn Write> {
        self.0.push((name.to_owned(), Vec::new()));
        Ok(&mut self.0.last_mut().unwrap().1)
    }
}

pub(crate) fn write(schedule: &Schedule, system: System) -> (Vec<u8>, Vec<Loss>) {
    write_content(&Content::new(schedule, &Provenance::default()), system)
}

pub(crate) fn write_content(content: &Content<'_>, system: System) -> (Vec<u8>, Vec<Loss>) {
    let mut output = Buffers::default();
    let options = WriteOptions { system, ..WriteOptions::default() };
    let losses = Workbook.write(content, options, &mut output).unwrap();
    assert_eq!(output.0.len(), 1);
    (output.0.remove(0).1, losses)
}

/// An archive of these parts.
pub(crate) fn archive(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

/// A workbook as another program may write it: the XML inside `sheetData` for each named sheet.
pub(crate) struct Made<'a> {
    pub(crate) sheets: &'a [(&'a str, &'a str)],
    /// Attributes of each sheet in the list of sheets.
    pub(crate) state: &'a str,
    pub(crate) properties: &'a str,
    /// The list of shared texts as a whole.
    pub(crate) texts: Option<&'a str>,
    pub(crate) styles: Option<&'a str>,
}

impl<'a> Made<'a> {
    pub(crate) const fn new(sheets: &'a [(&'a str, &'a str)]) -> Self {
        Self { sheets, state: "", properties: "", texts: None, styles: None }
    }

    pub(crate) fn bytes(&self) -> Vec<u8> {
        let mut list = String::new();
        let mut relations = String::new();
        let mut parts: Vec<(String, String)> = Vec::new();
        for (index, (name, data)) in self.sheets.iter().enumerate() {
            let state = self.state;
            list += &format!(
                r#"<sheet name="{name}" sheetId="{}" r:id="r{index}" {state}/>"#,
                index + 1
            );
            relations += &format!(
                r#"<Relationship Id="r{index}" Type="{RELATIONS}/worksheet" Target="worksheets/sheet{index}.xml"/>"#
            );
            parts.push((
                format!("xl/worksheets/sheet{index}.xml"),
                format!(r#"<worksheet><sheetData>{data}</sheetData></worksheet>"#),
            ));
        }
        parts.push((
            "_rels/.rels".to_owned(),
            format!(
                r#"<Relationships><Relationship Id="a" Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>"#
            ),
        ));
        parts.push((
            "xl/_rels/workbook.xml.rels".to_owned(),
            format!("<Relationships>{relations}</Relationships>"),
        ));
        parts.push((
            "xl/workbook.xml".to_owned(),
            format!(
                r#"<workbook xmlns:r="{RELATIONS}"><workbookPr {}/><sheets>{list}</sheets></workbook>"#,
                self.properties
            ),
        ));
        if let Some(texts) = self.texts {
            parts.push(("xl/sharedStrings.xml".to_owned(), texts.to_owned()));
        }
        if let Some(styles) = self.styles {
            parts.push(("xl/styles.xml".to_owned(), styles.to_owned()));
        }
        let parts: Vec<(&str, &[u8])> =
            parts.iter().map(|(name, text)| (name.as_str(), text.as_bytes())).collect();
        archive(&parts)
    }
}

/// A row of inline texts, beginning at column A.
pub(crate) fn row(number: u32, texts: &[&str]) -> String {
    let cells: String = (b'A'..)
        .zip(texts)
        .filter(|(_, text)| !text.is_empty())
        .map(|(column, text)| {
            let text = text.replace('&', "&amp;").replace('<', "&lt;");
            format!(
                r#"<c r="{}{number}" t="inlineStr"><is><t>{text}</t></is></c>"#,
                char::from(column)
            )
        })
        .collect();
    format!(r#"<row r="{number}">{cells}</row>"#)
}

/// A sheet `Tendons` with these headers in row 1 and the XML of the rows below.
pub(crate) fn tendons(headers: &[&str], below: &str) -> Vec<u8> {
    let data = row(1, headers) + below;
    Made::new(&[("Tendons", &data)]).bytes()
}
