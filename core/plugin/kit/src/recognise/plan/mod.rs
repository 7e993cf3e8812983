//! What is done with each column of a table.

mod make;
mod shown;

use std::collections::BTreeSet;

use restrand_model::quantity::Unit;
use restrand_model::reading::{Column as ReadColumn, Origin, Question, Sureness};
use restrand_model::reflect::FieldInfo;
use restrand_model::sheet::plain;
use restrand_model::value::Value;

use super::grid::{Sheet, standing};
use super::header::StrandSize;
use super::scope::Scope;
use super::sign::Sign;
use super::unit::ColumnUnit;
use super::vocabulary::{Description, Target};
use crate::sheet::Cell;
use crate::sheet::cell::Measure;
use crate::sheet::marks::SeenMarks;

pub(super) use make::{is_distance, plans};

/// Whose records a column's values belong to, seen from a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Of {
    /// The row's own record.
    Row,
    /// One of the two ends of the row's tendon.
    End(Scope),
    /// The end that the row is.
    RowEnd,
    /// Both ends of the row's tendon.
    BothEnds,
    /// The point at an end.
    Point(Scope),
    /// The point at the end that the row is.
    RowPoint,
    /// All points of the row's tendon that the row states.
    AllPoints,
    /// What a deviator on the way does to the row's tendon.
    Deviator(Scope),
    /// What the deviator at the point that the row is does to its tendon.
    RowDeviator,
    /// The kind of strand that the row's tendon has.
    Strand,
    /// The kind of duct that the row's tendon has.
    Duct,
    /// What was measured on the row's tendon on a day.
    Measured,
}

/// What a column's values are.
#[derive(Debug, Clone)]
pub(super) enum Take {
    /// Values of a field.
    Value { of: Of, path: &'static [&'static str], field: &'static FieldInfo },
    /// The name of the record to which the row belongs, by the link's header.
    Link(&'static str),
    /// The end that the row is.
    EndOfRow,
    /// A description of several values.
    Described(Description),
    /// They are kept under the header.
    Keep,
    /// The mapping says to leave them as they are.
    Ignore,
}

/// What is done with a column.
#[derive(Debug)]
pub(super) struct ColumnPlan {
    pub(super) index: u32,
    pub(super) header: String,
    pub(super) take: Take,
    pub(super) unit: ColumnUnit,
    /// How long a full station is, if the mapping says so.
    pub(super) station: Option<u32>,
    pub(super) sureness: Sureness,
    pub(super) why: String,
    pub(super) target: Option<Target>,
    pub(super) scope: Option<Scope>,
    /// Where the end lies of which the column speaks, as the group of its headers says.
    pub(super) end_place: Option<String>,
    pub(super) marks: SeenMarks,
    /// What is asked about it, with the rows whose values are not taken.
    pub(super) question: Option<Question>,
    /// The size of strand that the header of a number of strands names.
    pub(super) size: Option<StrandSize>,
    /// Whether its values belong to the end that is jacked, or that the row is.
    pub(super) by_end: bool,
    /// The path of the same value at the other end, for such a column.
    pub(super) other_end: &'static [&'static str],
    /// Which side of the line is positive, for offsets.
    pub(super) side: Side,
    /// Fields that its described values gave.
    pub(super) gave: BTreeSet<&'static str>,
    /// What a column means that claims a field with another, or can mean several.
    pub(super) readings: Vec<String>,
    /// The field that it claims with another.
    pub(super) claimed: Option<Target>,
    /// What its codes mean, as a mapping file says.
    pub(super) words: Vec<(String, Value)>,
    /// What its codes mean, as its header says.
    pub(super) codes: Vec<(String, String)>,
}

/// Which side of the line is positive in a column of offsets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Side {
    /// It holds no offsets.
    None,
    /// Its header or a note says so.
    Stated(Sign),
    /// Nothing says so; the schedule's own left is taken, and said.
    Unstated,
    /// It holds distances, none of which has a sign: a cell or its row has to tell the side.
    Distance,
    /// This note or header tells it by something that is left or right: the outer side, or north.
    Other(Sign, String),
}

impl ColumnPlan {
    /// What a cell means in it, as a mapping file says.
    pub(super) fn word(&self, cell: &Cell<'_>) -> Option<&Value> {
        if self.words.is_empty() {
            return None;
        }
        let text = plain(&cell.name());
        self.words.iter().find(|(code, _)| *code == text).map(|(_, value)| value)
    }

    /// What its header says that a cell means.
    pub(super) fn meaning(&self, cell: &Cell<'_>) -> Option<&str> {
        if self.codes.is_empty() {
            return None;
        }
        let name = cell.name();
        self.codes.iter().find(|(code, _)| code == name.trim()).map(|(_, meaning)| meaning.as_str())
    }

    /// What the column says of its bare numbers.
    pub(super) fn measure(&self, own: Option<&'static Unit>) -> Measure {
        match &self.unit {
            ColumnUnit::None { per_cent } => {
                Measure { stated: None, unit: own, per_cent: *per_cent }
            }
            ColumnUnit::Stated(unit, _) => {
                Measure { stated: Some(unit), unit: own, per_cent: false }
            }
            ColumnUnit::Asked { .. } | ColumnUnit::Impossible(_) | ColumnUnit::Gradient(_) => {
                Measure { stated: None, unit: own, per_cent: false }
            }
        }
    }

    /// The column as provenance keeps it for records of this kind; nothing if it states nothing of them.
    pub(super) fn read_column(&self, of: &[Of]) -> Option<ReadColumn> {
        let unit = match &self.unit {
            ColumnUnit::Stated(unit, _) => Some(*unit),
            _ => None,
        };
        let column = |path: Vec<&'static str>, unit| ReadColumn {
            index: standing(self.index),
            header: self.header.as_str().into(),
            path,
            unit,
            link: false,
        };
        match &self.take {
            Take::Value { of: own, path, .. } if of.contains(own) => {
                Some(column(path.to_vec(), unit))
            }
            Take::Value { .. } if self.size.is_some() && of.contains(&Of::Strand) => {
                Some(column(vec!["diameter_mm"], None))
            }
            Take::Value { path: ["strand"], .. } if of.contains(&Of::Strand) => {
                Some(column(vec!["diameter_mm"], None))
            }
            Take::Described(Description::Strands) if of.contains(&Of::Row) => {
                Some(column(vec!["strand_count"], None))
            }
            Take::Described(Description::Strands) if of.contains(&Of::Strand) => {
                Some(column(vec!["diameter_mm"], None))
            }
            Take::Described(Description::Pipe) if of.contains(&Of::Row) => {
                Some(column(vec!["duct"], None))
            }
            Take::Described(Description::Pipe) if of.contains(&Of::Duct) => {
                Some(column(vec!["outer_mm"], None))
            }
            Take::Keep | Take::Ignore if of.contains(&Of::Row) => Some(column(Vec::new(), None)),
            _ => None,
        }
    }

    /// Begins or goes on with what is asked about the column.
    pub(super) fn ask(
        &mut self,
        sheet: &Sheet,
        row: u32,
        origin: Origin,
        given: &str,
        why: &str,
        readings: &[String],
    ) {
        if let Some(question) = &mut self.question {
            question.records.push(origin);
            return;
        }
        let target = self.target.or(self.claimed);
        let subject = target.map_or_else(|| self.header.clone(), Target::name);
        self.question = Some(Question {
            place: sheet.place(row, Some(self.index)),
            records: vec![origin],
            subject,
            header: self.header.clone(),
            given: given.to_owned(),
            readings: readings.to_vec(),
            why: format!("{why}; it may be {}", readings.join(" or ")),
            help: "say it in the file, or in a mapping file: restrand mapping new FILE writes one with this question \
                   in it"
                .to_owned(),
        });
    }
}
