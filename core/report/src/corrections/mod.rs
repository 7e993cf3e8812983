//! What was corrected, and what was not: for people, for programs, and as sheets of the corrected workbook.

pub mod json;
pub mod tables;
pub mod text;

use restrand_check::{Change, Corrected, Unmade};
use restrand_finding::{Correction, Fact, fill_in};
use restrand_intake::Reading;
use restrand_kit::Loss;
use restrand_model::System;
use restrand_model::quantity::{of_field, shortest};
use restrand_model::reading::Place;
use restrand_model::value::Value;

use crate::checked::Checked;
use crate::row;

/// One input after its corrections.
#[derive(Clone, Copy)]
pub struct Corrections<'a> {
    /// The input as it was read, with what was found before.
    pub checked: Checked<'a>,
    /// What came of the corrections.
    pub corrected: &'a Corrected,
    /// The file that has the corrected schedule; nothing if none is written.
    pub output: Option<&'a str>,
    /// What the new file could not carry.
    pub losses: &'a [Loss],
    /// Cells of the input that hold formulas; nothing where that cannot be told.
    pub formulas: Option<usize>,
}

/// The reason with its facts.
fn reason(correction: &Correction, system: System) -> String {
    fill_in(&correction.reason, &correction.facts, system)
}

/// Why a correction was not made, as a sentence.
fn unmade(why: &Unmade) -> String {
    /// Errors that are named; the others are counted.
    const NAMED: usize = 3;
    match why {
        Unmade::NewErrors(errors) => {
            let mut named: Vec<_> =
                errors.iter().take(NAMED).map(|(rule, at)| format!("{rule} at {at}")).collect();
            if errors.len() > NAMED {
                named.push(format!("{} more", errors.len() - NAMED));
            }
            format!("it makes errors that were not there: {}", named.join(", "))
        }
        Unmade::RestsOnWithdrawn(route) => {
            format!("it follows from {route}, whose own correction was withdrawn")
        }
        Unmade::Undone(rule) => format!("{rule} gives the value back that it takes"),
        Unmade::Misfit(needed) => format!("the field takes no such value; it needs {needed}"),
    }
}

/// The value as the file had it.
fn before(change: &Change, system: System) -> String {
    match &change.given {
        Some(given) => format!("\"{given}\""),
        None => shown(change, change.before.as_ref(), system),
    }
}

fn after(change: &Change, system: System) -> String {
    shown(change, change.after.as_ref(), system)
}

fn shown(change: &Change, value: Option<&Value>, system: System) -> String {
    /// Decimals in the unit of the field.
    const DIGITS: u8 = 3;
    let field = change.route.declared().map_or("", |field| field.name);
    match value {
        None => "nothing".to_owned(),
        Some(Value::Number(number)) => Fact::given(field, *number, DIGITS).shown(system),
        Some(Value::Flag(true)) => "yes".to_owned(),
        Some(Value::Flag(false)) => "no".to_owned(),
        Some(value) => value.to_string(),
    }
}

/// What stood in the file, as it stood there: the text of a cell, or the number in the column's unit.
fn stood(change: &Change, reading: &Reading) -> Option<String> {
    if let Some(given) = &change.given {
        return Some(given.clone());
    }
    let before = change.before.as_ref()?;
    let (Value::Number(number), Some(Place::Cell { part, sheet, row, column })) =
        (before, &change.place)
    else {
        return Some(before.to_string());
    };
    let table = reading.provenance.table_at(part, sheet, *row, *column).map(|(_, table)| table);
    let stated = table
        .and_then(|table| row::column_at(table, *row, (*column)?))
        .and_then(|column| column.unit);
    let unit = change.route.declared().and_then(|field| of_field(field.name).1);
    Some(match (unit, stated) {
        (Some(unit), Some(stated)) => {
            format!("{} {}", shortest(unit.convert(*number, stated)), stated.symbol)
        }
        (Some(unit), None) => format!("{} {}", shortest(*number), unit.symbol),
        (None, _) => shortest(*number),
    })
}

/// How many corrections came to what, as `3 corrections made, 1 withdrawn, 2 held, 5 proposed`.
fn counts(corrected: &Corrected) -> String {
    let made = crate::plain::counted(corrected.made.len(), "correction");
    let mut text = format!("{made} made");
    for (count, word) in [
        (corrected.withdrawn.len(), "withdrawn"),
        (corrected.held.len(), "held back"),
        (corrected.left.len(), "left"),
        (corrected.proposed.len(), "proposed"),
    ] {
        if count > 0 {
            text.push_str(&format!(", {count} {word}"));
        }
    }
    text
}
