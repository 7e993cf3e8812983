//! Forces in a table with a row for each end: that at the end that is not stressed is none at a jack.

use std::collections::BTreeMap;

use restrand_model::reflect::EXTRA;
use restrand_model::value::{Fields, Name, Value};

use super::super::grid::GridCell;
use super::super::plan::{ColumnPlan, Of, Take};
use super::super::stated::agree;
use super::row::stated;
use super::{Cells, Making, Pending, TableReader};
use crate::sheet::read::{plain_value, put};

/// The path of the force at the jack.
pub(super) const AT_JACK: &[&str] = &["stressing", "jacking_force_kn"];

/// A force that the row of an end states that is not stressed.
#[derive(Debug)]
pub(super) struct Unjacked {
    header: String,
    /// As the cell has it.
    plain: Value,
    value: Value,
}

impl TableReader<'_> {
    /// Whether a row is of an end that it says is not stressed.
    pub(super) fn is_dead(&self, plans: &BTreeMap<u32, ColumnPlan>, cells: &Cells) -> bool {
        let kind = plans.values().find_map(|plan| match plan.take {
            Take::Value { of: Of::RowEnd, field, .. } if field.name == "kind" => {
                self.value(plan, field, &cells.get(&plan.index)?.0).ok()
            }
            _ => None,
        });
        self.found.assignment.per_end && kind.as_ref().and_then(Value::as_text) == Some("dead")
    }

    /// Keeps a force of the row of a dead end until it is known whether the row of the other end states one.
    pub(super) fn keep_unjacked(
        &mut self,
        mark: &str,
        plan: &ColumnPlan,
        cell: &GridCell,
        value: Value,
    ) {
        let header = plan.header.clone();
        let force = Unjacked { header, plain: plain_value(&cell.cell), value };
        self.unjacked.entry(mark.to_owned()).or_insert(force);
    }

    /// Settles the forces of dead ends: one that differs from that at the jack is kept under its header, and one that
    /// stands alone is that of the tendon.
    pub(super) fn settle_unjacked(&mut self) {
        for (mark, force) in std::mem::take(&mut self.unjacked) {
            if let Some(at) = self.pending_at.get(&mark) {
                force.settle(&mut self.pending[*at]);
            }
        }
    }
}

impl Unjacked {
    fn settle(self, tendon: &mut Pending) {
        let Making { fields, .. } = &mut tendon.own;
        match stated(fields, AT_JACK) {
            None => put(fields, AT_JACK, self.value),
            Some(value) if agree(value, &self.value) => {}
            Some(_) => {
                if fields.get(EXTRA).is_none() {
                    fields.push(Name::Known(EXTRA), Value::Fields(Fields::new()));
                }
                let further = fields.iter_mut().find(|(name, _)| name.as_str() == EXTRA);
                if let Some((_, Value::Fields(further))) = further {
                    further.push(Name::from(self.header.as_str()), self.plain);
                }
            }
        }
    }
}
