//! Whether a record's members are such as its schema takes.
//!
//! A schema takes a while to bring in order, and to say what is wrong; nearly all records are right. So each is
//! asked here first, and the schema where the answer is no. Both are made from the same declarations, and a test
//! of the intake holds them to the same answers.

use super::{EXTRA, GIVEN, GREATEST_COUNT, LONGEST_NAME, LONGEST_TEXT, takes};
use crate::reflect::{ChoiceInfo, Date, FieldInfo, RecordInfo, Shape};
use crate::schedule::{Schedule, VERSION};
use crate::value::{Fields, Value};

/// Whether the schema of a record type takes these members.
#[must_use]
pub fn fits(info: &RecordInfo, members: &Fields) -> bool {
    let mut next = 0;
    members.iter().all(|(name, value)| match info.index_from(next, name.as_str()) {
        Some(index) => {
            next = index + 1;
            field_takes(&info.fields[index], value)
        }
        None if name.as_str() == EXTRA => matches!(value, Value::Fields(_)),
        None if name.as_str() == GIVEN && info.name != Schedule::INFO.name => match value {
            Value::Fields(texts) => texts.iter().all(|(_, text)| is_text(text, 0, LONGEST_TEXT)),
            _ => false,
        },
        None => false,
    })
}

fn field_takes(field: &FieldInfo, value: &Value) -> bool {
    match field.shape {
        Shape::Number => matches!(value, Value::Number(number) if takes(field, *number)),
        Shape::Count if field.name == "restrand" => {
            matches!(value, Value::Number(number) if *number == f64::from(VERSION))
        }
        Shape::Count => is_count(value),
        Shape::Flag => matches!(value, Value::Flag(_)),
        Shape::Text => is_text(value, 0, LONGEST_TEXT),
        Shape::Date => matches!(value, Value::Text(text) if text.parse::<Date>().is_ok()),
        Shape::Choice(words) => is_word(value, words),
        Shape::Link(_) => is_text(value, 1, LONGEST_NAME),
        Shape::Counts => each(value, is_count),
        Shape::Texts => each(value, |item| is_text(item, 0, LONGEST_TEXT)),
        Shape::Choices(words) => each(value, |item| is_word(item, words)),
        Shape::Links(_) => each(value, |item| is_text(item, 1, LONGEST_NAME)),
        Shape::Record(info) => is_record(value, info()),
        Shape::Records(info) => each(value, |item| is_record(item, info())),
    }
}

fn is_count(value: &Value) -> bool {
    matches!(value, Value::Number(number)
        if number.fract() == 0.0 && (0.0..=f64::from(GREATEST_COUNT)).contains(number))
}

fn is_word(value: &Value, words: &[ChoiceInfo]) -> bool {
    matches!(value, Value::Text(text) if words.iter().any(|word| *word.name == **text))
}

/// Whether it is a text of so many letters; no text has more letters than bytes.
fn is_text(value: &Value, least: usize, most: usize) -> bool {
    let Value::Text(text) = value else { return false };
    text.len() >= least && (text.len() <= most || text.chars().count() <= most)
}

fn is_record(value: &Value, info: &RecordInfo) -> bool {
    matches!(value, Value::Fields(members) if fits(info, members))
}

fn each(value: &Value, takes: impl Fn(&Value) -> bool) -> bool {
    matches!(value, Value::List(items) if items.iter().all(takes))
}
