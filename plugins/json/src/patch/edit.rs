//! One value in the text of one object: found as the reading finds it, and changed where it stands.

use std::ops::Range;

use restrand_model::reflect::GIVEN;
use restrand_model::value::Value;

use restrand_kit::json_text::{Walk, unquoted};

/// The way leads to nothing that could be changed.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Nowhere;

/// Something in a list or an object, with its value.
#[derive(Debug, Clone)]
struct Entry {
    /// From the name, or from the value of an item, to the end of the value.
    all: Range<usize>,
    value: Range<usize>,
}

/// States a value, or takes it out where there is none.
pub(super) fn set(
    text: &mut String,
    path: &[String],
    value: Option<&Value>,
) -> Result<(), Nowhere> {
    let (_, way) = path.split_last().ok_or(Nowhere)?;
    let mut at = 0;
    for (depth, step) in path.iter().enumerate() {
        let entries = entries(text, at);
        let Some(found) = position(text, at, &entries, step) else {
            let Some(value) = value else { return Ok(()) };
            return insert(text, at, &entries, step, &nested(&path[depth + 1..], value)?);
        };
        let Entry { value: stands, .. } = &entries[found];
        if depth < way.len() && text[stands.clone()].starts_with(['{', '[']) {
            at = stands.start;
            continue;
        }
        match value {
            // Nothing is stated inside of what is no record.
            None if depth < way.len() => {}
            None => remove(text, &entries, found),
            Some(value) => {
                let rest = &path[depth + 1..];
                // A number that says the same already stays as it is written.
                if !rest.is_empty() || !says(&text[stands.clone()], value) {
                    text.replace_range(stands.clone(), &nested(rest, value)?);
                }
            }
        }
        return Ok(());
    }
    Err(Nowhere)
}

/// Takes out the text by which the document says how the value, or the list that holds it, was given.
pub(super) fn forget_text(text: &mut String, path: &[String]) {
    let is_item = path.last().is_some_and(|last| last.parse::<usize>().is_ok());
    let to_value = &path[..path.len() - usize::from(is_item)];
    for depth in 0..to_value.len() {
        let name = to_value[depth..].join(".");
        let mut way = to_value[..depth].to_vec();
        way.push(GIVEN.to_owned());
        let Some(at) = object(text, &way) else { continue };
        let texts = entries(text, at);
        let Some(found) = position(text, at, &texts, &name) else { continue };
        if texts.len() > 1 {
            remove(text, &texts, found);
        } else {
            // The map would be empty; it is where the way led, so it can be taken out.
            let taken = set(text, &way, None);
            debug_assert_eq!(taken, Ok(()));
        }
    }
}

/// Where the object or list at the end of a way begins.
fn object(text: &str, way: &[String]) -> Option<usize> {
    let mut at = 0;
    for step in way {
        let entries = entries(text, at);
        let found = position(text, at, &entries, step)?;
        at = entries[found].value.start;
        if !text[at..].starts_with(['{', '[']) {
            return None;
        }
    }
    Some(at)
}

/// What the object or the list that begins here holds.
fn entries(text: &str, at: usize) -> Vec<Entry> {
    let mut entries = Vec::new();
    let mut walk = Walk::new(text, at);
    if text[at..].starts_with('[') {
        walk.enter();
        while walk.item() {
            let value = walk.skip();
            entries.push(Entry { all: value.clone(), value });
        }
    } else {
        walk.enter();
        while let Some(name) = walk.member() {
            let value = walk.skip();
            entries.push(Entry { all: name.start..value.end, value });
        }
    }
    entries
}

/// The entry that a step leads to: of members of one name the first that says something, and of items those that
/// do are counted, as in the reading.
fn position(text: &str, at: usize, entries: &[Entry], step: &str) -> Option<usize> {
    let says = |entry: &&(usize, &Entry)| &text[entry.1.value.clone()] != "null";
    let all: Vec<_> = entries.iter().enumerate().collect();
    if text[at..].starts_with('[') {
        let index: usize = step.parse().ok()?;
        return all.iter().filter(says).nth(index).map(|(found, _)| *found);
    }
    let named: Vec<_> =
        all.into_iter().filter(|(_, entry)| name(text, entry).as_deref() == Some(step)).collect();
    named.iter().find(says).or(named.first()).map(|(found, _)| *found)
}

/// The name of a member.
fn name(text: &str, entry: &Entry) -> Option<String> {
    let quoted = Walk::new(text, entry.all.start).skip();
    unquoted(&text[quoted]).map(std::borrow::Cow::into_owned)
}

/// Adds a member to the object that begins here, written as the one before it is.
fn insert(
    text: &mut String,
    at: usize,
    entries: &[Entry],
    name: &str,
    value: &str,
) -> Result<(), Nowhere> {
    if !text[at..].starts_with('{') {
        return Err(Nowhere);
    }
    let name = Value::Text(name.into());
    let name = written(&name)?;
    let Some(last) = entries.last() else {
        text.insert_str(at + 1, &format!("{name}: {value}"));
        return Ok(());
    };
    let before = entries.len().checked_sub(2).map_or(at + 1, |index| entries[index].all.end);
    let gap = text[before..last.all.start].trim_start_matches(',').to_owned();
    let quoted = Walk::new(text, last.all.start).skip();
    let colon = &text[quoted.end..last.value.start];
    let member = format!(",{gap}{name}{colon}{value}");
    text.insert_str(last.all.end, &member);
    Ok(())
}

/// Takes out an entry with the comma that parts it from the next, or from the one before it.
fn remove(text: &mut String, entries: &[Entry], found: usize) {
    let all = entries[found].all.clone();
    let stretch = match (entries.get(found + 1), found.checked_sub(1)) {
        (Some(next), _) => all.start..next.all.start,
        (None, Some(before)) => entries[before].all.end..all.end,
        (None, None) => all,
    };
    text.replace_range(stretch, "");
}

/// The value inside of records that hold one another by these names.
fn nested(names: &[String], value: &Value) -> Result<String, Nowhere> {
    let mut text = written(value)?;
    for name in names.iter().rev() {
        // An item of a list that is not there has no place.
        if name.parse::<usize>().is_ok() {
            return Err(Nowhere);
        }
        text = format!("{{{}: {text}}}", written(&Value::Text(name.as_str().into()))?);
    }
    Ok(text)
}

fn written(value: &Value) -> Result<String, Nowhere> {
    serde_json::to_string(value).map_err(|_| Nowhere)
}

/// Whether a text says this number.
fn says(text: &str, value: &Value) -> bool {
    matches!(value, Value::Number(number) if text.parse::<f64>().is_ok_and(|said| said == *number))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(text: &str, path: &str, value: Option<Value>) -> String {
        let path: Vec<_> = path.split('/').map(str::to_owned).collect();
        let mut text = text.to_owned();
        set(&mut text, &path, value.as_ref()).unwrap();
        forget_text(&mut text, &path);
        text
    }

    fn number(number: f64) -> Option<Value> {
        Some(Value::Number(number))
    }

    #[test]
    fn a_value_is_replaced_and_nothing_else() {
        for (before, path, value, expected) in [
            (r#"{ "a" : 9.20 ,"b":1}"#, "a", number(7.4), r#"{ "a" : 7.4 ,"b":1}"#),
            (r#"{"a":1e3}"#, "a", number(1000.0), r#"{"a":1e3}"#),
            (r#"{"a":null,"a":1,"a":2}"#, "a", number(3.0), r#"{"a":null,"a":3,"a":2}"#),
            (r#"{"\u0061":"x"}"#, "a", Some(Value::Flag(true)), r#"{"\u0061":true}"#),
            (r#"{"a":[1, null, {"b": 2}]}"#, "a/1/b", number(3.0), r#"{"a":[1, null, {"b": 3}]}"#),
            (r#"{"a":"text"}"#, "a/b", number(1.0), r#"{"a":{"b": 1}}"#),
        ] {
            assert_eq!(after(before, path, value), expected);
        }
    }

    #[test]
    fn what_was_not_stated_is_added_as_its_neighbours_are_written() {
        for (before, path, expected) in [
            ("{\n  \"a\": 1,\n  \"b\": 2\n}", "c", "{\n  \"a\": 1,\n  \"b\": 2,\n  \"c\": 5\n}"),
            (r#"{"a":1}"#, "c", r#"{"a":1,"c":5}"#),
            (r#"{ "a": 1 }"#, "c/d", r#"{ "a": 1, "c": {"d": 5} }"#),
            ("{}", "c", r#"{"c": 5}"#),
            (r#"{"a": {}}"#, "a/c", r#"{"a": {"c": 5}}"#),
            (r#"{"a": null}"#, "a/c", r#"{"a": {"c": 5}}"#),
        ] {
            assert_eq!(after(before, path, number(5.0)), expected);
        }
    }

    #[test]
    fn what_is_taken_out_takes_its_comma_along() {
        for (before, path, expected) in [
            (r#"{"a": 1, "b": 2}"#, "a", r#"{"b": 2}"#),
            (r#"{"a": 1, "b": 2}"#, "b", r#"{"a": 1}"#),
            (r#"{ "a": 1 }"#, "a", "{  }"),
            (r#"{"a": [1, 2, 3]}"#, "a/1", r#"{"a": [1, 3]}"#),
            (r#"{"a": 1}"#, "b", r#"{"a": 1}"#),
            (r#"{"a": 1}"#, "b/c", r#"{"a": 1}"#),
        ] {
            assert_eq!(after(before, path, None), expected);
        }
    }

    #[test]
    fn the_text_of_a_changed_value_goes() {
        for (before, path, expected) in [
            (
                r#"{"a": 1, "given": {"a": "1 mm", "b": "2"}}"#,
                "a",
                r#"{"a": 5, "given": {"b": "2"}}"#,
            ),
            (r#"{"a": 1, "given": {"a": "1 mm"}, "b": 2}"#, "a", r#"{"a": 5, "b": 2}"#),
            (r#"{"r": {"a": 1}, "given": {"r.a": "1 mm"}}"#, "r/a", r#"{"r": {"a": 5}}"#),
            (r#"{"r": {"a": 1, "given": {"a": "1"}}}"#, "r/a", r#"{"r": {"a": 5}}"#),
            (r#"{"l": [1, 2], "given": {"l": "1, 2"}}"#, "l/0", r#"{"l": [5, 2]}"#),
        ] {
            assert_eq!(after(before, path, number(5.0)), expected);
        }
    }

    #[test]
    fn a_way_that_leads_nowhere_changes_nothing() {
        for path in [&["a", "3"][..], &["a", "x"], &[]] {
            let path: Vec<_> = path.iter().map(|step| (*step).to_owned()).collect();
            let mut text = r#"{"a": [1]}"#.to_owned();
            assert_eq!(set(&mut text, &path, number(1.0).as_ref()), Err(Nowhere));
            assert_eq!(text, r#"{"a": [1]}"#);
        }
    }
}
