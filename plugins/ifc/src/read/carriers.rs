//! Which entities state the values of a record.
//!
//! A record stands at its element, but its values stand in properties, quantities and shapes. A finding is of use
//! where it points to these, and a value is changed where it stands.

use std::collections::HashMap;

use restrand_model::reading::{Apart, At};

use super::model::{Model, Stand};

/// Which entities state the values of one record, by the ways to them.
#[derive(Debug, Default)]
pub(super) struct Carriers(Vec<(Vec<String>, usize)>);

impl Carriers {
    /// Notes that the entity at a position states the value at the end of a way.
    pub(super) fn note(&mut self, way: &[&str], at: usize) {
        self.0.push((way.iter().map(|step| (*step).to_owned()).collect(), at));
    }

    /// Notes the same of a way that is put together already.
    pub(super) fn keep(&mut self, way: Vec<String>, at: usize) {
        self.0.push((way, at));
    }

    /// Takes what is known of a record that stands in a field of this one, or of this one itself.
    pub(super) fn take(&mut self, field: Option<&str>, inner: Self) {
        match field {
            None => self.0.extend(inner.0),
            Some(field) => self.0.extend(inner.0.into_iter().map(|(mut way, at)| {
                way.insert(0, field.to_owned());
                (way, at)
            })),
        }
    }

    /// What is known of the items of lists, by list and position: the entity that an item is, and its own values.
    pub(super) fn by_item(self) -> HashMap<(String, usize), (Option<usize>, Self)> {
        let mut items: HashMap<_, (Option<usize>, Self)> = HashMap::new();
        for (mut way, at) in self.0 {
            let Some(position) = way.get(1).and_then(|step| step.parse().ok()) else { continue };
            let own = way.split_off(2);
            let list = way.swap_remove(0);
            let item = items.entry((list, position)).or_default();
            if own.is_empty() {
                item.0 = Some(at);
            } else {
                item.1.keep(own, at);
            }
        }
        items
    }

    /// Where the values stand.
    pub(super) fn places(self, model: &dyn Model) -> Vec<Apart> {
        let at = |at| match model.stand(at) {
            Stand::Span(span) => At::Span(span),
            Stand::Line(line) => At::Row(line),
        };
        self.0.into_iter().map(|(way, entity)| Apart { way, at: at(entity) }).collect()
    }
}
