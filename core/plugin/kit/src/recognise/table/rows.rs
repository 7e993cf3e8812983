//! Rows one by one: what is taken from above, what is left out, and what is said when all are read.

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark};
use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;

use super::super::blanks;
use super::super::grid::{GridCell, GridRow};
use super::super::habits::{self, Habit, Habits, Taken};
use super::super::plan::{ColumnPlan, Take};
use super::super::scope::Scope;
use super::super::vocabulary::Target;
use super::{Cells, Pending, Slot, TableReader, heading, shown};
use crate::frame::{Frame, Frames, Stopped};

impl TableReader<'_> {
    /// Whether a note says of a column that an empty cell of it is as the one above.
    fn is_noted(&self, plan: &ColumnPlan) -> bool {
        let is_described = matches!(plan.target, Some(Target::Described(_)));
        let field = plan.target.and_then(|target| match target.column()? {
            Column::Value { path, .. } => Some((target.list()?, path.join("."))),
            Column::Link { .. } => None,
        });
        let is_of_fields = || field.is_some_and(|(list, field)| blanks::speaks_of(list, &field));
        self.blanks_above && (is_described || is_of_fields())
    }

    pub(super) fn habits(&self, records: &[usize]) -> Habits {
        self.plans
            .values()
            .map(|plan| {
                let cells: Vec<Option<&GridCell>> =
                    records.iter().map(|at| self.sheet.rows[*at].cells.get(&plan.index)).collect();
                let list = plan.target.and_then(Target::list);
                let field = match plan.target.and_then(Target::column) {
                    Some(Column::Value { path, .. }) => Some(path.join(".")),
                    Some(Column::Link { header }) => Some((*header).to_owned()),
                    None => None,
                };
                // A row per tendon without a mark is a tendon without a mark.
                let may = self.found.assignment.per_end || field.as_deref() != Some("mark");
                let field = list.zip(field.as_deref()).filter(|_| may);
                let is_named_once = field == Some(("Tendons", "mark"))
                    && self.ends_under_marks(plan.index, records);
                let habit = Habit::of(field, &cells);
                let is_noted = self.is_noted(plan);
                (
                    plan.index,
                    match (is_named_once, is_noted) {
                        (true, _) => habit.carrying(),
                        (false, true) => habit.noted(),
                        (false, false) => habit,
                    },
                )
            })
            .collect()
    }

    /// Whether a table with a row for each end names each tendon only in the row of its first end: below each mark
    /// blanks follow only in rows of other ends.
    fn ends_under_marks(&self, marks: u32, records: &[usize]) -> bool {
        let is_end = |plan: &&ColumnPlan| matches!(plan.take, Take::EndOfRow);
        let Some(ends) = self.plans.values().find(is_end) else { return false };
        let mut named: Vec<Scope> = Vec::new();
        let (mut last, mut blanks) = (None, 0);
        for row in records.iter().map(|at| &self.sheet.rows[*at]) {
            let cell = row.cells.get(&ends.index);
            let Some(end) = cell.and_then(|cell| self.end_named(ends, &cell.cell)) else {
                return false;
            };
            match row.cells.get(&marks).filter(|cell| !cell.cell.is_blank()) {
                Some(cell) if last == Some(&cell.cell) => return false,
                Some(cell) => (last, named) = (Some(&cell.cell), vec![end]),
                None if last.is_none() || named.contains(&end) => return false,
                None => {
                    named.push(end);
                    blanks += 1;
                }
            }
        }
        blanks > 0
    }

    pub(super) fn cells(&mut self, row: &GridRow, habits: &mut Habits) -> Cells {
        let mut cells = Cells::new();
        let mut carried = Vec::new();
        for (index, habit) in habits.iter_mut() {
            if let Some((cell, taken)) = habit.next(row.cells.get(index)) {
                if taken != Taken::Here {
                    carried.push((*index, taken));
                }
                cells.insert(*index, (cell, taken));
            } else if let Some(cell) =
                row.cells.get(index).filter(|cell| habits::is_ditto(&cell.cell))
            {
                // A mark with nothing above it is no value.
                cells.insert(*index, (cell.clone(), Taken::Here));
            }
        }
        // In a table of several tendons the columns of others are theirs.
        let is_shared = self.found.owner.is_some();
        for (column, cell) in &row.cells {
            if !is_shared && !habits.contains_key(column) && !cell.cell.is_blank() {
                cells.insert(*column, (cell.clone(), Taken::Here));
            }
        }
        self.look_at_ends(&cells);
        for one in carried {
            let (first, count) = self.carried.entry(one).or_insert((row.number, 0));
            *first = (*first).min(row.number);
            *count += 1;
        }
        cells
    }

    /// Tells marks that can mean the row above, which is the other end, or the same end of the tendon before.
    fn look_at_ends(&mut self, cells: &Cells) {
        self.two_ways.clear();
        if !self.found.assignment.per_end {
            return;
        }
        let end = self.plans.values().find_map(|plan| match &plan.take {
            Take::EndOfRow => Some(cells.get(&plan.index)?.0.cell.shown()),
            _ => None,
        });
        let Some(end) = end else { return };
        for (column, (cell, taken)) in cells {
            let before = self.at_ends.insert((*column, end.clone()), cell.clone());
            if *taken == Taken::Ditto
                && let Some(before) = before
                && before.cell != cell.cell
            {
                self.two_ways.insert(*column, [cell.cell.shown(), before.cell.shown()]);
            }
        }
    }

    pub(super) fn text(&mut self, row: u32, text: String) {
        if let Some(group) = heading(&text) {
            self.heading.retain(|(field, _)| *field != group.0);
            self.remarks.push(Remark {
                row: Some(row),
                what: format!(
                    "\"{text}\" is taken as the {} of the rows below.",
                    group.0.trim_end_matches('s')
                ),
            });
            self.heading.push(group);
            return;
        }
        self.remarks.push(Remark {
            row: Some(row),
            what: format!("\"{text}\" is no row of the table; it is kept as a further value."),
        });
        self.further.push((row, text));
    }

    pub(super) fn leave_out(
        &mut self,
        row: &GridRow,
        why: &str,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let text = shown(row);
        self.remarks.push(Remark {
            row: Some(row.number),
            what: format!("The row is left out, as {why}: {text}."),
        });
        if why.starts_with("the headers") {
            return Ok(());
        }
        self.further.push((row.number, text.clone()));
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place: self.sheet.place(row.number, None),
            record: Origin::default(),
            subject: format!("{}, {}", self.sheet.name, self.sheet.line_name(row.number)),
            given: Some(text),
            why: format!("is left out, as {why}"),
            help: "take the row out of the file, or clear the mark if it holds".to_owned(),
        }))
    }

    /// Says that a row of sums is no record.
    pub(super) fn of_sums(&self, row: &GridRow) -> Problem {
        Problem {
            kind: ProblemKind::Assumed,
            place: self.sheet.place(row.number, None),
            record: Origin::default(),
            subject: format!("{}, {}", self.sheet.name, self.sheet.line_name(row.number)),
            given: Some(shown(row)),
            why: "holds sums, and is taken for no record".to_owned(),
            help: "call it otherwise, if it is one".to_owned(),
        }
    }

    /// Whether a column states what each tendon has of its own, so that a value over several rows can be a sum.
    pub(super) fn is_of_one_tendon(&self, plan: &ColumnPlan) -> bool {
        let measures = matches!(&plan.take, Take::Value { field, .. }
            if matches!(field.shape, Shape::Number | Shape::Count));
        self.found.assignment.list == "Tendons" && !self.found.assignment.per_end && measures
    }

    pub(super) fn finish(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        self.settle_unjacked(frames)?;
        for Pending { number, links, own, .. } in std::mem::take(&mut self.pending) {
            self.record((Slot::Row, ""), number, links, own, frames)?;
        }
        for ((index, taken), (first, count)) in std::mem::take(&mut self.carried) {
            let Some(plan) = self.plans.get(&index) else { continue };
            let how = match taken {
                Taken::Ditto => "a mark says: as above",
                Taken::Merged => "it is merged with the cell above",
                Taken::Carried if self.is_noted(plan) => {
                    "the cell is empty, and a note says that such a cell is as above"
                }
                Taken::Carried => "the cell is blank, and the column names each group once",
                Taken::Here => continue,
            };
            let values = if count == 1 { "1 value".to_owned() } else { format!("{count} values") };
            let are = if count == 1 { "is" } else { "are" };
            let what = format!(
                "From here on {values} of \"{}\" {are} taken from above: {how}.",
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
        self.tell_struck(frames)?;
        self.tell_halved(frames)?;
        self.tell_groups(frames)?;
        self.tell_spares(frames)?;
        self.tell_otherwise(frames)?;
        for plan in self.plans.values_mut() {
            if let Some(question) = &plan.question {
                frames.take(Frame::Question(question.clone()))?;
            }
        }
        Ok(())
    }

    /// Says which values are not taken, as they are struck through.
    fn tell_struck(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for (index, (first, count)) in std::mem::take(&mut self.struck) {
            let header = self.plans.get(&index).map_or("", |plan| plan.header.as_str());
            let why = match count {
                1 => "is struck through, and is kept as a further value alone".to_owned(),
                count => {
                    format!(
                        "is struck through, as {count} values of \"{header}\" are; they are kept as further values alone"
                    )
                }
            };
            let what = format!("The value of \"{header}\" {why}.");
            self.remarks.push(Remark { row: Some(first), what });
            let help = "take the line off the value if it holds, or write the one that does";
            frames.take(self.assumed((first, index), header, None, why, help))?;
        }
        Ok(())
    }

    /// Says which rows state otherwise than what stands once for all, and which have their ends the other way round.
    fn tell_otherwise(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        if let Some((first, count)) = self.turned_rows {
            let what = format!(
                "From here on {} the stressed end lies at the other side than in most rows; each end is named by what \
                 its row says.",
                if count == 1 { "in 1 row".to_owned() } else { format!("in {count} rows") }
            );
            self.remarks.push(Remark { row: Some(first), what });
        }
        for (at, (first, count)) in std::mem::take(&mut self.otherwise) {
            let Some(fact) = self.known.facts.get(at) else { continue };
            let rows =
                if count == 1 { "1 row states".to_owned() } else { format!("{count} rows state") };
            let why = format!(
                "{rows} otherwise than \"{}\", {}; the rows' own values are taken",
                fact.label, fact.given
            );
            self.remarks.push(Remark { row: Some(first), what: format!("From here on {why}.") });
            frames.take(Frame::Problem(Problem {
                kind: ProblemKind::ValueDoubtful,
                place: self.sheet.place(first, None),
                record: Origin::default(),
                subject: format!("{}: {}", self.sheet.name, fact.label),
                given: Some(fact.given.clone()),
                why,
                help: "write the same in both places, or say there of which tendons it is"
                    .to_owned(),
            }))?;
        }
        Ok(())
    }
}
