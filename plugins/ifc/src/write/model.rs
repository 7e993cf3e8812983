//! A model as it grows: entities in the order in which they are made, each known by its number.

use std::borrow::Cow;

use crate::terms::Kind;
use crate::{Entity, Value};

/// A model: its entities, numbered from one in their order.
#[derive(Debug, Clone, Default)]
pub struct Model {
    entities: Vec<Entity<'static>>,
}

impl Model {
    /// Adds an entity with these of its attributes; the others are absent.
    pub(super) fn add(
        &mut self,
        kind: Kind,
        given: impl IntoIterator<Item = (&'static str, Value<'static>)>,
    ) -> u64 {
        self.entities.push(Entity::of(kind, given));
        self.entities.len() as u64
    }

    /// States an attribute of an entity.
    pub(super) fn set(&mut self, number: u64, name: &str, value: Value<'static>) {
        let index = usize::try_from(number).ok().and_then(|number| number.checked_sub(1));
        if let Some(entity) = index.and_then(|index| self.entities.get_mut(index))
            && let Some(position) = entity.kind.info().position(name)
        {
            entity.attributes[position] = value;
        }
    }

    /// The entities with their numbers.
    pub fn entities(&self) -> impl ExactSizeIterator<Item = (u64, &Entity<'static>)> {
        self.entities.iter().enumerate().map(|(index, entity)| (index as u64 + 1, entity))
    }

    /// The entity of this number.
    #[must_use]
    pub fn get(&self, number: u64) -> Option<&Entity<'static>> {
        let index = usize::try_from(number).ok()?.checked_sub(1)?;
        self.entities.get(index)
    }
}

/// A text.
pub(super) fn text(text: impl Into<String>) -> Value<'static> {
    Value::Text(Cow::Owned(text.into()))
}

/// A text, or nothing.
pub(super) fn text_or_absent(text: Option<&str>) -> Value<'static> {
    text.map_or(Value::Absent, |text| Value::Text(Cow::Owned(text.to_owned())))
}

/// A word of an enumeration, in upper case.
pub(super) const fn word(word: &'static str) -> Value<'static> {
    Value::Word(Cow::Borrowed(word))
}

/// A whole number, which both formats write without a point.
pub(super) fn whole(number: i64) -> Value<'static> {
    Value::Lexical(Cow::Owned(number.to_string()))
}

/// A number, or nothing.
pub(super) fn number_or_absent(number: Option<f64>) -> Value<'static> {
    number.map_or(Value::Absent, Value::Number)
}

/// Numbers in order.
pub(super) fn numbers(numbers: impl IntoIterator<Item = f64>) -> Value<'static> {
    Value::List(numbers.into_iter().map(Value::Number).collect())
}

/// An entity.
pub(super) const fn entity(number: u64) -> Value<'static> {
    Value::Reference(number)
}

/// Entities; absent where there are none, for no set of IFC is empty.
pub(super) fn entities(numbers: impl IntoIterator<Item = u64>) -> Value<'static> {
    let list: Vec<_> = numbers.into_iter().map(Value::Reference).collect();
    if list.is_empty() { Value::Absent } else { Value::List(list) }
}

/// A simple value with its type.
pub(super) fn typed(name: &'static str, value: Value<'static>) -> Value<'static> {
    Value::Typed(Cow::Borrowed(name), Box::new(value))
}
