//! Values that could not be read, in files that are written.
//!
//! What was not read goes into the cell of its field as it was given, so that the next reading meets what the first one
//! met. Where that cell would take the text for a value, it says first that none was read: of `not read: 12` nothing is
//! taken, whatever the unit of the column is.

use std::borrow::Cow;

use restrand_model::quantity::{Marks, Unit};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::schema::takes;
use restrand_model::value::Value;

use super::cell::{self, Cell, Measure, Unfit};
use super::marks::plain_number;
use super::write::OutCell;

/// What a cell begins with that holds no value, but what was given where one could not be read.
const MARK: &str = "not read:";

/// The text as it was given, of a cell that says that no value could be read of it.
pub(crate) fn marked(text: &str) -> Option<&str> {
    text.trim_start().strip_prefix(MARK).map(str::trim)
}

/// What a cell that holds no value was given as.
pub(crate) fn given(cell: &Cell<'_>) -> String {
    match cell {
        Cell::Text(text) => marked(text).map_or_else(|| cell.shown(), str::to_owned),
        _ => cell.shown(),
    }
}

/// Why a cell with the mark holds no value.
pub(crate) fn unfit() -> Unfit {
    Unfit {
        why: "it could not be read in the file from which this one was made".to_owned(),
        help: "type the value in its place, with its unit where it has one".to_owned(),
        readings: Vec::new(),
    }
}

/// The cell for a value that could not be read, under a header that states this unit.
pub(crate) fn cell(text: &str, field: &FieldInfo, stated: Option<&'static Unit>) -> OutCell {
    let number = plain_number(text);
    let as_given = number.map_or(Cell::Text(Cow::Borrowed(text)), Cell::Number);
    match number {
        _ if !stays_unread(&as_given, text, field, stated) => marked_cell(text),
        Some(number) => OutCell::Number(number),
        None => OutCell::Text(text.to_owned()),
    }
}

/// The cell that says that no value could be read of a text.
pub(crate) fn marked_cell(text: &str) -> OutCell {
    OutCell::Text(format!("{MARK} {text}"))
}

/// Whether a cell of this field is refused, whatever stands around it.
fn stays_unread(
    cell: &Cell<'_>,
    text: &str,
    field: &FieldInfo,
    stated: Option<&'static Unit>,
) -> bool {
    // What the other numbers of the column would tell is told of a new column, not of the old one.
    let is_open = matches!(field.shape, Shape::Number)
        && matches!(Marks::of(text), Marks::PointOrThousands | Marks::CommaOrThousands);
    if is_open || cell.is_blank() {
        return false;
    }
    let unit = field.unit().filter(|_| matches!(field.shape, Shape::Number));
    match cell::value(cell, field, Measure { stated, unit, per_cent: false }) {
        Err(_) => true,
        Ok(Value::Number(number)) => !takes(field, number),
        Ok(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::quantity::Dimension;
    use restrand_model::schedule::{Duct, Tendon};

    fn written(text: &str, stated: Option<&str>) -> OutCell {
        let field = Duct::INFO.field("wall_mm").unwrap();
        cell(text, field, stated.and_then(|unit| Unit::find(unit, Dimension::Length)))
    }

    fn text(text: &str) -> OutCell {
        OutCell::Text(text.to_owned())
    }

    #[test]
    fn what_cannot_be_misread_stands_as_it_was_given() {
        assert_eq!(written("as before", Some("mm")), text("as before"));
        assert_eq!(written("12 furlongs", Some("mm")), text("12 furlongs"));
        // No wall is less than nothing: the schema refuses it again.
        assert_eq!(written("-7.4", Some("mm")), OutCell::Number(-7.4));
        // Without a unit a number is none.
        assert_eq!(written("7.4", None), OutCell::Number(7.4));
        let count = Tendon::INFO.field("strand_count").unwrap();
        assert_eq!(cell("19.5", count, None), OutCell::Number(19.5));
    }

    #[test]
    fn what_would_be_taken_for_a_value_says_that_it_is_none() {
        assert_eq!(written("7.4", Some("mm")), text("not read: 7.4"));
        assert_eq!(written("7.4 mm", None), text("not read: 7.4 mm"));
        // Other numbers of a column may tell what its marks mean.
        assert_eq!(written("1,234", Some("mm")), text("not read: 1,234"));
        assert_eq!(written("-1.234", Some("mm")), text("not read: -1.234"));
        let mark = Tendon::INFO.field("mark").unwrap();
        assert_eq!(cell("#REF!", mark, None), text("not read: #REF!"));
    }

    #[test]
    fn nothing_is_read_of_a_cell_with_the_mark() {
        let all = [Tendon::INFO, Duct::INFO].map(|info| info.fields.iter()).into_iter().flatten();
        for field in all {
            let cell = Cell::Text("not read: 12 mm".into());
            assert!(cell::value(&cell, field, Measure::default()).is_err(), "{}", field.name);
            assert_eq!(given(&cell), "12 mm");
        }
    }
}
