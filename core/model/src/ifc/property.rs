//! Property sets: which record's fields stand in which set, on which element.

use crate::quantity::of_field;
use crate::reflect::{FieldInfo, Shape};
use crate::schema;

use super::measure::{Measure, measure_of};

/// A property set: the plain fields of one record type.
#[derive(Debug, PartialEq, Eq)]
pub struct PropertySet {
    /// The name, as `Restrand_End`. It begins with no word that the standard keeps for its own sets.
    pub name: &'static str,
    /// The record type, as `end`.
    pub record: &'static str,
    /// The entity on whose occurrences the set stands; none where it may be any.
    pub entity: Option<&'static str>,
}

/// All property sets.
///
/// The standard has none for what a tendon needs to be replaced.
pub const SETS: &[PropertySet] = &[
    PropertySet { name: "Restrand_Tendon", record: "tendon", entity: Some("IfcTendon") },
    PropertySet { name: "Restrand_Replacement", record: "replacement", entity: Some("IfcTendon") },
    PropertySet { name: "Restrand_End", record: "end", entity: Some("IfcTendonAnchor") },
    PropertySet {
        name: "Restrand_RemovalSpace",
        record: "removal_space",
        entity: Some("IfcTendonAnchor"),
    },
    // Trumpets and pipes are conduits, plates and caps are fasteners, accessories or anchors.
    PropertySet { name: "Restrand_Part", record: "part", entity: None },
];

/// A property of one of the sets.
#[derive(Debug, Clone, PartialEq)]
pub struct Property {
    /// The set.
    pub set: &'static PropertySet,
    /// The name: the field's without its unit, as `StrandCount`.
    pub name: String,
    /// The field, as `strand_count`.
    pub field: &'static str,
    /// How its value is written.
    pub measure: Measure,
}

/// The set of this record type.
#[must_use]
pub fn set_of(record: &str) -> Option<&'static PropertySet> {
    SETS.iter().find(|set| set.record == record)
}

/// The properties of a set, in the order of the fields.
#[must_use]
pub fn properties(set: &'static PropertySet) -> Vec<Property> {
    let records = schema::records();
    let Some(info) = records.iter().find(|info| info.name == set.record) else {
        unreachable!("a test holds that each set is of a record type");
    };
    info.fields.iter().filter_map(|field| property(set, field)).collect()
}

/// The property in which the field of a record type stands; the field may lead on to one inner record, as
/// `removal_space.behind_mm`.
#[must_use]
pub fn property_of(record: &str, field: &str) -> Option<Property> {
    let records = schema::records();
    let info = records.iter().find(|info| info.name == record)?;
    match field.split_once('.') {
        None => property(set_of(record)?, info.field(field)?),
        Some((outer, inner)) => match info.field(outer)?.shape {
            Shape::Record(info) => property_of(info().name, inner),
            _ => None,
        },
    }
}

fn property(set: &'static PropertySet, field: &'static FieldInfo) -> Option<Property> {
    let measure = measure_of(field)?;
    Some(Property { set, name: capitals(of_field(field.name).0), field: field.name, measure })
}

/// A name in one word, with a capital for each of its words.
fn capitals(name: &str) -> String {
    let mut word = String::with_capacity(name.len());
    for part in name.split('_') {
        let mut letters = part.chars();
        word.extend(letters.next().map(|letter| letter.to_ascii_uppercase()));
        word.push_str(letters.as_str());
    }
    word
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_set_is_of_a_record_type_and_its_properties_have_names_of_their_own() {
        let records = schema::records();
        for set in SETS {
            assert!(records.iter().any(|info| info.name == set.record), "{}", set.name);
            let all = properties(set);
            let names: BTreeSet<_> = all.iter().map(|property| &property.name).collect();
            assert_eq!(names.len(), all.len(), "{}: a name stands twice", set.name);
            // The standard keeps these beginnings for its own sets.
            assert!(!set.name.to_ascii_lowercase().starts_with("pset"));
            assert!(!set.name.starts_with("Qto_"));
        }
    }

    #[test]
    fn every_plain_field_of_the_sets_has_a_measure() {
        let records = schema::records();
        for set in SETS {
            let info = records.iter().find(|info| info.name == set.record).unwrap();
            for field in info.fields {
                let is_record = matches!(field.shape, Shape::Record(_) | Shape::Records(_));
                assert_eq!(measure_of(field).is_none(), is_record, "{}.{}", set.record, field.name);
            }
        }
    }

    #[test]
    fn names_and_measures_follow_from_the_declaration() {
        let behind = property_of("end", "removal_space.behind_mm").unwrap();
        assert_eq!(behind.set.name, "Restrand_RemovalSpace");
        assert_eq!(behind.name, "Behind");
        assert_eq!(behind.measure.name, "IfcNonNegativeLengthMeasure");
        let force = property_of("tendon", "replacement.target_force_kn").unwrap();
        assert_eq!((force.name.as_str(), force.measure.name), ("TargetForce", "IfcForceMeasure"));
        assert_eq!(force.measure.to_si(3900.0), 3.9e6);
        assert_eq!(force.measure.of_si(3.9e6), 3900.0);
        assert!(property_of("tendon", "spans").unwrap().measure.list);
        assert_eq!(property_of("tendon", "points"), None);
        assert_eq!(property_of("strand", "area_mm2"), None);
    }
}
