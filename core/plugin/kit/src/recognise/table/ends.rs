//! Which end of a tendon a row speaks of, and on which side of the line it lies.

use std::collections::BTreeMap;

use restrand_model::value::Value;

use super::super::ends;
use super::super::grid::GridCell;
use super::super::placed;
use super::super::plan::{ColumnPlan, Of, Take};
use super::super::scope::Scope;
use super::{Cells, Making, Slot, TableReader};
use crate::sheet::Cell;
use crate::sheet::read::put;

/// On which side of the line a row says that its tendon lies.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum RowSide {
    /// The table has no column for it.
    #[default]
    NoColumn,
    /// The row names neither.
    Neither,
    Left,
    Right,
}

impl RowSide {
    /// The sign of a distance to that side: left is positive.
    pub(super) const fn sign(self) -> Option<f64> {
        match self {
            Self::Left => Some(1.0),
            Self::Right => Some(-1.0),
            Self::NoColumn | Self::Neither => None,
        }
    }
}

impl TableReader<'_> {
    /// The end of whose elongation a row speaks, which is stressed `from` one; nothing where the row does not tell it.
    pub(super) fn jacked(&self, row_end: &'static str, from: Option<&str>) -> Option<&'static str> {
        let assignment = &self.found.assignment;
        match (assignment.per_end, assignment.jacked_in_row, from) {
            (true, _, _) => Some(row_end),
            (false, false, _) => Some(self.row_names.name(Scope::Stressing)),
            (false, true, Some("a")) => Some("a"),
            (false, true, Some("b")) => Some("b"),
            (false, true, _) => None,
        }
    }

    /// From where the tendon of a row is stressed, as its own column says; `cell` gives that of a column.
    pub(super) fn stressed_from<'c>(
        &self,
        plans: &BTreeMap<u32, ColumnPlan>,
        cell: impl Fn(u32) -> Option<&'c GridCell>,
    ) -> Option<Value> {
        let of = |plan: &&ColumnPlan| matches!(&plan.take, Take::Value { path, .. } if **path == ["stressing", "from"]);
        let plan = plans.values().find(of)?;
        let Take::Value { field, .. } = plan.take else { return None };
        self.value(plan, field, cell(plan.index)?).ok()
    }

    /// From where the tendon of a row is stressed, where it states of both ends what they are.
    pub(super) fn stressed_by_kinds(
        &self,
        plans: &BTreeMap<u32, ColumnPlan>,
        cells: &Cells,
    ) -> Option<&'static str> {
        let kind_of = |end: Scope| -> Option<String> {
            let of_group = plans.values().find_map(|plan| {
                let place = plan.end_place.as_deref().filter(|_| plan.scope == Some(end))?;
                ends::read(place).and_then(ends::kind)
            });
            let of_cell = || {
                let plan = plans.values().find(|plan| {
                    matches!(&plan.take, Take::Value { of: Of::End(scope), field, .. }
                        if *scope == end && field.name == "kind")
                })?;
                let Take::Value { field, .. } = plan.take else { return None };
                self.value(plan, field, &cells.get(&plan.index)?.0).ok()
            };
            match of_group {
                Some(kind) => Some(kind.to_owned()),
                None => of_cell()?.as_text().map(str::to_owned),
            }
        };
        match (kind_of(Scope::A)?.as_str(), kind_of(Scope::B)?.as_str()) {
            ("stressing", "dead") => Some(self.row_names.name(Scope::A)),
            ("dead", "stressing") => Some(self.row_names.name(Scope::B)),
            ("stressing", "stressing") => Some("both"),
            _ => None,
        }
    }

    /// On which side of the line the tendon of a row lies, as its own column says.
    pub(super) fn side_of_row(&self, plans: &BTreeMap<u32, ColumnPlan>, cells: &Cells) -> RowSide {
        let of = |plan: &&ColumnPlan| matches!(&plan.take, Take::Value { of: Of::Row, path, .. } if **path == ["side"]);
        let Some(plan) = plans.values().find(of) else { return RowSide::NoColumn };
        let Take::Value { field, .. } = plan.take else { return RowSide::NoColumn };
        let value = cells.get(&plan.index).and_then(|cell| self.value(plan, field, &cell.0).ok());
        match value.as_ref().and_then(Value::as_text) {
            Some("left") => RowSide::Left,
            Some("right") => RowSide::Right,
            _ => RowSide::Neither,
        }
    }

    /// The end that a cell of a column names: as a mapping file says, or by its own words.
    pub(super) fn end_named(&self, plan: &ColumnPlan, cell: &Cell<'_>) -> Option<Scope> {
        match plan.word(cell).and_then(Value::as_text) {
            Some("a") => return Some(Scope::A),
            Some("b") => return Some(Scope::B),
            _ => {}
        }
        if let Some(end) = plan.meaning(cell).and_then(ends::read) {
            return Some(end);
        }
        let column = plan.index;
        let rows = self.sheet.rows[self.found.body.clone()].iter();
        ends::read_beside(&cell.name(), rows.filter_map(|row| row.text(column)))
    }

    /// The end that a row is; without a name of its own the first row of a tendon is its end `a`.
    pub(super) fn end_of_row(&self, named: Option<Scope>, mark: Option<&str>) -> &'static str {
        if let Some(scope @ (Scope::A | Scope::B)) = named {
            return self.row_names.name(scope);
        }
        let seen = mark.and_then(|mark| self.tendons.get(mark)).copied().unwrap_or_default();
        if seen == 0 { "a" } else { "b" }
    }

    /// Gives ends the place, or the kind, that the group of their headers says.
    pub(super) fn place_ends(
        &self,
        plans: &BTreeMap<u32, ColumnPlan>,
        making: &mut BTreeMap<(Slot, &'static str), Making>,
    ) {
        for plan in plans.values() {
            let (Some(place), Some(scope)) = (&plan.end_place, plan.scope) else { continue };
            let Some(end) = making.get_mut(&(Slot::End, self.row_names.name(scope))) else {
                continue;
            };
            // `NEAR END (STRESSING)` says what the end is, and no place.
            if let Some(kind) = ends::read(place).and_then(ends::kind) {
                if end.fields.get("kind").is_none() {
                    put(&mut end.fields, &["kind"], Value::Text(kind.into()));
                }
                continue;
            }
            // The west end lies at no place that is called so, unless places are.
            let is_quarter = placed::is_quarter(place) && !self.known.lists_place(place);
            if end.fields.get("place").is_none() && !is_quarter {
                put(&mut end.fields, &["place"], Value::Text(place.as_str().into()));
            }
        }
    }
}
