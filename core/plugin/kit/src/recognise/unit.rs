//! The unit of a column's bare numbers: what its header, the row below it, its number formats or a note say.

use restrand_model::quantity::{Dimension, Unit, of_field};
use restrand_model::reflect::{FieldInfo, Shape};

use super::grid::GridCell;
use super::notes::UnitNotes;
use crate::sheet::Cell;

/// What is known of the unit of a column.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum ColumnUnit {
    /// The field takes none.
    None {
        /// Whether the numbers are hundredths.
        per_cent: bool,
    },
    /// Bare numbers are in this unit, as this says.
    Stated(&'static Unit, String),
    /// Nothing tells it, or two things tell different ones.
    Asked {
        /// Why it is asked.
        why: String,
        /// What may be meant.
        readings: Vec<String>,
    },
    /// Bare numbers are gradients: a rise over this run.
    Gradient(f64),
    /// What is stated measures something else.
    Impossible(String),
}

/// Values between which a field lies on bridges, in its own unit. What lies far outside was meant in another unit.
///
/// Common practice, no source.
const PLAUSIBLE: &[(&str, f64, f64)] = &[
    ("length_m", 3.0, 2000.0),
    ("outer_mm", 20.0, 500.0),
    ("inner_mm", 15.0, 480.0),
    ("wall_mm", 0.2, 40.0),
    ("diameter_mm", 7.0, 22.0),
    ("area_mm2", 30.0, 250.0),
    ("mass_kg_per_m", 0.3, 60.0),
    ("jacking_force_kn", 50.0, 40_000.0),
    ("jacking_share", 0.1, 1.0),
    ("force_kn", 10.0, 40_000.0),
    ("breaking_force_kn", 20.0, 600.0),
    ("fpu_mpa", 1000.0, 2500.0),
    ("e_mpa", 100_000.0, 250_000.0),
    ("set_mm", 0.0, 40.0),
    ("elongation_mm", 1.0, 4000.0),
    ("elongation_a_mm", 1.0, 4000.0),
    ("elongation_b_mm", 1.0, 4000.0),
    ("behind_mm", 50.0, 30_000.0),
    ("tail_mm", 0.0, 5000.0),
    ("steel_mass_kg", 10.0, 200_000.0),
    ("lateral_m", -80.0, 80.0),
];

/// Below this a measure in millimetres of a bridge is a whole number.
///
/// Common practice, no source.
const FINE: f64 = 1000.0;

/// Below this no measure along or across a bridge is written in millimetres.
///
/// Common practice, no source.
const COARSE: f64 = 50.0;

/// Units in which people write a quantity, by the unit of its field.
const USUAL: &[(&str, &[&str])] = &[
    ("mm", &["mm", "in", "ft", "m"]),
    ("m", &["m", "ft", "mm", "in"]),
    ("mm²", &["mm²", "in²"]),
    ("kN", &["kN", "kip", "tf"]),
    ("MPa", &["MPa", "ksi", "psi", "bar"]),
    ("kg", &["kg", "lb", "t"]),
    ("kg/m", &["kg/m", "lb/ft"]),
    ("rad", &["deg", "rad"]),
    ("1/m", &["1/m", "1/ft"]),
    ("rad/m", &["rad/m", "rad/ft"]),
    ("l", &["l", "gal"]),
];

/// How gradients are written in headers, with the run that they are over.
const GRADIENTS: &[(&str, f64)] =
    &[("%", 100.0), ("‰", 1000.0), ("mm/m", 1000.0), ("m/m", 1.0), ("in/ft", 12.0)];

/// Whether a value of a field can be, in the field's own unit; nothing where no range is known.
pub(super) fn is_plausible(field: &FieldInfo, value: f64) -> Option<bool> {
    let (_, least, most) = PLAUSIBLE.iter().find(|(name, ..)| *name == field.name)?;
    Some((*least..=*most).contains(&value))
}

/// The greatest value of a field, in the field's own unit; nothing where no range is known.
pub(super) fn most(field: &FieldInfo) -> Option<f64> {
    PLAUSIBLE.iter().find(|(name, ..)| *name == field.name).map(|(.., most)| *most)
}

/// Whether the numbers under a sign of per cent are shares as they stand, as 0.75 of a strength: nobody stresses to
/// 0.75 % of it.
fn are_shares(field: &FieldInfo, cells: &[&GridCell]) -> bool {
    let number = |cell: &&GridCell| match &cell.cell {
        Cell::Number(number) => Some(*number),
        Cell::Text(text) => text.trim().parse().ok(),
        _ => None,
    };
    let can_be = |value: f64| is_plausible(field, value);
    let mut numbers = cells.iter().filter(|cell| !cell.look.per_cent).filter_map(number).peekable();
    numbers.peek().is_some()
        && numbers.all(|it| can_be(it) == Some(true) && can_be(it / 100.0) == Some(false))
}

/// Finds the unit of a column.
pub(super) fn unit(
    field: &FieldInfo,
    header: &[String],
    below: Option<&str>,
    cells: &[&GridCell],
    notes: &UnitNotes,
) -> ColumnUnit {
    let Some(own) = of_field(field.name).1.filter(|_| matches!(field.shape, Shape::Number)) else {
        let said = |unit: &str| unit == "%";
        let per_cent = matches!(field.shape, Shape::Number)
            && (header.iter().any(|unit| said(unit)) || below.is_some_and(said))
            && !are_shares(field, cells);
        return ColumnUnit::None { per_cent };
    };
    let mut stated: Vec<(&'static Unit, String)> = Vec::new();
    let texts = header
        .iter()
        .map(|text| (text.as_str(), "its header says so"))
        .chain(below.map(|text| (text, "the row below its header says so")));
    for (text, why) in texts {
        if let Some(unit) = Unit::find(text, own.dimension) {
            if !stated.iter().any(|(other, _)| other.symbol == unit.symbol) {
                stated.push((unit, why.to_owned()));
            }
            continue;
        }
        if let Some((_, run)) = GRADIENTS.iter().find(|(written, _)| *written == text)
            && own.dimension == Dimension::Angle
        {
            return ColumnUnit::Gradient(*run);
        }
        let meant = Unit::meant_by(text, own.dimension);
        if let Some((unit, note)) = notes.tonne()
            && meant.contains(&unit)
        {
            stated.push((unit, format!("the note \"{note}\" says which ton it is")));
            continue;
        }
        if !meant.is_empty() {
            return ColumnUnit::Asked {
                why: format!("the unit \"{text}\" can mean several"),
                readings: meant.iter().map(|unit| unit.in_words()).collect(),
            };
        }
        if let Some(other) = Unit::find_any(text) {
            return ColumnUnit::Impossible(format!(
                "its header states {}, the unit of {}, but {} is {}",
                other.symbol,
                other.dimension,
                field.label().to_lowercase(),
                own.dimension
            ));
        }
    }
    let unknown = below.filter(|text| !super::header::is_unit_below(text));
    for cell in cells.iter().filter(|cell| matches!(cell.cell, Cell::Number(_))) {
        if let Some(unit) = cell.look.unit.and_then(|unit| Unit::find(unit.symbol, own.dimension))
            && !stated.iter().any(|(other, _)| other.symbol == unit.symbol)
        {
            stated.push((unit, "its number format says so".to_owned()));
        }
    }
    if stated.len() > 1 {
        let names: Vec<&str> = stated.iter().map(|(unit, _)| unit.symbol).collect();
        return ColumnUnit::Asked {
            why: format!("{} are stated for it at once", names.join(" and ")),
            readings: names.iter().map(|name| format!("in {name}")).collect(),
        };
    }
    if let Some((unit, why)) = stated.pop() {
        return ColumnUnit::Stated(unit, why);
    }
    match (unknown, of_notes(field, own, cells, notes)) {
        // What stands where the others have their units may be one, and then no note speaks of it.
        (Some(text), ColumnUnit::Stated(..)) => {
            let usual = USUAL.iter().find(|(symbol, _)| *symbol == own.symbol);
            let units = usual.map_or(&[][..], |usual| usual.1);
            ColumnUnit::Asked {
                why: format!("\"{text}\" in the row of units is no unit that is known"),
                readings: units.iter().map(|symbol| format!("in {symbol}")).collect(),
            }
        }
        (Some(text), ColumnUnit::Asked { readings, .. }) => ColumnUnit::Asked {
            why: format!("\"{text}\" in the row of units is no unit that is known"),
            readings,
        },
        (_, unit) => unit,
    }
}

/// The unit that notes state, if it can be; or the question.
fn of_notes(
    field: &FieldInfo,
    own: &'static Unit,
    cells: &[&GridCell],
    notes: &UnitNotes,
) -> ColumnUnit {
    let mut bare: Vec<f64> = cells
        .iter()
        .filter_map(|cell| match &cell.cell {
            Cell::Number(number) if *number != 0.0 => Some(*number),
            Cell::Text(text) => {
                let text =
                    restrand_model::quantity::sided(text).map_or(text.trim(), |(rest, _)| rest);
                text.parse().ok().filter(|number| *number != 0.0)
            }
            _ => None,
        })
        .collect();
    bare.sort_by(f64::total_cmp);
    let middle = bare.get(bare.len() / 2).copied();
    let range = PLAUSIBLE.iter().find(|(name, ..)| *name == field.name);
    let can_be = |unit: &Unit| match (range, middle) {
        (Some((_, least, most)), Some(middle)) => {
            (*least..=*most).contains(&unit.convert(middle, own))
        }
        _ => true,
    };
    let usual =
        USUAL.iter().find(|(symbol, _)| *symbol == own.symbol).map_or(&[][..], |usual| usual.1);
    let readings = |also: Option<&'static Unit>| -> Vec<String> {
        let mut units: Vec<&'static Unit> = usual
            .iter()
            .filter_map(|symbol| Unit::find(symbol, own.dimension))
            .filter(|unit| can_be(unit))
            .collect();
        if units.len() < 2 {
            units = usual.iter().filter_map(|symbol| Unit::find(symbol, own.dimension)).collect();
        }
        if let Some(also) = also
            && !units.iter().any(|unit| unit.symbol == also.symbol)
        {
            units.insert(0, also);
        }
        if units.len() < 2 {
            units.extend(
                Unit::all_of(own.dimension).filter(|unit| unit.symbol != own.symbol).take(1),
            );
        }
        units.iter().map(|unit| format!("in {}", unit.symbol)).collect()
    };
    // What is written in millimetres has no thousandths of them, and no bridge is laid out by single ones.
    let is_too_fine = |unit: &Unit| {
        let largest = bare.iter().map(|value| value.abs()).fold(0.0, f64::max);
        let is_whole = bare.iter().all(|value| value.fract() == 0.0);
        unit.symbol == "mm"
            && own.symbol == "m"
            && !bare.is_empty()
            && (largest < COARSE || largest < FINE && (!is_whole || field.name == "station_m"))
    };
    match notes.of(field, own.dimension).as_slice() {
        [] => ColumnUnit::Asked {
            why: "no unit is stated for it".to_owned(),
            readings: readings(None),
        },
        [(unit, note)] if can_be(unit) && !is_too_fine(unit) => {
            ColumnUnit::Stated(unit, format!("the note \"{}\" says so", short(note)))
        }
        [(unit, note)] => ColumnUnit::Asked {
            why: format!(
                "the note \"{}\" says {}, and no bridge has such values in it",
                short(note),
                unit.symbol
            ),
            readings: readings(Some(unit)),
        },
        several => ColumnUnit::Asked {
            why: "notes state several units for it".to_owned(),
            readings: several.iter().map(|(unit, _)| format!("in {}", unit.symbol)).collect(),
        },
    }
}

/// A note, cut to what a line takes.
fn short(note: &str) -> String {
    const LONGEST: usize = 60;
    match note.char_indices().nth(LONGEST) {
        Some((at, _)) => format!("{}…", &note[..at]),
        None => note.to_owned(),
    }
}
