//! Rows that state what holds for several tendons.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark};

use super::super::groups::{Group, group, is_mark};
use super::super::plan::{ColumnPlan, Of, Take};
use super::super::words::{sorted, words};
use super::{Cells, Slot, TableReader, shown};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

impl TableReader<'_> {
    /// Finds out whether the rows name the two tendons of a pair by one mark, and part them by their side.
    pub(super) fn look_at_sides(&mut self, records: &[usize]) {
        let of = |path: &[&str]| {
            let is = |plan: &&ColumnPlan| matches!(&plan.take, Take::Value { of: Of::Row, path: own, .. } if **own == *path);
            self.plans.values().find(is).map(|plan| plan.index)
        };
        let (Some(mark), Some(side)) = (of(&["mark"]), of(&["side"])) else { return };
        let mut sides: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        let mut count = 0;
        for at in records {
            let row = &self.sheet.rows[*at];
            let text = |column: u32| Some(row.cells.get(&column)?.cell.name());
            let (Some(mark), Some(side)) = (text(mark), text(side)) else { return };
            sides.entry(mark).or_default().insert(side.to_lowercase());
            count += 1;
        }
        // A mark that comes again on the same side is one mark too many, and is told as such.
        let is_parted = sides.values().map(BTreeSet::len).sum::<usize>() == count;
        if is_parted && sides.len() < count {
            self.sides = Some((mark, side));
            let what = "names the tendons of a pair by one mark; each is called by it with its side behind".to_owned();
            self.remarks.push(Remark { row: None, what: format!("The table {what}.") });
        }
    }

    /// The cells of a row whose mark is that of a pair, with the mark of one of them.
    fn of_side(&self, cells: Cells) -> Cells {
        let Some((mark, side)) = self.sides else { return cells };
        let text = |column: u32| Some(cells.get(&column)?.0.cell.name());
        match (text(mark), text(side)) {
            (Some(name), Some(side)) => with_mark(&cells, mark, format!("{name} {side}")),
            _ => cells,
        }
    }

    /// The cells of a row once for each of the tendons that it names.
    ///
    /// Where its mark may as well be the name of one tendon, that is asked, and the row is kept as it is.
    pub(super) fn of_each_tendon(&mut self, number: u32, cells: Cells) -> Vec<Cells> {
        if self.sides.is_some() {
            return vec![self.of_side(cells)];
        }
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
            Some(Group::Of(named, why)) => {
                let entry = self.grouped.entry(why);
                entry.or_insert((number, text, 0)).2 += 1;
                named.into_iter().map(|mark| with_mark(&cells, index, mark)).collect()
            }
            Some(Group::Unclear(named)) => {
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

    /// How many tendons a row says that it is of, as `No. off` does.
    fn stated_count(&self, cells: &Cells) -> Option<f64> {
        /// What such a column is called.
        const NAMES: [&[&str]; 4] =
            [&["no"], &["no", "off"], &["no", "tendon"], &["no", "required"]];
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
