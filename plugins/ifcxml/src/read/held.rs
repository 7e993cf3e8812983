//! The model that the elements make, in memory.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};

use restrand_ifc::read::{Found, Model, Slot, Stand, place};
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
    number: u64,
    /// Its start tag.
    start: u64,
    length: u32,
    /// The attribute that was stated last.
    last: Link,
    kind: Kind,
}

/// An attribute of an entity, with the one of it that was stated before.
///
/// What stands inside an entity comes before the entity ends, so that attributes of many are mixed.
#[derive(Debug, Clone, Copy)]
struct Stated {
    value: Kept,
    before: Link,
    position: u8,
}

/// The position of an attribute among all, plus one; zero for none.
#[derive(Debug, Clone, Copy, Default)]
struct Link(u32);

impl Link {
    fn to(position: usize) -> Self {
        Self(u32::try_from(position + 1).unwrap_or(0))
    }

    fn position(self) -> Option<usize> {
        usize::try_from(self.0.checked_sub(1)?).ok()
    }
}

/// A value of an attribute, small: texts stand in one text, items of lists in one list.
#[derive(Debug, Clone, Copy)]
pub(super) enum Kept {
    Text {
        length: u32,
        start: usize,
    },
    Word {
        length: u32,
        start: usize,
    },
    Lexical {
        length: u32,
        start: usize,
    },
    Reference(u64),
    List {
        count: u32,
        first: usize,
    },
    /// A simple value among the items, and its type by its position.
    Typed {
        type_: u32,
        inner: usize,
    },
    Binary,
}

impl Kept {
    pub(super) const fn text(length: u32, start: usize) -> Self {
        Self::Text { length, start }
    }

    pub(super) const fn word(length: u32, start: usize) -> Self {
        Self::Word { length, start }
    }

    pub(super) const fn lexical(length: u32, start: usize) -> Self {
        Self::Lexical { length, start }
    }
}

/// Names that come again and again, each once.
#[derive(Debug, Default)]
struct Names {
    known: HashMap<Box<str>, u32>,
    all: Vec<Box<str>>,
    /// The one that was asked for last.
    last: u32,
}

impl Names {
    fn position(&mut self, name: &str) -> u32 {
        // The same name often comes again at once.
        if self.name(self.last) == name && !self.all.is_empty() {
            return self.last;
        }
        if let Some(known) = self.known.get(name) {
            self.last = *known;
            return *known;
        }
        let position = u32::try_from(self.all.len()).unwrap_or(u32::MAX);
        self.known.insert(name.into(), position);
        self.all.push(name.into());
        self.last = position;
        position
    }

    fn name(&self, position: u32) -> &str {
        let name = usize::try_from(position).ok().and_then(|position| self.all.get(position));
        name.map(|name| &**name).unwrap_or_default()
    }
}

/// What the values of a simple type are.
#[derive(Debug, Clone, Copy)]
enum Sort {
    Text,
    Word,
    Binary,
    /// What only its use tells.
    Lexical,
}

impl Sort {
    fn of(type_: &str) -> Self {
        match type_ {
            "IfcLabel"
            | "IfcText"
            | "IfcIdentifier"
            | "IfcDate"
            | "IfcDateTime"
            | "IfcTime"
            | "IfcDuration"
            | "IfcURIReference"
            | "IfcGloballyUniqueId" => Self::Text,
            "IfcBoolean" | "IfcLogical" => Self::Word,
            "IfcBinary" => Self::Binary,
            _ => Self::Lexical,
        }
    }
}

/// A model in memory.
#[derive(Debug)]
pub(super) struct Held {
    pub(super) part: String,
    pub(super) lines: Lines,
    pub(super) schema: String,
    /// The element whose namespace tells it.
    pub(super) root: Option<Span>,
    nodes: Vec<Node>,
    stated: Vec<Stated>,
    items: Vec<Kept>,
    texts: String,
    types: Names,
    /// What the values of each of these types are.
    sorts: Vec<Sort>,
    /// What stands behind each number.
    known: Vec<Slot>,
    /// The ids by which others refer to entities, and their numbers.
    ids: Names,
    numbers: Vec<u64>,
    problems: Vec<Problem>,
}

impl Held {
    /// A model without anything, of a text of so many bytes.
    pub(super) fn new(part: String, lines: Lines, bytes: u64) -> Self {
        /// Bytes that an entity takes, and one of its attributes, where they take many; and of a text what is kept.
        ///
        /// What is set aside for more than there are is never touched; what would have to be moved to where there is
        /// more room would be.
        const ENTITY: usize = 160;
        const ATTRIBUTE: usize = 64;
        const TEXT: usize = 16;
        /// Bytes of a file beyond which what is set aside grows with what there is.
        const MOST: u64 = 1 << 28;
        let bytes = usize::try_from(bytes.min(MOST)).unwrap_or_default();
        Self {
            part,
            lines,
            schema: String::new(),
            root: None,
            nodes: Vec::with_capacity(bytes / ENTITY),
            stated: Vec::with_capacity(bytes / ATTRIBUTE),
            items: Vec::with_capacity(bytes / ATTRIBUTE),
            texts: String::with_capacity(bytes / TEXT),
            types: Names::default(),
            sorts: Vec::new(),
            known: Vec::with_capacity(bytes / ENTITY),
            ids: Names::default(),
            numbers: Vec::new(),
            problems: Vec::new(),
        }
    }

    /// The number of an id, new if it was not met before.
    pub(super) fn number_of(&mut self, id: &str) -> u64 {
        let position = usize::try_from(self.ids.position(id)).unwrap_or(usize::MAX);
        if let Some(number) = self.numbers.get(position) {
            return *number;
        }
        let number = self.nameless();
        self.numbers.push(number);
        number
    }

    /// A number without an id.
    pub(super) fn nameless(&mut self) -> u64 {
        self.known.push(Slot::NOTHING);
        self.known.len() as u64 - 1
    }

    fn slot(&mut self, number: u64) -> Option<&mut Slot> {
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
            *slot = if kind.is_some() { Slot::at(position) } else { Slot::OTHER };
        }
        let length = u32::try_from(span.end.saturating_sub(span.start)).unwrap_or(u32::MAX);
        let last = Link::default();
        self.nodes.push(Node { number, start: span.start, length, last, kind: kind? });
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

    /// Keeps a text; `of` says what it is.
    pub(super) fn text(&mut self, text: &str, of: fn(u32, usize) -> Kept) -> Kept {
        let start = self.texts.len();
        self.texts.push_str(text);
        of(u32::try_from(text.len()).unwrap_or(u32::MAX), start)
    }

    /// Keeps a list.
    pub(super) fn list(&mut self, items: impl IntoIterator<Item = Kept>) -> Kept {
        let first = self.items.len();
        self.items.extend(items);
        let count = u32::try_from(self.items.len() - first).unwrap_or(u32::MAX);
        Kept::List { count, first }
    }

    /// The position of a type by its name.
    pub(super) fn type_(&mut self, name: &str) -> u32 {
        let position = self.types.position(name);
        if position as usize == self.sorts.len() {
            self.sorts.push(Sort::of(name));
        }
        position
    }

    /// Keeps a simple value of a type.
    pub(super) fn simple(&mut self, type_: u32, text: &str) -> Kept {
        let inner = match self.sorts.get(type_ as usize) {
            Some(Sort::Text) => self.text(text, Kept::text),
            Some(Sort::Word) => self.text(text.trim(), Kept::word),
            Some(Sort::Binary) => Kept::Binary,
            Some(Sort::Lexical) | None => self.text(text, Kept::lexical),
        };
        self.items.push(inner);
        Kept::Typed { type_, inner: self.items.len() - 1 }
    }

    /// Sets a value; one that was stated before is no more.
    pub(super) fn set(&mut self, node: usize, position: usize, value: Kept) {
        let node = &mut self.nodes[node];
        let is_one = position < node.kind.info().len();
        let Some(position) = u8::try_from(position).ok().filter(|_| is_one) else { return };
        let mut link = node.last;
        while let Some(one) = link.position().and_then(|at| self.stated.get_mut(at)) {
            if one.position == position {
                one.value = value;
                return;
            }
            link = one.before;
        }
        let link = Link::to(self.stated.len());
        self.stated.push(Stated { value, before: node.last, position });
        node.last = link;
    }

    /// The value of an attribute.
    fn stated(&self, node: &Node, position: usize) -> Option<Kept> {
        self.all_stated(node).find(|one| usize::from(one.position) == position).map(|one| one.value)
    }

    /// The attributes of an entity that are stated, each once.
    fn all_stated<'h>(&'h self, node: &Node) -> impl Iterator<Item = &'h Stated> {
        let at = |link: Link| self.stated.get(link.position()?);
        std::iter::successors(at(node.last), move |one| at(one.before))
    }

    /// Adds to what an attribute of an entity refers to: to a list, each once, or where there is nothing yet.
    pub(super) fn add(&mut self, number: u64, attribute: &str, others: &[u64], is_list: bool) {
        let Found::At(node) = self.find(number) else { return };
        let Some(position) = self.nodes[node].kind.info().position(attribute) else { return };
        let value = match self.stated(&self.nodes[node], position) {
            // A relation may name both what it stands in and that it does.
            Some(Kept::List { count, first }) if is_list => {
                let before = self.items_of(count, first).to_vec();
                let others = others.iter().map(|other| Kept::Reference(*other));
                self.once_each(before.into_iter().chain(others))
            }
            Some(_) => return,
            None if is_list => self.once_each(others.iter().map(|other| Kept::Reference(*other))),
            None => match others.first() {
                Some(first) => Kept::Reference(*first),
                None => return,
            },
        };
        self.set(node, position, value);
    }

    /// A list with each reference once.
    fn once_each(&mut self, items: impl Iterator<Item = Kept>) -> Kept {
        let mut met = HashSet::new();
        self.list(items.filter(|item| match item {
            Kept::Reference(number) => met.insert(*number),
            _ => true,
        }))
    }

    fn items_of(&self, count: u32, first: usize) -> &[Kept] {
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        self.items.get(first..first.saturating_add(count)).unwrap_or_default()
    }

    fn value(&self, kept: Kept) -> Value<'_> {
        let text = |length: u32, start: usize| {
            let length = usize::try_from(length).unwrap_or(usize::MAX);
            Cow::Borrowed(self.texts.get(start..start.saturating_add(length)).unwrap_or_default())
        };
        match kept {
            Kept::Text { length, start } => Value::Text(text(length, start)),
            Kept::Word { length, start } => Value::Word(text(length, start)),
            Kept::Lexical { length, start } => Value::Lexical(text(length, start)),
            Kept::Reference(number) => Value::Reference(number),
            Kept::List { count, first } => {
                let items = self.items_of(count, first);
                Value::List(items.iter().map(|item| self.value(*item)).collect())
            }
            Kept::Typed { type_, inner } => {
                let inner = self.items.get(inner).map_or(Value::Absent, |inner| self.value(*inner));
                Value::Typed(Cow::Borrowed(self.types.name(type_)), Box::new(inner))
            }
            Kept::Binary => Value::Binary,
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
        let mut attributes = vec![Value::Absent; node.kind.info().len()];
        for one in self.all_stated(node) {
            attributes[usize::from(one.position)] = self.value(one.value);
        }
        Ok(Entity { kind: node.kind, attributes })
    }

    fn find(&self, number: u64) -> Found {
        let known = usize::try_from(number).ok().and_then(|number| self.known.get(number));
        known.map_or(Found::Nothing, |slot| slot.found())
    }

    fn stand(&self, at: usize) -> Stand {
        let Node { start, length, .. } = self.nodes[at];
        self.lines.stand(Span { start, end: start + u64::from(length) })
    }

    fn name(&self, number: u64) -> String {
        // Numbers grow as ids are met.
        let position = self.numbers.binary_search(&number).ok();
        let position = position.and_then(|position| u32::try_from(position).ok());
        position.map_or_else(String::new, |position| self.ids.name(position).to_owned())
    }

    fn number(&self, at: usize) -> u64 {
        self.nodes[at].number
    }

    fn schema(&self) -> &str {
        &self.schema
    }

    fn schema_stand(&self) -> Option<Stand> {
        self.root.map(|span| self.lines.stand(span))
    }

    fn problems(&self) -> Vec<Problem> {
        self.problems.clone()
    }
}
