//! Sheets of texts and numbers, and what is read of them.
#![allow(dead_code, unreachable_pub, reason = "each test takes what it needs")]

use restrand_kit::recognise::{Look, Mapping, Sheet, read};
use restrand_kit::sheet::Cell;
use restrand_kit::{Frame, RecordFrame, Stopped};
use restrand_model::Value;
use restrand_model::reading::{Grid, Problem, Question, Table, Understood};

#[derive(Default)]
pub struct Read {
    pub tables: Vec<Table>,
    pub records: Vec<RecordFrame>,
    pub problems: Vec<Problem>,
    pub questions: Vec<Question>,
    pub understood: Vec<Understood>,
    pub unread: Vec<String>,
}

impl Read {
    /// The records of a list.
    pub fn of(&self, list: &str) -> Vec<&RecordFrame> {
        let is_of = |record: &&RecordFrame| self.tables[record.table as usize].list == list;
        self.records.iter().filter(is_of).collect()
    }

    /// The marks of the tendons.
    pub fn marks(&self) -> Vec<&str> {
        let of = self.of("Tendons");
        of.iter().filter_map(|one| one.fields.get("mark").and_then(Value::as_text)).collect()
    }

    pub fn number(&self, list: &str, at: usize, path: &[&str]) -> Option<f64> {
        let mut value: Option<&Value> = None;
        let record = self.of(list)[at];
        for step in path {
            value = match value {
                None => record.fields.get(step),
                Some(value) => value.as_fields().and_then(|fields| fields.get(step)),
            };
        }
        value.and_then(Value::as_number)
    }
}

/// A sheet of texts and numbers; an empty text is no cell.
pub fn sheet(name: &str, rows: &[&[&str]]) -> Sheet {
    let mut sheet = Sheet::new("a.xlsx", name, Grid::Cells);
    for (row, cells) in (0..).zip(rows) {
        for (column, text) in (0..).zip(*cells) {
            let cell = match text.parse() {
                Ok(number) => Cell::Number(number),
                Err(_) => Cell::Text((*text).into()),
            };
            sheet.push(row, column, &cell, Look::default());
        }
    }
    sheet
}

pub fn taken(sheets: Vec<Sheet>, mapping: &Mapping) -> Read {
    let mut taken = Read::default();
    let mut tables = 0;
    let unread = read(sheets, mapping, &mut tables, &mut |frame: Frame| -> Result<(), Stopped> {
        match frame {
            Frame::Table(table) => taken.tables.push(table),
            Frame::Record(record) => {
                assert!((record.table as usize) < taken.tables.len(), "its table comes first");
                taken.records.push(record);
            }
            Frame::Problem(problem) => taken.problems.push(problem),
            Frame::Question(question) => {
                assert!(question.readings.len() >= 2, "{question:?}");
                taken.questions.push(question);
            }
            Frame::Understood(sheet) => taken.understood.push(sheet),
        }
        Ok(())
    });
    taken.unread = unread.expect("the taker takes everything");
    assert_eq!(tables as usize, taken.tables.len());
    taken
}

pub fn plain(rows: &[&[&str]]) -> Read {
    taken(vec![sheet("Sheet1", rows)], &Mapping::default())
}
