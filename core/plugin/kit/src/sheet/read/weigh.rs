//! What the numbers of a sheet of texts show of their columns' decimal marks.

use restrand_model::quantity::Marks;
use restrand_model::reflect::Shape;

use super::SheetReader;
use super::plan::{Plan, ValuePlan, Weighing};
use crate::sheet::cell::Cell;
use crate::sheet::unread;

impl SheetReader {
    /// Whether the row holds a number that can be read only once the decimal mark of its column is known.
    ///
    /// Of a sheet in which numbers are texts, all rows are to be shown to [`Self::weigh`] then, and this row is
    /// read after [`Self::weighed`].
    #[must_use]
    pub fn must_weigh(&self, cells: &[(u32, Cell<'_>)]) -> bool {
        self.weighing == Weighing::Wanted
            && cells.iter().any(|(index, cell)| match cell {
                Cell::Text(text) => {
                    self.number_plan(*index).is_some()
                        && unread::marked(text).is_none()
                        && matches!(
                            Marks::of(text),
                            Marks::PointOrThousands | Marks::CommaOrThousands
                        )
                }
                _ => false,
            })
    }

    /// Looks at a row below the headers for what its numbers show of their columns' decimal marks.
    pub fn weigh(&mut self, cells: &[(u32, Cell<'_>)]) {
        for (index, cell) in cells {
            let Cell::Text(text) = cell else { continue };
            if self.number_plan(*index).is_some()
                && unread::marked(text).is_none()
                && let Some(Plan::Value(plan)) = self.plans.get_mut(*index as usize)
            {
                plan.marks.see(Marks::of(text));
            }
        }
    }

    /// All rows have been weighed.
    pub fn weighed(&mut self) {
        let commas = self.plans.iter().any(|plan| match plan {
            Plan::Value(plan) => plan.marks.has_comma(),
            _ => false,
        });
        self.weighing = Weighing::Done { commas };
    }

    /// Whether a field that is a number takes the column.
    #[must_use]
    pub fn takes_numbers(&self, column: u32) -> bool {
        self.number_plan(column).is_some()
    }

    fn number_plan(&self, index: u32) -> Option<&ValuePlan> {
        match self.plans.get(index as usize)? {
            Plan::Value(plan) if matches!(plan.field.shape, Shape::Number) => Some(plan),
            _ => None,
        }
    }
}
