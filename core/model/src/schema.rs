//! The JSON Schema of the schedule, made from the records' declarations.

mod fit;

use serde_json::{Map, Value as Json, json};

use crate::quantity::Dimension;
use crate::reflect::{ChoiceInfo, EXTRA, FieldInfo, GIVEN, Range, RecordInfo, Shape};
use crate::schedule::{Schedule, VERSION};

pub use fit::fits;

/// The longest text that a field takes: what a cell of a workbook can hold.
pub const LONGEST_TEXT: usize = 32_767;
/// The longest name of a record.
pub const LONGEST_NAME: usize = 255;
/// The greatest count that any schedule can need.
const GREATEST_COUNT: u32 = 1_000_000;

/// The numbers that a field takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The least value.
    pub least: f64,
    /// Whether the least value itself is left out.
    pub above: bool,
    /// The greatest value.
    pub greatest: f64,
}

/// The numbers that a field takes, from its range and from what its unit can measure on a bridge.
///
/// The bounds are wide; they keep out values that no bridge has, which a wrong unit or a slip makes.
#[must_use]
pub fn limits(field: &FieldInfo) -> Limits {
    let (lowest, greatest) = match field.unit() {
        None => (-1.0e6, 1.0e6),
        Some(unit) => match (unit.dimension, unit.symbol) {
            (Dimension::Length, "m") => (-1.0e6, 1.0e6),
            (Dimension::Area, "m²") => (-1.0e4, 1.0e4),
            (Dimension::SecondMoment, "m⁴") => (-1.0e6, 1.0e6),
            (Dimension::Length | Dimension::Moment | Dimension::Energy, _) => (-1.0e7, 1.0e7),
            (Dimension::Area, _) => (-1.0e9, 1.0e9),
            (Dimension::SecondMoment | Dimension::BendingStiffness, _) => (-1.0e15, 1.0e15),
            (Dimension::Force | Dimension::Stress | Dimension::Mass, _) => (-1.0e6, 1.0e6),
            (Dimension::LinearMass | Dimension::Density, _) => (-1.0e5, 1.0e5),
            (Dimension::Angle, _) => (-std::f64::consts::TAU, std::f64::consts::TAU),
            (Dimension::PerLength | Dimension::AnglePerLength, _) => (-10.0, 10.0),
            (Dimension::Volume, _) => (-1.0e7, 1.0e7),
            (Dimension::Frequency, _) => (-1.0e4, 1.0e4),
            (Dimension::Time, _) => (-1.0e9, 1.0e9),
            (Dimension::Temperature, _) => (-273.15, 1000.0),
        },
    };
    match field.range {
        Range::Positive => Limits { least: 0.0, above: true, greatest },
        Range::NotNegative => Limits { least: 0.0, above: false, greatest },
        Range::Signed => Limits { least: lowest, above: false, greatest },
        Range::Share => Limits { least: 0.0, above: false, greatest: 1.0 },
    }
}

/// Whether the range of a number's field has this one in it.
#[must_use]
pub fn takes(field: &FieldInfo, number: f64) -> bool {
    let Limits { least, above, greatest } = limits(field);
    // A count has no fractions that would lie above zero.
    let is_above = if above && !matches!(field.shape, Shape::Count) {
        number > least
    } else {
        number >= least
    };
    is_above && number <= greatest
}

/// Every record type that a schedule can hold, the schedule first, in the order in which they are met.
#[must_use]
pub fn records() -> Vec<&'static RecordInfo> {
    let mut found: Vec<&'static RecordInfo> = vec![Schedule::INFO];
    let mut next = 0;
    while let Some(info) = found.get(next).copied() {
        for field in info.fields {
            if let Shape::Record(inner) | Shape::Records(inner) = field.shape {
                let inner = inner();
                if !found.iter().any(|known| known.name == inner.name) {
                    found.push(inner);
                }
            }
        }
        next += 1;
    }
    found
}

/// The schema of a whole document.
#[must_use]
pub fn schedule() -> Json {
    let mut schema = Map::new();
    schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("$id".into(), json!(format!("urn:restrand:schedule:{VERSION}")));
    schema.insert("title".into(), json!("Tendon schedule"));
    let mut root = object(Schedule::INFO, Detail::Full);
    root.insert("required".into(), json!(["restrand"]));
    schema.extend(root);
    let mut definitions = definitions(Detail::Full);
    definitions.remove(Schedule::INFO.name);
    schema.insert("$defs".into(), Json::Object(definitions));
    Json::Object(schema)
}

/// How much of a schema is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Detail {
    /// With descriptions and examples, for people.
    Full,
    /// Only what a validator looks at: it is made at every start.
    Bare,
}

/// The schemas of all record types, each under its name in `$defs`; without descriptions.
#[must_use]
pub fn definitions_alone() -> Json {
    json!({ "$defs": definitions(Detail::Bare) })
}

/// The schemas of all record types, by their names.
fn definitions(detail: Detail) -> Map<String, Json> {
    let mut definitions = Map::new();
    for info in records() {
        definitions.insert(info.name.into(), Json::Object(object(info, detail)));
    }
    let mut extra = Map::new();
    if detail == Detail::Full {
        let meaning = "What the file says of this record and no field takes.";
        extra.insert("description".into(), json!(meaning));
    }
    extra.insert("type".into(), json!("object"));
    definitions.insert(EXTRA.into(), Json::Object(extra));
    let mut given = Map::new();
    if detail == Detail::Full {
        let meaning = "Texts by which values of this record were given and that read otherwise, by field \
                       name; names of records in between are joined by points. A text without its value \
                       is what was given where none could be read.";
        given.insert("description".into(), json!(meaning));
        given.insert("examples".into(), json!([{ "removal_space.behind_mm": "4'-6 1/2\"" }]));
    }
    given.insert("type".into(), json!("object"));
    given.insert(
        "additionalProperties".into(),
        json!({ "type": "string", "maxLength": LONGEST_TEXT }),
    );
    definitions.insert(GIVEN.into(), Json::Object(given));
    definitions
}

fn object(info: &RecordInfo, detail: Detail) -> Map<String, Json> {
    let mut properties = Map::new();
    for field in info.fields {
        properties.insert(field.name.into(), property(field, detail));
    }
    properties.insert(EXTRA.into(), json!({ "$ref": format!("#/$defs/{EXTRA}") }));
    // The schedule itself holds records only, whose values have their texts beside them.
    if info.name != Schedule::INFO.name {
        properties.insert(GIVEN.into(), json!({ "$ref": format!("#/$defs/{GIVEN}") }));
    }
    let mut object = Map::new();
    if detail == Detail::Full {
        object.insert("description".into(), json!(info.description()));
    }
    object.insert("type".into(), json!("object"));
    object.insert("properties".into(), Json::Object(properties));
    object.insert("additionalProperties".into(), json!(false));
    object
}

fn property(field: &FieldInfo, detail: Detail) -> Json {
    let mut property = Map::new();
    if detail == Detail::Full {
        property.insert("description".into(), json!(description(field)));
    }
    property.extend(kind(field));
    if detail == Detail::Full
        && let Some(example) = field.example()
        && let Some(example) = typed_example(field, &example)
    {
        property.insert("examples".into(), json!([example]));
    }
    Json::Object(property)
}

fn description(field: &FieldInfo) -> String {
    let description = field.description();
    if let Some(unit) = field.unit()
        && matches!(field.shape, Shape::Number)
    {
        return format!("{description} Unit: {}.", unit.symbol);
    }
    if let Shape::Link(list) | Shape::Links(list) = field.shape {
        return format!("{description} Names a record of `{list}`.");
    }
    description
}

fn kind(field: &FieldInfo) -> Map<String, Json> {
    let name = json!({ "type": "string", "minLength": 1, "maxLength": LONGEST_NAME });
    let count = json!({ "type": "integer", "minimum": 0, "maximum": GREATEST_COUNT });
    let schema = match field.shape {
        Shape::Number => {
            let limits = limits(field);
            let least = if limits.above { "exclusiveMinimum" } else { "minimum" };
            json!({ "type": "number", least: limits.least, "maximum": limits.greatest })
        }
        Shape::Count if field.name == "restrand" => json!({ "const": VERSION }),
        Shape::Count => count,
        Shape::Flag => json!({ "type": "boolean" }),
        Shape::Text => json!({ "type": "string", "maxLength": LONGEST_TEXT }),
        Shape::Date => json!({
            "type": "string",
            "format": "date",
        }),
        Shape::Choice(words) => word(words),
        Shape::Link(_) => name,
        Shape::Counts => json!({ "type": "array", "items": count }),
        Shape::Texts => {
            json!({ "type": "array", "items": { "type": "string", "maxLength": LONGEST_TEXT } })
        }
        Shape::Choices(words) => json!({ "type": "array", "items": word(words) }),
        Shape::Links(_) => json!({ "type": "array", "items": name }),
        Shape::Record(info) => json!({ "$ref": format!("#/$defs/{}", info().name) }),
        Shape::Records(info) => {
            json!({ "type": "array", "items": { "$ref": format!("#/$defs/{}", info().name) } })
        }
    };
    match schema {
        Json::Object(object) => object,
        _ => unreachable!("every kind is written as an object"),
    }
}

fn word(words: &[ChoiceInfo]) -> Json {
    json!({
        "type": "string",
        "enum": words.iter().map(|word| word.name).collect::<Vec<_>>(),
    })
}

/// The example as the document would hold it; `None` where it is one of several words for a list.
fn typed_example(field: &FieldInfo, example: &str) -> Option<Json> {
    match field.shape {
        Shape::Number | Shape::Count => {
            serde_json::from_str::<Json>(example).ok().filter(Json::is_number)
        }
        Shape::Flag => serde_json::from_str::<Json>(example).ok().filter(Json::is_boolean),
        Shape::Text | Shape::Date | Shape::Choice(_) | Shape::Link(_) => Some(json!(example)),
        Shape::Counts => example
            .split("; ")
            .map(|item| serde_json::from_str(item).ok())
            .collect::<Option<Vec<Json>>>()
            .map(Json::Array),
        Shape::Texts | Shape::Choices(_) | Shape::Links(_) => {
            Some(json!(example.split("; ").collect::<Vec<_>>()))
        }
        Shape::Record(_) | Shape::Records(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_record_and_field_is_documented() {
        for info in records() {
            assert!(!info.description().is_empty(), "{}", info.name);
            for field in info.fields {
                assert!(field.description().ends_with('.'), "{}.{}", info.name, field.name);
                if let Shape::Choice(words) | Shape::Choices(words) = field.shape {
                    for word in words {
                        assert!(!word.description().is_empty(), "{}.{}", info.name, word.name);
                    }
                }
            }
        }
    }

    #[test]
    fn every_number_has_an_example_that_its_own_schema_takes() {
        for info in records() {
            for field in info.fields {
                if !matches!(field.shape, Shape::Number | Shape::Count) {
                    continue;
                }
                let example = field.example().and_then(|text| typed_example(field, &text));
                let number = example.as_ref().and_then(Json::as_f64);
                let Some(number) = number else {
                    panic!("{}.{} has no example", info.name, field.name)
                };
                let mut limits = limits(field);
                // A count may be zero whatever its range.
                limits.above &= matches!(field.shape, Shape::Number);
                let above =
                    if limits.above { number > limits.least } else { number >= limits.least };
                assert!(above && number <= limits.greatest, "{}.{}", info.name, field.name);
            }
        }
    }

    #[test]
    fn every_example_of_a_closed_list_is_a_word_of_it() {
        for info in records() {
            for field in info.fields {
                if let Shape::Choice(words) | Shape::Choices(words) = field.shape
                    && let Some(example) = field.example()
                {
                    assert!(
                        words.iter().any(|word| word.name == example),
                        "{}.{}: {example}",
                        info.name,
                        field.name
                    );
                }
            }
        }
    }

    #[test]
    fn a_key_is_a_field_of_its_record() {
        for info in records() {
            if let Some(key) = info.key {
                assert!(info.field(key).is_some(), "{}", info.name);
            }
        }
    }
}
