//! Where values came from, at the cost of rows and columns, not of cells.
//!
//! A table says once which column is which field; a record says its row, or its span of bytes.
//! Where the text as given differs from the value, it is kept, so that `4'-6 1/2"` comes back as typed.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use crate::quantity::Unit;
use crate::sheet::{self, plain};

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

/// Where a record stands in its table, or a value of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum At {
    /// A row of a sheet, from zero.
    Row(u32),
    /// A stretch of bytes of the part.
    Span(Span),
}

/// A value that stands elsewhere than its record does, as a property of a model.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Apart {
    /// Member names and positions from the record to it; many records state the same fields, so they share it.
    pub way: Arc<[String]>,
    /// Where it stands.
    pub at: At,
}

/// Where a value stands, and how it is known there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// The table, and the row or first byte of the record.
    pub record: (u32, u64),
    /// The way from there to what stands apart.
    pub way: Vec<String>,
    /// The way from what stands apart to the value; nothing where it is the value.
    pub rest: Vec<String>,
    /// Where it stands.
    pub at: At,
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

/// How people tell the rows of a table apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grid {
    /// By the rows and columns of a sheet.
    #[default]
    Cells,
    /// By the lines of a text; a row counts as the line on which it begins.
    Lines,
    /// As [`Cells`](Self::Cells), of a table that is written sideways: its rows are columns of the sheet.
    TurnedCells,
    /// As [`Lines`](Self::Lines), of a table that is written sideways.
    TurnedLines,
}

impl Grid {
    /// The same grid with rows for columns.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Cells => Self::TurnedCells,
            Self::Lines => Self::TurnedLines,
            Self::TurnedCells => Self::Cells,
            Self::TurnedLines => Self::Lines,
        }
    }

    /// Whether rows are lines of a text.
    #[must_use]
    pub const fn is_of_lines(self) -> bool {
        matches!(self, Self::Lines | Self::TurnedLines)
    }

    /// Whether the rows of a table are columns of its sheet.
    #[must_use]
    pub const fn is_turned(self) -> bool {
        matches!(self, Self::TurnedCells | Self::TurnedLines)
    }

    /// The place of a row, or of a value in it; both are counted from zero.
    #[must_use]
    pub fn place(self, part: &str, sheet: &str, row: u32, column: Option<u32>) -> Place {
        let (part, sheet) = (part.to_owned(), sheet.to_owned());
        match self {
            Self::Cells => Place::Cell { part, sheet, row, column },
            Self::Lines => Place::Line { part, sheet, line: row, column },
            // A record that is a column begins at the top of it.
            Self::TurnedCells => {
                Place::Cell { part, sheet, row: column.unwrap_or(0), column: Some(row) }
            }
            Self::TurnedLines => {
                Place::Line { part, sheet, line: column.unwrap_or(0), column: Some(row) }
            }
        }
    }
}

/// A table of a part: a sheet, or a list of a document.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// The name of the part that holds it.
    pub part: String,
    /// The name of the sheet, if the part is made of rows and columns.
    pub sheet: Option<String>,
    /// How its rows are told apart.
    pub grid: Grid,
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
    /// A line of a text that has a record on each line, or a value of that line.
    Line {
        /// The part's name.
        part: String,
        /// The name of the layout's sheet whose rows the lines are.
        sheet: String,
        /// The line on which the record begins, from zero.
        line: u32,
        /// The position of the value in it, from zero.
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
            | Self::Line { part, .. }
            | Self::Text { part, .. } => part,
        }
    }

    /// The same row with another column; what is no row stays as it is.
    #[must_use]
    pub fn in_column(self, column: Option<u32>) -> Self {
        match self {
            Self::Cell { part, sheet, row, .. } => Self::Cell { part, sheet, row, column },
            Self::Line { part, sheet, line, .. } => Self::Line { part, sheet, line, column },
            other => other,
        }
    }
}

/// The column of a cell, and its text as it was typed.
type Typed = (u32, Box<str>);

/// The way from a record of a document to a value, and the text by which it was given.
type Said = (Vec<String>, Box<str>);

/// Ways, each once: many records state the same fields.
#[derive(Debug, Clone, Default, PartialEq)]
struct Ways {
    known: HashMap<Arc<[String]>, u32>,
    all: Vec<Arc<[String]>>,
}

impl Ways {
    fn position(&mut self, way: Arc<[String]>) -> u32 {
        let next = u32::try_from(self.all.len()).unwrap_or(u32::MAX);
        *self.known.entry(way).or_insert_with_key(|way| {
            self.all.push(Arc::clone(way));
            next
        })
    }
}

/// Where everything of a schedule was read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Provenance {
    /// The tables in the order in which they were read.
    pub tables: Vec<Table>,
    /// The spots that records of documents refer to by position.
    pub spots: Vec<Spot>,
    /// Texts of cells by table and row; in a row, by column.
    given: HashMap<(u32, u32), Vec<Typed>>,
    /// Texts of a document by table and first byte of the record of a list; in it, by the way to the value.
    said: HashMap<(u32, u64), Vec<Said>>,
    /// Ways to values that stand apart from their records, each once.
    ways: Ways,
    /// Values that stand apart, by table and row, or first byte of the record; each with the position of its way.
    apart: HashMap<(u32, u64), Vec<(u32, At)>>,
    /// Of records by table and position, the ways to values that were exchanged after the reading.
    exchanged: HashMap<(u32, u32), Vec<[Vec<String>; 2]>>,
}

impl Provenance {
    /// Keeps the text of a cell whose value reads differently.
    pub fn keep_text(&mut self, record: Origin, column: u32, text: Box<str>) {
        if let Some(at) = record.get() {
            let texts = self.given.entry(at).or_default();
            match texts.iter_mut().find(|(other, _)| *other == column) {
                Some(kept) => kept.1 = text,
                None => texts.push((column, text)),
            }
        }
    }

    /// The text of a cell as given, where it differs from the value.
    #[must_use]
    pub fn text(&self, record: Origin, column: u32) -> Option<&str> {
        let texts = self.given.get(&record.get()?)?;
        texts.iter().find(|(other, _)| *other == column).map(|(_, text)| text.as_ref())
    }

    /// Keeps the text by which a record of a document gives the value at `path`.
    pub fn keep_text_at(&mut self, record: Origin, path: &[&str], text: Box<str>) {
        if let Some((at, spot)) = self.stretch(record) {
            let steps = path.iter().map(|step| (*step).to_owned());
            let way = spot.path.iter().cloned().chain(steps).collect();
            self.said.entry(at).or_default().push((way, text));
        }
    }

    /// Keeps where a value stands that stands elsewhere than its record.
    pub fn keep_apart(&mut self, record: Origin, apart: Apart) {
        if let Some((at, before)) = self.stand(record) {
            let way = match before {
                [] => apart.way,
                before => [before, &apart.way].concat().into(),
            };
            self.keep_apart_at(at, Apart { way, at: apart.at });
        }
    }

    /// Keeps a place as [`all_apart`](Self::all_apart) gives it.
    pub fn keep_apart_at(&mut self, record: (u32, u64), Apart { way, at }: Apart) {
        let way = self.ways.position(way);
        self.apart.entry(record).or_default().push((way, at));
    }

    /// Where values stand that stand elsewhere than their records, in the order of the tables: the table, and the
    /// row or first byte of the record, before each.
    #[must_use]
    pub fn all_apart(&self) -> Vec<((u32, u64), Apart)> {
        let mut kept: Vec<_> = self.apart.iter().collect();
        kept.sort_unstable_by_key(|(record, _)| **record);
        kept.into_iter()
            .flat_map(|(record, values)| {
                values.iter().map(|(way, at)| {
                    let way = usize::try_from(*way).ok().and_then(|way| self.ways.all.get(way));
                    (*record, Apart { way: way.map_or_else(Arc::default, Arc::clone), at: *at })
                })
            })
            .collect()
    }

    /// Where the value at `path` of a record stands, or what it is part of, if that is elsewhere than the record.
    #[must_use]
    pub fn standing(&self, record: Origin, path: &[String]) -> Option<Standing> {
        let (of, before) = self.stand(record)?;
        let values = self.apart.get(&of)?;
        let path = &*self.way_in_file(record, path);
        let nearest = values.iter().filter_map(|(way, at)| {
            let way = self.ways.all.get(usize::try_from(*way).ok()?)?;
            let rest = path.strip_prefix(way.strip_prefix(before)?)?;
            Some((rest, way, *at))
        });
        let (rest, way, at) = nearest.min_by_key(|(rest, ..)| rest.len())?;
        Some(Standing { record: of, way: way.to_vec(), rest: rest.to_vec(), at })
    }

    /// Under what the places of a record's values are kept, and the way that goes before theirs.
    fn stand(&self, record: Origin) -> Option<((u32, u64), &[String])> {
        let (table, position) = record.get()?;
        if self.table(record)?.sheet.is_some() {
            return Some(((table, u64::from(position)), &[]));
        }
        let ((table, start), spot) = self.stretch(record)?;
        Some(((table, start), &spot.path))
    }

    /// Whether the text of any value is kept.
    #[must_use]
    pub fn keeps_texts(&self) -> bool {
        !(self.given.is_empty() && self.said.is_empty())
    }

    /// Whether the text of any value of the record is kept.
    #[must_use]
    pub fn keeps_texts_of(&self, record: Origin) -> bool {
        record.get().is_some_and(|at| self.given.contains_key(&at))
            || self.stretch(record).is_some_and(|(at, _)| self.said.contains_key(&at))
    }

    /// The text by which the file gives the value at `path` of a record, where one is kept; and the column it
    /// stands in, if there is one.
    #[must_use]
    pub fn given(&self, record: Origin, path: &[String]) -> Option<(&str, Option<&Column>)> {
        let path = &*self.way_in_file(record, path);
        let table = self.table(record)?;
        if table.sheet.is_some() {
            let column = table
                .columns
                .iter()
                .find(|column| !column.path.is_empty() && column.path.iter().eq(path.iter()))?;
            return Some((self.text(record, column.index)?, Some(column)));
        }
        let (at, spot) = self.stretch(record)?;
        let texts = self.said.get(&at)?;
        let (_, text) =
            texts.iter().find(|(way, _)| way.iter().eq(spot.path.iter().chain(path)))?;
        Some((text, None))
    }

    /// The spot of a record of a document, and what its texts are kept under.
    fn stretch(&self, record: Origin) -> Option<((u32, u64), &Spot)> {
        let (table, position) = record.get()?;
        let of = self.table(record)?;
        let spot = self.spots.get(usize::try_from(position).ok()?)?;
        of.sheet.is_none().then_some(((table, spot.span.start), spot))
    }

    /// The texts that differ from their values: record, column and text, in the order of the tables.
    #[must_use]
    pub fn texts(&self) -> Vec<(Origin, u32, &str)> {
        let mut kept: Vec<_> = self.given.iter().collect();
        kept.sort_unstable_by_key(|(at, _)| **at);
        kept.into_iter()
            .flat_map(|((table, position), texts)| {
                let origin = Origin::new(*table, *position);
                texts.iter().map(move |(column, text)| (origin, *column, &**text))
            })
            .collect()
    }

    /// The texts by which documents give their values, in the order of the tables: the table, the first byte of the
    /// record of a list, the way from there, and the text.
    #[must_use]
    pub fn texts_of_documents(&self) -> Vec<(u32, u64, &[String], &str)> {
        let mut kept: Vec<_> = self.said.iter().collect();
        kept.sort_unstable_by_key(|(at, _)| **at);
        kept.into_iter()
            .flat_map(|((table, start), texts)| {
                texts.iter().map(move |(way, text)| (*table, *start, way.as_slice(), &**text))
            })
            .collect()
    }

    /// Keeps a text as [`texts_of_documents`](Self::texts_of_documents) gives it.
    pub fn keep_text_of_document(
        &mut self,
        table: u32,
        start: u64,
        way: Vec<String>,
        text: Box<str>,
    ) {
        self.said.entry((table, start)).or_default().push((way, text));
    }

    /// The ways to values that were exchanged, by record, in the order of the tables.
    #[must_use]
    pub fn exchanges(&self) -> Vec<(Origin, &[String], &[String])> {
        let mut kept: Vec<_> = self.exchanged.iter().collect();
        kept.sort_unstable_by_key(|(at, _)| **at);
        kept.into_iter()
            .flat_map(|((table, position), ways)| {
                let origin = Origin::new(*table, *position);
                ways.iter().map(move |[one, other]| (origin, one.as_slice(), other.as_slice()))
            })
            .collect()
    }

    /// Forgets the text of the value at `path` of a record: it is from now on written as any other.
    pub fn forget_text(&mut self, record: Origin, path: &[String]) {
        let column = match self.place(record, path) {
            Some(Place::Cell { column, .. } | Place::Line { column, .. }) => column,
            _ => None,
        };
        if let (Some(column), Some(at)) = (column, record.get()) {
            if let Some(texts) = self.given.get_mut(&at) {
                texts.retain(|(other, _)| *other != column);
            }
            self.given.retain(|_, texts| !texts.is_empty());
            return;
        }
        let path = self.way_in_file(record, path).into_owned();
        if let Some((at, spot)) = self.stretch(record) {
            let way: Vec<String> = spot.path.iter().cloned().chain(path).collect();
            if let Some(texts) = self.said.get_mut(&at) {
                texts.retain(|(other, _)| *other != way);
            }
            self.said.retain(|_, texts| !texts.is_empty());
        }
    }

    /// Says that two values of a record were exchanged: each is to be found where the other belongs.
    pub fn exchange<S: AsRef<str>>(&mut self, record: Origin, one: &[S], other: &[S]) {
        if let Some(at) = record.get() {
            let way = |path: &[S]| path.iter().map(|step| step.as_ref().to_owned()).collect();
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

    /// The table of a sheet in which a cell stands, or a row where the column is absent, with its position.
    ///
    /// Of several it is one whose headers come last before the cell: of those that share them the first that has the
    /// column, or else the first.
    #[must_use]
    pub fn table_at(
        &self,
        part: &str,
        sheet: &str,
        row: u32,
        column: Option<u32>,
    ) -> Option<(u32, &Table)> {
        let of_sheet = self.tables.iter().enumerate().filter(|(_, table)| {
            table.part == part
                && table.sheet.as_deref() == Some(sheet)
                && table.begins_before(row, column)
        });
        let has_column = |table: &Table| {
            let index = if table.grid.is_turned() { Some(row) } else { column };
            index.is_some_and(|index| table.columns.iter().any(|column| column.index == index))
        };
        let rank = |table: &Table| (!table.columns.is_empty(), table.header_row, has_column(table));
        // The last of the greatest is taken, so that the first comes out.
        let (position, table) = of_sheet.rev().max_by_key(|(_, table)| rank(table))?;
        Some((u32::try_from(position).ok()?, table))
    }

    /// The place of a value: the field names lead from the record to it.
    ///
    /// A value that is absent, or whose field has no column, is placed at the record.
    #[must_use]
    pub fn place(&self, record: Origin, path: &[String]) -> Option<Place> {
        let table = self.table(record)?;
        let (_, position) = record.get()?;
        let apart = if self.apart.is_empty() { None } else { self.standing(record, path) };
        let apart = apart.map(|standing| standing.at);
        let path = &*self.way_in_file(record, path);
        Some(match &table.sheet {
            Some(sheet) => {
                let position = match apart {
                    Some(At::Row(row)) => row,
                    _ => position,
                };
                let column = table.column_of(path).map(|column| column.index);
                // What is a column of the sheet is told by the row that names it.
                let naming = || table.naming().map(|column| column.index);
                let column = column.or_else(|| naming().filter(|_| table.grid.is_turned()));
                table.grid.place(&table.part, sheet, position, column)
            }
            None => {
                let spot = self.spots.get(usize::try_from(position).ok()?)?;
                let span = match apart {
                    Some(At::Span(span)) => span,
                    _ => spot.span,
                };
                Place::Text {
                    part: table.part.clone(),
                    span,
                    path: spot.path.iter().chain(path).cloned().collect(),
                }
            }
        })
    }
}

impl Column {
    /// Whether the column holds the field by which records are told apart.
    #[must_use]
    pub fn is_key(&self, key: Option<&str>) -> bool {
        self.path.len() == 1 && Some(self.path[0]) == key
    }
}

impl Table {
    /// The column that names the rows: by their own name, or by that of their owner.
    #[must_use]
    pub fn naming(&self) -> Option<&Column> {
        let key = sheet::find(&self.list).and_then(|layout| layout.record.key);
        let own = self.columns.iter().find(|column| column.is_key(key));
        own.or_else(|| self.columns.iter().find(|column| column.link))
            .or_else(|| self.columns.first())
    }

    /// Whether a cell stands in the rows of this table, as far as its headers tell: not before them.
    fn begins_before(&self, row: u32, column: Option<u32>) -> bool {
        match self.grid.is_turned() {
            false => self.header_row <= row,
            true => column.is_none_or(|column| self.header_row <= column),
        }
    }

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
