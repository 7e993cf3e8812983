//! Sheets in another arrangement: turned, in parts, in order, with merged cells filled.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::{GridCell, GridRow, Merged, Sheet, Spread, standing};

/// Places that merged cells of one sheet may fill beyond their own.
const MOST_SPREAD: usize = 200_000;

impl Sheet {
    /// The same sheet with rows for columns.
    pub(in crate::recognise) fn turned(&self) -> Self {
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
            struck: BTreeMap::new(),
            footnotes: self.footnotes.clone(),
            legend: self.legend.clone(),
            quarters: self.quarters.clone(),
            named: self.named.clone(),
            cells: self.cells,
        }
    }

    /// What stands in some of its columns.
    pub(in crate::recognise) fn of_columns(&self, columns: Range<u32>) -> Self {
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
            struck: BTreeMap::new(),
            footnotes: self.footnotes.clone(),
            legend: self.legend.clone(),
            quarters: self.quarters.clone(),
            named: self.named.clone(),
            cells: self.cells,
        }
    }

    /// Takes out what stands in some of its columns and rows.
    pub(in crate::recognise) fn cut(&mut self, columns: Range<u32>, rows: Range<u32>) -> Self {
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
    pub(in crate::recognise) fn of_rows(&self, numbers: &BTreeSet<u32>) -> Self {
        let rows = self.rows.iter().filter(|row| numbers.contains(&row.number)).cloned().collect();
        Self { rows, ..self.bare() }
    }

    /// Puts its rows in order, which those of a damaged file are not.
    pub(in crate::recognise) fn order(&mut self) {
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
    pub(in crate::recognise) fn spread(&mut self) {
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
}

#[cfg(test)]
mod tests {
    use restrand_model::reading::Grid;

    use super::super::Look;
    use super::*;
    use crate::sheet::Cell;

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
