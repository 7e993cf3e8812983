//! Rows of different tendons that have one mark, and are told apart by the side on which they lie: `X1 | L` and
//! `X1 | R`.
//!
//! A mark is to name one tendon; what belongs to the second would go to the first otherwise.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark};

use super::super::grid::{GridCell, GridRow};
use super::super::habits::Habits;
use super::super::plan::{Of, Take};
use super::{Cells, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

/// Marks that several rows have, with the column of the side that tells these apart.
#[derive(Debug, Default)]
pub(super) struct Doubled {
    columns: Option<(u32, u32)>,
    marks: BTreeSet<String>,
}

impl TableReader<'_> {
    /// Looks for marks that several of these rows have, each on a side of its own.
    pub(super) fn doubled(&self, records: &[usize], mut habits: Habits) -> Doubled {
        let assignment = &self.found.assignment;
        let column = |name: &str| {
            let is = |take: &Take| matches!(take, Take::Value { of: Of::Row, path, .. } if **path == [name]);
            self.plans.values().find(|plan| is(&plan.take)).map(|plan| plan.index)
        };
        let (Some(mark), Some(side)) = (column("mark"), column("side")) else {
            return Doubled::default();
        };
        if assignment.list != "Tendons" || assignment.per_end {
            return Doubled::default();
        }
        let mut sides: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for at in records {
            let row: &GridRow = &self.sheet.rows[*at];
            let mut of = |column: u32| {
                let cell = habits.get_mut(&column)?.next(row.cells.get(&column))?.0;
                Some(cell.cell.name().trim().to_owned())
            };
            if let (Some(mark), side) = (of(mark), of(side)) {
                sides.entry(mark).or_default().push(side.unwrap_or_default());
            }
        }
        let is_told = |sides: &Vec<String>| {
            let different: BTreeSet<&String> = sides.iter().collect();
            sides.len() > 1
                && different.len() == sides.len()
                && sides.iter().all(|one| !one.is_empty())
        };
        let marks = sides.into_iter().filter(|(_, sides)| is_told(sides)).map(|(mark, _)| mark);
        Doubled { columns: Some((mark, side)), marks: marks.collect() }
    }

    /// Says that the side is added to marks that several tendons have.
    pub(super) fn tell_doubled(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        let Doubled { columns: Some((mark, side)), marks } = &self.doubled else { return Ok(()) };
        let Some(first) = marks.first() else { return Ok(()) };
        let header = |column: &u32| self.plans.get(column).map_or("", |plan| plan.header.as_str());
        let why = format!(
            "names tendons of both sides alike, as \"{first}\"; what \"{}\" says is added to their marks",
            header(side)
        );
        let what = format!("\"{}\" {why}.", header(mark));
        let row = self.sheet.rows[self.found.headers.end - 1].number;
        let problem = Problem {
            kind: ProblemKind::Assumed,
            place: self.sheet.place(row, Some(*mark)),
            record: Origin::default(),
            subject: format!("{}: {}", self.sheet.name, header(mark)),
            given: None,
            why,
            help: "give each tendon a mark of its own".to_owned(),
        };
        self.remarks.push(Remark { row: None, what });
        frames.take(Frame::Problem(problem))
    }
}

impl Doubled {
    /// Adds the side to the mark of a row, where several tendons have it.
    pub(super) fn part(&self, cells: &mut Cells) {
        let Some((mark, side)) = self.columns.filter(|_| !self.marks.is_empty()) else { return };
        let name = |cells: &Cells, column| {
            cells.get(&column).map(|(cell, _)| cell.cell.name().trim().to_owned())
        };
        let (Some(own), Some(side)) = (name(cells, mark), name(cells, side)) else { return };
        if self.marks.contains(&own)
            && let Some((GridCell { cell, .. }, _)) = cells.get_mut(&mark)
        {
            *cell = Cell::Text(format!("{own} {side}").into());
        }
    }
}
