//! A sheet as it stands in a file: cells on their places, what is merged, hidden and struck.

mod arrange;
mod format;
mod row;

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Grid, Place};

use super::assign::Named;
use super::placed::Quarters;
use super::vocabulary::is_of_a_list;
use crate::sheet::Cell;
pub use format::{look_of_built_in, look_of_format};
pub(super) use row::Spread;
pub use row::{GridCell, GridRow, Look};

/// Cells of one sheet that are looked at; a schedule has some thousands.
pub const MOST_CELLS: usize = 4_000_000;

/// Where the second of two values of one cell stands: in a column of its own that the file does not have.
const SECOND: u32 = 1 << 30;

/// The column of the second value of the cells of a column.
pub(super) const fn second(column: u32) -> u32 {
    column | SECOND
}

/// The row or column of the file in which one of a sheet stands.
pub(super) const fn standing(number: u32) -> u32 {
    number & !SECOND
}

/// A rectangle of merged cells, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Merged {
    /// The first row and column.
    pub first: (u32, u32),
    /// The last row and column.
    pub last: (u32, u32),
}

/// A sheet as it stands in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The part that holds it.
    pub part: String,
    /// Its name.
    pub name: String,
    /// How its rows are told apart.
    pub grid: Grid,
    /// Whether it is hidden.
    pub hidden: bool,
    /// The rows that say something, in order.
    pub rows: Vec<GridRow>,
    /// Hidden rows.
    pub hidden_rows: BTreeSet<u32>,
    /// Hidden columns.
    pub hidden_columns: BTreeSet<u32>,
    /// What is merged.
    pub merged: Vec<Merged>,
    /// Columns whose cells held two values, of which each has one.
    pub(super) paired: BTreeSet<u32>,
    /// Where cells stand in the file, of a sheet that was put together of others.
    pub(super) moved: BTreeMap<(u32, u32), (u32, u32)>,
    /// How that sheet is arranged in the file, as a sentence.
    pub(super) arranged: Option<String>,
    /// Cells of which a part is struck through: what it says.
    pub(super) struck: BTreeMap<(u32, u32), String>,
    /// Signs of footnotes that were taken off the marks of tendons in any sheet of the file.
    pub(super) footnotes: BTreeSet<String>,
    /// What its legends say that codes mean.
    pub(super) legend: BTreeMap<String, Cell<'static>>,
    /// The ends that lie in two opposite quarters, where headers of the file tell them.
    pub(super) quarters: Quarters,
    /// The marks below headers of the file that surely name tendons.
    pub(super) named: Named,
    /// How many cells it has.
    cells: usize,
}

impl Sheet {
    /// A sheet without a cell.
    #[must_use]
    pub fn new(part: &str, name: &str, grid: Grid) -> Self {
        Self {
            part: part.to_owned(),
            name: name.to_owned(),
            grid,
            hidden: false,
            rows: Vec::new(),
            hidden_rows: BTreeSet::new(),
            hidden_columns: BTreeSet::new(),
            merged: Vec::new(),
            paired: BTreeSet::new(),
            moved: BTreeMap::new(),
            arranged: None,
            struck: BTreeMap::new(),
            footnotes: BTreeSet::new(),
            legend: BTreeMap::new(),
            quarters: Quarters::default(),
            named: Named::default(),
            cells: 0,
        }
    }

    /// Takes a cell that says something. Gives whether there is room for more.
    pub fn push(&mut self, row: u32, column: u32, cell: &Cell<'_>, look: Look) -> bool {
        if self.cells >= MOST_CELLS {
            return false;
        }
        if is_nothing(cell) {
            return true;
        }
        self.cells += 1;
        if self.rows.last().is_none_or(|last| last.number != row) {
            self.rows.push(GridRow { number: row, cells: BTreeMap::new() });
        }
        if let Some(last) = self.rows.last_mut() {
            last.cells.insert(
                column,
                GridCell {
                    cell: cell.clone().into_owned(),
                    look,
                    spread: Spread::Own,
                    section: None,
                },
            );
        }
        true
    }

    /// Whether it holds more cells than are looked at.
    #[must_use]
    pub const fn is_full(&self) -> bool {
        self.cells >= MOST_CELLS
    }

    /// Says that a row is hidden; of one that holds nothing there is nothing to say.
    pub fn hide_row(&mut self, row: u32) {
        if self.rows.binary_search_by_key(&row, |row| row.number).is_ok() {
            self.hidden_rows.insert(row);
        }
    }

    /// Says that a cell's look is this one.
    pub fn set_look(&mut self, row: u32, column: u32, look: Look) {
        if let Ok(at) = self.rows.binary_search_by_key(&row, |row| row.number)
            && let Some(cell) = self.rows[at].cells.get_mut(&column)
        {
            cell.look = look;
        }
    }

    /// Says that a part of a cell's text is struck through: what is not is all that it holds.
    pub fn strike(&mut self, row: u32, column: u32, holds: &str, struck: &str) {
        if let Ok(at) = self.rows.binary_search_by_key(&row, |row| row.number)
            && let Some(cell) = self.rows[at].cells.get_mut(&column)
        {
            let holds = holds.split_whitespace().collect::<Vec<_>>().join(" ");
            if holds.is_empty() {
                cell.look.struck = true;
                return;
            }
            cell.cell = Cell::Text(holds.into());
            self.struck.insert((row, column), struck.trim().to_owned());
        }
    }

    /// What a cell means: the word of a list that a legend says of its text, or what it says itself.
    pub(super) fn meant<'s>(&'s self, cell: &'s Cell<'static>) -> &'s Cell<'static> {
        let Cell::Text(text) = cell else { return cell };
        let meaning = self.legend.get(text.trim());
        let is_word =
            |meaning: &&Cell<'static>| matches!(meaning, Cell::Text(text) if is_of_a_list(text));
        meaning.filter(is_word).unwrap_or(cell)
    }

    /// What a legend says of a text.
    pub(super) fn explained(&self, text: &str) -> Option<&str> {
        match self.legend.get(text.trim())? {
            Cell::Text(meaning) => Some(meaning),
            _ => None,
        }
    }

    /// A row by its number, as the file has it: of a sheet that is turned it is a column.
    pub(super) fn line_name(&self, row: u32) -> String {
        match self.grid.is_turned() {
            true => format!("column {}", crate::sheet::read::column_letters(row)),
            false => format!("row {}", u64::from(row) + 1),
        }
    }

    /// The place of a cell, or of a row.
    pub(super) fn place(&self, row: u32, column: Option<u32>) -> Place {
        let (row, column) = match column {
            Some(column) => {
                let (row, column) = self.stands(row, column);
                (row, Some(column))
            }
            None => (row, None),
        };
        self.grid.place(&self.part, &self.name, standing(row), column.map(standing))
    }

    /// The row and column of the file in which a cell stands.
    pub(super) fn stands(&self, row: u32, column: u32) -> (u32, u32) {
        self.moved.get(&(row, column)).copied().unwrap_or((row, column))
    }

    /// The column of the file in which the values of a column stand.
    pub(super) fn column_in_file(&self, column: u32) -> u32 {
        let mut of_column = self.moved.iter().filter(|((_, own), _)| *own == column);
        of_column.next_back().map_or(column, |(_, (_, stands))| *stands)
    }

    /// What a column is called: by its letters, or by the number of the row that it is in the file.
    pub(super) fn column_name(&self, column: u32) -> String {
        let column = standing(self.column_in_file(column));
        match self.grid.is_turned() {
            true => format!("row {}", u64::from(column) + 1),
            false => format!("column {}", crate::sheet::read::column_letters(column)),
        }
    }

    /// The row of this number, if it says something.
    pub(super) fn row(&self, number: u32) -> Option<&GridRow> {
        let at = self.rows.binary_search_by_key(&number, |row| row.number).ok()?;
        self.rows.get(at)
    }

    fn cell(&self, row: u32, column: u32) -> Option<&GridCell> {
        let at = self.rows.binary_search_by_key(&row, |row| row.number).ok()?;
        self.rows[at].cells.get(&column)
    }
}

/// Whether a cell holds nothing at all; a dash says something in a column of habits.
fn is_nothing(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Text(text) if text.trim().is_empty())
}
