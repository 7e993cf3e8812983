//! A record's own members as the validator sees them, without a copy.

use std::borrow::Cow;

use jsonschema::JsonType;
use jsonschema::json::{Array, Json, JsonNumber, Node, NodeIdentity, Object};
use restrand_model::value::{Fields, Name, Value};
use serde_json::Value as Tree;

/// The members of a record as the validator sees them.
pub(super) struct Members;

impl Json for Members {
    type Node<'a> = Seen<'a>;
    type PreparedKey = Box<str>;
    type StringBuffer = Box<str>;

    // Members are searched one by one, so a pass over them is cheaper than looking each field up.
    const KEYS_PER_LOOKUP: usize = 64;
    const ACYCLIC: bool = true;

    fn prepare_key(key: &str) -> Box<str> {
        key.into()
    }

    fn with_string_node<T>(
        buffer: &mut Box<str>,
        string: &str,
        f: impl FnOnce(Seen<'_>) -> T,
    ) -> T {
        *buffer = string.into();
        f(Seen::Text(buffer))
    }
}

/// A value, or a record's members.
#[derive(Clone, Copy)]
pub(super) enum Seen<'a> {
    Value(&'a Value),
    Fields(&'a Fields),
    Text(&'a str),
}

pub(super) struct Number(f64);

impl JsonNumber for Number {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and within the exact range of a float"
    )]
    fn as_u64(&self) -> Option<u64> {
        (self.is_integer() && self.0 >= 0.0 && self.0 <= EXACT).then_some(self.0 as u64)
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole and within the exact range of a float"
    )]
    fn as_i64(&self) -> Option<i64> {
        (self.is_integer() && self.0.abs() <= EXACT).then_some(self.0 as i64)
    }

    fn as_f64(&self) -> Option<f64> {
        Some(self.0)
    }

    fn as_str(&self) -> Cow<'_, str> {
        Cow::Owned(self.0.to_string())
    }

    fn to_number(&self) -> Cow<'_, serde_json::Number> {
        // A value is finite by its making; zero stands in for what cannot be.
        Cow::Owned(serde_json::Number::from_f64(self.0).unwrap_or_else(|| 0.into()))
    }

    fn is_integer(&self) -> bool {
        self.0.fract() == 0.0
    }
}

/// 2^53, up to which a float holds every whole number.
const EXACT: f64 = 9_007_199_254_740_992.0;

impl<'a> Seen<'a> {
    fn of(value: &'a Value) -> Self {
        match value {
            Value::Fields(fields) => Self::Fields(fields),
            value => Self::Value(value),
        }
    }

    fn address(&self) -> usize {
        match self {
            Self::Value(value) => std::ptr::from_ref(*value) as usize,
            Self::Fields(fields) => std::ptr::from_ref(*fields) as usize,
            Self::Text(text) => text.as_ptr() as usize,
        }
    }
}

impl<'a> Node<'a, Members> for Seen<'a> {
    type Object = &'a Fields;
    type Array = &'a [Value];
    type Number = Number;

    fn as_object(&self) -> Option<&'a Fields> {
        match self {
            Self::Fields(fields) => Some(fields),
            _ => None,
        }
    }

    fn as_array(&self) -> Option<&'a [Value]> {
        match self {
            Self::Value(Value::List(items)) => Some(items),
            _ => None,
        }
    }

    fn as_string(&self) -> Option<Cow<'a, str>> {
        match self {
            Self::Value(Value::Text(text)) => Some(Cow::Borrowed(text)),
            Self::Text(text) => Some(Cow::Borrowed(text)),
            _ => None,
        }
    }

    fn as_number(&self) -> Option<Number> {
        match self {
            Self::Value(Value::Number(number)) => Some(Number(*number)),
            _ => None,
        }
    }

    fn as_boolean(&self) -> Option<bool> {
        match self {
            Self::Value(Value::Flag(flag)) => Some(*flag),
            _ => None,
        }
    }

    fn is_null(&self) -> bool {
        false
    }

    fn json_type(&self) -> JsonType {
        match self {
            Self::Fields(_) | Self::Value(Value::Fields(_)) => JsonType::Object,
            Self::Text(_) | Self::Value(Value::Text(_)) => JsonType::String,
            Self::Value(Value::Flag(_)) => JsonType::Boolean,
            Self::Value(Value::Number(_)) => JsonType::Number,
            Self::Value(Value::List(_)) => JsonType::Array,
        }
    }

    fn to_value(&self) -> Cow<'a, Tree> {
        Cow::Owned(match self {
            Self::Text(text) => Tree::String((*text).to_owned()),
            Self::Fields(fields) => tree(fields),
            Self::Value(value) => tree(value),
        })
    }

    fn identity(&self) -> Option<NodeIdentity> {
        Some(NodeIdentity::new(self.address()))
    }
}

fn tree(value: &(impl serde::Serialize + ?Sized)) -> Tree {
    serde_json::to_value(value).unwrap_or(Tree::Null)
}

impl<'a> Object<'a, Members> for &'a Fields {
    type Node = Seen<'a>;
    type MemberName = &'a str;
    type MembersIter = Walk<'a>;

    fn len(&self) -> usize {
        Fields::len(self)
    }

    fn get(&self, key: &Box<str>) -> Option<Seen<'a>> {
        Fields::get(self, key).map(Seen::of)
    }

    fn members(&self) -> Walk<'a> {
        Walk(self.iter())
    }
}

pub(super) struct Walk<'a>(std::slice::Iter<'a, (Name, Value)>);

impl<'a> Iterator for Walk<'a> {
    type Item = (&'a str, Seen<'a>);

    fn next(&mut self) -> Option<Self::Item> {
        self.0.next().map(|(name, value)| (name.as_str(), Seen::of(value)))
    }
}

impl<'a> Array<'a, Members> for &'a [Value] {
    type Node = Seen<'a>;
    type ElementsIter = std::iter::Map<std::slice::Iter<'a, Value>, fn(&'a Value) -> Seen<'a>>;

    fn len(&self) -> usize {
        <[Value]>::len(self)
    }

    fn elements(&self) -> Self::ElementsIter {
        self.iter().map(Seen::of)
    }
}
