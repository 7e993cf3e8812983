//! Which entities state the values of a record.
//!
//! A record stands at its element, but its values stand in properties, quantities and shapes. A finding is of use
//! where it points to these, and a value is changed where it stands.

use std::collections::HashMap;
use std::sync::Arc;

use restrand_model::reading::{Apart, At};

use super::model::{Model, Stand};
use super::positions::Quick;

/// A way from a record to a value, by its position among all that were met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Way(usize);

impl Way {
    /// The way to the record itself.
    pub(super) const START: Self = Self(0);
}

/// The ways that were met, each once: many records state the same fields.
#[derive(Debug)]
pub(super) struct Ways {
    nodes: Vec<Node>,
    /// Ways that go on by the steps of others.
    joined: Quick<(Way, Way), Way>,
    /// Where the ways to the fields of a record begin among those below, by the way to the record and its type.
    records: Quick<(Way, &'static str), usize>,
    /// The ways to fields, a record's in their order; the start where none was met yet.
    fields: Vec<Way>,
}

#[derive(Debug, Default)]
struct Node {
    steps: Arc<[String]>,
    next: Quick<Box<str>, Way>,
}

/// The ways to the fields of one record.
#[derive(Debug, Clone, Copy)]
pub(super) struct FieldWays {
    record: Way,
    first: usize,
}

impl Default for Ways {
    fn default() -> Self {
        Self {
            nodes: vec![Node::default()],
            joined: Quick::default(),
            records: Quick::default(),
            fields: Vec::new(),
        }
    }
}

impl Ways {
    /// The way one step on.
    pub(super) fn on(&mut self, from: Way, step: &str) -> Way {
        if let Some(known) = self.nodes[from.0].next.get(step) {
            return *known;
        }
        let new = Way(self.nodes.len());
        let before = &mut self.nodes[from.0];
        before.next.insert(step.into(), new);
        let steps = before.steps.iter().cloned().chain([step.to_owned()]).collect();
        self.nodes.push(Node { steps, next: Quick::default() });
        new
    }

    /// The ways to the fields of a record, of which there are so many.
    pub(super) fn of_record(
        &mut self,
        record: Way,
        type_: &'static str,
        fields: usize,
    ) -> FieldWays {
        let next = self.fields.len();
        let first = *self.records.entry((record, type_)).or_insert(next);
        if first == next {
            self.fields.resize(next + fields, Way::START);
        }
        FieldWays { record, first }
    }

    /// The way to the field at a position in its record.
    pub(super) fn field_way(&mut self, of: FieldWays, position: usize, name: &str) -> Way {
        let at = of.first + position;
        if self.fields[at] == Way::START {
            self.fields[at] = self.on(of.record, name);
        }
        self.fields[at]
    }

    /// The way by these steps.
    fn of<'s>(&mut self, from: Way, steps: impl IntoIterator<Item = &'s str>) -> Way {
        steps.into_iter().fold(from, |way, step| self.on(way, step))
    }

    /// The way that goes on from one by the steps of another.
    fn join(&mut self, from: Way, way: Way) -> Way {
        if let Some(known) = self.joined.get(&(from, way)) {
            return *known;
        }
        let steps = Arc::clone(self.steps(way));
        let joined = self.of(from, steps.iter().map(String::as_str));
        self.joined.insert((from, way), joined);
        joined
    }

    fn steps(&self, way: Way) -> &Arc<[String]> {
        &self.nodes[way.0].steps
    }
}

/// Which entities state the values of one record, by the ways to them.
#[derive(Debug, Default)]
pub(super) struct Carriers(Vec<(Way, usize)>);

impl Carriers {
    /// Notes that the entity at a position states the value at the end of a way.
    pub(super) fn note(&mut self, ways: &mut Ways, way: &[&str], at: usize) {
        let way = ways.of(Way::START, way.iter().copied());
        self.0.push((way, at));
    }

    /// Notes the same of a way that is known already.
    pub(super) fn keep(&mut self, way: Way, at: usize) {
        self.0.push((way, at));
    }

    /// Takes what is known of this record itself.
    pub(super) fn take(&mut self, mut other: Self) {
        self.0.append(&mut other.0);
    }

    /// Takes what is known of one field of a record like this one.
    pub(super) fn take_field(&mut self, ways: &Ways, other: &Self, field: &str) {
        let leads_there = |way| ways.steps(way).first().is_some_and(|first| first == field);
        self.0.extend(other.0.iter().filter(|(way, _)| leads_there(*way)));
    }

    /// Takes what is known of a record that stands in a field of this one.
    pub(super) fn take_in(&mut self, ways: &mut Ways, field: &str, inner: Self) {
        let before = ways.on(Way::START, field);
        self.0.extend(inner.0.into_iter().map(|(way, at)| (ways.join(before, way), at)));
    }

    /// What is known of the items of lists, by list and position: the entity that an item is, and its own values.
    pub(super) fn by_item(
        self,
        ways: &mut Ways,
    ) -> HashMap<(String, usize), (Option<usize>, Self)> {
        let mut items: HashMap<_, (Option<usize>, Self)> = HashMap::new();
        for (way, at) in self.0 {
            let steps = Arc::clone(ways.steps(way));
            let [list, position, own @ ..] = &*steps else { continue };
            let Ok(position) = position.parse() else { continue };
            let item = items.entry((list.clone(), position)).or_default();
            if own.is_empty() {
                item.0 = Some(at);
            } else {
                let own = ways.of(Way::START, own.iter().map(String::as_str));
                item.1.keep(own, at);
            }
        }
        items
    }

    /// Where the values stand.
    pub(super) fn places(self, ways: &Ways, model: &dyn Model) -> Vec<Apart> {
        let at = |at| match model.stand(at) {
            Stand::Span(span) => At::Span(span),
            Stand::Line(line) => At::Row(line),
        };
        let apart = |(way, entity)| Apart { way: Arc::clone(ways.steps(way)), at: at(entity) };
        self.0.into_iter().map(apart).collect()
    }
}
