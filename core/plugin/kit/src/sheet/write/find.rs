//! Where a value of the schedule stands among sheets to be written.

use std::collections::HashMap;

use restrand_model::route::{Route, Step};
use restrand_model::sheet::Column;

use super::SheetOut;

/// A row of a sheet to be written, or a cell of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CellAt {
    /// The position of the sheet.
    pub sheet: usize,
    /// The position of the row below the headers.
    pub row: usize,
    /// The position of the column; absent for what has none, as a record.
    pub column: Option<usize>,
}

/// Finds the cells of values.
pub struct Cells<'s> {
    sheets: &'s [SheetOut],
    rows: HashMap<&'s [Step], (usize, usize)>,
}

impl<'s> Cells<'s> {
    /// Looks at all rows once.
    #[must_use]
    pub fn of(sheets: &'s [SheetOut]) -> Self {
        let rows = sheets
            .iter()
            .enumerate()
            .flat_map(|(sheet, out)| {
                let rows = out.routes.iter().enumerate();
                rows.map(move |(row, route)| (route.steps(), (sheet, row)))
            })
            .collect();
        Self { sheets, rows }
    }

    /// The cell of a value, or the row of the nearest record on the way to it.
    #[must_use]
    pub fn find(&self, route: &Route) -> Option<CellAt> {
        let steps = route.steps();
        (0..=steps.len()).rev().find_map(|length| {
            let (sheet, row) = *self.rows.get(&steps[..length])?;
            Some(CellAt { sheet, row, column: self.column(sheet, &steps[length..]) })
        })
    }

    fn column(&self, sheet: usize, way: &[Step]) -> Option<usize> {
        // A list stands in one cell.
        let way = match way {
            [list @ .., Step::Item(_)] => list,
            way => way,
        };
        let is = |column: &Option<&Column>| match column {
            Some(Column::Value { path, .. }) => {
                path.len() == way.len()
                    && path.iter().zip(way).all(|(name, step)| *step == Step::Field(name))
            }
            _ => false,
        };
        self.sheets[sheet].columns.iter().position(is)
    }
}
