//! From records to lines.

use std::io::{BufWriter, Write};

use restrand_kit::{Loss, Output, WriteError};
use restrand_model::reflect::{Record, View};
use restrand_model::schedule::Schedule;
use restrand_model::value::{Fields, Value};

use crate::HEAD;

pub(crate) fn write(schedule: &Schedule, output: &mut dyn Output) -> Result<Vec<Loss>, WriteError> {
    let mut out = BufWriter::new(output.part("schedule.strip")?);
    let mut losses = Vec::new();
    writeln!(out, "{HEAD}")?;
    let root: &dyn Record = schedule;
    for (index, field) in root.info().fields.iter().enumerate() {
        match root.field(index).view() {
            View::Record(record) => {
                line(&mut out, field.name, field.name, &record.to_fields(), &mut losses)?;
            }
            View::List(list) => {
                for position in 0..list.len() {
                    if let View::Record(record) = list.item(position) {
                        let route = match record.key() {
                            Some(key) => format!("{}[{key}]", field.name),
                            None => format!("{}[#{}]", field.name, position + 1),
                        };
                        line(&mut out, field.name, &route, &record.to_fields(), &mut losses)?;
                    }
                }
            }
            // The version of the document is none of this format's.
            _ => {}
        }
    }
    for (name, value) in &schedule.extra {
        losses.push(Loss {
            route: format!("extra.{name}"),
            value: value.to_string(),
            why: "a strip has no line for the schedule itself".to_owned(),
        });
    }
    out.flush()?;
    Ok(losses)
}

fn line(
    out: &mut impl Write,
    list: &str,
    route: &str,
    fields: &Fields,
    losses: &mut Vec<Loss>,
) -> Result<(), WriteError> {
    let mut text = list.to_owned();
    for (name, value) in fields {
        put(&mut text, name.as_str(), value, route, losses);
    }
    writeln!(out, "{text}")?;
    Ok(())
}

/// Adds a value, or all single values inside it.
fn put(text: &mut String, way: &str, value: &Value, route: &str, losses: &mut Vec<Loss>) {
    match value {
        Value::Fields(fields) => {
            for (name, value) in fields {
                // Only an owner's own names can be otherwise than words.
                if is_word(name.as_str()) {
                    put(text, &format!("{way}.{name}"), value, route, losses);
                } else {
                    losses.push(Loss {
                        route: format!("{route}.{way}.{name}"),
                        value: value.to_string(),
                        why: "a name in a strip is a word of letters, digits and underscores"
                            .to_owned(),
                    });
                }
            }
        }
        Value::List(items) => {
            for (position, value) in items.iter().enumerate() {
                put(text, &format!("{way}.{position}"), value, route, losses);
            }
        }
        Value::Text(value) => {
            let value = value.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n");
            text.push_str(&format!(" {way}=\"{value}\""));
        }
        Value::Number(number) => text.push_str(&format!(" {way}={number}")),
        Value::Flag(flag) => {
            text.push_str(&format!(" {way}={}", if *flag { "yes" } else { "no" }));
        }
    }
}

fn is_word(name: &str) -> bool {
    let mut letters = name.chars();
    letters.next().is_some_and(char::is_alphabetic)
        && letters.all(|letter| letter.is_alphanumeric() || letter == '_')
}
