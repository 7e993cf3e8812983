//! What is done with each column of a table.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::quantity::{Dimension, Unit};
use restrand_model::reading::{Column as ReadColumn, Origin, Question, Sureness, UnderstoodColumn};
use restrand_model::reflect::FieldInfo;
use restrand_model::sheet::Column;

use super::assign::Assigned;
use super::find::Found;
use super::grid::{GridCell, GridRow, Sheet, standing};
use super::header::StrandSize;
use super::mapping::{ColumnMapping, TableMapping, named};
use super::notes::UnitNotes;
use super::scope::Scope;
use super::sign::Sign;
use super::unit::{ColumnUnit, unit};
use super::vocabulary::{Description, Target};
use crate::sheet::Cell;
use crate::sheet::cell::Measure;
use crate::sheet::marks::SeenMarks;

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
    /// The kind of strand that the row's tendon has.
    Strand,
    /// The kind of duct that the row's tendon has.
    Duct,
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
    /// This note or header says that it is the outer side, which is left or right.
    Outward(String),
}

impl ColumnPlan {
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
        let subject = self.target.map_or_else(|| self.header.clone(), Target::name);
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

    /// The column as the reading report shows it.
    pub(super) fn understood(&self) -> UnderstoodColumn {
        let fields = match (&self.take, self.target) {
            (Take::Keep | Take::Ignore, _) | (_, None) => self.readings.clone(),
            (Take::Value { of, .. }, Some(target)) => {
                let name = target.name();
                let (record, field) = name.split_once('.').unwrap_or((&name, ""));
                match of {
                    Of::End(scope) | Of::Point(scope) => {
                        let end = match scope {
                            Scope::A => "a",
                            Scope::B => "b",
                            Scope::Stressing => "(stressing)",
                            Scope::Dead => "(dead)",
                            Scope::Between(number) => {
                                return self.understood_as(vec![format!(
                                    "{record} (deviator {number}).{field}"
                                )]);
                            }
                        };
                        vec![format!("{record} {end}.{field}")]
                    }
                    Of::BothEnds => {
                        vec![format!("{record} a.{field}"), format!("{record} b.{field}")]
                    }
                    _ if self.by_end => {
                        vec![name.clone(), format!("tendon.{}", self.other_end.join("."))]
                    }
                    _ => vec![name],
                }
            }
            (Take::Described(Description::Strands), _) => {
                vec!["tendon.strand_count".to_owned(), "strand.diameter_mm".to_owned()]
            }
            (Take::Described(Description::Pipe), _) => {
                self.gave.iter().map(|field| format!("duct.{field}")).collect()
            }
            (_, Some(target)) => vec![target.name()],
        };
        self.understood_as(fields)
    }

    fn understood_as(&self, fields: Vec<String>) -> UnderstoodColumn {
        let (unit, mut why) = match &self.unit {
            ColumnUnit::Stated(unit, why) if why != "its header says so" => {
                (Some(unit.symbol.to_owned()), format!("{}; {}: {why}", self.why, unit.symbol))
            }
            ColumnUnit::Stated(unit, _) => (Some(unit.symbol.to_owned()), self.why.clone()),
            ColumnUnit::Impossible(why) => (None, why.clone()),
            _ => (None, self.why.clone()),
        };
        if let Some(question) = &self.question {
            why = question.why.clone();
        }
        UnderstoodColumn {
            index: standing(self.index),
            header: self.header.clone(),
            fields,
            unit,
            sureness: if self.question.is_some() && self.sureness < Sureness::Mapped {
                Sureness::Asked
            } else {
                self.sureness
            },
            why,
        }
    }
}

/// The plans of all columns of a table, by their position.
pub(super) fn plans(
    sheet: &Sheet,
    found: &Found,
    notes: &UnitNotes,
    mapped: Option<&TableMapping>,
) -> BTreeMap<u32, ColumnPlan> {
    let rows = &sheet.rows[found.body.clone()];
    let one = |assigned: &Assigned| {
        let said = mapped.and_then(|mapped| {
            mapped.columns.iter().find(|column| column.speaks_of(&assigned.header.given))
        });
        let below = found.units.iter().find(|(column, _)| *column == assigned.index);
        let cells: Vec<&GridCell> =
            rows.iter().filter_map(|row| row.cells.get(&assigned.index)).collect();
        let mut plan =
            plan(found, assigned, below.map(|below| below.1.as_str()), &cells, notes, said);
        for cell in &cells {
            if let Cell::Text(text) = &cell.cell {
                plan.marks.see(restrand_model::quantity::Marks::of(text));
            }
        }
        (assigned.index, plan)
    };
    let mut plans: BTreeMap<u32, ColumnPlan> = found.assignment.columns.iter().map(one).collect();
    stations(rows, &mut plans, notes);
    plans
}

/// Takes the unit of stations from the system of all other units, where the digits behind the plus agree with it.
fn stations(rows: &[GridRow], plans: &mut BTreeMap<u32, ColumnPlan>, notes: &UnitNotes) {
    let stated = plans.values().filter_map(|plan| match plan.unit {
        ColumnUnit::Stated(unit, _) => Some(unit),
        _ => None,
    });
    let units: Vec<&Unit> = stated.chain(notes.units()).collect();
    let are_us = units.iter().all(|unit| is_us(unit));
    if units.is_empty() || !are_us && units.iter().any(|unit| is_us(unit)) {
        return;
    }
    let (symbol, digits) = if are_us { ("ft", 2) } else { ("m", 3) };
    let Some(unit) = Unit::find(symbol, Dimension::Length) else { return };
    for plan in plans.values_mut() {
        let is_station = matches!(&plan.take, Take::Value { field, .. }
            if matches!(field.name, "station_m" | "from_m" | "to_m"));
        if !is_station || !matches!(plan.unit, ColumnUnit::Asked { .. }) {
            continue;
        }
        let mut cells = rows.iter().filter_map(|row| row.text(plan.index)).peekable();
        let agrees = |text: &str| {
            text.split_once('+').is_some_and(|(_, behind)| {
                behind.bytes().take_while(u8::is_ascii_digit).count() == digits
            })
        };
        // What was struck, summed up or noted below stands in the column too.
        let stations = cells.by_ref().filter(|text| text.contains('+'));
        let (count, agreeing) =
            stations.fold((0, 0), |(all, good), text| (all + 1, good + i32::from(agrees(text))));
        if count > 0 && count == agreeing {
            let why = "all other units are of its system, and the digits behind the plus agree";
            plan.unit = ColumnUnit::Stated(unit, why.to_owned());
            plan.sureness = plan.sureness.min(Sureness::Likely);
        }
    }
}

fn is_us(unit: &Unit) -> bool {
    const US: [&str; 14] = [
        "in", "ft", "ft-in", "kip", "lb", "lbf", "ksi", "psi", "in²", "lb/ft", "1/ft", "rad/ft",
        "gal", "ft²",
    ];
    US.contains(&unit.symbol)
}

fn plan(
    found: &Found,
    assigned: &Assigned,
    below: Option<&str>,
    cells: &[&GridCell],
    notes: &UnitNotes,
    said: Option<&ColumnMapping>,
) -> ColumnPlan {
    let mut target = assigned.target;
    let mut scope = assigned.header.scope;
    let mut sureness = assigned.sureness;
    let mut why = assigned.why.clone();
    let mut readings = assigned.readings.clone();
    let mut ignored = false;
    if let Some(field) = said.and_then(|said| said.field.as_deref()) {
        sureness = Sureness::Mapped;
        "the mapping file says so".clone_into(&mut why);
        readings.clear();
        match named(field) {
            Some(named) => (target, scope) = (Some(named.target), named.scope),
            None => (target, ignored) = (None, true),
        }
    }
    let take = match target {
        None if ignored => Take::Ignore,
        None => Take::Keep,
        Some(Target::Described(description)) => Take::Described(description),
        Some(known) => take(found, known, scope),
    };
    let is_offset = target.is_some_and(|target| target.name() == "tendon_point.lateral_m");
    let side = if is_offset { side(assigned, notes) } else { Side::None };
    match &side {
        Side::Stated(Sign::Right) => why.push_str("; what lies to the right is positive in it"),
        Side::Stated(_) => why.push_str("; what lies to the left is positive in it"),
        Side::None | Side::Unstated | Side::Outward(_) => {}
    }
    let is_count = target.is_some_and(|target| target.name() == "tendon.strand_count");
    let by_end = found.assignment.one_is_jacked
        && said.is_none_or(|said| said.field.is_none())
        && matches!(assigned.header.said, None | Some(Scope::Stressing));
    let other_end = target.filter(|_| by_end).map_or(&[][..], |target| other_end(&target.name()));
    let by_end = !other_end.is_empty();
    let header: Vec<String> = match said.and_then(|said| said.unit.clone()) {
        Some(unit) => vec![unit],
        None => assigned.header.units.clone(),
    };
    let below = below.filter(|_| said.is_none_or(|said| said.unit.is_none()));
    let column_unit = match &take {
        Take::Value { field, .. } => unit(field, &header, below, cells, notes),
        Take::Described(_) | Take::Link(_) | Take::EndOfRow | Take::Keep | Take::Ignore => {
            ColumnUnit::None { per_cent: false }
        }
    };
    ColumnPlan {
        index: assigned.index,
        header: assigned.header.given.clone(),
        take,
        unit: column_unit,
        station: said.and_then(|said| said.station),
        sureness,
        why,
        target,
        scope,
        end_place: assigned.header.place.clone().filter(|_| scope.is_some_and(Scope::is_end)),
        marks: SeenMarks::default(),
        question: None,
        size: assigned.header.size.filter(|_| is_count),
        by_end,
        other_end,
        side,
        gave: BTreeSet::new(),
        readings,
    }
}

/// The path of what is stated of one end, at the other.
fn other_end(name: &str) -> &'static [&'static str] {
    match name {
        "tendon.stressing.elongation_a_mm" => &["stressing", "elongation_b_mm"],
        "tendon.stressing.seated_force_a_kn" => &["stressing", "seated_force_b_kn"],
        _ => &[],
    }
}

/// Which side of the line is positive in a column of offsets: as its header says, or else a note.
fn side(assigned: &Assigned, notes: &UnitNotes) -> Side {
    let stated = assigned.header.sign.map(|sign| (sign, assigned.header.given.as_str()));
    match stated.or_else(|| notes.sign()) {
        Some((Sign::Outward, said)) => Side::Outward(said.to_owned()),
        Some((sign, _)) => Side::Stated(sign),
        None => Side::Unstated,
    }
}

/// What a column states whose target is known.
fn take(found: &Found, target: Target, scope: Option<Scope>) -> Take {
    let (Some(column), Some(list)) = (target.column(), target.list()) else { return Take::Keep };
    let per_end = found.assignment.per_end;
    match column {
        Column::Link { header: "End" } if list == "Ends" => Take::EndOfRow,
        Column::Link { header } => Take::Link(header),
        Column::Value { path, field, .. } => {
            let of = if list == found.assignment.list {
                Of::Row
            } else {
                match (list, scope) {
                    ("Ends", Some(scope)) => Of::End(scope),
                    ("Ends", None) if per_end => Of::RowEnd,
                    ("Ends", None) => Of::BothEnds,
                    ("Points", Some(scope)) => Of::Point(scope),
                    ("Points", None) if per_end => Of::RowPoint,
                    ("Points", None) => Of::AllPoints,
                    ("Strands", _) => Of::Strand,
                    ("Ducts", _) => Of::Duct,
                    _ => return Take::Keep,
                }
            };
            Take::Value { of, path: path.as_slice(), field: field.0 }
        }
    }
}
