//! Values of cells as records keep them.

use std::borrow::Cow;

use restrand_model::value::{Fields, Name, Value};

use crate::sheet::cell::Cell;
use crate::sheet::list;

pub(crate) fn put(fields: &mut Fields, path: &'static [&'static str], value: Value) {
    match path {
        [] => {}
        [name] => fields.push(Name::Known(name), value),
        [name, rest @ ..] => put(fields.nested(name), rest, value),
    }
}

/// A cell's value as it stands, for a column that no field takes.
pub(crate) fn plain_value(cell: &Cell<'_>) -> Value {
    match cell {
        Cell::Number(number) if number.is_finite() => Value::Number(*number),
        Cell::Flag(flag) => Value::Flag(*flag),
        Cell::Text(text) => Value::Text(Cow::clone(text).into()),
        other => Value::Text(other.name().into()),
    }
}

/// The value that a cell writes as JSON; what is not JSON stays as it stands.
pub(super) fn coded_value(cell: &Cell<'_>) -> Value {
    let coded = match cell {
        Cell::Text(text) => Value::from_json(text),
        _ => None,
    };
    coded.unwrap_or_else(|| plain_value(cell))
}

/// Whether a text would come back as another text if it were written from its value.
pub(crate) fn reads_differently(text: &str, value: &Value) -> bool {
    match value {
        Value::Text(read) => **read != *text,
        Value::List(items) => {
            let mut rest = Some(text);
            for (index, item) in items.iter().enumerate() {
                let before = if index == 0 { "" } else { list::MARK };
                let item = item.to_string();
                rest = rest
                    .and_then(|rest| rest.strip_prefix(before))
                    .and_then(|rest| rest.strip_prefix(&*list::quoted(&item)));
            }
            rest != Some("")
        }
        _ => true,
    }
}

/// The letters by which a spreadsheet names a column: 0 is `A`, 26 is `AA`.
#[must_use]
pub(crate) fn column_letters(index: u32) -> String {
    let mut letters = Vec::new();
    let mut left = u64::from(index) + 1;
    while left > 0 {
        let digit = u8::try_from((left - 1) % 26).unwrap_or(0);
        letters.push(char::from(b'A' + digit));
        left = (left - 1) / 26;
    }
    letters.iter().rev().collect()
}
