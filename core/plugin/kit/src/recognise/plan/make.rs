//! From what a column was taken for to what is done with it: its unit, its side, whose values it holds.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::quantity::{Dimension, Unit};
use restrand_model::reading::Sureness;
use restrand_model::sheet::Column;

use super::super::assign::Assigned;
use super::super::find::Found;
use super::super::grid::{GridCell, GridRow, Sheet};
use super::super::mapping::{ColumnMapping, TableMapping, named};
use super::super::notes::UnitNotes;
use super::super::scope::Scope;
use super::super::sign::Sign;
use super::super::unit::{ColumnUnit, unit};
use super::super::vocabulary::{Target, target_of};
use super::{ColumnPlan, Of, Side, Take};
use crate::sheet::Cell;
use crate::sheet::marks::SeenMarks;

/// The plans of all columns of a table, by their position; `from` is where all tendons are stressed, if the file says it.
pub(in crate::recognise) fn plans(
    sheet: &Sheet,
    found: &Found,
    notes: &UnitNotes,
    mapped: &[&TableMapping],
    from: Option<&str>,
) -> BTreeMap<u32, ColumnPlan> {
    let rows = &sheet.rows[found.body.clone()];
    let one = |assigned: &Assigned| {
        // What names the whole of a header goes before what names its last part.
        let given = &assigned.header.given;
        let said = || mapped.iter().flat_map(|mapped| &mapped.columns);
        let said = said()
            .find(|column| column.is_called(given))
            .or_else(|| said().find(|column| column.speaks_of(given)));
        let below = found.units.iter().find(|(column, _)| *column == assigned.index);
        let cells: Vec<&GridCell> =
            rows.iter().filter_map(|row| row.cells.get(&assigned.index)).collect();
        let settled = of_jacked_end(assigned, from);
        let assigned = settled.as_ref().unwrap_or(assigned);
        let mut plan =
            plan(found, assigned, below.map(|below| below.1.as_str()), &cells, notes, said);
        plan.claim_of(sheet, found, assigned);
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

/// An elongation of which a column does not say the end, as that of the one end from which all tendons are stressed.
fn of_jacked_end(assigned: &Assigned, from: Option<&str>) -> Option<Assigned> {
    const OF_ENDS: [&str; 2] =
        ["tendon.stressing.elongation_a_mm", "tendon.stressing.elongation_b_mm"];
    let is_open = assigned.readings.len() == 2
        && OF_ENDS.iter().all(|name| assigned.readings.iter().any(|reading| reading == name));
    let field = match from.filter(|_| is_open)? {
        "a" => "stressing.elongation_a_mm",
        "b" => "stressing.elongation_b_mm",
        _ => return None,
    };
    Some(Assigned {
        target: target_of("Tendons", field),
        readings: Vec::new(),
        sureness: Sureness::Likely,
        why: "the file says that all tendons are stressed from this end alone".to_owned(),
        ..assigned.clone()
    })
}

/// Takes the unit of stations from the system of all other units, where the digits behind the plus agree with it.
fn stations(rows: &[GridRow], plans: &mut BTreeMap<u32, ColumnPlan>, notes: &UnitNotes) {
    let stated = plans.values().filter_map(|plan| match plan.unit {
        ColumnUnit::Stated(unit, _) => Some(unit),
        _ => None,
    });
    // Feet and inches in other columns tell it too.
    let feet = Unit::find("ft-in", Dimension::Length).filter(|_| {
        let texts = |row| plans.keys().filter_map(move |column| GridRow::text(row, *column));
        rows.iter().flat_map(texts).any(is_feet_inches)
    });
    // Angles are measured alike in both systems.
    let units = stated.chain(notes.units()).chain(feet);
    let units: Vec<&Unit> = units.filter(|unit| unit.dimension != Dimension::Angle).collect();
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

/// Whether a text is a measure in feet and inches, as `8'-2"`.
fn is_feet_inches(text: &str) -> bool {
    text.split_once('\'').is_some_and(|(feet, inches)| {
        feet.trim_start_matches('-').parse::<u32>().is_ok()
            && inches.trim_end_matches([' ', 'L', 'R', 'T']).ends_with('"')
    })
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
    let field = target.and_then(Target::column).and_then(|column| match column {
        Column::Value { field, .. } => Some(field.0.name),
        Column::Link { .. } => None,
    });
    if let Some(note) = field.and_then(|field| notes.says_otherwise(field))
        && sureness != Sureness::Mapped
        && let Some(meant) = target.take()
    {
        sureness = Sureness::Asked;
        why = format!("the note \"{note}\" says that its numbers are others");
        readings = vec![meant.name(), "another value, which is kept under its header".to_owned()];
    }
    let take = match target {
        None if ignored => Take::Ignore,
        None => Take::Keep,
        Some(Target::Described(description)) => Take::Described(description),
        Some(known) => take(found, known, scope),
    };
    let is_offset = target.is_some_and(|target| target.name() == "tendon_point.lateral_m");
    let side = if is_offset { side(assigned, cells, notes) } else { Side::None };
    match &side {
        Side::Stated(Sign::Right) => why.push_str("; what lies to the right is positive in it"),
        Side::Stated(_) => why.push_str("; what lies to the left is positive in it"),
        Side::None | Side::Unstated | Side::Distance | Side::Other(..) => {}
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
        claimed: None,
        words: said.map(ColumnMapping::meanings).unwrap_or_default(),
        codes: assigned.header.codes.clone(),
    }
}

impl ColumnPlan {
    /// Takes the columns that state the same for what is to be asked, unless a mapping file says what it is.
    fn claim_of(&mut self, sheet: &Sheet, found: &Found, assigned: &Assigned) {
        let Some((target, columns)) = &assigned.claim else { return };
        if self.sureness == Sureness::Mapped {
            return;
        }
        let given = |index: &u32| {
            let of = found.assignment.columns.iter().find(|column| column.index == *index);
            let header = of.map_or("", |column| column.header.given.as_str());
            format!("{}, \"{header}\"", sheet.column_name(*index))
        };
        self.readings = columns.iter().map(given).collect();
        self.claimed = Some(*target);
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
fn side(assigned: &Assigned, cells: &[&GridCell], notes: &UnitNotes) -> Side {
    let stated = assigned.header.sign.map(|sign| (sign, assigned.header.given.as_str()));
    match stated.or_else(|| notes.sign()) {
        Some((sign @ (Sign::Left | Sign::Right), _)) => Side::Stated(sign),
        Some((sign, said)) => Side::Other(sign, said.to_owned()),
        None if is_distance(&assigned.header.given)
            && !cells.iter().any(|cell| is_negative(cell)) =>
        {
            Side::Distance
        }
        None => Side::Unstated,
    }
}

/// Whether a header speaks of a distance, which has no sign.
pub(in crate::recognise) fn is_distance(header: &str) -> bool {
    const WORDS: [&str; 5] = ["distance", "dist.", "dist ", "spacing", "abstand"];
    let lower = header.to_lowercase();
    WORDS.iter().any(|word| lower.contains(word))
}

fn is_negative(cell: &GridCell) -> bool {
    match &cell.cell {
        Cell::Number(number) => *number < 0.0,
        Cell::Text(text) => text.trim_start().starts_with(['-', '−', '–']),
        _ => false,
    }
}

/// What a column states whose target is known.
fn take(found: &Found, target: Target, scope: Option<Scope>) -> Take {
    let (Some(column), Some(list)) = (target.column(), target.list()) else { return Take::Keep };
    // A row that names the end states that one, even where each tendon has a single row.
    let mut columns = found.assignment.columns.iter().filter_map(|column| column.target);
    let per_end = found.assignment.per_end || columns.any(|target| target.name() == "end, end");
    match column {
        Column::Link { header: "End" } if list == "Ends" && found.assignment.list != "Ends" => {
            Take::EndOfRow
        }
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
                    ("Deviators", Some(scope)) => Of::Deviator(scope),
                    ("Deviators", None) => Of::RowDeviator,
                    ("Strands", _) => Of::Strand,
                    ("Ducts", _) => Of::Duct,
                    ("Measurements", _) => Of::Measured,
                    _ => return Take::Keep,
                }
            };
            Take::Value { of, path: path.as_slice(), field: field.0 }
        }
    }
}
