//! The model that the elements make, in memory.

use std::collections::{HashMap, HashSet};

use restrand_ifc::read::{Found, Model, Stand, place};
use restrand_ifc::terms::Kind;
use restrand_ifc::{Entity, Value};
use restrand_model::reading::{Origin, Problem, ProblemKind, Span};

/// How places in the file are told.
#[derive(Debug, Clone)]
pub(super) enum Lines {
    /// By bytes of the part.
    Bytes,
    /// By lines, where the text had to be decoded as a whole: the first byte of each line after the first.
    Starts(Vec<u64>),
}

impl Lines {
    pub(super) fn stand(&self, span: Span) -> Stand {
        match self {
            Self::Bytes => Stand::Span(span),
            Self::Starts(starts) => {
                let line = starts.partition_point(|begin| *begin <= span.start);
                Stand::Line(u32::try_from(line).unwrap_or(u32::MAX))
            }
        }
    }
}

/// An entity.
#[derive(Debug)]
struct Node {
    kind: Kind,
    number: u64,
    /// Its start tag.
    span: Span,
    values: Vec<Value<'static>>,
}

/// A model in memory.
#[derive(Debug)]
pub(super) struct Held {
    pub(super) part: String,
    pub(super) lines: Lines,
    pub(super) schema: String,
    nodes: Vec<Node>,
    /// What stands behind each number.
    known: Vec<Found>,
    /// The id of each number; empty where it has none.
    names: Vec<Box<str>>,
    numbers: HashMap<Box<str>, u64>,
    problems: Vec<Problem>,
}

impl Held {
    pub(super) fn new(part: String, lines: Lines) -> Self {
        Self {
            part,
            lines,
            schema: String::new(),
            nodes: Vec::new(),
            known: Vec::new(),
            names: Vec::new(),
            numbers: HashMap::new(),
            problems: Vec::new(),
        }
    }

    /// The number of an id, new if it was not met before.
    pub(super) fn number_of(&mut self, id: &str) -> u64 {
        if let Some(number) = self.numbers.get(id) {
            return *number;
        }
        let number = self.another(id);
        self.numbers.insert(id.into(), number);
        number
    }

    /// A number without an id.
    pub(super) fn nameless(&mut self) -> u64 {
        self.another("")
    }

    fn another(&mut self, id: &str) -> u64 {
        self.known.push(Found::Nothing);
        self.names.push(id.into());
        self.known.len() as u64 - 1
    }

    fn slot(&mut self, number: u64) -> Option<&mut Found> {
        self.known.get_mut(usize::try_from(number).ok()?)
    }

    /// Whether an entity of this number was defined.
    pub(super) fn is_defined(&self, number: u64) -> bool {
        self.find(number) != Found::Nothing
    }

    /// Defines an entity, and gives its position; one that a schedule does not need has none.
    pub(super) fn define(&mut self, number: u64, kind: Option<Kind>, span: Span) -> Option<usize> {
        let position = self.nodes.len();
        if let Some(slot) = self.slot(number) {
            *slot = if kind.is_some() { Found::At(position) } else { Found::Other };
        }
        let kind = kind?;
        let values = vec![Value::Absent; kind.info().len()];
        self.nodes.push(Node { kind, number, span, values });
        Some(position)
    }

    /// What the entity at a position is.
    pub(super) fn kind_at(&self, node: usize) -> Kind {
        self.nodes[node].kind
    }

    /// The number of the entity at a position.
    pub(super) fn number_at(&self, node: usize) -> u64 {
        self.nodes[node].number
    }

    /// Sets a value.
    pub(super) fn set(&mut self, node: usize, position: usize, value: Value<'static>) {
        if let Some(slot) = self.nodes[node].values.get_mut(position) {
            *slot = value;
        }
    }

    /// Adds to what an attribute of an entity refers to: to a list, or where there is nothing yet.
    pub(super) fn add(&mut self, number: u64, attribute: &str, other: u64, is_list: bool) {
        let Found::At(node) = self.find(number) else { return };
        let node = &mut self.nodes[node];
        let Some(position) = node.kind.info().position(attribute) else { return };
        let value = &mut node.values[position];
        match value {
            Value::List(items) if is_list => items.push(Value::Reference(other)),
            value if value.is_absent() => {
                let one = Value::Reference(other);
                *value = if is_list { Value::List(vec![one]) } else { one };
            }
            _ => {}
        }
    }

    /// Leaves each reference of a list once, for a relation may name both what it stands in and that it does.
    pub(super) fn once_each(&mut self, number: u64, attribute: &str) {
        let Found::At(node) = self.find(number) else { return };
        let node = &mut self.nodes[node];
        let Some(position) = node.kind.info().position(attribute) else { return };
        if let Value::List(items) = &mut node.values[position] {
            let mut met = HashSet::new();
            items.retain(|item| item.reference().is_none_or(|number| met.insert(number)));
        }
    }

    /// Notes what is wrong with the file.
    pub(super) fn problem(
        &mut self,
        kind: ProblemKind,
        span: Span,
        subject: &str,
        given: Option<&str>,
        why: String,
        help: &str,
    ) {
        let place = place(&self.part, self.lines.stand(span));
        self.problems.push(Problem {
            kind,
            place,
            record: Origin::default(),
            subject: subject.to_owned(),
            given: given.map(|given| restrand_model::shortened(given, 160).into_owned()),
            why,
            help: help.to_owned(),
        });
    }
}

impl Model for Held {
    fn part(&self) -> &str {
        &self.part
    }

    fn count(&self) -> usize {
        self.nodes.len()
    }

    fn kind(&self, at: usize) -> Kind {
        self.nodes[at].kind
    }

    fn entity(&self, at: usize) -> Result<Entity<'_>, String> {
        let node = &self.nodes[at];
        let attributes = node.values.iter().map(Value::borrowed).collect();
        Ok(Entity { kind: node.kind, attributes })
    }

    fn find(&self, number: u64) -> Found {
        let known = usize::try_from(number).ok().and_then(|number| self.known.get(number));
        known.copied().unwrap_or(Found::Nothing)
    }

    fn stand(&self, at: usize) -> Stand {
        self.lines.stand(self.nodes[at].span)
    }

    fn name(&self, number: u64) -> String {
        let name = usize::try_from(number).ok().and_then(|number| self.names.get(number));
        name.map(|name| name.to_string()).unwrap_or_default()
    }

    fn number(&self, at: usize) -> u64 {
        self.nodes[at].number
    }

    fn schema(&self) -> &str {
        &self.schema
    }

    fn problems(&self) -> Vec<Problem> {
        self.problems.clone()
    }
}
