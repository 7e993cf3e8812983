//! What the rows of a table's body are: records, headings and notes, sums, or rows that are left out.

use std::ops::Range;

use restrand_model::reading::{Origin, Problem, ProblemKind, Question};
use restrand_model::reflect::Shape;

use super::super::deleted::{self, Issues, Says, Speaks};
use super::super::grid::GridRow;
use super::super::habits::{self, RowKind};
use super::super::plan::{ColumnPlan, Of, Take};
use super::super::vocabulary::{Word, word};
use super::{Slot, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

/// Whether a column names the row's record, or that to which it belongs.
fn names(plan: &ColumnPlan) -> bool {
    match &plan.take {
        Take::Value { of: Of::Row, path, .. } => matches!(**path, ["mark" | "id"]),
        Take::Link(_) => true,
        _ => false,
    }
}

impl TableReader<'_> {
    /// What the rows of the body are.
    pub(super) fn kinds(
        &self,
        body: &Range<usize>,
        frames: &mut dyn Frames,
    ) -> Result<Vec<RowKind>, Stopped> {
        let takes = |plan: &&ColumnPlan| !matches!(plan.take, Take::Keep | Take::Ignore);
        let stating: Vec<u32> = self.plans.values().filter(takes).map(|plan| plan.index).collect();
        let mut issues = Issues::default();
        for plan in self.plans.values().filter(|plan| deleted::heads_issues(&plan.header)) {
            let rows = &self.sheet.rows[body.clone()];
            rows.iter().filter_map(|row| row.cells.get(&plan.index)).for_each(|cell| {
                issues.see(&cell.cell.name());
            });
        }
        let mut kinds = Vec::with_capacity(body.len());
        for at in body.clone() {
            let row = &self.sheet.rows[at];
            kinds.push(match self.found.repeated.contains(&at) {
                true => RowKind::Out("the headers come again in it".to_owned()),
                false => self.kind_of(row, &stating, &issues, frames)?,
            });
        }
        self.headings(body, &mut kinds);
        for at in self.sums(body, &kinds) {
            kinds[at] = RowKind::Out("it states sums of the rows above".to_owned());
        }
        self.ask_of_headings(body, &kinds, frames)?;
        Ok(kinds)
    }

    /// What a row is by itself.
    fn kind_of(
        &self,
        row: &GridRow,
        stating: &[u32],
        issues: &Issues,
        frames: &mut dyn Frames,
    ) -> Result<RowKind, Stopped> {
        let kind = habits::kind(row, stating);
        if kind != RowKind::Record {
            return Ok(kind);
        }
        let names_struck =
            |plan: &ColumnPlan| row.cells.get(&plan.index).is_some_and(|cell| cell.look.struck);
        if self.plans.values().any(|plan| names(plan) && names_struck(plan)) {
            return Ok(RowKind::Out("its mark is struck through".to_owned()));
        }
        let is_removed = self.plans.values().any(|plan| {
            matches!(&plan.take, Take::Value { of: Of::Row, path, .. } if **path == ["status"])
                && row.text(plan.index).is_some_and(|text| {
                    is_known_word(plan, text) && text.to_lowercase().starts_with("removed")
                })
        });
        let mut perhaps = None;
        for (column, text) in row.own().filter_map(|(at, _)| Some((at, row.text(at)?))) {
            let plan = self.plans.get(&column);
            let header = plan.map_or("", |plan| plan.header.as_str());
            let says = match plan {
                Some(ColumnPlan { take: Take::Ignore, .. }) => Says::Nothing,
                Some(plan) if names(plan) => deleted::says_of_name(text, issues),
                Some(plan) if is_known_word(plan, text) => Says::Nothing,
                plan => {
                    let speaks = plan.map_or(Speaks::Row, speaks);
                    match deleted::says(text, speaks, issues) {
                        // Beside the mark nothing else is stated: it stands in place of all values.
                        Says::Perhaps if self.is_all(row, column, stating) => Says::Deleted,
                        says => says,
                    }
                }
            };
            match says {
                Says::Nothing => {}
                Says::Deleted => {
                    let why = match header {
                        "" => format!("it is marked as deleted, by \"{text}\""),
                        header => {
                            format!("it is marked as deleted, by \"{text}\" below \"{header}\"")
                        }
                    };
                    return Ok(RowKind::Out(why));
                }
                Says::Perhaps => perhaps = perhaps.or(Some((column, text, header))),
            }
        }
        if let Some((column, text, header)) = perhaps.filter(|_| !is_removed) {
            self.ask_whether_deleted(row, column, text, header, frames)?;
        }
        Ok(kind)
    }

    /// Whether a text is all that a row states beside what names it.
    fn is_all(&self, row: &GridRow, column: u32, stating: &[u32]) -> bool {
        let mut others = row.own().filter(|(at, cell)| *at != column && !cell.cell.is_blank());
        others.all(|(at, _)| !stating.contains(&at) || self.plans.get(&at).is_some_and(names))
    }

    /// Asks whether a row of which a text may say that it is deleted still holds; it is kept.
    fn ask_whether_deleted(
        &self,
        row: &GridRow,
        column: u32,
        text: &str,
        header: &str,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let mark = self.plans.values().find(|plan| names(plan));
        let name = mark.and_then(|plan| Some(row.cells.get(&plan.index)?.cell.name()));
        let name = name.unwrap_or_else(|| self.sheet.line_name(row.number));
        let readings = [
            "it is no longer there, and its row is to be left out",
            "a part of it is not, and its row holds",
        ];
        let table = self.tables.get(&(Slot::Row, "")).copied().unwrap_or_default();
        frames.take(Frame::Question(Question {
            place: self.sheet.place(row.number, Some(column)),
            records: vec![Origin::new(table, row.number)],
            subject: name.clone(),
            header: header.to_owned(),
            given: text.to_owned(),
            readings: readings.map(str::to_owned).to_vec(),
            why: format!(
                "it does not say whether {name} is meant or a part of it; its row is read as one that holds"
            ),
            help: "say it in a column of remarks or of its status, strike the row through, or take it out".to_owned(),
        }))
    }

    /// Takes rows for headings that hold one word where marks stand, which have numbers in all other rows: `Spare`.
    fn headings(&self, body: &Range<usize>, kinds: &mut [RowKind]) {
        let assignment = &self.found.assignment;
        let Some(mark) = self.plans.values().find(|plan| names(plan)).map(|plan| plan.index) else {
            return;
        };
        if assignment.list != "Tendons" || assignment.per_end {
            return;
        }
        let rows = &self.sheet.rows[body.clone()];
        let has_number = |text: &str| text.chars().any(|letter| letter.is_ascii_digit());
        let is_heading = |row: &GridRow| {
            row.lone_text().is_some_and(|text| {
                row.text(mark) == Some(text)
                    && !has_number(text)
                    && row.cells.keys().all(|column| *column == mark || row.text(*column).is_some())
                    && !habits::is_ditto(&Cell::Text(text.into()))
            })
        };
        let records: Vec<usize> =
            (0..rows.len()).filter(|at| kinds[*at] == RowKind::Record).collect();
        let (words, marks): (Vec<usize>, Vec<usize>) =
            records.into_iter().partition(|at| is_heading(&rows[*at]));
        let are_numbered = marks
            .iter()
            .all(|at| rows[*at].cells.get(&mark).is_none_or(|cell| has_number(&cell.cell.shown())));
        if marks.len() < 2 || !are_numbered {
            return;
        }
        for at in words {
            kinds[at] = RowKind::Text(rows[at].lone_text().unwrap_or_default().to_owned());
        }
    }

    /// Tells of headings that may say of the rows below that they are no tendons in use.
    fn ask_of_headings(
        &self,
        body: &Range<usize>,
        kinds: &[RowKind],
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        /// Words of such a heading: common practice, no source.
        const WORDS: [&str; 18] = [
            "spare",
            "spares",
            "future",
            "provision",
            "provisions",
            "reserved",
            "contingency",
            "removed",
            "deleted",
            "superseded",
            "void",
            "omitted",
            "withdrawn",
            "cancelled",
            "abandoned",
            "optional",
            "alternative",
            "temporary",
        ];
        let rows = &self.sheet.rows[body.clone()];
        let says = |text: &str| {
            let lower = text.to_lowercase();
            let words = lower.split(|c: char| !c.is_alphanumeric());
            let mut words = words.filter(|word| !word.is_empty());
            words.clone().count() <= 6 && words.any(|word| WORDS.contains(&word))
        };
        let is_of_tendons = self.found.assignment.list == "Tendons";
        let above = self.found.caption.iter().chain([&self.sheet.name]).filter(|_| is_of_tendons);
        if let Some(text) = above.into_iter().find(|text| says(text)) {
            let row = self.sheet.rows[self.found.headers.start].number;
            frames.take(Frame::Problem(self.of_heading(row, text)))?;
        }
        for (at, kind) in kinds.iter().enumerate() {
            let RowKind::Text(text) = kind else { continue };
            if kinds.get(at + 1) == Some(&RowKind::Record) && says(text) {
                frames.take(Frame::Problem(self.of_heading(rows[at].number, text)))?;
            }
        }
        Ok(())
    }

    /// What is to be said of a heading over rows that may not hold.
    fn of_heading(&self, row: u32, text: &str) -> Problem {
        Problem {
            kind: ProblemKind::ValueDoubtful,
            place: self.sheet.place(row, None),
            record: Origin::default(),
            subject: format!("{}, {}", self.sheet.name, self.sheet.line_name(row)),
            given: Some(text.to_owned()),
            why: "may say of the rows below that their tendons are not, or not yet, in use; they are read as rows \
                  that hold, and nothing is taken from it"
                .to_owned(),
            help: "write it into a column of status in each row, or take the rows out".to_owned(),
        }
    }
}

/// Of what the cells of a column speak.
fn speaks(plan: &ColumnPlan) -> Speaks {
    match &plan.take {
        Take::Value { of: Of::Row, path, .. } if **path == ["status"] => Speaks::Row,
        _ if deleted::heads_remarks(&plan.header) => Speaks::Row,
        Take::Value { of: Of::Row | Of::Strand | Of::Duct, field, .. }
            if matches!(field.shape, Shape::Number | Shape::Count) =>
        {
            Speaks::Number
        }
        _ => Speaks::Part,
    }
}

/// Whether a column's field has a word for this: a tendon whose status is `removed` is one of the schedule.
fn is_known_word(plan: &ColumnPlan, text: &str) -> bool {
    let Take::Value { field, path, .. } = &plan.take else { return false };
    let Shape::Choice(list) = field.shape else { return false };
    // What is to be removed in some year is still there, and the value says so.
    **path == ["status"] && text.to_lowercase().starts_with("removed")
        || !matches!(word(field, list, text), Word::Unknown)
}
