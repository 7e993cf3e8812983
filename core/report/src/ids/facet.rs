//! What a specification of IDS is made of: where it applies, and what it asks for.

use restrand_model::ifc::measures::{Measure, type_of};
use restrand_model::ifc::sets;
use restrand_model::quantity::{Unit, of_field};
use restrand_model::reflect::{FieldInfo, Range, RecordInfo, Shape};
use restrand_model::schema;

/// Elements, and what they must state.
#[derive(Debug)]
pub(crate) struct Specification {
    pub(crate) name: String,
    pub(crate) identifier: String,
    /// Why, and from where.
    pub(crate) description: String,
    /// Whether a model without such an element fails.
    pub(crate) at_least_one: bool,
    pub(crate) home: Home,
    /// What an element must state for the requirements to hold for it.
    pub(crate) when: Vec<Property>,
    pub(crate) requirements: Vec<Requirement>,
}

/// Where the set of a record stands in a model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Home {
    /// The entity, in upper case; none where it may be any.
    pub(crate) entity: Option<&'static str>,
    /// The predefined types of the entity, if only some are meant.
    pub(crate) predefined: &'static [&'static str],
    /// The record type by whose set the elements are known; none where the entity tells.
    pub(crate) known_by: Option<&'static str>,
}

/// What is asked for.
#[derive(Debug)]
pub(crate) enum Requirement {
    /// A property that must be stated, or whose value must be as said where it is stated.
    Property { property: Property, is_required: bool },
    /// The element's name.
    Name,
}

/// A property and its values.
#[derive(Debug, Clone)]
pub(crate) struct Property {
    pub(crate) set: String,
    pub(crate) name: &'static str,
    /// The type of the value, in upper case.
    pub(crate) data_type: String,
    pub(crate) values: Values,
}

/// The values that a property may have.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Values {
    /// Any.
    Any,
    /// One of these words.
    Words(Vec<String>),
    /// A number in the SI unit, or whichever unit the property is in.
    Between { least: Option<Bound>, most: Option<Bound> },
}

/// The end of a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bound {
    pub(crate) value: f64,
    /// Whether the value itself is within.
    pub(crate) within: bool,
}

/// The elements at which the sets of these records stand.
pub(crate) fn home_of(record: &str) -> Option<Home> {
    /// Couplers are anchors too, and no ends.
    const ENDS: &[&str] = &["TENSIONING_END", "FIXED_END", "NOTDEFINED"];
    let by_entity = |entity, predefined| Home { entity: Some(entity), predefined, known_by: None };
    let by_set = |entity, record| Home { entity, predefined: &[], known_by: Some(record) };
    Some(match record {
        "tendon" | "replacement" | "stressing" | "fill" => by_entity("IFCTENDON", &[]),
        "end" | "removal_space" => by_entity("IFCTENDONANCHOR", ENDS),
        "strand" => by_set(Some("IFCTENDONTYPE"), "strand"),
        "anchorage" => by_set(Some("IFCTENDONANCHORTYPE"), "anchorage"),
        "duct" => by_set(Some("IFCTENDONCONDUITTYPE"), "duct"),
        "form" => by_set(Some("IFCTENDONCONDUITTYPE"), "form"),
        "deviator" => by_set(Some("IFCTENDONCONDUIT"), "deviator"),
        "part" => by_set(None, "part"),
        "place" => by_set(None, "place"),
        "project" => by_set(None, "project"),
        _ => return None,
    })
}

/// The properties by which elements are known that have a set: one of its values is enough.
///
/// A part is known by its role. What an end or a deviator says of a part differs from its kind's, and need not state
/// what the kind states; it has no role of its own.
pub(crate) fn known_by(record: &str) -> Option<(String, Vec<&'static str>)> {
    let info = info_of(record)?;
    let is_value =
        |field: &&FieldInfo| !matches!(field.shape, Shape::Record(_) | Shape::Records(_));
    let fields = info.fields.iter().filter(is_value);
    let names = match record {
        "part" => vec!["role"],
        _ => fields.map(sets::property_of).collect(),
    };
    Some((sets::name_of(info), names))
}

/// The declaration of a record type.
pub(crate) fn info_of(record: &str) -> Option<&'static RecordInfo> {
    schema::records().into_iter().find(|info| info.name == record)
}

/// The record type and the field to which names joined with points lead.
pub(crate) fn field_of(
    record: &str,
    path: &str,
) -> Option<(&'static RecordInfo, &'static FieldInfo)> {
    let mut info = info_of(record)?;
    let mut names = path.split('.').peekable();
    while let Some(name) = names.next() {
        let field = info.field(name)?;
        if names.peek().is_none() {
            return Some((info, field));
        }
        match field.shape {
            Shape::Record(inner) => info = inner(),
            _ => return None,
        }
    }
    None
}

impl Property {
    /// The property of a field with the values that its declaration gives it; none of a field that is no value.
    pub(crate) fn of(info: &'static RecordInfo, field: &'static FieldInfo) -> Option<Self> {
        Some(Self {
            set: sets::name_of(info),
            name: sets::property_of(field),
            data_type: type_of(field)?.to_ascii_uppercase(),
            values: values_of(field),
        })
    }

    /// The same with other values.
    pub(crate) fn with(self, values: Values) -> Self {
        Self { values, ..self }
    }
}

fn values_of(field: &FieldInfo) -> Values {
    let bound = |value, within| Some(Bound { value, within });
    match field.shape {
        Shape::Choice(words) | Shape::Choices(words) => {
            Values::Words(words.iter().map(|word| word.name.to_owned()).collect())
        }
        Shape::Number => match field.range {
            Range::Positive => Values::Between { least: bound(0.0, false), most: None },
            Range::NotNegative => Values::Between { least: bound(0.0, true), most: None },
            Range::Share => Values::Between { least: bound(0.0, true), most: bound(1.0, true) },
            Range::Signed => Values::Any,
        },
        _ => Values::Any,
    }
}

/// A number in a unit of its own as the model states the field: in SI, or in the field's unit where IFC has no measure.
pub(crate) fn in_model(field: &FieldInfo, value: f64, unit: Option<&'static Unit>) -> f64 {
    let (Some(from), Some(own)) = (unit, of_field(field.name).1) else {
        return value;
    };
    match Measure::of_dimension(own.dimension) {
        Some(measure) => measure.to_si(value, from),
        None => from.convert(value, own),
    }
}
