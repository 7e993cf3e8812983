//! A sheet as it stands in a file: cells on their places, what is merged, hidden and struck.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use restrand_model::quantity::Unit;
use restrand_model::reading::{Grid, Place};

use crate::sheet::Cell;

/// Cells of one sheet that are looked at; a schedule has some thousands.
pub const MOST_CELLS: usize = 4_000_000;
/// Places that merged cells of one sheet may fill beyond their own.
const MOST_SPREAD: usize = 200_000;

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

/// What the look of a cell says of its value.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Look {
    /// The unit that the number format writes behind the number.
    pub unit: Option<&'static Unit>,
    /// Whether the text is struck through.
    pub struck: bool,
}

/// A cell of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct GridCell {
    /// What it holds.
    pub cell: Cell<'static>,
    /// What its look says.
    pub look: Look,
    /// Whether it is filled from the first of the merged cells it belongs to.
    pub(super) spread: Spread,
    /// The heading of the section of a sideways table in which it is a header.
    pub(super) section: Option<String>,
}

/// From where a cell that is merged with others has its value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spread {
    /// It is its own.
    Own,
    /// From above.
    Down,
    /// From the left, or from above and the left.
    Across,
}

/// A row of a sheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GridRow {
    /// Its number, from zero.
    pub number: u32,
    /// Its cells that say something, by column.
    pub cells: BTreeMap<u32, GridCell>,
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

    /// The same sheet with rows for columns.
    pub(super) fn turned(&self) -> Self {
        let mut rows: BTreeMap<u32, GridRow> = BTreeMap::new();
        for row in &self.rows {
            for (column, cell) in &row.cells {
                let turned = rows
                    .entry(*column)
                    .or_insert_with(|| GridRow { number: *column, cells: BTreeMap::new() });
                turned.cells.insert(row.number, cell.clone());
            }
        }
        let turn = |(row, column): (u32, u32)| (column, row);
        Self {
            part: self.part.clone(),
            name: self.name.clone(),
            grid: self.grid.turned(),
            hidden: self.hidden,
            rows: rows.into_values().collect(),
            hidden_rows: self.hidden_columns.clone(),
            hidden_columns: self.hidden_rows.clone(),
            merged: self
                .merged
                .iter()
                .map(|merged| Merged { first: turn(merged.first), last: turn(merged.last) })
                .collect(),
            paired: BTreeSet::new(),
            moved: BTreeMap::new(),
            arranged: None,
            cells: self.cells,
        }
    }

    /// What stands in some of its columns.
    pub(super) fn of_columns(&self, columns: Range<u32>) -> Self {
        let mut part = self.clone();
        for row in &mut part.rows {
            row.cells.retain(|column, _| columns.contains(&standing(*column)));
        }
        part.rows.retain(|row| !row.cells.is_empty());
        part.hidden_columns.retain(|column| columns.contains(column));
        part
    }

    /// The same sheet without its rows.
    fn bare(&self) -> Self {
        Self {
            part: self.part.clone(),
            name: self.name.clone(),
            grid: self.grid,
            hidden: self.hidden,
            rows: Vec::new(),
            hidden_rows: self.hidden_rows.clone(),
            hidden_columns: self.hidden_columns.clone(),
            merged: self.merged.clone(),
            paired: self.paired.clone(),
            moved: self.moved.clone(),
            arranged: self.arranged.clone(),
            cells: self.cells,
        }
    }

    /// Takes out what stands in some of its columns and rows.
    pub(super) fn cut(&mut self, columns: Range<u32>, rows: Range<u32>) -> Self {
        let mut part = self.bare();
        for row in self.rows.iter_mut().filter(|row| rows.contains(&row.number)) {
            let (kept, left) = std::mem::take(&mut row.cells)
                .into_iter()
                .partition(|(column, _)| columns.contains(&standing(*column)));
            row.cells = left;
            part.rows.push(GridRow { number: row.number, cells: kept });
        }
        part.rows.retain(|row| !row.cells.is_empty());
        self.rows.retain(|row| !row.cells.is_empty());
        part
    }

    /// What stands in some of its rows, by their numbers.
    pub(super) fn of_rows(&self, numbers: &BTreeSet<u32>) -> Self {
        let rows = self.rows.iter().filter(|row| numbers.contains(&row.number)).cloned().collect();
        Self { rows, ..self.bare() }
    }

    /// Puts its rows in order, which those of a damaged file are not.
    pub(super) fn order(&mut self) {
        if self.rows.is_sorted_by(|one, next| one.number < next.number) {
            return;
        }
        self.rows.sort_by_key(|row| row.number);
        self.rows.dedup_by(|later, kept| {
            let is_same = later.number == kept.number;
            if is_same {
                kept.cells.append(&mut later.cells);
            }
            is_same
        });
    }

    /// Fills merged cells with the value of the first of them.
    pub(super) fn spread(&mut self) {
        let mut left = MOST_SPREAD;
        let width = self.rows.iter().filter_map(|row| row.cells.keys().last().copied()).max();
        let (Some(width), Some(height)) = (width, self.rows.last().map(|row| row.number)) else {
            return;
        };
        for merged in std::mem::take(&mut self.merged) {
            self.spread_one(merged, width, height, &mut left);
            self.merged.push(merged);
        }
    }

    fn spread_one(&mut self, merged: Merged, width: u32, height: u32, left: &mut usize) {
        let Some(first) = self.cell(merged.first.0, merged.first.1).cloned() else { return };
        for row in merged.first.0..=merged.last.0.min(height) {
            for column in merged.first.1..=merged.last.1.min(width) {
                if (row, column) == merged.first || *left == 0 {
                    continue;
                }
                *left -= 1;
                let spread = if column == merged.first.1 { Spread::Down } else { Spread::Across };
                let cell = GridCell { spread, ..first.clone() };
                match self.rows.binary_search_by_key(&row, |row| row.number) {
                    Ok(at) => {
                        self.rows[at].cells.entry(column).or_insert(cell);
                    }
                    Err(at) => {
                        let cells = BTreeMap::from([(column, cell)]);
                        self.rows.insert(at, GridRow { number: row, cells });
                    }
                }
            }
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

impl GridRow {
    /// The text of a row that holds nothing else.
    pub(super) fn lone_text(&self) -> Option<&str> {
        let mut own = self.own().filter(|(_, cell)| !cell.cell.is_blank());
        match (own.next(), own.next()) {
            (Some((_, cell)), None) => match &cell.cell {
                Cell::Text(text) => Some(text.trim()),
                _ => None,
            },
            _ => None,
        }
    }

    /// The cells that are not filled from merged ones to their left.
    pub(super) fn own(&self) -> impl Iterator<Item = (u32, &GridCell)> {
        self.cells
            .iter()
            .filter(|(_, cell)| cell.spread == Spread::Own)
            .map(|(column, cell)| (*column, cell))
    }

    /// The text in a column, if it holds one.
    pub(super) fn text(&self, column: u32) -> Option<&str> {
        match &self.cells.get(&column)?.cell {
            Cell::Text(text) => Some(text.trim()),
            _ => None,
        }
    }
}

/// Whether a cell holds nothing at all; a dash says something in a column of habits.
fn is_nothing(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Text(text) if text.trim().is_empty())
}

/// The unit that a number format writes behind the number, as `#,##0.0" kN"` does.
#[must_use]
pub fn unit_of_format(code: &str) -> Option<&'static Unit> {
    let positive = code.split(';').next()?;
    let mut literal = String::new();
    let mut letters = positive.chars();
    let mut seen_digit = false;
    while let Some(letter) = letters.next() {
        match letter {
            '"' => {
                let text: String = letters.by_ref().take_while(|letter| *letter != '"').collect();
                if seen_digit {
                    literal.push_str(&text);
                }
            }
            '\\' | '_' | '*' => {
                let next = letters.next();
                if letter == '\\' && seen_digit {
                    literal.extend(next);
                }
            }
            '0' | '#' | '?' => seen_digit = true,
            '[' => {
                let _: String = letters.by_ref().take_while(|letter| *letter != ']').collect();
            }
            _ => {}
        }
    }
    let literal = literal.trim();
    if literal.is_empty() { None } else { Unit::find_any(literal) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_that_come_out_of_order_are_put_in_order() {
        let mut sheet = Sheet::new("a.xls", "S", Grid::Cells);
        for (row, column) in [(5, 0), (2, 0), (5, 1), (2, 1)] {
            sheet.push(row, column, &Cell::Number(f64::from(row)), Look::default());
        }
        sheet.order();
        let found: Vec<_> = sheet.rows.iter().map(|row| (row.number, row.cells.len())).collect();
        assert_eq!(found, [(2, 2), (5, 2)]);
    }

    #[test]
    fn a_number_format_tells_its_unit() {
        for (code, unit) in [
            ("#,##0.0\" kN\"", Some("kN")),
            ("0.00\\ \"mm\"", Some("mm")),
            ("0\\m", Some("m")),
            ("[Red]0.0\" ft\";-0.0\" ft\"", Some("ft")),
            ("General", None),
            ("\"T\"0", None),
            ("0.0\" each\"", None),
        ] {
            assert_eq!(unit_of_format(code).map(|unit| unit.symbol), unit, "{code}");
        }
    }

    #[test]
    fn merged_cells_are_filled_and_a_sheet_can_be_turned() {
        let mut sheet = Sheet::new("a.xlsx", "S", Grid::Cells);
        for (row, column, text) in [(0, 0, "Mark"), (1, 0, "T1"), (1, 1, "x"), (2, 1, "y")] {
            assert!(sheet.push(row, column, &Cell::Text(text.into()), Look::default()));
        }
        sheet.merged.push(Merged { first: (1, 0), last: (2, 0) });
        sheet.merged.push(Merged { first: (0, 0), last: (0, 900_000) });
        sheet.spread();
        assert_eq!(sheet.rows[2].text(0), Some("T1"));
        assert_eq!(sheet.rows[0].text(1), Some("Mark"));
        assert_eq!(sheet.rows[0].cells.len(), 2);
        assert_eq!(sheet.turned().rows[1].text(2), Some("y"));
    }
}
