//! Forces in a table with a row for each end: that at the end that is not stressed is none at a jack.

use std::collections::BTreeMap;

use restrand_model::reading::{Origin, Problem, ProblemKind};
use restrand_model::reflect::EXTRA;
use restrand_model::value::{Fields, Name, Value};

use super::super::grid::{GridCell, Sheet};
use super::super::plan::{ColumnPlan, Of, Take};
use super::super::stated::agree;
use super::hand_over::join;
use super::row::stated;
use super::{Cells, Making, Pending, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::read::{plain_value, put};

/// The path of the force at the jack.
pub(super) const AT_JACK: &[&str] = &["stressing", "jacking_force_kn"];

/// A force that the row of an end states that is not stressed.
#[derive(Debug)]
pub(super) struct Unjacked {
    /// The row that states it.
    number: u32,
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
        kind.as_ref().and_then(Value::as_text) == Some("dead")
    }

    /// Keeps a force of the row of a dead end until it is known whether the row of the other end states one.
    pub(super) fn keep_unjacked(
        &mut self,
        mark: &str,
        number: u32,
        (plan, cell): (&ColumnPlan, &GridCell),
        value: Value,
    ) {
        let header = plan.header.clone();
        let force = Unjacked { number, header, plain: plain_value(&cell.cell), value };
        self.unjacked.entry(mark.to_owned()).or_default().push(force);
    }

    /// Settles the forces of dead ends: one that differs from that at the jack is kept under its header, and one that
    /// stands alone is that of the tendon. Of several that stand alone and differ the first is taken, which is said.
    pub(super) fn settle_unjacked(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for (mark, forces) in std::mem::take(&mut self.unjacked) {
            let tendon = self.pending_at.get(&mark).and_then(|at| self.pending.get_mut(*at));
            let Some(Pending { own: Making { fields, .. }, .. }) = tendon else {
                for force in &forces {
                    let why = format!("no row of {mark} is a record to which it belongs");
                    frames.take(Frame::Problem(force.problem(self.sheet, why)))?;
                }
                continue;
            };
            let is_jacked = stated(fields, AT_JACK).is_some();
            for force in forces {
                match stated(fields, AT_JACK) {
                    None => put(fields, AT_JACK, force.value),
                    Some(value) if agree(value, &force.value) => {}
                    Some(_) => {
                        if !is_jacked {
                            let why = format!(
                                "the row of another dead end of {mark} says otherwise, and its value is taken"
                            );
                            frames.take(Frame::Problem(force.problem(self.sheet, why)))?;
                        }
                        force.keep(fields);
                    }
                }
            }
        }
        Ok(())
    }
}

impl Unjacked {
    fn problem(&self, sheet: &Sheet, why: String) -> Problem {
        Problem {
            kind: ProblemKind::ValueDoubtful,
            place: sheet.place(self.number, None),
            record: Origin::default(),
            subject: format!("tendon.{}", AT_JACK.join(".")),
            given: Some(self.value.to_string()),
            why,
            help: "state the force at the end that is stressed".to_owned(),
        }
    }

    /// Keeps it among the further values of its tendon, each that differs under a name of its own.
    fn keep(self, fields: &mut Fields) {
        let mut further = Fields::new();
        further.push(Name::from(self.header.as_str()), self.plain);
        let mut kept = Fields::new();
        kept.push(Name::Known(EXTRA), Value::Fields(further));
        join(fields, kept, "tendon", &mut Vec::new());
    }
}
