//! Rows of tendons that hold no strand: those for which forms are there, and of which their remarks or a word in place
//! of a number say so.
//!
//! What notes state for all, as the friction or the filler, is of what is stressed and filled, and not of them.

use restrand_model::reading::{Origin, Question, Remark};
use restrand_model::value::{Fields, Value};

use super::super::deleted::heads_remarks;
use super::super::facts::Fact;
use super::super::plan::{ColumnPlan, Take};
use super::super::vocabulary::{Description, FUTURE, SPARE};
use super::{Cells, Slot, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

/// Words that take what others say back.
const NOT: [&str; 6] = ["not", "nicht", "deleted", "cancelled", "omitted", "entfällt"];

/// What a row without strands says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Spare {
    /// The column that says it.
    pub(super) column: u32,
    text: String,
    /// Whether a tendon may be added; else nothing tells what the duct is there for.
    is_reserved: bool,
    /// Whether a column of its own states the status.
    has_status: bool,
}

/// Whether a text says that a tendon may be added, or that a duct is spare; nothing if it says neither.
fn says(text: &str) -> Option<bool> {
    let lower = text.to_lowercase();
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let has = |wanted: &[&str]| words.iter().any(|word| wanted.contains(word));
    if has(&NOT) {
        return None;
    }
    if has(FUTURE) { Some(true) } else { has(SPARE).then_some(false) }
}

/// Whether a column states how many strands a tendon has.
fn counts_strands(plan: &ColumnPlan) -> bool {
    match &plan.take {
        Take::Value { path, .. } => **path == ["strand_count"],
        Take::Described(description) => *description == Description::Strands,
        _ => false,
    }
}

/// Whether a column states a force or an elongation.
fn is_of_stressing(plan: &ColumnPlan) -> bool {
    matches!(&plan.take, Take::Value { path: ["stressing", name], .. } if *name != "from")
}

impl TableReader<'_> {
    /// What a row says of itself that states neither strands nor what they are stressed to, in a table that has a column
    /// of strands.
    pub(super) fn spare(&self, cells: &Cells) -> Option<Spare> {
        let assignment = &self.found.assignment;
        if assignment.list != "Tendons" || assignment.per_end {
            return None;
        }
        let states = |plan: &ColumnPlan| {
            cells.get(&plan.index).is_some_and(|(cell, _)| match &cell.cell {
                Cell::Text(text) => text.chars().any(|letter| letter.is_ascii_digit()),
                cell => !cell.is_blank(),
            })
        };
        let mut plans = self.plans.values();
        let is_counted = self.plans.values().any(counts_strands);
        if !is_counted
            || plans.any(|plan| (counts_strands(plan) || is_of_stressing(plan)) && states(plan))
        {
            return None;
        }
        let is_status = |plan: &ColumnPlan| matches!(&plan.take, Take::Value { path, .. } if **path == ["status"]);
        let said = |plan: &ColumnPlan| {
            let speaks = counts_strands(plan)
                || is_status(plan)
                || matches!(plan.take, Take::Keep) && heads_remarks(&plan.header);
            let (cell, _) = cells.get(&plan.index).filter(|_| speaks)?;
            let Cell::Text(text) = &cell.cell else { return None };
            let is_reserved = says(self.sheet.explained(text).unwrap_or(text))?;
            Some((plan.index, text.clone().into_owned(), is_reserved))
        };
        let said: Vec<_> = self.plans.values().filter_map(said).collect();
        // What says it surely goes before what does not.
        let (column, text, is_reserved) =
            said.iter().find(|(.., is_reserved)| *is_reserved).or(said.first())?.clone();
        let has_status = self.plans.values().any(|plan| {
            is_status(plan) && cells.get(&plan.index).is_some_and(|(cell, _)| !cell.cell.is_blank())
        });
        Some(Spare { column, text, is_reserved, has_status })
    }

    /// Gives the record of such a row its status, or asks for it: once for all rows of the table.
    pub(super) fn give_status(&mut self, number: u32, spare: &Spare, own: &mut Fields) {
        if spare.has_status || own.get("status").is_some() {
            return;
        }
        if spare.is_reserved {
            crate::sheet::read::put(own, &["status"], Value::Text("reserved".into()));
            let entry = self.reserved.get_or_insert((number, spare.clone(), 0));
            entry.2 += 1;
            return;
        }
        let origin = Origin::new(self.tables[&(Slot::Row, "")], number);
        if let Some(question) = &mut self.spares {
            question.records.push(origin);
            return;
        }
        let header = self.plans.get(&spare.column).map_or("", |plan| plan.header.as_str());
        self.spares = Some(Question {
            place: self.sheet.place(number, Some(spare.column)),
            records: vec![origin],
            subject: "tendon.status".to_owned(),
            header: header.to_owned(),
            given: spare.text.clone(),
            readings: vec!["reserved".to_owned(), "contingency".to_owned()],
            why: "it does not say whether a tendon may be added there, which is reserved, or the duct is there in case \
                  force is missing during building, which is contingency"
                .to_owned(),
            help: "write reserved or contingency into a column of status".to_owned(),
        });
    }

    /// Says which rows are taken for those of tendons that may be added, and asks of those of which nothing tells it.
    pub(super) fn tell_spares(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        if let Some((first, spare, count)) = self.reserved.take() {
            let header = self.plans.get(&spare.column).map_or("", |plan| plan.header.as_str());
            let rows = if count == 1 { "1 row".to_owned() } else { format!("{count} rows") };
            let why = format!(
                "says in {rows} without strands that a tendon may be added there: its status is taken for reserved, and \
                 nothing that is stated once for all tendons of their stressing and filler"
            );
            let what = format!("\"{}\" below \"{header}\" {why}.", spare.text);
            self.remarks.push(Remark { row: Some(first), what });
            let help = "write its status, if it is another";
            let at = (first, spare.column);
            frames.take(self.assumed(at, header, Some(spare.text.clone()), why, help))?;
        }
        match self.spares.take() {
            Some(question) => frames.take(Frame::Question(question)),
            None => Ok(()),
        }
    }
}

/// Whether what is stated once for all is of what is stressed or filled.
pub(super) fn is_of_what_is_there(fact: &Fact) -> bool {
    matches!(fact.path.first(), Some(&("stressing" | "filler" | "strand_count")))
}

#[cfg(test)]
mod tests {
    use super::says;

    #[test]
    fn words_tell_what_a_duct_without_strands_is_for() {
        for text in [
            "FUTURE",
            "Ducts and anchorages by future contract",
            "SPARE DUCT - future strengthening",
        ] {
            assert_eq!(says(text), Some(true), "{text}");
        }
        for text in ["Spare duct, no strand installed", "Reserve, Durchführungen vorhanden"] {
            assert_eq!(says(text), Some(false), "{text}");
        }
        for text in ["Spare not required", "no tail", "stress before 101"] {
            assert_eq!(says(text), None, "{text}");
        }
    }
}
