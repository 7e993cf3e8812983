//! How well the values of a column fit a field.

use restrand_model::quantity::{self, Misread};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::sheet::Column;

use super::dates;
use super::ends;
use super::scope::Scope;
use super::vocabulary::{Description, FUTURE, SPARE, Target, Word, word};
use crate::sheet::Cell;
use crate::sheet::cell::yes_or_no;

/// Values of a column that are looked at.
pub(super) const SAMPLE: usize = 60;

/// The share of the values that a target could take, from 0 to 1; 1 where there is none.
///
/// `codes` are those that the header explains.
pub(super) fn fit(target: Target, values: &[&Cell<'static>], codes: &[(String, String)]) -> f64 {
    if values.is_empty() {
        return 1.0;
    }
    let one = |cell: &Cell<'static>| -> f64 {
        match (target, cell) {
            (_, Cell::Uncalculated(_) | Cell::Error(_)) => 1.0,
            (Target::Described(description), Cell::Text(text)) => {
                f64::from(u8::from(describes(description, text)))
            }
            (Target::Described(_), _) => 0.0,
            (Target::Column(..), cell) => match target.column() {
                // A word for the kind of an end is no name of an anchorage.
                Some(Column::Value { .. }) if target.name() == "end.anchorage" && is_kind(cell) => {
                    0.0
                }
                // `End` is one only beside `Begin`.
                Some(Column::Value { field, .. })
                    if field.0.name == "from" && is_last_beside(cell, values) =>
                {
                    1.0
                }
                Some(Column::Value { field, .. }) => fits_field(field.0, cell),
                Some(Column::Link { header: "End" }) => match cell {
                    Cell::Text(text) => {
                        f64::from(u8::from(ends::read_beside(text, texts(values)).is_some()))
                    }
                    Cell::Number(number) if *number == 1.0 || *number == 2.0 => 0.7,
                    _ => 0.0,
                },
                Some(Column::Link { .. }) => name(cell, 0.8),
                None => 0.0,
            },
        }
    };
    #[expect(clippy::cast_precision_loss, reason = "a sample is small")]
    let count = values.len() as f64;
    let meant = |cell: &Cell<'static>| {
        let meaning = codes.iter().find(|(code, _)| *code == cell.name().trim());
        meaning.map_or(0.0, |(_, meaning)| one(&Cell::Text(meaning.clone().into())))
    };
    values.iter().map(|cell| one(cell).max(meant(cell))).sum::<f64>() / count
}

/// Whether a cell names the second end beside others of its column that name the first.
fn is_last_beside(cell: &Cell<'_>, values: &[&Cell<'static>]) -> bool {
    matches!(cell, Cell::Text(text) if ends::read_beside(text, texts(values)) == Some(Scope::B))
}

fn texts<'v>(values: &'v [&Cell<'static>]) -> impl Iterator<Item = &'v str> {
    values.iter().filter_map(|cell| match cell {
        Cell::Text(text) => Some(&**text),
        _ => None,
    })
}

/// Whether a cell says whether an end is stressed, in more than a letter.
fn is_kind(cell: &Cell<'_>) -> bool {
    let is_one = |text: &str| {
        text.trim().len() > 2 && ends::read(text).is_some_and(|scope| ends::kind(scope).is_some())
    };
    // It may be said in two tongues: `attiva / live`.
    matches!(cell, Cell::Text(text) if text.split('/').all(is_one))
}

pub(super) fn describes(description: Description, text: &str) -> bool {
    let mm = quantity::Unit::find("mm", quantity::Dimension::Length);
    match description {
        Description::Strands => quantity::strands(text).is_some(),
        Description::Pipe => quantity::pipe(text, mm).is_some(),
    }
}

fn name(cell: &Cell<'_>, as_number: f64) -> f64 {
    match cell {
        // A number that is stored as a text is one.
        Cell::Text(text) if text.trim().parse::<f64>().is_ok() => as_number,
        Cell::Text(_) => 1.0,
        Cell::Number(_) => as_number,
        _ => 0.2,
    }
}

fn fits_field(field: &FieldInfo, cell: &Cell<'_>) -> f64 {
    let is = |fits: bool| f64::from(u8::from(fits));
    match field.shape {
        Shape::Number => match cell {
            Cell::Number(_) => 1.0,
            Cell::Text(text) => is(is_quantity(field, text)),
            _ => 0.0,
        },
        // Strands are counted up to a hundred or so; what is more is a force.
        Shape::Count
            if field.name.starts_with("strand_")
                && matches!(cell, Cell::Number(number) if *number > 150.0) =>
        {
            0.0
        }
        Shape::Count => match cell {
            Cell::Number(number) => is(number.fract() == 0.0 && *number >= 0.0),
            // A word may say that there are none yet.
            Cell::Text(text) => {
                let text = text.trim();
                let is_of_none = || {
                    let lower = text.to_lowercase();
                    FUTURE.iter().chain(SPARE).any(|word| *word == lower)
                };
                is(text.parse::<u32>().is_ok() || field.name == "strand_count" && is_of_none())
            }
            _ => 0.0,
        },
        Shape::Counts => match cell {
            Cell::Number(number) => is(number.fract() == 0.0 && *number >= 0.0),
            Cell::Text(text) => {
                is(text.split([',', ';', '/']).all(|one| one.trim().parse::<u32>().is_ok()))
            }
            _ => 0.0,
        },
        // Which end that is, other columns tell, or nothing.
        Shape::Choice(_) if field.name == "from" && is_kind(cell) => 1.0,
        Shape::Choice(list) | Shape::Choices(list) => match cell {
            Cell::Text(text) => is(!matches!(word(field, list, text), Word::Unknown)),
            _ => 0.0,
        },
        Shape::Flag => match cell {
            Cell::Flag(_) => 1.0,
            Cell::Text(text) => {
                let said = text.trim().to_lowercase();
                is(matches!(said.as_str(), "x" | "✓") || yes_or_no(&said).is_some())
            }
            _ => 0.0,
        },
        Shape::Date => match cell {
            Cell::Date(_) | Cell::Moment(..) => 1.0,
            Cell::Text(text) => is(text.trim().parse::<restrand_model::reflect::Date>().is_ok()
                || dates::date(text).is_some()
                || !dates::readings(text).is_empty()),
            _ => 0.0,
        },
        // A number is a size of the form, and not its name.
        Shape::Link(_) if field.name == "form" => name(cell, 0.0),
        // Two counts are no name of strand: `19/22` says how many of how many there are.
        Shape::Link(_) if field.name == "strand" && is_two_counts(cell) => 0.0,
        // A mark may well be a number, the name of a kind hardly.
        Shape::Text if field.name == "mark" => name(cell, 0.9),
        Shape::Text | Shape::Texts | Shape::Link(_) | Shape::Links(_) => name(cell, 0.55),
        Shape::Record(_) | Shape::Records(_) => 0.0,
    }
}

fn is_two_counts(cell: &Cell<'_>) -> bool {
    let is_count = |text: &str| text.trim().parse::<u16>().is_ok();
    matches!(cell, Cell::Text(text)
        if text.split_once('/').is_some_and(|(one, other)| is_count(one) && is_count(other)))
}

fn is_quantity(field: &FieldInfo, text: &str) -> bool {
    let unit = quantity::of_field(field.name).1;
    let text =
        quantity::sided(text).filter(|_| field.name == "lateral_m").map_or(text, |(rest, _)| rest);
    let feet = quantity::Unit::find("ft-in", quantity::Dimension::Length);
    match quantity::read(text, unit, unit) {
        Ok(_) => true,
        Err(Misread::NotPlain | Misread::NotANumber) => {
            unit.is_some_and(|unit| unit.dimension == quantity::Dimension::Length)
                && quantity::read(text, feet, unit).is_ok()
        }
        Err(misread) => matches!(
            misread,
            Misread::NoUnit
                | Misread::FeetOrInches
                | Misread::Readings(_)
                | Misread::Ambiguous { .. }
        ),
    }
}
