//! Where values came from, at the cost of rows and columns, not of cells.
//!
//! A table says once which column is which field; a record says its row, or its span of bytes.
//! Where the text as given differs from the value, it is kept, so that `4'-6 1/2"` comes back as typed.

use std::borrow::Cow;
use std::collections::HashMap;

use crate::quantity::Unit;
use crate::sheet::plain;

/// Where a record was read: a table, and a row of it or a span.
///
/// Two records that say the same are equal wherever they were read, so any two origins compare equal.
#[derive(Debug, Clone, Copy, Default)]
pub struct Origin {
    /// The position of the table, plus one; zero for a record that no file holds.
    table: u32,
    position: u32,
}

impl PartialEq for Origin {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Origin {
    /// The record at this position of a table.
    #[must_use]
    pub const fn new(table: u32, position: u32) -> Self {
        Self { table: table + 1, position }
    }

    /// The table and the position in it, if a file holds the record.
    #[must_use]
    pub const fn get(self) -> Option<(u32, u32)> {
        match self.table.checked_sub(1) {
            Some(table) => Some((table, self.position)),
            None => None,
        }
    }
}

/// A stretch of bytes of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// The first byte.
    pub start: u64,
    /// The byte after the last.
    pub end: u64,
}

/// Where a record of a document stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// The stretch of the record of a list that it is, or that holds it.
    pub span: Span,
    /// Member names and positions from that record to it.
    pub path: Vec<String>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// The position in the sheet, from zero.
    pub index: u32,
    /// The header as given.
    pub header: Box<str>,
    /// The field names from the record to the value, or nothing if no field takes the column.
    pub path: Vec<&'static str>,
    /// The unit that the header states.
    pub unit: Option<&'static Unit>,
    /// Whether the column names the record to which the row's record belongs.
    pub link: bool,
}

/// A table of a part: a sheet, or a list of a document.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// The name of the part that holds it.
    pub part: String,
    /// The name of the sheet, if the part is a workbook.
    pub sheet: Option<String>,
    /// The name of the layout's sheet or of the document's list.
    pub list: String,
    /// The row of the headers, from zero.
    pub header_row: u32,
    /// The columns that hold something, in order; none for a document.
    pub columns: Vec<Column>,
}

/// A place in a file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// A part as a whole.
    Part {
        /// The part's name.
        part: String,
    },
    /// A sheet as a whole.
    Sheet {
        /// The part's name.
        part: String,
        /// The sheet's name.
        sheet: String,
    },
    /// A cell, or a row where the column is absent.
    Cell {
        /// The part's name.
        part: String,
        /// The sheet's name.
        sheet: String,
        /// The row, from zero.
        row: u32,
        /// The column, from zero.
        column: Option<u32>,
    },
    /// A stretch of text, and the members inside it that lead to the value.
    Text {
        /// The part's name.
        part: String,
        /// The stretch of the record.
        span: Span,
        /// Member names and positions from there on.
        path: Vec<String>,
    },
}

impl Place {
    /// The name of the part.
    #[must_use]
    pub fn part(&self) -> &str {
        match self {
            Self::Part { part }
            | Self::Sheet { part, .. }
            | Self::Cell { part, .. }
            | Self::Text { part, .. } => part,
        }
    }
}

/// Where everything of a schedule was read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Provenance {
    /// The tables in the order in which they were read.
    pub tables: Vec<Table>,
    /// The spots that records of documents refer to by position.
    pub spots: Vec<Spot>,
    given: HashMap<(u32, u32, u32), Box<str>>,
    /// Of records by table and position, the ways to values that were exchanged after the reading.
    exchanged: HashMap<(u32, u32), Vec<[Vec<String>; 2]>>,
}

impl Provenance {
    /// Keeps the text of a cell whose value reads differently.
    pub fn keep_text(&mut self, record: Origin, column: u32, text: Box<str>) {
        if let Some((table, position)) = record.get() {
            self.given.insert((table, position, column), text);
        }
    }

    /// The text of a cell as given, where it differs from the value.
    #[must_use]
    pub fn text(&self, record: Origin, column: u32) -> Option<&str> {
        let (table, position) = record.get()?;
        self.given.get(&(table, position, column)).map(AsRef::as_ref)
    }

    /// Forgets the text of the value at `path` of a record: it is from now on written as any other.
    pub fn forget_text(&mut self, record: Origin, path: &[String]) {
        if let (Some(Place::Cell { column: Some(column), .. }), Some((table, position))) =
            (self.place(record, path), record.get())
        {
            self.given.remove(&(table, position, column));
        }
    }

    /// Says that two values of a record were exchanged: each is to be found where the other belongs.
    pub fn exchange(&mut self, record: Origin, one: &[&str], other: &[&str]) {
        if let Some(at) = record.get() {
            let way = |path: &[&str]| path.iter().map(|step| (*step).to_owned()).collect();
            self.exchanged.entry(at).or_default().push([way(one), way(other)]);
        }
    }

    /// The way by which the file leads from a record to the value that is at `path` now; and by which the
    /// record leads to the value that the file has at `path`.
    #[must_use]
    pub fn way_in_file<'p>(&self, record: Origin, path: &'p [String]) -> Cow<'p, [String]> {
        let exchanged = record.get().and_then(|at| self.exchanged.get(&at));
        for [one, other] in exchanged.into_iter().flatten() {
            for (from, to) in [(one, other), (other, one)] {
                if let Some(rest) = path.strip_prefix(from.as_slice()) {
                    return Cow::Owned(to.iter().chain(rest).cloned().collect());
                }
            }
        }
        Cow::Borrowed(path)
    }

    /// The table that a record was read from.
    #[must_use]
    pub fn table(&self, record: Origin) -> Option<&Table> {
        let (table, _) = record.get()?;
        self.tables.get(usize::try_from(table).ok()?)
    }

    /// The place of a value: the field names lead from the record to it.
    ///
    /// A value that is absent, or whose field has no column, is placed at the record.
    #[must_use]
    pub fn place(&self, record: Origin, path: &[String]) -> Option<Place> {
        let table = self.table(record)?;
        let (_, position) = record.get()?;
        let path = &*self.way_in_file(record, path);
        Some(match &table.sheet {
            Some(sheet) => Place::Cell {
                part: table.part.clone(),
                sheet: sheet.clone(),
                row: position,
                column: table.column_of(path).map(|column| column.index),
            },
            None => {
                let spot = self.spots.get(usize::try_from(position).ok()?)?;
                Place::Text {
                    part: table.part.clone(),
                    span: spot.span,
                    path: spot.path.iter().chain(path).cloned().collect(),
                }
            }
        })
    }
}

impl Table {
    /// The column that names the owner under this header of the layout.
    #[must_use]
    pub fn link_column(&self, link: &str) -> Option<&Column> {
        let wanted = plain(link);
        self.columns.iter().find(|column| column.link && plain(&column.header) == wanted)
    }

    /// The column that holds the value at these field names, or the first that holds a part of it.
    #[must_use]
    pub fn column_of(&self, path: &[String]) -> Option<&Column> {
        if path.is_empty() {
            return None;
        }
        let leads = |column: &Column, path: &[String]| {
            column.path.len() >= path.len()
                && column.path.iter().zip(path).all(|(field, step)| field == step)
        };
        let exact = self
            .columns
            .iter()
            .find(|column| column.path.len() == path.len() && leads(column, path));
        exact
            .or_else(|| self.columns.iter().find(|column| leads(column, path)))
            // A list in one cell: the position in it has no column of its own.
            .or_else(|| {
                let list = &path[..path.len() - 1];
                self.columns.iter().find(|column| {
                    !list.is_empty() && column.path.len() == list.len() && leads(column, list)
                })
            })
    }
}
