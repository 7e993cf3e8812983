//! From the sheets and cells of a workbook, whatever its format, to frames.

use std::collections::HashSet;

use restrand_kit::sheet::{Cell, ForeignSheet, HeaderSearch, SheetReader};
use restrand_kit::{Frame, Frames, LoadError, Stopped};
use restrand_model::reading::{Origin, Place, Problem, ProblemKind};
use restrand_model::sheet::{self, Sheet};

/// Rows of a sheet in the newest format.
pub(crate) const ROWS: u32 = 1_048_576;
/// Columns of a sheet in the newest format.
pub(crate) const COLUMNS: u32 = 16_384;

/// What mends a file whose places no program could have written.
const SAVE_ANEW: &str = "open the workbook in a spreadsheet program and save it";

/// Whether a cell can stand in this column of a row whose last cell so far stands in the column `last`.
///
/// Only in their order, and each on a place of its own: so a row has no more cells than columns.
#[inline]
pub(crate) const fn fits(column: u32, last: Option<u32>) -> bool {
    column < COLUMNS
        && match last {
            Some(last) => last < column,
            None => true,
        }
}

/// The reading of one workbook.
pub(crate) struct Reading<'f> {
    part: String,
    frames: &'f mut dyn Frames,
    tables: u32,
    names: HashSet<String>,
}

impl<'f> Reading<'f> {
    pub(crate) fn new(part: &str, frames: &'f mut dyn Frames) -> Self {
        Self { part: part.to_owned(), frames, tables: 0, names: HashSet::new() }
    }

    /// Begins a sheet, if the layout has one of this name.
    pub(crate) fn sheet<'c>(&mut self, name: &str) -> Result<Option<SheetReading<'c>>, Stopped> {
        let is_aside = sheet::ASIDE.iter().any(|aside| sheet::plain(aside) == sheet::plain(name));
        if is_aside {
            return Ok(None);
        }
        // Readers find sheets by name, and would give the first of two again.
        if !self.names.insert(name.to_owned()) {
            self.problem_of_sheet(
                ProblemKind::SheetLost,
                name,
                "another sheet of the workbook has the same name".to_owned(),
                "give each sheet a name of its own; the first one is read".to_owned(),
            )?;
            return Ok(None);
        }
        let stage = match sheet::find(name) {
            Some(found) => Stage::Search(HeaderSearch::new(found, &self.part, name)),
            None => Stage::Foreign(ForeignSheet::new(name)),
        };
        Ok(Some(SheetReading {
            name: name.to_owned(),
            stage,
            row: 0,
            cells: Vec::new(),
            speaks: false,
            said_below: false,
            out_of_place: None,
        }))
    }

    /// Says that a sheet which the layout does not have is not read.
    fn foreign(&mut self, name: &str, near: Option<&Sheet>) -> Result<(), Stopped> {
        let help = match near {
            Some(near) => format!("did you mean \"{}\"?", near.name),
            None => "if it holds part of the schedule, name it as the layout does".to_owned(),
        };
        self.problem_of_sheet(
            ProblemKind::SheetUnknown,
            name,
            "the layout has no sheet of this name".to_owned(),
            help,
        )
    }

    /// Says that a sheet is one of the layout but for its name, so that what it holds is lost.
    fn misnamed(&mut self, name: &str, meant: &Sheet) -> Result<(), Stopped> {
        let meant = meant.name;
        self.problem_of_sheet(
            ProblemKind::SheetLost,
            name,
            format!("its headers are those of the sheet \"{meant}\", but it has another name"),
            format!(
                "name it \"{meant}\", or put its rows there; take it out of the workbook if it is no part \
                 of the schedule"
            ),
        )
    }

    /// Gives the result of reading a sheet; that one which the layout does not have cannot be read costs
    /// nothing but that sheet.
    pub(crate) fn settle(
        &mut self,
        name: &str,
        is_foreign: bool,
        read: Result<(), LoadError>,
    ) -> Result<(), LoadError> {
        match read {
            Err(LoadError::Unreadable { why, help, .. }) if is_foreign => {
                Ok(self.problem_of_sheet(ProblemKind::SheetUnknown, name, why, help)?)
            }
            read => read,
        }
    }

    fn problem_of_sheet(
        &mut self,
        kind: ProblemKind,
        name: &str,
        why: String,
        help: String,
    ) -> Result<(), Stopped> {
        self.frames.take(Frame::Problem(Problem {
            kind,
            place: Place::Sheet { part: self.part.clone(), sheet: name.to_owned() },
            record: Origin::default(),
            subject: name.to_owned(),
            given: None,
            why,
            help,
        }))
    }
}

enum Stage {
    Search(HeaderSearch),
    /// The layout does not have it, but it may be one of the layout's under another name.
    Foreign(ForeignSheet),
    Rows(SheetReader),
    /// Nothing of the sheet is wanted any more.
    Over,
}

/// The reading of one sheet: gathers cells into rows.
pub(crate) struct SheetReading<'c> {
    name: String,
    stage: Stage,
    row: u32,
    cells: Vec<(u32, Cell<'c>)>,
    /// Whether any row says something.
    speaks: bool,
    /// Whether it was said that cells stand below the last row.
    said_below: bool,
    /// The first cell of the row that stands where no cell can, and how many do.
    out_of_place: Option<(Cell<'c>, usize)>,
}

impl<'c> SheetReading<'c> {
    /// Takes a cell; a cell of another row ends the row.
    pub(crate) fn cell(
        &mut self,
        reading: &mut Reading<'_>,
        row: u32,
        column: u32,
        cell: Cell<'c>,
    ) -> Result<(), Stopped> {
        if row != self.row {
            self.end_row(reading)?;
            self.row = row;
        }
        let last = self.cells.last().map(|(column, _)| *column);
        if fits(column, last) {
            self.cells.push((column, cell));
        } else if !cell.is_blank() {
            self.out_of_place.get_or_insert((cell, 0)).1 += 1;
        }
        Ok(())
    }

    /// Takes a whole row.
    pub(crate) fn row(
        &mut self,
        reading: &mut Reading<'_>,
        row: u32,
        cells: &[(u32, Cell<'c>)],
    ) -> Result<(), Stopped> {
        if row < ROWS {
            return self.take(reading, row, cells);
        }
        let Some((_, cell)) = cells.first() else { return Ok(()) };
        if std::mem::replace(&mut self.said_below, true) {
            return Ok(());
        }
        self.lost(
            reading,
            Some(cell.shown()),
            "a cell stands beyond the last row that a sheet can have",
            SAVE_ANEW,
        )
    }

    /// Whether the layout does not have it.
    pub(crate) const fn is_foreign(&self) -> bool {
        matches!(self.stage, Stage::Foreign(_))
    }

    /// Whether nothing of the sheet is wanted any more.
    pub(crate) const fn is_over(&self) -> bool {
        matches!(self.stage, Stage::Over)
    }

    fn end_row(&mut self, reading: &mut Reading<'_>) -> Result<(), Stopped> {
        if let Some((cell, count)) = self.out_of_place.take() {
            self.out_of_place(reading, self.row, &cell, count)?;
        }
        let mut cells = std::mem::take(&mut self.cells);
        self.row(reading, self.row, &cells)?;
        cells.clear();
        // The buffer is filled again.
        self.cells = cells;
        Ok(())
    }

    /// Takes a row that stands where rows can.
    fn take(
        &mut self,
        reading: &mut Reading<'_>,
        row: u32,
        cells: &[(u32, Cell<'c>)],
    ) -> Result<(), Stopped> {
        if cells.is_empty() {
            return Ok(());
        }
        match &mut self.stage {
            Stage::Over => {}
            Stage::Rows(reader) => reader.row(row, cells, reading.frames)?,
            Stage::Foreign(foreign) => {
                if let Some(meant) = foreign.row(cells) {
                    self.stage = Stage::Over;
                    reading.misnamed(&self.name, meant)?;
                } else if foreign.is_over() {
                    let near = foreign.meant();
                    self.stage = Stage::Over;
                    reading.foreign(&self.name, near)?;
                }
            }
            Stage::Search(search) => {
                self.speaks |= cells.iter().any(|(_, cell)| !cell.is_blank());
                let found = search.row(row, cells, reading.tables, reading.frames)?;
                if let Some(reader) = found {
                    reading.tables += 1;
                    self.stage = Stage::Rows(reader);
                } else if search.is_over() {
                    reading.frames.take(Frame::Problem(search.not_found()))?;
                    self.stage = Stage::Over;
                }
            }
        }
        Ok(())
    }

    /// Ends the sheet; one in which something stands and no headers is a problem, an empty one is none.
    pub(crate) fn end(mut self, reading: &mut Reading<'_>) -> Result<(), Stopped> {
        self.end_row(reading)?;
        match &self.stage {
            Stage::Search(search) if self.speaks => {
                reading.frames.take(Frame::Problem(search.not_found()))
            }
            Stage::Foreign(foreign) => reading.foreign(&self.name, foreign.meant()),
            _ => Ok(()),
        }
    }

    /// Says that cells of a row stand where no cell can, the first of them as given.
    pub(crate) fn out_of_place(
        &self,
        reading: &mut Reading<'_>,
        row: u32,
        first: &Cell<'_>,
        count: usize,
    ) -> Result<(), Stopped> {
        let what = match count {
            1 => "a cell stands".to_owned(),
            count => format!("{count} cells stand"),
        };
        self.lost(
            reading,
            Some(first.shown()),
            format!(
                "{what} in row {} out of order, on a place that is taken, or beyond the last column",
                u64::from(row) + 1
            ),
            SAVE_ANEW,
        )
    }

    /// Says that a cell, whose place is not known better, could not be read.
    pub(crate) fn lost(
        &self,
        reading: &mut Reading<'_>,
        given: Option<String>,
        why: impl Into<String>,
        help: impl Into<String>,
    ) -> Result<(), Stopped> {
        reading.frames.take(Frame::Problem(Problem {
            kind: ProblemKind::ValueLost,
            place: Place::Sheet { part: reading.part.clone(), sheet: self.name.clone() },
            record: Origin::default(),
            subject: self.name.clone(),
            given,
            why: why.into(),
            help: help.into(),
        }))
    }
}
