//! What the rows of a table state of tendons, for telling whether another states otherwise.

use std::collections::{BTreeMap, BTreeSet};

use super::super::assign::Assigned;
use super::super::find::Found;
use super::super::grid::{GridRow, Sheet};
use super::super::scope::Scope;
use super::super::{Looked, habits};

/// A field, of which end or deviator.
type Field = (String, Option<Scope>);

/// A row: its number, and what it states of which field, in which column.
struct Line {
    number: u32,
    values: BTreeMap<Field, (u32, String)>,
}

/// The rows of tables that list tendons, by the marks in small letters.
#[derive(Default)]
pub(super) struct Lines {
    by_mark: BTreeMap<String, Vec<Line>>,
    /// The fields of which the tables have columns.
    fields: BTreeSet<Field>,
}

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
        let of_value = columns.iter().filter(|one| one.index != mark.index);
        let fields: Vec<(Field, u32)> = of_value
            .filter_map(|one| Some(((one.target?.name(), one.header.scope), one.index)))
            .collect();
        for row in &sheet.rows[found.body.clone()] {
            let Some(name) = said(row, mark.index) else { continue };
            let values = fields.iter().filter_map(|(field, column)| {
                Some((field.clone(), (*column, said(row, *column)?)))
            });
            let line = Line { number: row.number, values: values.collect() };
            self.by_mark.entry(name).or_default().push(line);
        }
        self.fields.extend(fields.into_iter().map(|(field, _)| field));
    }

    /// The rows that state otherwise than all rows of the other of the same tendon that state the same fields, with its
    /// mark.
    pub(super) fn against<'l>(
        &'l self,
        other: &'l Self,
    ) -> impl Iterator<Item = (u32, &'l str)> + 'l {
        self.by_mark.iter().flat_map(|(mark, lines)| {
            let others = other.by_mark.get(mark).map_or(&[][..], Vec::as_slice);
            let is_against = move |line: &&Line| {
                let mut others = others.iter().filter(|other| line.meets(other)).peekable();
                others.peek().is_some() && others.all(|other| line.differs(other))
            };
            lines.iter().filter(is_against).map(|line| (line.number, mark.as_str()))
        })
    }

    /// The rows of tendons that the other has as well.
    pub(super) fn shared(&self, other: &Self) -> BTreeSet<u32> {
        let shared = self.by_mark.iter().filter(|(mark, _)| other.by_mark.contains_key(*mark));
        shared.flat_map(|(_, lines)| lines.iter().map(|line| line.number)).collect()
    }

    /// The marks of its tendons.
    pub(super) fn marks(&self) -> BTreeSet<&str> {
        self.by_mark.keys().map(String::as_str).collect()
    }

    /// The marks of the tendons that the other has not.
    pub(super) fn alone<'l>(&'l self, other: &Self) -> BTreeSet<&'l str> {
        let marks = self.by_mark.keys().filter(|mark| !other.by_mark.contains_key(*mark));
        marks.map(String::as_str).collect()
    }

    /// Whether a column states of a tendon what the other does not state in the same way.
    pub(super) fn states_anew(&self, other: &Self, column: u32) -> bool {
        self.by_mark.iter().any(|(mark, lines)| {
            let others = other.by_mark.get(mark).map_or(&[][..], Vec::as_slice);
            let own = lines.iter().flat_map(|line| &line.values).filter(|(_, own)| own.0 == column);
            let mut own = own.map(|(field, (_, value))| (field, value));
            own.any(|(field, value)| {
                let is_same = |line: &Line| line.values.get(field).is_some_and(|of| of.1 == *value);
                !others.iter().any(is_same)
            })
        })
    }

    /// Whether the other has all of its tendons and fields.
    pub(super) fn is_within(&self, other: &Self) -> bool {
        self.states_no_more(other)
            && self.by_mark.keys().all(|mark| other.by_mark.contains_key(mark))
    }

    /// Whether the other has columns of all of its fields.
    pub(super) fn states_no_more(&self, other: &Self) -> bool {
        self.fields.is_subset(&other.fields)
    }

    /// The rows and columns of the values that the other states otherwise of the same tendon.
    pub(super) fn contradictions(&self, other: &Self) -> Vec<(u32, u32)> {
        let mut found = Vec::new();
        for (mark, lines) in &self.by_mark {
            let others = other.by_mark.get(mark).map_or(&[][..], Vec::as_slice);
            for line in lines {
                for (field, (column, value)) in &line.values {
                    let mut of_others =
                        others.iter().filter_map(|other| other.values.get(field)).peekable();
                    let states = of_others.peek().is_some();
                    if states && of_others.all(|(_, other)| other != value) {
                        found.push((line.number, *column));
                    }
                }
            }
        }
        found
    }

    /// The marks of the tendons of which both do not state the very same.
    pub(super) fn mixed<'l>(&'l self, other: &Self) -> BTreeSet<&'l str> {
        let stated = |lines: &[Line]| -> BTreeSet<(Field, String)> {
            let values = lines.iter().flat_map(|line| &line.values);
            values.map(|(field, (_, value))| (field.clone(), value.clone())).collect()
        };
        let mixed = self.by_mark.iter().filter(|(mark, lines)| {
            other.by_mark.get(*mark).is_some_and(|others| stated(lines) != stated(others))
        });
        mixed.map(|(mark, _)| mark.as_str()).collect()
    }

    /// The marks of the tendons of which the other states otherwise.
    pub(super) fn contradicted<'l>(&'l self, other: &'l Self) -> BTreeSet<&'l str> {
        self.against(other).map(|(_, mark)| mark).collect()
    }
}

impl Line {
    /// Whether both state some field.
    fn meets(&self, other: &Self) -> bool {
        self.values.keys().any(|field| other.values.contains_key(field))
    }

    /// Whether a field that both state is not the same.
    fn differs(&self, other: &Self) -> bool {
        self.values.iter().any(|(field, (_, value))| {
            other.values.get(field).is_some_and(|(_, other)| other != value)
        })
    }
}
