//! Records seen without their type.

use std::any::Any;

use super::info::RecordInfo;
use super::node::{Node, View};
use crate::reading::Origin;
use crate::value::{Fields, Name, Value};

/// The name under which a document keeps a record's open map.
pub const EXTRA: &str = "extra";

/// The name under which a document keeps the texts by which values were given that read otherwise.
///
/// It is a map from field names, joined by points where records lie in between, to texts.
/// The typed record does not have it: the texts are kept with the record's place.
pub const GIVEN: &str = "given";

/// What a record's file said that no field takes: remarks, heat numbers, an owner's columns.
pub type Extra = Fields;

/// A record of the schedule, seen without its type.
pub trait Record: Any + Send + Sync {
    /// The declaration of the record's type.
    fn info(&self) -> &'static RecordInfo;
    /// The field at this position of the declaration.
    fn field(&self, index: usize) -> &dyn Node;
    /// The field at this position of the declaration, to be changed.
    fn field_mut(&mut self, index: usize) -> &mut dyn Node;
    /// Where the record was read.
    fn origin(&self) -> Origin;
    /// Says where the record was read.
    fn set_origin(&mut self, origin: Origin);
    /// What no field takes.
    fn extra(&self) -> &Extra;
    /// What no field takes, to be changed.
    fn extra_mut(&mut self) -> &mut Extra;
}

impl dyn Record {
    /// The value of the field of this name; absent if there is no such field.
    #[must_use]
    pub fn get(&self, name: &str) -> View<'_> {
        match self.info().index_of(name) {
            Some(index) => self.field(index).view(),
            None => View::Absent,
        }
    }

    /// The value by which other records and routes name this one.
    #[must_use]
    pub fn key(&self) -> Option<&str> {
        match self.get(self.info().key?) {
            View::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The record as members: what is stated, in the order of the declaration, and `extra` last.
    #[must_use]
    pub fn to_fields(&self) -> Fields {
        let mut members = Fields::new();
        for (index, field) in self.info().fields.iter().enumerate() {
            let view = self.field(index).view();
            if !view.is_absent()
                && let Some(value) = view.to_value()
            {
                members.push(Name::Known(field.name), value);
            }
        }
        if !self.extra().is_empty() {
            members.push(Name::Known(EXTRA), Value::Fields(self.extra().clone()));
        }
        members
    }

    /// Whether the record states nothing at all.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.extra().is_empty()
            && (0..self.info().fields.len()).all(|index| self.field(index).view().is_absent())
    }
}
