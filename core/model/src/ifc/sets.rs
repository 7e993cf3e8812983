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
//! Where a set stands:
//!
//! | set | stands at |
//! |---|---|
//! | `Restrand_Project` | `IfcProject` or `IfcBridge` |
//! | `Restrand_Schedule` | the same: lists of records that are no element, each a complex property |
//! | `Restrand_Tendon`, `Restrand_Replacement`, `Restrand_Stressing`, `Restrand_Fill` | `IfcTendon` |
//! | `Restrand_Strand` | `IfcTendonType` |
//! | `Restrand_End`, `Restrand_RemovalSpace` | `IfcTendonAnchor` |
//! | `Restrand_Anchorage` | `IfcTendonAnchorType` |
//! | `Restrand_Duct`, `Restrand_Form` | `IfcTendonConduitType`, of a duct and of a deviator's form |
//! | `Restrand_Deviator` | `IfcTendonConduit` at the deviator |
//! | `Restrand_Part` | the part of an anchorage or form, aggregated or nested in it |
//! | `Restrand_Place` | the element or part of the bridge that is the place |

use std::collections::HashMap;
use std::sync::OnceLock;

use crate::quantity::of_field;
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

/// The records that have a set of their own.
pub static RECORDS: &[&RecordInfo] = &[
    Project::INFO,
    Schedule::INFO,
    Tendon::INFO,
    Replacement::INFO,
    Stressing::INFO,
    Fill::INFO,
    Strand::INFO,
    End::INFO,
    RemovalSpace::INFO,
    Anchorage::INFO,
    Duct::INFO,
    Form::INFO,
    Deviator::INFO,
    Part::INFO,
    Place::INFO,
];

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
    SETS.get_or_init(|| RECORDS.iter().map(|record| (name_of(record), *record)).collect())
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
    match (field.shape, of_field(field.name)) {
        (Shape::Number, (stem, Some(unit))) if Measure::of_dimension(unit.dimension).is_some() => {
            stem
        }
        _ => field.name,
    }
}

/// The field of a record that a property of this name states.
#[must_use]
pub fn field_of(record: &'static RecordInfo, property: &str) -> Option<&'static FieldInfo> {
    record.fields.iter().find(|field| property_of(field) == property)
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
            for field in record.fields {
                assert!(names.insert(property_of(field)), "{}.{}", record.name, field.name);
                let found = field_of(record, property_of(field)).unwrap();
                assert!(std::ptr::eq(found, field), "{}.{}", record.name, field.name);
            }
        }
    }

    #[test]
    fn a_set_leads_back_to_its_record() {
        for record in RECORDS {
            let found = record_of(&name_of(record)).unwrap();
            assert!(std::ptr::eq(found, *record));
            // buildingSMART keeps these beginnings for sets of the standard.
            let name = name_of(record).to_lowercase();
            assert!(!name.starts_with("pset") && !name.starts_with("qto_"));
        }
    }
}
