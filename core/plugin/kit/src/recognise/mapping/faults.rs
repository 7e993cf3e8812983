//! What is wrong with a mapping file by itself, whatever file it is for.

use restrand_model::quantity::Unit;
use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;

use super::super::vocabulary::Target;
use super::{Mapping, list_of, named};

/// What is wrong with a mapping file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MappingFault {
    /// The text of the file that is wrong.
    pub given: String,
    /// Why, as a clause.
    pub why: String,
}

impl Mapping {
    /// What is wrong with it.
    #[must_use]
    pub fn faults(&self) -> Vec<MappingFault> {
        let mut faults = Vec::new();
        let mut fault = |given: &str, why: String| {
            faults.push(MappingFault { given: given.to_owned(), why });
        };
        if self.mapping > 1 {
            fault("mapping", format!("it is of version {}, and version 1 is known", self.mapping));
        }
        for table in &self.tables {
            if let Some(record) = &table.record
                && list_of(record).is_none()
            {
                fault(record, format!("no rows are \"{record}\""));
            }
            if let Some([first, last]) = table.headers
                && (first == 0 || last < first)
            {
                let why = format!("its headers cannot stand in the rows {first} to {last}");
                fault("headers", why);
            }
            for name in table.constants.keys() {
                match named(name).map(|named| named.target.column()) {
                    None => fault(name, format!("no field is called \"{name}\"")),
                    Some(Some(Column::Value { .. })) => {}
                    Some(_) => fault(name, format!("\"{name}\" is no value that can be given")),
                }
            }
            for column in &table.columns {
                let Some(field) = column.field.as_deref().filter(|field| *field != "none") else {
                    continue;
                };
                let Some(named) = named(field) else {
                    fault(field, format!("no field is called \"{field}\""));
                    continue;
                };
                let own = match named.target.column() {
                    Some(Column::Value { unit, .. }) => *unit,
                    _ => None,
                };
                for value in column.words.values() {
                    if let Some(why) = no_meaning(named.target, value) {
                        fault(&shown(value), format!("{why} of \"{field}\""));
                    }
                }
                if let Some(unit) = &column.unit
                    && unit != "%"
                    && own.is_none_or(|own| Unit::find(unit, own.dimension).is_none())
                {
                    fault(unit, format!("\"{unit}\" is no unit of \"{field}\""));
                }
            }
        }
        faults
    }
}

/// Why a value can be no meaning of the codes of a field, as the beginning of a clause.
fn no_meaning(target: Target, value: &serde_json::Value) -> Option<String> {
    let text = value.as_str();
    let of_words = |known: bool| (!known).then(|| format!("\"{}\" is no word", shown(value)));
    match target.column() {
        Some(Column::Link { header: "End" }) => of_words(matches!(text, Some("a" | "b"))),
        Some(Column::Value { field, .. }) => match field.0.shape {
            Shape::Choice(list) => {
                of_words(text.is_some_and(|text| list.iter().any(|choice| choice.name == text)))
            }
            Shape::Flag => of_words(value.is_boolean()),
            Shape::Number | Shape::Count => of_words(value.is_number()),
            _ => of_words(text.is_some()),
        },
        Some(Column::Link { .. }) => of_words(text.is_some()),
        None => Some("codes have no meaning".to_owned()),
    }
}

fn shown(value: &serde_json::Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}
