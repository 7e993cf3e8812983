//! What the rows of a table state of tendons, for telling whether another states otherwise.

use std::collections::{BTreeMap, BTreeSet};

use super::super::assign::Assigned;
use super::super::find::Found;
use super::super::grid::{GridRow, Sheet};
use super::super::scope::Scope;
use super::super::{Looked, habits};

/// A row: its number, and what it states of which field.
struct Line {
    number: u32,
    values: BTreeMap<(String, Option<Scope>), String>,
}

/// The rows of tables that list tendons, by the marks in small letters.
#[derive(Default)]
pub(super) struct Lines(BTreeMap<String, Vec<Line>>);

impl Lines {
    /// Those of the tables of a sheet.
    pub(super) fn of(looked: &Looked) -> Self {
        let mut lines = Self::default();
        looked.found.iter().for_each(|found| lines.add(&looked.sheet, found));
        lines
    }

    /// Adds those of a table. Where each end has a row, the rows of a tendon differ, and nothing is added.
    pub(super) fn add(&mut self, sheet: &Sheet, found: &Found) {
        let columns = &found.assignment.columns;
        let is_mark =
            |one: &&Assigned| one.target.is_some_and(|target| target.name() == "tendon.mark");
        let Some(mark) = columns
            .iter()
            .find(is_mark)
            .filter(|_| found.assignment.list == "Tendons" && !found.assignment.per_end)
        else {
            return;
        };
        let said = |row: &GridRow, column: u32| {
            let cell = row.cells.get(&column)?;
            let says_nothing = cell.cell.is_blank()
                || cell.look.struck
                || habits::is_ditto(&cell.cell)
                || habits::is_pending(&cell.cell);
            (!says_nothing).then(|| cell.cell.name().trim().to_lowercase())
        };
        for row in &sheet.rows[found.body.clone()] {
            let Some(name) = said(row, mark.index) else { continue };
            let values = columns.iter().filter(|one| one.index != mark.index).filter_map(|one| {
                Some(((one.target?.name(), one.header.scope), said(row, one.index)?))
            });
            let line = Line { number: row.number, values: values.collect() };
            self.0.entry(name).or_default().push(line);
        }
    }

    /// The rows that state otherwise than all rows of the other of the same tendon, with its mark.
    pub(super) fn against<'l>(
        &'l self,
        other: &'l Self,
    ) -> impl Iterator<Item = (u32, &'l str)> + 'l {
        self.0.iter().flat_map(|(mark, lines)| {
            let others = other.0.get(mark).map_or(&[][..], Vec::as_slice);
            let is_against = move |line: &&Line| {
                !others.is_empty() && others.iter().all(|other| line.differs(other))
            };
            lines.iter().filter(is_against).map(|line| (line.number, mark.as_str()))
        })
    }

    /// The rows of tendons that the other has as well.
    pub(super) fn shared(&self, other: &Self) -> BTreeSet<u32> {
        let shared = self.0.iter().filter(|(mark, _)| other.0.contains_key(*mark));
        shared.flat_map(|(_, lines)| lines.iter().map(|line| line.number)).collect()
    }

    /// Whether the other has all of its tendons.
    pub(super) fn is_within(&self, other: &Self) -> bool {
        self.0.keys().all(|mark| other.0.contains_key(mark))
    }

    /// The marks of the tendons of which the other states otherwise.
    pub(super) fn contradicted<'l>(&'l self, other: &'l Self) -> BTreeSet<&'l str> {
        self.against(other).map(|(_, mark)| mark).collect()
    }
}

impl Line {
    /// Whether a field that both state is not the same.
    fn differs(&self, other: &Self) -> bool {
        self.values
            .iter()
            .any(|(field, value)| other.values.get(field).is_some_and(|other| other != value))
    }
}
