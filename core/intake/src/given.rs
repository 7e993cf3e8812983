//! The texts by which a document says its values were given.
//!
//! A text is kept only if it says the value that stands beside it; else one of the two is a slip, and the
//! value holds.

use restrand_kit::sheet::spells;
use restrand_model::reflect::{FieldInfo, GIVEN, RecordInfo, Shape};
use restrand_model::shortened;
use restrand_model::value::{Fields, Value};

/// Characters of a value that a clause shows.
const LONGEST: usize = 40;

/// A text that a record gives for one of its values.
pub(crate) struct Given {
    /// The way from the record of a list to the text.
    pub(crate) at: Vec<String>,
    /// The way to the value.
    pub(crate) path: Vec<String>,
    /// What stands there.
    pub(crate) text: Value,
    /// Why it cannot be kept, as a clause.
    pub(crate) misfit: Option<String>,
}

/// Takes the texts out of a record and of all that it holds.
pub(crate) fn take(fields: &mut Fields, info: &'static RecordInfo) -> Vec<Given> {
    let mut found = Vec::new();
    take_inside(fields, info, &mut Vec::new(), &mut found);
    found
}

fn take_inside(
    fields: &mut Fields,
    info: &'static RecordInfo,
    way: &mut Vec<String>,
    found: &mut Vec<Given>,
) {
    if let Some(texts) = fields.take(GIVEN) {
        let at = way.iter().cloned().chain([GIVEN.to_owned()]);
        match texts {
            Value::Fields(texts) => {
                for (name, text) in texts {
                    let misfit = misfit(fields, info, name.as_str(), &text);
                    let steps = name.as_str().split('.').map(str::to_owned);
                    found.push(Given {
                        at: at.clone().chain([name.to_string()]).collect(),
                        path: way.iter().cloned().chain(steps).collect(),
                        text,
                        misfit,
                    });
                }
            }
            other => found.push(Given {
                at: at.collect(),
                path: way.clone(),
                text: other,
                misfit: Some("it is no map of texts by field".to_owned()),
            }),
        }
    }
    for (name, value) in fields.iter_mut() {
        let Some(field) = info.field(name.as_str()) else { continue };
        let (Shape::Record(inner) | Shape::Records(inner)) = field.shape else { continue };
        way.push(field.name.to_owned());
        match value {
            Value::Fields(fields) => take_inside(fields, inner(), way, found),
            Value::List(items) => {
                for (index, item) in items.iter_mut().enumerate() {
                    if let Value::Fields(fields) = item {
                        way.push(index.to_string());
                        take_inside(fields, inner(), way, found);
                        way.pop();
                    }
                }
            }
            _ => {}
        }
        way.pop();
    }
}

/// Why a text cannot be that of the value of this name.
fn misfit(fields: &Fields, info: &'static RecordInfo, name: &str, text: &Value) -> Option<String> {
    let Some(text) = text.as_text() else {
        return Some("it is no text".to_owned());
    };
    let Some((field, value)) = find(fields, info, name) else {
        return Some("no value of this name stands beside it".to_owned());
    };
    (!spells(text, field, value)).then(|| {
        let value = value.to_string();
        format!("it does not say the value that stands beside it, {}", shortened(&value, LONGEST))
    })
}

/// The field and the value to which names joined by points lead.
fn find<'f>(
    fields: &'f Fields,
    info: &'static RecordInfo,
    name: &str,
) -> Option<(&'static FieldInfo, &'f Value)> {
    match name.split_once('.') {
        None => Some((info.field(name)?, fields.get(name)?)),
        Some((first, rest)) => match info.field(first)?.shape {
            Shape::Record(inner) => find(fields.get(first)?.as_fields()?, inner(), rest),
            _ => None,
        },
    }
}
