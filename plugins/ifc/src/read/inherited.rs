//! What the sets of a type state of its occurrences.
//!
//! An occurrence has the properties of its type, unless it states them itself. What is the type's own, as the sizes of
//! an anchorage, is read with the type.

use restrand_kit::Stopped;
use restrand_model::ifc::sets::is_at_home;
use restrand_model::reflect::RecordInfo;
use restrand_model::schedule::Duct;
use restrand_model::value::Fields;

use super::carriers::Carriers;
use super::reader::Reader;
use super::sets::Sets;
use crate::terms::Kind;

/// What a type states of each of its occurrences, by record.
pub(super) type Inherited = Vec<(&'static RecordInfo, Fields, Carriers)>;

/// What the occurrences of a kind of type are.
const fn occurrence_of(type_: Kind) -> Option<Kind> {
    match type_ {
        Kind::TendonType => Some(Kind::Tendon),
        Kind::TendonAnchorType => Some(Kind::TendonAnchor),
        Kind::TendonConduitType => Some(Kind::TendonConduit),
        _ => None,
    }
}

impl Reader<'_, '_> {
    /// Keeps what the sets of a type state of its occurrences; what can be said of none of them is said to be lost.
    pub(super) fn bequeath(&mut self, type_: usize, mut sets: Sets) -> Result<(), Stopped> {
        if let Some(occurrence) = occurrence_of(self.model.kind(type_)) {
            // What a tendon's own sets say of its duct tells which one it is.
            let is_of_duct =
                |record: &RecordInfo| occurrence == Kind::Tendon && record.name == Duct::INFO.name;
            let stated = sets
                .take_where(|record| is_at_home(record, occurrence.name()) || is_of_duct(record));
            if !stated.is_empty() {
                self.inherited.insert(type_, stated);
            }
        }
        self.leave(type_, sets)
    }

    /// Adds what the type of an object states and the object itself does not.
    pub(super) fn inherit(&mut self, at: usize, sets: &mut Sets) {
        let type_ = self.graph.types.get(&at);
        let Some(inherited) = type_.and_then(|type_| self.inherited.get(type_)) else { return };
        for (record, stated, from) in inherited {
            let (fields, carriers) = sets.of(record);
            for (name, value) in stated {
                if fields.get(name.as_str()).is_none() {
                    fields.push(name.clone(), value.clone());
                    carriers.take_field(&self.ways, from, name.as_str());
                }
            }
        }
    }
}
