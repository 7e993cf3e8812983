//! The texts by which a document says its values were given.
//!
//! A text is kept only if it says the value that stands beside it; else one of the two is a slip, and the
//! value holds. A text of a field beside which no value stands is that of a value which could not be read in the file
//! from which the document was made.

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
    /// What it is.
    pub(crate) kind: Kind,
}

/// What a text of a record is.
pub(crate) enum Kind {
    /// The text of the value beside it.
    OfValue,
    /// The text of a value that could not be read.
    Unread,
    /// It cannot be kept; why, as a clause.
    Misfit(String),
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
                    let kind = kind(fields, info, name.as_str(), &text);
                    let steps = name.as_str().split('.').map(str::to_owned);
                    found.push(Given {
                        at: at.clone().chain([name.to_string()]).collect(),
                        path: way.iter().cloned().chain(steps).collect(),
                        text,
                        kind,
                    });
                }
            }
            other => found.push(Given {
                at: at.collect(),
                path: way.clone(),
                text: other,
                kind: Kind::Misfit("it is no map of texts by field".to_owned()),
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

/// What a text is to the value of this name.
fn kind(fields: &Fields, info: &'static RecordInfo, name: &str, text: &Value) -> Kind {
    let Some(text) = text.as_text() else {
        return Kind::Misfit("it is no text".to_owned());
    };
    match find(fields, info, name) {
        None => Kind::Misfit("no field has this name".to_owned()),
        Some((_, None)) => Kind::Unread,
        Some((field, Some(value))) if spells(text, field, value) => Kind::OfValue,
        Some((_, Some(value))) => Kind::Misfit(format!(
            "it does not say the value that stands beside it, {}",
            shortened(&value.to_string(), LONGEST)
        )),
    }
}

/// The field to which names joined by points lead, and its value, if it is stated; nothing where there is no such field
/// that holds a value of its own.
fn find<'f>(
    fields: &'f Fields,
    info: &'static RecordInfo,
    name: &str,
) -> Option<(&'static FieldInfo, Option<&'f Value>)> {
    let nothing = const { &Fields::new() };
    match name.split_once('.') {
        None => {
            let field = info.field(name)?;
            let is_value = !matches!(field.shape, Shape::Record(_) | Shape::Records(_));
            is_value.then(|| (field, fields.get(name)))
        }
        Some((first, rest)) => match info.field(first)?.shape {
            Shape::Record(inner) => {
                let inside = fields.get(first).and_then(Value::as_fields).unwrap_or(nothing);
                find(inside, inner(), rest)
            }
            _ => None,
        },
    }
}
