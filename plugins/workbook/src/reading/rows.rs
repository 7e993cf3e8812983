//! The rows of one sheet, and what becomes of them.

use restrand_kit::recognise::{self, Look, MOST_CELLS};
use restrand_kit::sheet::{Cell, ForeignSheet, HeaderSearch, Searched, SheetReader};
use restrand_kit::{Frame, Stopped};
use restrand_model::reading::{Grid, Origin, Place, Problem, ProblemKind};

use super::{COLUMNS, ROWS, Reading};

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

/// How far the reading of a sheet has come.
pub(super) enum Stage {
    Search(HeaderSearch),
    /// The layout does not have it, but it may be one of the layout's under another name.
    Foreign(ForeignSheet),
    Rows(SheetReader),
    /// It is not in the schedule's own layout, and is gathered as a whole.
    Gather(Box<Problem>),
    /// Nothing of the sheet is wanted any more.
    Over,
}

/// The reading of one sheet: gathers cells into rows.
pub(crate) struct SheetReading<'c> {
    name: String,
    stage: Stage,
    /// What was read before it is known whether it is in the schedule's own layout, and all of it if it is not.
    gathered: recognise::Sheet,
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
    /// The reading of a sheet of a part of which no row has come.
    pub(super) fn new(part: &str, name: &str, stage: Stage) -> Self {
        Self {
            name: name.to_owned(),
            stage,
            gathered: recognise::Sheet::new(part, name, Grid::Cells),
            row: 0,
            cells: Vec::new(),
            speaks: false,
            said_below: false,
            out_of_place: None,
        }
    }

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
        cells: &[(u32, Cell<'_>)],
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
        matches!(self.stage, Stage::Foreign(_) | Stage::Gather(_))
    }

    /// Whether nothing of the sheet is wanted any more.
    pub(crate) const fn is_over(&self) -> bool {
        matches!(self.stage, Stage::Over)
    }

    fn end_row(&mut self, reading: &mut Reading<'_>) -> Result<(), Stopped> {
        if let Some((cell, count)) = self.out_of_place.take() {
            self.out_of_place(reading, self.row, &cell.shown(), count)?;
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
        cells: &[(u32, Cell<'_>)],
    ) -> Result<(), Stopped> {
        if cells.is_empty() {
            return Ok(());
        }
        match &mut self.stage {
            Stage::Over => {}
            Stage::Rows(reader) => reader.row(row, cells, reading.frames)?,
            Stage::Gather(_) => return self.gather(reading, row, cells),
            Stage::Foreign(foreign) => {
                if let Some(meant) = foreign.row(cells) {
                    let problem = reading.misnamed(&self.name, meant);
                    if recognise::knows(meant.name) {
                        return self.gather_on(reading, problem, row, cells);
                    }
                    self.stage = Stage::Over;
                    reading.frames.take(Frame::Problem(problem))?;
                } else if foreign.is_over() {
                    let problem = reading.foreign(&self.name, foreign.meant());
                    return self.gather_on(reading, problem, row, cells);
                }
            }
            Stage::Search(search) => {
                self.speaks |= cells.iter().any(|(_, cell)| !cell.is_blank());
                match search.row(row, cells, reading.tables, reading.frames)? {
                    Searched::Row(mut reader) => {
                        reader.row(row, cells, reading.frames)?;
                        self.begin(reading, *reader);
                    }
                    Searched::Units(reader) => self.begin(reading, *reader),
                    Searched::No if search.is_over() => {
                        let problem = search.not_found();
                        return self.gather_on(reading, problem, row, cells);
                    }
                    Searched::Foreign => {
                        let problem = search.not_found();
                        return self.gather_on(reading, problem, row, cells);
                    }
                    Searched::No | Searched::Headers => {}
                }
            }
        }
        if matches!(self.stage, Stage::Foreign(_) | Stage::Search(_)) {
            self.keep(row, cells);
        }
        Ok(())
    }

    /// Begins to read the rows below the headers.
    fn begin(&mut self, reading: &mut Reading<'_>, reader: SheetReader) {
        reading.tables += 1;
        reading.own.insert(reader.sheet().name);
        self.stage = Stage::Rows(reader);
        self.gathered = recognise::Sheet::new(&reading.part, &self.name, Grid::Cells);
    }

    /// Goes on to gather the sheet, unless sheets out of the layout are not looked at.
    fn gather_on(
        &mut self,
        reading: &mut Reading<'_>,
        problem: Problem,
        row: u32,
        cells: &[(u32, Cell<'_>)],
    ) -> Result<(), Stopped> {
        if !reading.recognises() {
            self.stage = Stage::Over;
            return reading.frames.take(Frame::Problem(problem));
        }
        self.stage = Stage::Gather(Box::new(problem));
        self.gather(reading, row, cells)
    }

    fn gather(
        &mut self,
        reading: &mut Reading<'_>,
        row: u32,
        cells: &[(u32, Cell<'_>)],
    ) -> Result<(), Stopped> {
        self.keep(row, cells);
        if !self.gathered.is_full() {
            return Ok(());
        }
        self.stage = Stage::Over;
        self.gathered = recognise::Sheet::new(&reading.part, &self.name, Grid::Cells);
        reading.problem_of_sheet(
            ProblemKind::SheetLost,
            &self.name,
            format!(
                "it is not in the schedule's own layout, and holds more than {MOST_CELLS} cells"
            ),
            "head its columns as the layout does, or take out what is no part of the schedule"
                .to_owned(),
        )
    }

    fn keep(&mut self, row: u32, cells: &[(u32, Cell<'_>)]) {
        for (column, cell) in cells {
            self.gathered.push(row, *column, cell, Look::default());
        }
    }

    /// Says that a row is hidden.
    pub(crate) fn hide_row(&mut self, row: u32) {
        if self.gathers() {
            self.gathered.hidden_rows.insert(row);
        }
    }

    /// Says that a column is hidden.
    pub(crate) fn hide_column(&mut self, column: u32) {
        if self.gathers() {
            self.gathered.hidden_columns.insert(column);
        }
    }

    /// Says that cells are merged.
    pub(crate) fn merge(&mut self, merged: recognise::Merged) {
        if self.gathers() {
            self.gathered.merged.push(merged);
        }
    }

    const fn gathers(&self) -> bool {
        matches!(self.stage, Stage::Foreign(_) | Stage::Search(_) | Stage::Gather(_))
    }

    /// Ends the sheet; one in which something stands and no headers is a problem, an empty one is none.
    pub(crate) fn end(mut self, reading: &mut Reading<'_>) -> Result<(), Stopped> {
        self.end_row(reading)?;
        if let Stage::Search(search) = &mut self.stage
            && let Some(reader) = search.end(reading.tables, reading.frames)?
        {
            self.begin(reading, reader);
        }
        let problem = match self.stage {
            Stage::Search(search) if self.speaks => search.not_found(),
            Stage::Foreign(foreign) => reading.foreign(&self.name, foreign.meant()),
            Stage::Gather(problem) => *problem,
            _ => return Ok(()),
        };
        if reading.recognises() {
            reading.waiting.push((self.gathered, problem));
            return Ok(());
        }
        reading.frames.take(Frame::Problem(problem))
    }

    /// Says that cells of a row stand where no cell can, the first of them as given.
    pub(crate) fn out_of_place(
        &self,
        reading: &mut Reading<'_>,
        row: u32,
        first: &str,
        count: usize,
    ) -> Result<(), Stopped> {
        let what = match count {
            1 => "a cell stands".to_owned(),
            count => format!("{count} cells stand"),
        };
        self.lost(
            reading,
            Some(first.to_owned()),
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
