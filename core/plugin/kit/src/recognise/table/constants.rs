//! Values that a mapping file gives to every row of a table.

use std::collections::BTreeMap;

use restrand_model::sheet::Column;
use restrand_model::value::Value;

use super::super::find::Found;
use super::super::mapping::{TableMapping, named, problem};
use super::super::plan::Of;
use super::super::scope::Scope;
use super::row::stated;
use super::{Making, Slot, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::read::put;

/// What a mapping file gives to every row.
#[derive(Debug, Default)]
pub(super) struct Constants {
    /// Whose value it is, the path of the field, and the value.
    given: Vec<(Of, &'static [&'static str], Value)>,
    /// The names of those that no row of the table can take.
    without_rows: Vec<String>,
}

impl Constants {
    /// The constants of the tables of a mapping that speak of a table, of which the first is the most special.
    pub(super) fn of(found: &Found, mapped: &[&TableMapping]) -> Self {
        let mut constants = Self::default();
        for (name, value) in mapped.iter().flat_map(|mapped| &mapped.constants) {
            let Some(named) = named(name) else { continue };
            let (Some(Column::Value { path, .. }), Some(list)) =
                (named.target.column(), named.target.list())
            else {
                continue;
            };
            let is_of_tendons = found.assignment.list == "Tendons";
            let of = match (list, named.scope) {
                (list, _) if list == found.assignment.list => Of::Row,
                // It is that of the whole file.
                ("Project", _) => continue,
                ("Ends", Some(scope)) if is_of_tendons => Of::End(scope),
                ("Ends", None) if is_of_tendons => Of::BothEnds,
                ("Points", Some(scope)) if is_of_tendons => Of::Point(scope),
                ("Points", None) if is_of_tendons => Of::AllPoints,
                ("Strands", None) if is_of_tendons => Of::Strand,
                ("Ducts", None) if is_of_tendons => Of::Duct,
                _ => {
                    constants.without_rows.push(name.clone());
                    continue;
                }
            };
            let is_given =
                constants.given.iter().any(|(other, at, _)| *other == of && *at == path.as_slice());
            if !is_given && let Some(value) = Value::from_json(&value.to_string()) {
                constants.given.push((of, path.as_slice(), value));
            }
        }
        constants
    }

    /// Whether they state anything of these.
    pub(super) fn are_of(&self, wanted: &dyn Fn(Of) -> bool) -> bool {
        self.given.iter().any(|(of, ..)| wanted(*of))
    }
}

impl TableReader<'_> {
    /// Says which constants no row can take.
    pub(super) fn complain_of_constants(&self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for name in &self.constants.without_rows {
            let why = format!(
                "gives \"{name}\" to the rows of a table in \"{}\", and these are no records that have it",
                self.sheet.name
            );
            frames.take(Frame::Problem(problem(&self.sheet.part, why)))?;
        }
        Ok(())
    }

    /// Gives the constants to the records of a row.
    pub(super) fn give_constants(&self, making: &mut BTreeMap<(Slot, &'static str), Making>) {
        for (of, path, value) in &self.constants.given {
            let is_taking = |slot: &(Slot, &'static str)| match (*of, slot.0) {
                (Of::End(scope), Slot::End) | (Of::Point(scope), Slot::Point) => {
                    self.name_of(scope) == slot.1
                }
                (Of::BothEnds | Of::RowEnd, Slot::End)
                | (Of::AllPoints | Of::RowPoint, Slot::Point)
                | (Of::Strand, Slot::Strand)
                | (Of::Duct, Slot::Duct)
                | (Of::Row, Slot::Row) => true,
                _ => false,
            };
            // A tendon has both its ends, even where no column speaks of them.
            if matches!(of, Of::End(_) | Of::BothEnds) && !self.found.assignment.per_end {
                for name in ["a", "b"].into_iter().filter(|name| is_taking(&(Slot::End, name))) {
                    making.entry((Slot::End, name)).or_default();
                }
            }
            for (_, record) in making.iter_mut().filter(|(slot, _)| is_taking(slot)) {
                // What the row states itself holds.
                if stated(&record.fields, path).is_none() {
                    put(&mut record.fields, path, value.clone());
                }
            }
        }
    }

    /// The name of the end or point of the row at hand.
    fn name_of(&self, scope: Scope) -> &'static str {
        match scope {
            Scope::A => "a",
            Scope::B => "b",
            scope => self.row_names.name(scope),
        }
    }
}
