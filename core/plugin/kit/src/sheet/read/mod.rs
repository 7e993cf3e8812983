//! From rows of cells to record frames.

mod aside;
mod header;
mod open;
mod plan;
mod search;
mod value;
mod weigh;

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use restrand_model::reading::{Grid, Origin, Place, Problem, ProblemKind};
use restrand_model::reflect::{EXTRA, Shape};
use restrand_model::sheet::Sheet;
use restrand_model::value::{Fields, Name, Value};

use super::cell::{self, Cell};
use super::marks::Decision;
use super::unread;
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};

use plan::{Plan, ValuePlan, Weighing};
use value::coded_value;

pub(crate) use header::missed_by;
pub use search::{ForeignSheet, HeaderSearch, Searched, is_headed, known_headers};
pub(crate) use value::{column_letters, plain_value, put, reads_differently};

/// Reads the rows below the headers of one sheet.
pub struct SheetReader {
    sheet: &'static Sheet,
    part: String,
    name: String,
    grid: Grid,
    weighing: Weighing,
    table: u32,
    header_row: u32,
    links: usize,
    plans: Vec<Plan>,
    /// Names of further values, and the number by which the last of that name differs from it.
    names: HashMap<Arc<str>, u32>,
    /// Members and further values that a row is likely to have.
    known: usize,
    further: usize,
}

impl SheetReader {
    /// The row of the headers.
    #[must_use]
    pub const fn header_row(&self) -> u32 {
        self.header_row
    }

    /// The sheet of the layout that it reads.
    #[must_use]
    pub const fn sheet(&self) -> &'static Sheet {
        self.sheet
    }

    /// Reads a row below the headers.
    ///
    /// # Errors
    /// The taker wants no more.
    pub fn row(
        &mut self,
        row: u32,
        cells: &[(u32, Cell<'_>)],
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        if let Some(why) = self.no_record(cells) {
            let said = cells.iter().filter(|(_, cell)| !cell.is_blank());
            let said = said.map(|(_, cell)| cell.shown()).collect::<Vec<_>>().join(" | ");
            // It might be a record all the same, and then something would be lost.
            let kind = ProblemKind::ValueDoubtful;
            let problem = aside::problem(kind, &self.name, self.place(row, None), said, why);
            return frames.take(Frame::Problem(problem));
        }
        let mut fields = Fields::with_capacity(self.known);
        let mut further = Fields::new();
        let mut links = vec![None; self.links];
        let mut texts = Vec::new();
        let origin = Origin::new(self.table, row);
        for (index, cell) in cells {
            if cell.is_blank() {
                continue;
            }
            let position = *index as usize;
            if self.plans.get(position).is_none_or(|plan| matches!(plan, Plan::None)) {
                self.take_unheaded(*index, row, cell, frames)?;
            }
            match &mut self.plans[position] {
                Plan::None | Plan::Computed => {}
                Plan::Link(link) => links[*link] = Some(cell.name().into_boxed_str()),
                Plan::Extra(name, coded) => {
                    if further.is_empty() {
                        further.reserve(self.further);
                    }
                    let value = if *coded { coded_value(cell) } else { plain_value(cell) };
                    further.push(Name::Given(Arc::clone(name)), value);
                }
                Plan::Value(plan) => {
                    let settled = match plan.decide(self.weighing, cell) {
                        Decision::AsItStands => Cow::Borrowed(cell),
                        Decision::Settled(cell) => Cow::Owned(cell),
                        Decision::Open { mark, readings } => {
                            texts.push((*index, cell.shown().into_boxed_str()));
                            match &mut plan.question {
                                Some(question) => question.records.push(origin),
                                None => {
                                    let place =
                                        self.grid.place(&self.part, &self.name, row, Some(*index));
                                    let record = self.sheet.record.name;
                                    plan.ask(record, place, origin, cell.shown(), mark, readings);
                                }
                            }
                            continue;
                        }
                    };
                    match cell::value(&settled, plan.field, plan.measure) {
                        Ok(value) => {
                            match cell {
                                // The text says no more than its number does.
                                Cell::Text(_)
                                    if matches!(&*settled, Cell::Number(_))
                                        && !plan.measure.per_cent => {}
                                Cell::Text(text) if reads_differently(text, &value) => {
                                    texts.push((*index, text.as_ref().into()));
                                }
                                Cell::Number(_) if plan.measure.per_cent => {
                                    texts.push((*index, cell.shown().into_boxed_str()));
                                }
                                _ => {}
                            }
                            put(&mut fields, plan.path, value);
                            if matches!(cell, Cell::Moment(..))
                                && matches!(plan.field.shape, Shape::Date)
                            {
                                let subject =
                                    format!("{}.{}", self.sheet.record.name, plan.path.join("."));
                                texts.push((*index, cell.shown().into_boxed_str()));
                                frames.take(Frame::Problem(Problem {
                                    kind: ProblemKind::ValueDoubtful,
                                    place: self.place(row, Some(*index)),
                                    record: origin,
                                    subject,
                                    given: Some(cell.shown()),
                                    why:
                                        "the cell holds a time of day too, and only the day is read"
                                            .to_owned(),
                                    help: "check the day, and store it without a time".to_owned(),
                                }))?;
                            }
                        }
                        Err(unfit) => {
                            let given = unread::given(cell);
                            texts.push((*index, given.as_str().into()));
                            let bare = plan.measure.unit.is_some()
                                && plan.measure.stated.is_none()
                                && matches!(&*settled, Cell::Number(_));
                            if bare && std::mem::replace(&mut plan.unit_missed, true) {
                                continue;
                            }
                            let (at, subject) = if bare {
                                (self.header_row, format!("{}: {}", self.name, plan.header))
                            } else {
                                (row, format!("{}.{}", self.sheet.record.name, plan.path.join(".")))
                            };
                            frames.take(Frame::Problem(Problem {
                                kind: ProblemKind::ValueLost,
                                place: self.place(at, Some(*index)),
                                record: if bare { Origin::default() } else { origin },
                                subject,
                                given: Some(given),
                                why: unfit.why,
                                help: unfit.help,
                            }))?;
                        }
                    }
                }
            }
        }
        if !further.is_empty() {
            fields.push(Name::Known(EXTRA), Value::Fields(further));
        }
        if fields.is_empty() && texts.is_empty() && links.iter().all(Option::is_none) {
            return Ok(());
        }
        frames.take(Frame::Record(RecordFrame {
            table: self.table,
            at: At::Row(row),
            links,
            fields,
            texts,
            apart: Vec::new(),
        }))
    }

    /// Ends the sheet: asks what its columns leave open.
    ///
    /// # Errors
    /// The taker wants no more.
    pub fn finish(self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for plan in self.plans {
            if let Plan::Value(ValuePlan { question: Some(question), .. }) = plan {
                frames.take(Frame::Question(*question))?;
            }
        }
        Ok(())
    }

    /// Makes room for a column that has values and no header, and says so once.
    fn take_unheaded(
        &mut self,
        index: u32,
        row: u32,
        cell: &Cell<'_>,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let name = format!("column {}", column_letters(index));
        let position = index as usize;
        if self.plans.len() <= position {
            self.plans.resize_with(position + 1, || Plan::None);
        }
        self.plans[position] = Plan::Extra(self.extra_name(&name), false);
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Unknown,
            place: self.place(row, Some(index)),
            record: Origin::default(),
            subject: format!("{}: {name}", self.name),
            given: Some(cell.shown()),
            why: "the column has no header".to_owned(),
            help: format!("give the column a header in row {}, or clear it", self.header_row + 1),
        }))
    }

    fn place(&self, row: u32, column: Option<u32>) -> Place {
        self.grid.place(&self.part, &self.name, row, column)
    }
}
