//! Which entities state the values of a record.
//!
//! A record stands at its element, but its values stand in properties, quantities and shapes. A finding is of use
//! where it points to these, and a value is changed where it stands.

use std::cell::OnceCell;
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
    /// How many were told to whoever translates them.
    told: usize,
}

#[derive(Debug)]
struct Node {
    /// The way that it goes on from, and by which step.
    before: Way,
    step: Arc<str>,
    /// Steps from the start.
    depth: u32,
    /// All of them, once somebody asked for them.
    steps: OnceCell<Arc<[String]>>,
    next: Quick<Arc<str>, Way>,
}

impl Node {
    fn new(before: Way, step: Arc<str>, depth: u32) -> Self {
        Self { before, step, depth, steps: OnceCell::new(), next: Quick::default() }
    }
}

/// Ways as steps on from others, in the order in which they were met.
#[derive(Debug, Default)]
pub(super) struct NewWays(Vec<(Way, Arc<str>)>);

/// The ways that another met, in those of whoever takes what it noted.
#[derive(Debug)]
pub(super) struct Translation(Vec<Way>);

impl Default for Translation {
    fn default() -> Self {
        Self(vec![Way::START])
    }
}

impl Translation {
    /// Takes in ways that the other met.
    pub(super) fn learn(&mut self, ways: &mut Ways, NewWays(new): NewWays) {
        for (before, step) in new {
            let before = self.0[before.0];
            self.0.push(ways.on(before, &step));
        }
    }

    /// What the other noted.
    pub(super) fn of(&self, mut carriers: Carriers) -> Carriers {
        for (way, _) in &mut carriers.0 {
            *way = self.0[way.0];
        }
        carriers
    }
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
            nodes: vec![Node::new(Way::START, Arc::from(""), 0)],
            joined: Quick::default(),
            records: Quick::default(),
            fields: Vec::new(),
            told: 1,
        }
    }
}

impl Ways {
    /// The way one step on.
    pub(super) fn on(&mut self, from: Way, step: &str) -> Way {
        if let Some(known) = self.nodes[from.0].next.get(step) {
            return *known;
        }
        self.add(from, step.into())
    }

    fn add(&mut self, from: Way, step: Arc<str>) -> Way {
        let new = Way(self.nodes.len());
        let before = &mut self.nodes[from.0];
        let depth = before.depth + 1;
        before.next.insert(Arc::clone(&step), new);
        self.nodes.push(Node::new(from, step, depth));
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
    fn of<'s>(&mut self, steps: impl IntoIterator<Item = &'s str>) -> Way {
        steps.into_iter().fold(Way::START, |way, step| self.on(way, step))
    }

    /// The way by these steps, if it was met.
    pub(super) fn known<'s>(&self, steps: impl IntoIterator<Item = &'s str>) -> Option<Way> {
        let mut steps = steps.into_iter();
        steps.try_fold(Way::START, |way, step| self.nodes[way.0].next.get(step).copied())
    }

    /// What a way leads over after so many steps, if it has as many.
    fn over(&self, way: Way, depth: u32) -> Option<Way> {
        let before = |way: &Way| (way.0 > 0).then(|| self.nodes[way.0].before);
        std::iter::successors(Some(way), before).find(|way| self.nodes[way.0].depth == depth)
    }

    /// The way that goes on from one by the steps of another.
    fn join(&mut self, from: Way, way: Way) -> Way {
        if way == Way::START {
            return from;
        }
        if let Some(known) = self.joined.get(&(from, way)) {
            return *known;
        }
        let Node { before, step, .. } = &self.nodes[way.0];
        let (before, step) = (*before, Arc::clone(step));
        let before = self.join(from, before);
        let joined = self.on(before, &step);
        self.joined.insert((from, way), joined);
        joined
    }

    /// The way by the steps by which one leads beyond another.
    fn beyond(&mut self, way: Way, beyond: Way) -> Way {
        if way == beyond {
            return Way::START;
        }
        let Node { before, step, .. } = &self.nodes[way.0];
        let (before, step) = (*before, Arc::clone(step));
        let before = self.beyond(before, beyond);
        self.on(before, &step)
    }

    /// The ways that were met since this was asked last.
    pub(super) fn new_ones(&mut self) -> NewWays {
        let told = std::mem::replace(&mut self.told, self.nodes.len());
        let new = self.nodes[told..].iter();
        NewWays(new.map(|node| (node.before, Arc::clone(&node.step))).collect())
    }

    fn steps(&self, way: Way) -> &Arc<[String]> {
        self.nodes[way.0].steps.get_or_init(|| {
            let before = |way: &Way| (way.0 > 0).then(|| self.nodes[way.0].before);
            let all = std::iter::successors(Some(way), before).filter(|way| way.0 > 0);
            let mut steps: Vec<_> = all.map(|way| self.nodes[way.0].step.to_string()).collect();
            steps.reverse();
            steps.into()
        })
    }
}

/// Which entities state the values of one record, by the ways to them.
#[derive(Debug, Default)]
pub(super) struct Carriers(Vec<(Way, usize)>);

impl Carriers {
    /// Notes that the entity at a position states the value at the end of a way.
    pub(super) fn note(&mut self, ways: &mut Ways, way: &[&str], at: usize) {
        let way = ways.of(way.iter().copied());
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
        let Some(to) = ways.known([field]) else { return };
        self.0.extend(other.0.iter().filter(|(way, _)| ways.over(*way, 1) == Some(to)));
    }

    /// Takes what is known of a record that stands in a field of this one.
    pub(super) fn take_in(&mut self, ways: &mut Ways, field: &str, inner: Self) {
        let before = ways.on(Way::START, field);
        self.0.extend(inner.0.into_iter().map(|(way, at)| (ways.join(before, way), at)));
    }

    /// What is known of the items of lists, by the way to each: the entity that an item is, and its own values.
    pub(super) fn by_item(self, ways: &mut Ways) -> Quick<Way, (Option<usize>, Self)> {
        /// A list and a position in it.
        const ITEM: u32 = 2;
        let mut items: Quick<_, (Option<usize>, Self)> = Quick::default();
        for (way, at) in self.0 {
            let Some(item) = ways.over(way, ITEM) else { continue };
            let known = items.entry(item).or_default();
            if way == item {
                known.0 = Some(at);
            } else {
                known.1.keep(ways.beyond(way, item), at);
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
