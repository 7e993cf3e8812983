//! Values on their way between a file and a typed record.

use std::borrow::Borrow;
use std::fmt;
use std::sync::Arc;

use serde::de::{self, Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, SerializeMap, SerializeSeq, Serializer};

/// The name of a member: a field of the model, or one that only the file knows.
#[derive(Clone)]
pub enum Name {
    /// A field name of the model.
    Known(&'static str),
    /// A name taken from the file, shared by all rows of its column.
    Given(Arc<str>),
}

impl Name {
    /// The name as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        match self {
            Self::Known(name) => name,
            Self::Given(name) => name,
        }
    }
}

impl From<&str> for Name {
    fn from(name: &str) -> Self {
        Self::Given(name.into())
    }
}

impl Borrow<str> for Name {
    fn borrow(&self) -> &str {
        self.as_str()
    }
}

impl PartialEq for Name {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

impl Eq for Name {}

impl fmt::Debug for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// The members of an object, in the order in which they were given.
///
/// A name may stand twice: what that means is for the reader of the record to say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Fields(Vec<(Name, Value)>);

impl Fields {
    /// No members.
    #[must_use]
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// No members yet, with room for `capacity` of them.
    #[must_use]
    pub fn with_capacity(capacity: usize) -> Self {
        Self(Vec::with_capacity(capacity))
    }

    /// Makes room for `additional` more members.
    pub fn reserve(&mut self, additional: usize) {
        self.0.reserve_exact(additional);
    }

    /// The number of members.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is no member.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The value of the first member of this name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.0.iter().find(|(member, _)| member.as_str() == name).map(|(_, value)| value)
    }

    /// Adds a member at the end.
    pub fn push(&mut self, name: Name, value: Value) {
        self.0.push((name, value));
    }

    /// The object held by the member `name` at the end of the list, made if it is not there.
    ///
    /// Columns of one nested record usually stand side by side, so the last member is looked at first.
    pub fn nested(&mut self, name: &'static str) -> &mut Self {
        let index = match self.0.iter().rposition(|(member, value)| {
            member.as_str() == name && matches!(value, Value::Fields(_))
        }) {
            Some(index) => index,
            None => {
                self.0.push((Name::Known(name), Value::Fields(Self::new())));
                self.0.len() - 1
            }
        };
        match &mut self.0[index].1 {
            Value::Fields(fields) => fields,
            _ => unreachable!("the member was chosen, or made, as an object"),
        }
    }

    /// Takes out the first member of this name.
    pub fn take(&mut self, name: &str) -> Option<Value> {
        let index = self.0.iter().position(|(member, _)| member.as_str() == name)?;
        Some(self.0.remove(index).1)
    }

    /// The members in order.
    pub fn iter(&self) -> std::slice::Iter<'_, (Name, Value)> {
        self.0.iter()
    }

    /// The members in order, to be changed in place.
    pub fn iter_mut(&mut self) -> std::slice::IterMut<'_, (Name, Value)> {
        self.0.iter_mut()
    }
}

impl IntoIterator for Fields {
    type Item = (Name, Value);
    type IntoIter = std::vec::IntoIter<(Name, Value)>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Fields {
    type Item = &'a (Name, Value);
    type IntoIter = std::slice::Iter<'a, (Name, Value)>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl FromIterator<(Name, Value)> for Fields {
    fn from_iter<I: IntoIterator<Item = (Name, Value)>>(members: I) -> Self {
        Self(members.into_iter().collect())
    }
}

/// A value without its type: what JSON can say, but `null`, for an absent value is simply not there.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// True or false.
    Flag(bool),
    /// A finite number, in the unit of the field it is meant for.
    Number(f64),
    /// Text.
    Text(Box<str>),
    /// Values in order.
    List(Vec<Value>),
    /// A record.
    Fields(Fields),
}

impl Value {
    /// The value that a text of JSON writes, if it is one and not `null`.
    #[must_use]
    pub fn from_json(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    /// The value as JSON in one line.
    #[must_use]
    pub fn to_json(&self) -> String {
        // Every value has a form in JSON, as numbers are finite.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The text, if it is one.
    #[must_use]
    pub fn as_text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The number, if it is one.
    #[must_use]
    pub const fn as_number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// The members, if it is a record.
    #[must_use]
    pub const fn as_fields(&self) -> Option<&Fields> {
        match self {
            Self::Fields(fields) => Some(fields),
            _ => None,
        }
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Self::Text(text.into())
    }
}

impl fmt::Display for Value {
    /// Writes a number or a text as a person would type it, anything else as JSON.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flag(flag) => fmt::Display::fmt(flag, f),
            Self::Number(number) => fmt::Display::fmt(number, f),
            Self::Text(text) => f.write_str(text),
            Self::List(_) | Self::Fields(_) => f.write_str(&self.to_json()),
        }
    }
}

/// Writes whole numbers without a fraction, as people and integer fields expect.
pub(crate) fn serialize_number<S: Serializer>(
    number: f64,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    /// 2^53, up to which a float holds every whole number.
    const WHOLE: f64 = 9_007_199_254_740_992.0;
    if number.fract() == 0.0 && number.abs() < WHOLE {
        #[expect(clippy::cast_possible_truncation, reason = "whole and within the exact range")]
        serializer.serialize_i64(number as i64)
    } else {
        serializer.serialize_f64(number)
    }
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Flag(flag) => serializer.serialize_bool(*flag),
            Self::Number(number) => serialize_number(*number, serializer),
            Self::Text(text) => serializer.serialize_str(text),
            Self::List(items) => {
                let mut list = serializer.serialize_seq(Some(items.len()))?;
                for item in items {
                    list.serialize_element(item)?;
                }
                list.end()
            }
            Self::Fields(fields) => fields.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for Value {
    /// Reads any JSON value; `null` members and items are left out.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer
            .deserialize_any(AnyValue)?
            .ok_or_else(|| de::Error::custom("null stands where a value is expected"))
    }
}

/// A value, or nothing where the file says `null`.
struct MaybeValue(Option<Value>);

impl<'de> Deserialize<'de> for MaybeValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(AnyValue).map(Self)
    }
}

struct AnyValue;

impl<'de> Visitor<'de> for AnyValue {
    type Value = Option<Value>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_bool<E>(self, flag: bool) -> Result<Self::Value, E> {
        Ok(Some(Value::Flag(flag)))
    }

    #[expect(clippy::cast_precision_loss, reason = "the schedule's numbers are floats")]
    fn visit_i64<E>(self, number: i64) -> Result<Self::Value, E> {
        Ok(Some(Value::Number(number as f64)))
    }

    #[expect(clippy::cast_precision_loss, reason = "the schedule's numbers are floats")]
    fn visit_u64<E>(self, number: u64) -> Result<Self::Value, E> {
        Ok(Some(Value::Number(number as f64)))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Self::Value, E> {
        Ok(Some(Value::Number(number)))
    }

    fn visit_str<E>(self, text: &str) -> Result<Self::Value, E> {
        Ok(Some(Value::Text(text.into())))
    }

    fn visit_string<E>(self, text: String) -> Result<Self::Value, E> {
        Ok(Some(Value::Text(text.into_boxed_str())))
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(None)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Self::Value, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element::<MaybeValue>()? {
            list.extend(item.0);
        }
        Ok(Some(Value::List(list)))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Self::Value, A::Error> {
        let mut fields = Fields::new();
        while let Some(name) = members.next_key::<String>()? {
            if let MaybeValue(Some(value)) = members.next_value()? {
                fields.push(Name::Given(name.into()), value);
            }
        }
        Ok(Some(Value::Fields(fields)))
    }
}

impl Serialize for Fields {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.len()))?;
        for (name, value) in self {
            map.serialize_entry(name.as_str(), value)?;
        }
        map.end()
    }
}
