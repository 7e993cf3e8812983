//! What a header means of a sheet's columns, and what its brackets say of their numbers.

use restrand_model::near::nearest;
use restrand_model::quantity::{Dimension, Unit};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::sheet::{self, Column, Header, Sheet};

use crate::sheet::cell::Measure;

/// The column of a sheet for which a header was surely meant that does not name it, or not with a unit that it can have.
pub(crate) fn missed_by(sheet: &'static Sheet, given: &str) -> Option<usize> {
    let columns = sheet::columns_of(sheet);
    let headers = sheet::headers_of(sheet);
    let header = Header::read(given);
    let Some(position) = headers.find(header.label).or_else(|| headers.find(given)) else {
        let near = nearest_header(sheet, given)?;
        return columns.iter().position(|column| label(column) == near);
    };
    match &columns[position] {
        Column::Value { field, unit, .. } => {
            let is_unfit = header_unit(header.unit?, field.0, *unit).is_err();
            (is_unfit && !is_words(field.0) && headers.find(given).is_none()).then_some(position)
        }
        Column::Link { .. } => None,
    }
}

/// The header of a sheet that is near to this one.
pub(super) fn nearest_header(sheet: &'static Sheet, header: &str) -> Option<&'static str> {
    nearest(Header::read(header).label, sheet::columns_of(sheet).iter().map(label))
}

pub(super) fn label(column: &Column) -> &str {
    match column {
        Column::Link { header } => header,
        Column::Value { label, .. } => label,
    }
}

pub(super) fn unit(column: &Column) -> Option<&'static Unit> {
    match column {
        Column::Value { unit, .. } => *unit,
        Column::Link { .. } => None,
    }
}

/// What the text in a header's brackets says of the numbers below, for a field in `unit`; or why it cannot
/// be, and what to do.
pub(super) fn header_unit(
    text: &str,
    field: &FieldInfo,
    unit: Option<&'static Unit>,
) -> Result<Measure, (String, String)> {
    let Some(unit) = unit else {
        return match text {
            "-" | "–" | "1" => Ok(Measure::default()),
            "%" if matches!(field.shape, Shape::Number) => {
                Ok(Measure { per_cent: true, ..Measure::default() })
            }
            _ => Err(match Unit::find_any(text) {
                Some(stated) => (
                    format!("the field takes no unit, but the header states {}", stated.symbol),
                    "take the unit out of the header".to_owned(),
                ),
                None => (
                    format!(
                        "the field takes no unit, but the header has \"{text}\" in its brackets"
                    ),
                    "take it out of the header".to_owned(),
                ),
            }),
        };
    };
    if let Some(stated) = Unit::find(text, unit.dimension) {
        return Ok(Measure { stated: Some(stated), unit: Some(unit), per_cent: false });
    }
    let needed =
        |dimension: Dimension| format!("write a unit of {dimension}, as [{}]", unit.symbol);
    Err(match Unit::find_any(text) {
        Some(stated) => (
            format!(
                "the header states {}, the unit of {}, but the field is {}",
                stated.symbol, stated.dimension, unit.dimension
            ),
            needed(unit.dimension),
        ),
        None => (format!("the unit \"{text}\" in the header is not known"), needed(unit.dimension)),
    })
}

/// Whether a field holds no number that what stands in its header's brackets could change.
pub(super) const fn is_words(field: &FieldInfo) -> bool {
    !matches!(field.shape, Shape::Number | Shape::Count | Shape::Counts)
}
