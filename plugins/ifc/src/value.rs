//! Entities of a model, and the values of their attributes.

use std::borrow::Cow;

use crate::terms::{Form, Kind};

/// A value of an attribute, or an item of one.
#[derive(Debug, Clone, PartialEq)]
pub enum Value<'a> {
    /// Nothing is stated: `$`.
    Absent,
    /// The value follows from others: `*`.
    Derived,
    /// A number.
    Number(f64),
    /// A text.
    Text(Cow<'a, str>),
    /// A word of an enumeration, a boolean or a logical, in either case: `.MILLI.`, `milli`.
    Word(Cow<'a, str>),
    /// The text of a simple value whose type only the attribute tells, as XML writes numbers, texts and words.
    Lexical(Cow<'a, str>),
    /// An entity, by the number that it has in its model.
    Reference(u64),
    /// Values in order.
    List(Vec<Value<'a>>),
    /// A simple value with the name of its type, as `IFCLABEL('NEW')`.
    Typed(Cow<'a, str>, Box<Value<'a>>),
    /// Bits, which nothing here reads.
    Binary,
}

/// An entity with its attributes in the order of [`crate::terms::EntityInfo`].
#[derive(Debug, Clone, PartialEq)]
pub struct Entity<'a> {
    /// What it is.
    pub kind: Kind,
    /// Its attributes; those behind the last may be missing.
    pub attributes: Vec<Value<'a>>,
}

impl<'a> Value<'a> {
    /// The same value without a copy of its texts.
    #[must_use]
    pub fn borrowed(&self) -> Value<'_> {
        match self {
            Self::Absent => Value::Absent,
            Self::Derived => Value::Derived,
            Self::Number(number) => Value::Number(*number),
            Self::Text(own) => Value::Text(Cow::Borrowed(&**own)),
            Self::Word(own) => Value::Word(Cow::Borrowed(&**own)),
            Self::Lexical(own) => Value::Lexical(Cow::Borrowed(&**own)),
            Self::Reference(number) => Value::Reference(*number),
            Self::List(items) => Value::List(items.iter().map(Self::borrowed).collect()),
            Self::Typed(name, inner) => {
                Value::Typed(Cow::Borrowed(&**name), Box::new(inner.borrowed()))
            }
            Self::Binary => Value::Binary,
        }
    }

    /// The same value with texts of its own.
    #[must_use]
    pub fn into_owned(self) -> Value<'static> {
        let own = |text: Cow<'_, str>| Cow::Owned(text.into_owned());
        match self {
            Self::Absent => Value::Absent,
            Self::Derived => Value::Derived,
            Self::Number(number) => Value::Number(number),
            Self::Text(text) => Value::Text(own(text)),
            Self::Word(text) => Value::Word(own(text)),
            Self::Lexical(text) => Value::Lexical(own(text)),
            Self::Reference(number) => Value::Reference(number),
            Self::List(items) => Value::List(items.into_iter().map(Self::into_owned).collect()),
            Self::Typed(name, inner) => Value::Typed(own(name), Box::new(inner.into_owned())),
            Self::Binary => Value::Binary,
        }
    }

    /// Whether nothing is stated.
    #[must_use]
    pub const fn is_absent(&self) -> bool {
        matches!(self, Self::Absent | Self::Derived)
    }

    /// The number, if it is one; a typed one too.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Lexical(text) => parse_number(text),
            Self::Typed(_, inner) => inner.number(),
            _ => None,
        }
    }

    /// The text, if it is one; a typed one too.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) | Self::Lexical(text) => Some(text),
            Self::Typed(_, inner) => inner.text(),
            _ => None,
        }
    }

    /// The word, if it is one; a typed one too.
    #[must_use]
    pub fn word(&self) -> Option<&str> {
        match self {
            Self::Word(text) | Self::Lexical(text) => Some(text),
            Self::Typed(_, inner) => inner.word(),
            _ => None,
        }
    }

    /// True or false, if it is one of them; unknown is neither.
    #[must_use]
    pub fn flag(&self) -> Option<bool> {
        let word = self.word()?;
        let is = |known: &str| word.eq_ignore_ascii_case(known);
        if is("T") || is("true") {
            Some(true)
        } else if is("F") || is("false") {
            Some(false)
        } else {
            None
        }
    }

    /// The number of the entity, if it is one.
    #[must_use]
    pub const fn reference(&self) -> Option<u64> {
        match self {
            Self::Reference(number) => Some(*number),
            _ => None,
        }
    }

    /// The items, if it is a list; nothing of anything else.
    #[must_use]
    pub fn items(&self) -> &[Self] {
        match self {
            Self::List(items) => items,
            _ => &[],
        }
    }

    /// The numbers of the entities in a list.
    pub fn references(&self) -> impl Iterator<Item = u64> + '_ {
        self.items().iter().filter_map(Self::reference)
    }

    /// The numbers of a list, however it is nested; XML writes them in one text.
    #[must_use]
    pub fn numbers(&self) -> Option<Vec<f64>> {
        let mut numbers = Vec::new();
        self.gather(&mut numbers)?;
        Some(numbers)
    }

    /// Whether [`Self::numbers`] are any.
    #[must_use]
    pub fn is_numbers(&self) -> bool {
        match self {
            Self::Number(_) => true,
            Self::Lexical(text) => {
                text.split_ascii_whitespace().all(|word| parse_number(word).is_some())
            }
            Self::List(items) => items.iter().all(Self::is_numbers),
            Self::Typed(_, inner) => inner.is_numbers(),
            _ => false,
        }
    }

    fn gather(&self, numbers: &mut Vec<f64>) -> Option<()> {
        match self {
            Self::Number(number) => numbers.push(*number),
            Self::Lexical(text) => {
                for word in text.split_ascii_whitespace() {
                    numbers.push(parse_number(word)?);
                }
            }
            Self::List(items) => {
                numbers.reserve(items.len());
                for item in items {
                    item.gather(numbers)?;
                }
            }
            Self::Typed(_, inner) => inner.gather(numbers)?,
            _ => return None,
        }
        Some(())
    }
}

impl<'a> Entity<'a> {
    /// An entity with these of its attributes; the others are absent, or follow from others.
    #[must_use]
    pub fn of(kind: Kind, given: impl IntoIterator<Item = (&'static str, Value<'a>)>) -> Self {
        let absent = |form| if form == Form::Derived { Value::Derived } else { Value::Absent };
        let mut attributes: Vec<_> = kind.info().attributes().map(|one| absent(one.form)).collect();
        for (name, value) in given {
            match kind.info().position(name) {
                Some(position) => attributes[position] = value,
                None => {
                    unreachable!("{} has no attribute {name}, as tests would show", kind.name())
                }
            }
        }
        Self { kind, attributes }
    }

    /// The value of the attribute of this name; absent where the entity has none.
    #[must_use]
    pub fn get(&self, name: &str) -> &Value<'a> {
        let position = self.kind.info().position(name);
        position.and_then(|position| self.attributes.get(position)).unwrap_or(&Value::Absent)
    }
}

/// The finite number that a text writes, as Part 21 and XML Schema do.
fn parse_number(text: &str) -> Option<f64> {
    let text = text.trim();
    // Words that Rust takes for numbers are none in a model.
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    text.parse().ok().filter(|number: &f64| number.is_finite())
}
