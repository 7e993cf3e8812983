//! Rows that state what holds for several tendons.

use std::collections::BTreeSet;

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark};

use super::super::groups::{Group, group, is_mark};
use super::super::plan::Take;
use super::super::words::{sorted, words};
use super::{Cells, Slot, TableReader, shown};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

impl TableReader<'_> {
    /// Whether rows that seem to name several tendons share some: then they name one each, as `P1-P2` and `P2-P3`.
    pub(super) fn groups_overlap(&self, records: &[usize]) -> bool {
        let is_of_tendons =
            self.found.assignment.list == "Tendons" && !self.found.assignment.per_end;
        let Some(plan) = self.plans.values().find(|plan| is_mark(&plan.take)) else { return false };
        let mut seen = BTreeSet::new();
        let texts = records.iter().filter_map(|at| self.sheet.rows[*at].text(plan.index));
        is_of_tendons
            && texts
                .map(|text| match group(text, &self.known.marks, None) {
                    Some(Group::Of(named, _) | Group::Unclear(named)) => named,
                    None => vec![text.to_owned()],
                })
                .any(|named| named.into_iter().any(|mark| !seen.insert(mark.to_lowercase())))
    }

    /// The cells of a row once for each of the tendons that it names.
    ///
    /// Where its mark may as well be the name of one tendon, that is asked, and the row is kept as it is.
    pub(super) fn of_each_tendon(&mut self, number: u32, cells: Cells) -> Vec<Cells> {
        let Some(index) =
            self.plans.values().find(|plan| is_mark(&plan.take)).map(|plan| plan.index)
        else {
            return vec![cells];
        };
        let Some(Cell::Text(text)) = cells.get(&index).map(|(cell, _)| &cell.cell) else {
            return vec![cells];
        };
        let text = text.clone().into_owned();
        match group(&text, &self.known.marks, self.stated_count(&cells)) {
            None => vec![cells],
            // Where a table says otherwise it is the name of one.
            Some(_) if self.is_named_elsewhere(&text) => vec![cells],
            Some(Group::Of(named, why)) if !self.overlapping => {
                let entry = self.grouped.entry(why);
                entry.or_insert((number, text, 0)).2 += 1;
                named.into_iter().map(|mark| with_mark(&cells, index, mark)).collect()
            }
            Some(Group::Of(named, _) | Group::Unclear(named)) => {
                let readings = [
                    format!("one tendon called \"{text}\""),
                    format!("the tendons {}", named.join(", ")),
                ];
                let origin = Origin::new(self.tables[&(Slot::Row, "")], number);
                if let Some(plan) = self.plans.get_mut(&index) {
                    let why = "its mark may be a name, or that of several tendons";
                    plan.ask(self.sheet, number, origin, &text, why, &readings);
                }
                let row = self.sheet.rows.iter().find(|row| row.number == number);
                self.further.extend(row.map(|row| (number, shown(row))));
                Vec::new()
            }
        }
    }

    /// Adds to the mark of a row what tells its tendon from others that are called alike.
    pub(super) fn tell_apart(&self, cells: &mut Cells) {
        let Some(apart) = &self.apart else { return };
        let mark = self.plans.values().find(|plan| is_mark(&plan.take)).map(|plan| plan.index);
        let Some((cell, _)) = mark.and_then(|index| cells.get_mut(&index)) else { return };
        let name = cell.cell.name().trim().to_owned();
        if apart.marks.contains(&name.to_lowercase()) {
            cell.cell = Cell::Text(format!("{name} {}", apart.label).into());
        }
    }

    /// How many tendons a row says that it is of, as `No. off` does.
    fn stated_count(&self, cells: &Cells) -> Option<f64> {
        /// What such a column is called.
        const NAMES: [&[&str]; 3] = [&["no", "off"], &["no", "tendon"], &["no", "required"]];
        let is_count = |header: &str| {
            let words = sorted(words(header));
            NAMES.iter().any(|name| name.iter().copied().eq(words.iter().map(String::as_str)))
        };
        let plan = self
            .plans
            .values()
            .find(|plan| matches!(plan.take, Take::Keep) && is_count(&plan.header))?;
        match &cells.get(&plan.index)?.0.cell {
            Cell::Number(number) => Some(*number),
            Cell::Text(text) => text.trim().parse().ok(),
            _ => None,
        }
    }

    /// Whether another table has one tendon of this very mark.
    fn is_named_elsewhere(&self, text: &str) -> bool {
        self.known.tendons.iter().any(|tendon| tendon.mark == text)
    }

    /// Says of which rows the values were taken for several tendons each.
    pub(super) fn tell_groups(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for (why, (first, text, count)) in std::mem::take(&mut self.grouped) {
            let rows = if count == 1 { "1 row".to_owned() } else { format!("{count} rows") };
            let what = format!(
                "names several tendons at once in {rows}, the first time as \"{text}\", for {why}; what such a row \
                 states is taken for each of them"
            );
            self.remarks.push(Remark { row: Some(first), what: format!("The table {what}.") });
            frames.take(Frame::Problem(Problem {
                kind: ProblemKind::Assumed,
                place: self.sheet.place(first, None),
                record: Origin::default(),
                subject: self.sheet.name.clone(),
                given: Some(text),
                why: what,
                help: "give each tendon a row of its own, if values are those of all together"
                    .to_owned(),
            }))?;
        }
        Ok(())
    }
}

/// The cells of a row with the mark of one of its tendons.
fn with_mark(cells: &Cells, index: u32, mark: String) -> Cells {
    let mut own = cells.clone();
    if let Some((cell, _)) = own.get_mut(&index) {
        cell.cell = Cell::Text(mark.into());
    }
    own
}
