//! The places of what was read in rows that are none in the file.

use std::collections::BTreeMap;

use restrand_model::reading::Apart;
use restrand_model::value::{Fields, Value};

use super::super::grid::Sheet;
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};

/// The fields of a table that its columns state, each with its column.
type Paths = Vec<(Vec<&'static str>, u32)>;

/// Takes the frames of a table that was put into rows, and says of each value where it stands.
pub(in crate::recognise) struct Moved<'a> {
    sheet: &'a Sheet,
    to: &'a mut dyn Frames,
    /// The number of the next table.
    next: u32,
    tables: BTreeMap<u32, Paths>,
}

impl<'a> Moved<'a> {
    /// Of the table of this sheet whose first frame is the table of this number.
    pub(in crate::recognise) fn new(sheet: &'a Sheet, next: u32, to: &'a mut dyn Frames) -> Self {
        Self { sheet, to, next, tables: BTreeMap::new() }
    }

    fn apart(&self, record: &RecordFrame) -> Vec<Apart> {
        let (At::Row(row), Some(paths)) = (record.at, self.tables.get(&record.table)) else {
            return Vec::new();
        };
        let mut apart = Vec::new();
        for (path, column) in paths {
            let (stands, _) = self.sheet.stands(row, *column);
            if !path.is_empty() && stands != row && states(&record.fields, path) {
                let way = path.iter().map(|step| (*step).to_owned()).collect();
                apart.push(Apart { way, at: At::Row(stands) });
            }
        }
        apart
    }
}

impl Frames for Moved<'_> {
    fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
        match frame {
            frame if self.sheet.moved.is_empty() => self.to.take(frame),
            Frame::Table(mut table) => {
                let paths = table.columns.iter().map(|one| (one.path.clone(), one.index)).collect();
                self.tables.insert(self.next, paths);
                self.next += 1;
                let first = table.columns.first().map_or(0, |column| column.index);
                table.header_row = self.sheet.stands(table.header_row, first).0;
                for column in &mut table.columns {
                    column.index = self.sheet.column_in_file(column.index);
                }
                self.to.take(Frame::Table(table))
            }
            Frame::Record(mut record) => {
                record.apart = self.apart(&record);
                self.to.take(Frame::Record(record))
            }
            other => self.to.take(other),
        }
    }
}

/// Whether a record states the value at a path.
fn states(fields: &Fields, path: &[&'static str]) -> bool {
    match path {
        [] => false,
        [last] => fields.get(last).is_some(),
        [first, rest @ ..] => {
            fields.get(first).and_then(Value::as_fields).is_some_and(|fields| states(fields, rest))
        }
    }
}
