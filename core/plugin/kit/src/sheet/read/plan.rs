//! What is done with the columns of a sheet.

use std::sync::Arc;

use restrand_model::reading::{Origin, Place, Question};
use restrand_model::reflect::{FieldInfo, Shape};

use crate::sheet::cell::{Cell, Measure};
use crate::sheet::marks::{Decision, SeenMarks};
use crate::sheet::unread;

/// What is done with the cells of a column.
pub(super) enum Plan {
    /// Nothing: the column has no header, and no value so far.
    None,
    /// Nothing, whatever they hold: they only show what follows from others.
    Computed,
    /// They name the owner.
    Link(usize),
    /// They hold a field's value.
    Value(ValuePlan),
    /// They are kept under this name; as the values that they write as JSON, if they are coded.
    Extra(Arc<str>, Coded),
}

/// Whether cells write their values as JSON.
pub(super) type Coded = bool;

pub(super) struct ValuePlan {
    pub(super) path: &'static [&'static str],
    pub(super) field: &'static FieldInfo,
    pub(super) measure: Measure,
    /// The header as given.
    pub(super) header: Box<str>,
    /// Whether it was said that numbers without a unit are not read.
    pub(super) unit_missed: bool,
    /// What the column shows of its decimal mark.
    pub(super) marks: SeenMarks,
    /// What is to be asked about the column.
    pub(super) question: Option<Box<Question>>,
}

impl ValuePlan {
    /// What is done with a cell before it is read: a number that is a text may hang on its column.
    pub(super) fn decide(&self, weighing: Weighing, cell: &Cell<'_>) -> Decision {
        match (weighing, cell) {
            (Weighing::Wanted | Weighing::Done { .. }, Cell::Text(text))
                if matches!(self.field.shape, Shape::Number) && unread::marked(text).is_none() =>
            {
                self.marks
                    .decide(text, SeenMarks::of_commas(weighing == Weighing::Done { commas: true }))
            }
            _ => Decision::AsItStands,
        }
    }

    /// Asks about the column, of which this value is the first that can be read in two ways.
    pub(super) fn ask(
        &mut self,
        record: &str,
        place: Place,
        origin: Origin,
        given: String,
        mark: &str,
        readings: [String; 2],
    ) {
        let unit = self.measure.stated.map(|unit| unit.symbol);
        let readings = readings.map(|number| match unit {
            Some(unit) => format!("{number} {unit}"),
            None => number,
        });
        self.question = Some(Box::new(Question {
            place,
            records: vec![origin],
            subject: format!("{record}.{}", self.path.join(".")),
            header: self.header.to_string(),
            given,
            why: format!(
                "the {mark} in it can mean {} or {}, and no other number of the column tells which",
                readings[0], readings[1]
            ),
            readings: readings.into(),
            help: "save the file with a point as decimal mark and no thousands marks, or write one number \
                   of the column so that it can be read in one way only, as 1.234,0 or 1,234.0"
                .to_owned(),
        }));
    }
}

/// How the decimal mark of a number is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weighing {
    /// Cell by cell: what can be read in two ways is not read.
    ByCell,
    /// By the column, of which nothing has been looked at yet.
    Wanted,
    /// By the column; whether any column of the sheet has decimal commas.
    Done { commas: bool },
}
