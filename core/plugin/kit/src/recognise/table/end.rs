//! What is said of a table when all its rows are read.

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark, Understood, UnderstoodTable};
use restrand_model::reflect::Shape;

use super::{Pending, Slot, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::recognise::habits::Taken;
use crate::recognise::plan::{ColumnPlan, Take};
use crate::recognise::vocabulary::list_at;

impl TableReader<'_> {
    pub(super) fn finish(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for Pending { number, links, own, .. } in std::mem::take(&mut self.pending) {
            self.record(Slot::Row, number, links, own, frames)?;
        }
        for ((index, taken), (first, count)) in std::mem::take(&mut self.carried) {
            let Some(plan) = self.plans.get(&index) else { continue };
            let how = match taken {
                Taken::Ditto => "a mark says: as above",
                Taken::Merged => "it is merged with the cell above",
                Taken::Carried => "the cell is blank, and the column names each group once",
                Taken::Here => continue,
            };
            let values = if count == 1 { "1 value".to_owned() } else { format!("{count} values") };
            let what = format!(
                "From here on {values} of \"{}\" are taken from above: {how}.",
                plan.header
            );
            self.remarks.push(Remark { row: Some(first), what });
            if taken == Taken::Merged && self.is_of_one_tendon(plan) {
                frames.take(Frame::Problem(Problem {
                    kind: ProblemKind::Assumed,
                    place: self.sheet.place(first, Some(index)),
                    record: Origin::default(),
                    subject: format!("{}: {}", self.sheet.name, plan.header),
                    given: None,
                    why: "is merged over the cells of several tendons; its value is taken for each"
                        .to_owned(),
                    help: "write the value into each row, if it is that of each".to_owned(),
                }))?;
            }
        }
        for plan in self.plans.values_mut() {
            if let Some(question) = &plan.question {
                frames.take(Frame::Question(question.clone()))?;
            }
        }
        Ok(())
    }

    /// Whether a column states what each tendon has of its own, so that a value over several rows can be a sum.
    fn is_of_one_tendon(&self, plan: &ColumnPlan) -> bool {
        let measures = matches!(&plan.take, Take::Value { field, .. }
            if matches!(field.shape, Shape::Number | Shape::Count));
        self.found.assignment.list == "Tendons" && !self.found.assignment.per_end && measures
    }

    /// What the table was taken for.
    pub(in crate::recognise) fn understood(self, into: &mut Understood) -> Vec<(u32, String)> {
        let rows = &self.sheet.rows;
        let record = list_at(self.found.assignment.list)
            .map_or_else(String::new, |(_, sheet)| sheet.record.name.replace('_', " "));
        into.tables.push(UnderstoodTable {
            caption: self.found.caption.clone(),
            record: if self.found.assignment.per_end {
                "end of a tendon".to_owned()
            } else {
                record
            },
            turned: self.sheet.grid.is_turned(),
            headers: (
                rows[self.found.headers.start].number,
                rows[self.found.headers.end - 1].number,
            ),
            rows: self.rows,
            columns: self.plans.values().map(ColumnPlan::understood).collect(),
        });
        into.remarks.extend(self.remarks);
        self.further
    }
}
