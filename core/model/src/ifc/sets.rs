//! Property sets and properties: the fields of a record by the names that they have in a model.
//!
//! A record's set is `Restrand_` and the record's name; a property is a field's name without the ending that says
//! the unit, for a measure says its unit in the model itself. Where IFC has no measure for a quantity, the
//! property keeps the field's whole name and is a plain number in that unit.
//!
//! What is in a set:
//!
//! * a number, text, flag, date, word or link is an `IfcPropertySingleValue`;
//! * a list of such is an `IfcPropertyListValue`;
//! * a record in a field is an `IfcComplexProperty` of the field's name, unless it has a set of its own;
//! * a list of records is an `IfcComplexProperty` of the field's name that holds one for each, named by its
//!   position from `1`; `UsageName` is the record's name.
//!
//! Where a set stands, [`HOMES`] says.

use std::collections::HashMap;
use std::sync::OnceLock;

use crate::quantity::{Unit, of_field};
use crate::reflect::{FieldInfo, RecordInfo, Shape};
use crate::schedule::{
    Anchorage, Deviator, Duct, End, Fill, Form, Part, Place, Project, RemovalSpace, Replacement,
    Schedule, Strand, Stressing, Tendon,
};

use super::measures::Measure;

/// What begins the name of every set.
pub const PREFIX: &str = "Restrand_";

/// The set that lists the records that are no element.
pub const LISTS: &str = "Restrand_Schedule";

/// A record that has a set of its own, and where it stands.
#[derive(Debug, Clone, Copy)]
pub struct Home {
    /// The record.
    pub record: &'static RecordInfo,
    /// The entities at which the set stands; none where many can be what the record is, and a set makes it so.
    pub at: &'static [&'static str],
}

/// Where the set of each record stands.
///
/// The lists of a schedule that are no elements are complex properties of one set. The set of a part stands at what
/// is aggregated or nested in an anchor, in a conduit or in a type of these, that of a place at the element or part of
/// the bridge that is the place.
pub static HOMES: &[Home] = &[
    Home { record: Project::INFO, at: BRIDGE },
    Home { record: Schedule::INFO, at: BRIDGE },
    Home { record: Tendon::INFO, at: TENDON },
    Home { record: Replacement::INFO, at: TENDON },
    Home { record: Stressing::INFO, at: TENDON },
    Home { record: Fill::INFO, at: TENDON },
    Home { record: Strand::INFO, at: &["IfcTendonType"] },
    Home { record: End::INFO, at: ANCHOR },
    Home { record: RemovalSpace::INFO, at: ANCHOR },
    Home { record: Anchorage::INFO, at: &["IfcTendonAnchorType"] },
    Home { record: Duct::INFO, at: &["IfcTendonConduitType"] },
    Home { record: Form::INFO, at: &["IfcTendonConduitType"] },
    Home { record: Deviator::INFO, at: &["IfcTendonConduit"] },
    Home { record: Part::INFO, at: &[] },
    Home { record: Place::INFO, at: &[] },
];

const BRIDGE: &[&str] = &["IfcProject", "IfcBridge"];
const TENDON: &[&str] = &["IfcTendon"];
const ANCHOR: &[&str] = &["IfcTendonAnchor"];

/// The records that have a set of their own.
pub fn records() -> impl Iterator<Item = &'static RecordInfo> + Clone {
    HOMES.iter().map(|home| home.record)
}

/// Whether the set of a record may stand at an entity of this name.
///
/// ```
/// use restrand_model::ifc::sets::is_at_home;
/// use restrand_model::schedule::{Place, Tendon};
/// assert!(is_at_home(Tendon::INFO, "IfcTendon") && !is_at_home(Tendon::INFO, "IfcBeam"));
/// assert!(is_at_home(Place::INFO, "IfcBeam") && !is_at_home(Place::INFO, "IfcTendon"));
/// ```
#[must_use]
pub fn is_at_home(record: &RecordInfo, entity: &str) -> bool {
    let home = HOMES.iter().find(|home| home.record.name == record.name);
    match home {
        // What is free to stand anywhere stands at nothing that is another's home.
        Some(Home { at: [], .. }) => !HOMES.iter().any(|home| home.at.contains(&entity)),
        Some(home) => home.at.contains(&entity),
        None => false,
    }
}

/// The name of a record's set.
///
/// ```
/// use restrand_model::ifc::sets::name_of;
/// use restrand_model::schedule::RemovalSpace;
/// assert_eq!(name_of(RemovalSpace::INFO), "Restrand_RemovalSpace");
/// ```
#[must_use]
pub fn name_of(record: &RecordInfo) -> String {
    let mut name = PREFIX.to_owned();
    for word in record.name.split('_') {
        let mut letters = word.chars();
        name.extend(letters.next().map(|first| first.to_ascii_uppercase()));
        name.push_str(letters.as_str());
    }
    name
}

/// The record that a set of this name states.
#[must_use]
pub fn record_of(set: &str) -> Option<&'static RecordInfo> {
    static SETS: OnceLock<HashMap<String, &'static RecordInfo>> = OnceLock::new();
    SETS.get_or_init(|| records().map(|record| (name_of(record), record)).collect())
        .get(set)
        .copied()
}

/// The name of a field's property.
///
/// ```
/// use restrand_model::ifc::sets::property_of;
/// use restrand_model::schedule::{RemovalSpace, Stressing};
/// assert_eq!(property_of(RemovalSpace::INFO.field("behind_mm").unwrap()), "behind");
/// assert_eq!(property_of(Stressing::INFO.field("wobble_per_m").unwrap()), "wobble_per_m");
/// ```
#[must_use]
pub fn property_of(field: &FieldInfo) -> &'static str {
    if measured(field).is_some() { of_field(field.name).0 } else { field.name }
}

/// A field as its property states it.
#[derive(Debug, Clone, Copy)]
pub struct Property {
    /// The name of the property.
    pub name: &'static str,
    /// The field.
    pub field: &'static FieldInfo,
    /// The unit of the field, and the measure in which the property states it; nothing for a plain number, and what
    /// is no number.
    pub measured: Option<(&'static Unit, &'static Measure)>,
}

/// The properties of a record, in the order of its fields; none of a record that no set states.
#[must_use]
pub fn properties_of(record: &RecordInfo) -> &'static [Property] {
    static BY_RECORD: OnceLock<HashMap<&'static str, Vec<Property>>> = OnceLock::new();
    let known = BY_RECORD.get_or_init(|| {
        let mut known = HashMap::new();
        for record in records() {
            gather(record, &mut known);
        }
        known
    });
    known.get(record.name).map_or(&[], Vec::as_slice)
}

/// The properties of a record, and of all that stand in its fields.
fn gather(record: &'static RecordInfo, known: &mut HashMap<&'static str, Vec<Property>>) {
    if known.contains_key(record.name) {
        return;
    }
    let property = |field: &'static FieldInfo| Property {
        name: property_of(field),
        field,
        measured: measured(field),
    };
    known.insert(record.name, record.fields.iter().map(property).collect());
    for field in record.fields {
        if let Shape::Record(inner) | Shape::Records(inner) = field.shape {
            gather(inner(), known);
        }
    }
}

/// The unit of a field that is a number, and the measure in which a model states it.
fn measured(field: &FieldInfo) -> Option<(&'static Unit, &'static Measure)> {
    let unit = of_field(field.name).1.filter(|_| matches!(field.shape, Shape::Number))?;
    Some((unit, Measure::of_dimension(unit.dimension)?))
}

/// The property of this name among those of a record.
#[must_use]
pub fn property_named(record: &RecordInfo, name: &str) -> Option<&'static Property> {
    properties_of(record).iter().find(|property| property.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    fn every_record(record: &'static RecordInfo, met: &mut Vec<&'static RecordInfo>) {
        if met.iter().any(|other| std::ptr::eq(*other, record)) {
            return;
        }
        met.push(record);
        for field in record.fields {
            if let Shape::Record(inner) | Shape::Records(inner) = field.shape {
                every_record(inner(), met);
            }
        }
    }

    #[test]
    fn every_field_of_every_record_has_a_property_of_its_own() {
        let mut records = Vec::new();
        every_record(Schedule::INFO, &mut records);
        for record in records {
            let mut names = HashSet::new();
            // Two records of one name would have the properties of one.
            assert_eq!(properties_of(record).len(), record.fields.len(), "{}", record.name);
            for field in record.fields {
                assert!(names.insert(property_of(field)), "{}.{}", record.name, field.name);
                let found = property_named(record, property_of(field)).unwrap();
                assert_eq!(
                    (found.field.name, found.field.doc),
                    (field.name, field.doc),
                    "{}.{}",
                    record.name,
                    field.name
                );
            }
        }
    }

    #[test]
    fn a_set_leads_back_to_its_record() {
        for record in records() {
            let found = record_of(&name_of(record)).unwrap();
            assert!(std::ptr::eq(found, record));
            // buildingSMART keeps these beginnings for sets of the standard.
            let name = name_of(record).to_lowercase();
            assert!(!name.starts_with("pset") && !name.starts_with("qto_"));
        }
    }
}
