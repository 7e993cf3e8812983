//! A model that restrand wrote: it is made again, and what of it says something else is replaced in the file.
//!
//! What in the file is what in the model is known by GlobalIds, and from there by attributes; properties by their
//! names. What only the file knows stays: attributes that the model leaves open, members of relations, all
//! other instances.

use std::collections::{HashMap, HashSet};

use restrand_ifc::read::Model as _;
use restrand_ifc::terms::Kind;
use restrand_ifc::write::Model;
use restrand_ifc::{Entity, Value};

use super::super::{SCHEMA, line};
use super::assembled;
use crate::read::Scanned;

/// What comes of a file.
pub(super) enum Outcome {
    /// It says what the schedule says.
    Patched(Vec<u8>),
    /// Shapes of it follow no longer from the schedule.
    OutOfDate,
    /// It is no model that restrand wrote of this bridge, or another program changed what all of it rests on.
    Another,
}

/// Writes the file again with a model in it.
///
/// A model without a layout says nothing of places and shapes.
pub(super) fn patch(scanned: &Scanned<'_>, model: &Model, is_laid_out: bool) -> Outcome {
    File::of(scanned).map_or(Outcome::Another, |file| file.with(scanned, model, is_laid_out))
}

/// An instance of the file.
#[derive(Debug)]
struct Old<'a> {
    number: u64,
    entity: Entity<'a>,
    /// Its first byte, and that of its semicolon.
    span: (usize, usize),
}

/// A file that is to be written anew.
#[derive(Debug)]
struct File<'a> {
    /// The instances that are understood, in the order of their numbers.
    instances: Vec<Old<'a>>,
    /// The greatest number of any instance.
    greatest: u64,
}

/// Lists of these names are sets that others may add to.
const SHARED: &[&str] = &[
    "RelatedObjects",
    "RelatedElements",
    "RelatedDefinitions",
    "RealizingElements",
    "HasPropertySets",
    "Representations",
    "RepresentationContexts",
    "Units",
];

/// What the model calls the room at an end.
const ROOM: &[&str] = &["REMOVAL_SPACE", "STUB", "JACK"];

/// Attributes that follow from a layout, and that a model without one leaves as they are.
const LAID_OUT: &[&str] = &["ObjectPlacement", "Representation"];

impl<'a> File<'a> {
    /// The file whose instances are known; nothing where not each of them is understood.
    fn of(scanned: &'a Scanned<'a>) -> Option<Self> {
        // What is new needs numbers above those that are there.
        let is_full = scanned.greatest() > u64::MAX / 2;
        if is_full
            || !scanned.problems().is_empty()
            || !scanned.schema().eq_ignore_ascii_case(SCHEMA)
        {
            return None;
        }
        let old = |at| {
            let entity = scanned.entity(at).ok()?;
            Some(Old { number: scanned.number(at), entity, span: scanned.statement(at) })
        };
        Some(Self {
            instances: (0..scanned.count()).map(old).collect::<Option<_>>()?,
            greatest: scanned.greatest(),
        })
    }

    fn with(&self, scanned: &Scanned<'_>, model: &Model, is_laid_out: bool) -> Outcome {
        let mut patch = Patch {
            file: self,
            model,
            is_laid_out,
            by_number: self.instances.iter().map(|old| (old.number, old)).collect(),
            numbers: HashMap::new(),
            taken: HashSet::new(),
        };
        patch.match_rooted();
        let mut projects = model.entities().filter(|(_, entity)| entity.kind == Kind::Project);
        if !projects.any(|(project, _)| patch.numbers.contains_key(&project)) {
            return Outcome::Another;
        }
        patch.match_reached();
        if patch.is_out_of_date() {
            return Outcome::OutOfDate;
        }
        patch.write(scanned)
    }
}

struct Patch<'p> {
    file: &'p File<'p>,
    model: &'p Model,
    is_laid_out: bool,
    by_number: HashMap<u64, &'p Old<'p>>,
    /// The numbers of the model's entities in the file.
    numbers: HashMap<u64, u64>,
    /// Numbers of the file that are an entity of the model.
    taken: HashSet<u64>,
}

impl<'p> Patch<'p> {
    fn take(&mut self, new: u64, old: u64) {
        self.numbers.insert(new, old);
        self.taken.insert(old);
    }

    /// What has a GlobalId is what has it in the file.
    fn match_rooted(&mut self) {
        let mut ids: HashMap<(Kind, &str), u64> = HashMap::new();
        for old in self.file.instances.iter().filter(|old| old.entity.kind.is_rooted()) {
            if let Some(id) = old.entity.get("GlobalId").text() {
                ids.entry((old.entity.kind, id)).or_insert(old.number);
            }
        }
        let model = self.model;
        for (new, entity) in model.entities().filter(|(_, entity)| entity.kind.is_rooted()) {
            let id = entity.get("GlobalId").text().unwrap_or_default();
            if let Some(old) = ids.remove(&(entity.kind, id)) {
                self.take(new, old);
            }
        }
    }

    /// What an attribute refers to is what it refers to in the file.
    fn match_reached(&mut self) {
        let mut reached: Vec<(u64, u64)> = self.numbers.iter().map(|(n, o)| (*n, *o)).collect();
        reached.sort_unstable();
        let mut next = 0;
        while let Some((new, old)) = reached.get(next).copied() {
            next += 1;
            let (Some(new), Some(old)) = (self.model.get(new), self.by_number.get(&old).copied())
            else {
                continue;
            };
            for (one, other) in new.attributes.iter().zip(&old.entity.attributes) {
                match (one, other) {
                    (Value::Reference(new), Value::Reference(old)) => {
                        self.pair(*new, *old, &mut reached);
                    }
                    (Value::List(new), Value::List(old)) => {
                        let old: Vec<u64> = old.iter().filter_map(Value::reference).collect();
                        for (index, new) in new.iter().enumerate() {
                            let Some(new) = new.reference() else { continue };
                            let named =
                                old.iter().copied().find(|old| self.are_namesakes(new, *old));
                            if let Some(old) = named.or_else(|| self.unnamed(new, old.get(index))) {
                                self.pair(new, old, &mut reached);
                            }
                        }
                    }
                    _ => {}
                }
            }
        }
    }

    fn pair(&mut self, new: u64, old: u64, reached: &mut Vec<(u64, u64)>) {
        let (Some(entity), Some(instance)) = (self.model.get(new), self.by_number.get(&old)) else {
            return;
        };
        if entity.kind == instance.entity.kind
            && !entity.kind.is_rooted()
            && !self.numbers.contains_key(&new)
            && !self.taken.contains(&old)
        {
            self.take(new, old);
            reached.push((new, old));
        }
    }

    /// Whether two properties or quantities have one name.
    fn are_namesakes(&self, new: u64, old: u64) -> bool {
        let (Some(new), Some(old)) = (self.model.get(new), self.by_number.get(&old)) else {
            return false;
        };
        let name = name_of(new);
        name.is_some() && name == name_of(&old.entity) && new.kind == old.entity.kind
    }

    /// What stands at the same place of a list whose members have no names.
    fn unnamed(&self, new: u64, old: Option<&u64>) -> Option<u64> {
        self.model.get(new).filter(|new| name_of(new).is_none()).and(old.copied())
    }

    /// Whether the file shows room that the model no longer has: it would stand there as if it still followed.
    fn is_out_of_date(&self) -> bool {
        self.is_laid_out
            && self.file.instances.iter().any(|old| {
                let object = old.entity.get("ObjectType").text();
                old.entity.kind == Kind::VirtualElement
                    && object.is_some_and(|object| ROOM.contains(&object))
                    && !self.taken.contains(&old.number)
            })
    }

    /// The bytes, unless the file is in other units, or shows a course that no longer follows.
    fn write(mut self, scanned: &Scanned<'_>) -> Outcome {
        let mut greatest = self.file.greatest;
        let mut replaced = Vec::new();
        let mut added = String::new();
        let model = self.model;
        // What is new gets its number when it is first reached, so that nothing is added that nobody refers to.
        let mut waiting: Vec<u64> = model
            .entities()
            .filter(|(_, entity)| entity.kind.is_rooted())
            .map(|(number, _)| number)
            .collect();
        waiting.reverse();
        let mut done = HashSet::new();
        while let Some(new) = waiting.pop() {
            if !done.insert(new) {
                continue;
            }
            let Some(entity) = model.get(new) else { continue };
            let number = self.number(new, &mut greatest);
            let old = self.by_number.get(&number).copied();
            let is_unit = entity.kind.name().contains("Unit");
            let mut further = Vec::new();
            let mut attributes = Vec::with_capacity(entity.attributes.len());
            for (index, attribute) in entity.kind.info().attributes().enumerate() {
                let value = &entity.attributes[index];
                let before = old.and_then(|old| old.entity.attributes.get(index));
                let stays = before.is_some()
                    && (value.is_absent() && entity.kind != Kind::PropertySingle && !is_unit
                        || !self.is_laid_out && LAID_OUT.contains(&attribute.name));
                let stays = before.filter(|_| stays);
                if self.is_laid_out
                    && matches!(entity.kind, Kind::Tendon | Kind::TendonConduit)
                    && attribute.name == "Representation"
                    && stays.is_some_and(|before| !before.is_absent())
                {
                    return Outcome::OutOfDate;
                }
                attributes.push(match stays {
                    Some(before) => before.clone().into_owned(),
                    None => {
                        let mut value = self.numbered(value, &mut greatest, &mut further);
                        if let (Value::List(items), Some(Value::List(before))) =
                            (&mut value, before)
                            && SHARED.contains(&attribute.name)
                        {
                            *items = joined(before, std::mem::take(items));
                        }
                        value
                    }
                });
            }
            further.reverse();
            waiting.extend(further);
            let merged = Entity { kind: entity.kind, attributes };
            match old {
                Some(old) if same(&merged.attributes, &old.entity.attributes) => {}
                // What others state in the file's units would come to mean something else.
                Some(_) if is_unit => return Outcome::Another,
                Some(old) => replaced.push((old.span.0..old.span.1, text_of(number, &merged))),
                None => line(number, &merged, &mut added),
            }
        }
        replaced.sort_by_key(|(stretch, _)| stretch.start);
        Outcome::Patched(assembled(scanned, &replaced, &added))
    }

    /// The number of an entity of the model in the file.
    fn number(&mut self, new: u64, greatest: &mut u64) -> u64 {
        *self.numbers.entry(new).or_insert_with(|| {
            *greatest += 1;
            *greatest
        })
    }

    /// A value with the numbers of the file.
    fn numbered(
        &mut self,
        value: &Value<'static>,
        greatest: &mut u64,
        further: &mut Vec<u64>,
    ) -> Value<'static> {
        match value {
            Value::Reference(new) => {
                further.push(*new);
                Value::Reference(self.number(*new, greatest))
            }
            Value::List(items) => Value::List(
                items.iter().map(|item| self.numbered(item, greatest, further)).collect(),
            ),
            value => value.clone(),
        }
    }
}

/// The name by which a property or quantity is known in its set.
fn name_of<'e>(entity: &'e Entity<'_>) -> Option<&'e str> {
    matches!(
        entity.kind,
        Kind::PropertySingle
            | Kind::PropertyList
            | Kind::PropertyEnumerated
            | Kind::PropertyComplex
            | Kind::QuantityLength
            | Kind::QuantityWeight
            | Kind::QuantityCount
    )
    .then(|| entity.get("Name").text().unwrap_or_default())
}

/// An instance without its semicolon.
fn text_of(number: u64, entity: &Entity<'_>) -> String {
    let mut text = String::new();
    line(number, entity, &mut text);
    text.truncate(text.len() - ";\n".len());
    text
}

/// What was there, then what is new.
fn joined(before: &[Value<'_>], after: Vec<Value<'static>>) -> Vec<Value<'static>> {
    let mut all: Vec<Value<'static>> = before.iter().cloned().map(Value::into_owned).collect();
    for item in after {
        if !all.iter().any(|known| same_value(known, &item)) {
            all.push(item);
        }
    }
    all
}

fn same(one: &[Value<'_>], other: &[Value<'_>]) -> bool {
    one.len() == other.len() && one.iter().zip(other).all(|(one, other)| same_value(one, other))
}

/// Whether two values say the same, however they are written.
fn same_value(one: &Value<'_>, other: &Value<'_>) -> bool {
    match (one, other) {
        (Value::List(one), Value::List(other)) => same(one, other),
        (Value::Typed(name, one), Value::Typed(known, other)) => {
            name.eq_ignore_ascii_case(known) && same_value(one, other)
        }
        (Value::Word(one), Value::Word(other)) => one.eq_ignore_ascii_case(other),
        (Value::Number(_) | Value::Lexical(_), Value::Number(_) | Value::Lexical(_)) => {
            one.number() == other.number()
        }
        (one, other) => one == other,
    }
}
