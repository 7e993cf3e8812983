//! Records with the texts by which their values were given.
//!
//! The texts stand in the record that has a row of its own in the layout, so that they stand in the same
//! place whatever file they come from.

use std::collections::HashSet;

use restrand_kit::Content;
use restrand_kit::sheet::spells;
use restrand_model::reading::Origin;
use restrand_model::reflect::{EXTRA, FieldInfo, GIVEN, Record, Shape, View};
use restrand_model::route::Route;
use restrand_model::schedule::Schedule;
use restrand_model::sheet::SHEETS;
use restrand_model::value::{Fields, Name, Value};

/// A schedule and the texts of its values.
pub(super) struct Texts<'a> {
    content: &'a Content<'a>,
    /// Values that no text gave.
    changed: HashSet<&'a Route>,
}

/// What is gathered of a record and of those inside it that have no texts of their own.
struct Gathered {
    /// The record of the file, and the way from it.
    source: Option<(Origin, Vec<String>)>,
    /// The names from the record that carries the texts.
    names: Vec<&'static str>,
    texts: Fields,
}

impl<'a> Texts<'a> {
    pub(super) fn of(content: &'a Content<'a>) -> Self {
        Self { content, changed: content.changes.iter().map(|change| &change.route).collect() }
    }

    pub(super) fn schedule(&self) -> &'a Schedule {
        self.content.schedule
    }

    /// The value as the document holds it.
    pub(super) fn value(&self, view: View<'_>, route: &Route) -> Option<Value> {
        match view {
            View::Record(record) if self.content.provenance.keeps_texts() => {
                Some(Value::Fields(self.record(record, route)))
            }
            view => view.to_value(),
        }
    }

    fn record(&self, record: &dyn Record, route: &Route) -> Fields {
        let (origin, way) = route.source(self.content.schedule);
        let is_kept = self.content.provenance.keeps_texts_of(origin);
        let mut gathered = Gathered {
            source: is_kept.then_some((origin, way)),
            names: Vec::new(),
            texts: Fields::new(),
        };
        let mut members = self.members(record, route, &mut gathered);
        if !gathered.texts.is_empty() {
            members.push(Name::Known(GIVEN), Value::Fields(gathered.texts));
        }
        members
    }

    fn members(&self, record: &dyn Record, route: &Route, gathered: &mut Gathered) -> Fields {
        let mut members = Fields::new();
        for (index, field) in record.info().fields.iter().enumerate() {
            let view = record.field(index).view();
            let route = route.field(field.name);
            gathered.names.push(field.name);
            if view.is_absent() {
                self.gather_unread(gathered, &route, field);
                gathered.names.pop();
                continue;
            }
            let value = match view {
                View::Record(inner) if has_row(inner) => Some(self.record(inner, &route)),
                View::Record(inner) => Some(self.members(inner, &route, gathered)),
                _ => None,
            };
            let value = match (value, view) {
                (Some(fields), _) => Some(Value::Fields(fields)),
                (None, View::List(list)) => Some(Value::List(
                    (0..list.len())
                        .filter_map(|index| self.value(list.item(index), &route.item(index)))
                        .collect(),
                )),
                (None, view) => view.to_value(),
            };
            if let Some(value) = value {
                self.gather(gathered, &route, field, &value);
                members.push(Name::Known(field.name), value);
            }
            gathered.names.pop();
        }
        if !record.extra().is_empty() {
            members.push(Name::Known(EXTRA), Value::Fields(record.extra().clone()));
        }
        members
    }

    /// Gathers the text of a value that could not be read: it stands where the texts are, and no value beside it.
    fn gather_unread(&self, gathered: &mut Gathered, route: &Route, field: &FieldInfo) {
        if gathered.source.is_none() {
            return;
        }
        match field.shape {
            // Of a record with a row of its own, that record's texts tell.
            Shape::Record(info) if SHEETS.iter().all(|sheet| sheet.record.name != info().name) => {
                for field in info().fields {
                    gathered.names.push(field.name);
                    self.gather_unread(gathered, &route.field(field.name), field);
                    gathered.names.pop();
                }
            }
            Shape::Record(_) | Shape::Records(_) => {}
            _ => {
                if let Some(text) = self.text(gathered, route) {
                    let name = gathered.names.join(".");
                    gathered.texts.push(name.as_str().into(), Value::Text(text.into()));
                }
            }
        }
    }

    /// The text of the file for a value that is as it was there.
    fn text(&self, gathered: &Gathered, route: &Route) -> Option<&'a str> {
        let (origin, way) = gathered.source.as_ref()?;
        let names = gathered.names.iter().map(|name| (*name).to_owned());
        let path: Vec<String> = way.iter().cloned().chain(names).collect();
        let (text, _) = self.content.provenance.given(*origin, &path)?;
        (!self.changed.contains(route)).then_some(text)
    }

    /// Gathers the text of a value, if it still says it.
    fn gather(&self, gathered: &mut Gathered, route: &Route, field: &FieldInfo, value: &Value) {
        if let Some(text) = self.text(gathered, route)
            && spells(text, field, value)
        {
            let name = gathered.names.join(".");
            gathered.texts.push(name.as_str().into(), Value::Text(text.into()));
        }
    }
}

/// Whether the layout has a row for such a record.
fn has_row(record: &dyn Record) -> bool {
    SHEETS.iter().any(|sheet| sheet.record.name == record.info().name)
}
