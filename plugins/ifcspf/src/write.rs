//! Entities as a STEP physical file.

mod encode;
mod patch;

use std::io::{self, Write};

use restrand_ifc::write::{Head, Model, model};
use restrand_ifc::{Entity, Value};
use restrand_kit::{Content, Loss};

pub(crate) use encode::{real, string};
pub(crate) use patch::{Patched, patch};

/// What the file says wrote it.
const PROGRAM: &str = "restrand";

/// The schema that is written.
const SCHEMA: &str = "IFC4X3_ADD2";

/// Writes the model of a schedule.
pub(crate) fn write(content: &Content<'_>, out: &mut dyn Write) -> io::Result<Vec<Loss>> {
    let (model, head, losses) = model(content);
    out.write_all(file(&model, &head).as_bytes())?;
    Ok(losses)
}

fn file(model: &Model, head: &Head) -> String {
    let mut text = String::with_capacity(model.entities().len() * 80);
    text.push_str("ISO-10303-21;\nHEADER;\n");
    text.push_str("FILE_DESCRIPTION(('ViewDefinition [NotAssigned]'),'2;1');\nFILE_NAME(");
    let release = format!("{PROGRAM} {}", env!("CARGO_PKG_VERSION"));
    string(&head.name, &mut text);
    text.push(',');
    string(&head.time, &mut text);
    for list in [&head.author, &head.organization] {
        text.push_str(",(");
        string(list, &mut text);
        text.push(')');
    }
    for one in [release.as_str(), PROGRAM, ""] {
        text.push(',');
        string(one, &mut text);
    }
    text.push_str(");\nFILE_SCHEMA((");
    string(SCHEMA, &mut text);
    text.push_str("));\nENDSEC;\nDATA;\n");
    for (number, entity) in model.entities() {
        line(number, entity, &mut text);
    }
    text.push_str("ENDSEC;\nEND-ISO-10303-21;\n");
    text
}

/// One entity on a line of its own.
pub(crate) fn line(number: u64, entity: &Entity<'_>, text: &mut String) {
    text.push('#');
    text.push_str(&number.to_string());
    text.push('=');
    text.push_str(&entity.kind.name().to_ascii_uppercase());
    list(&entity.attributes, text);
    text.push_str(";\n");
}

fn list(values: &[Value<'_>], text: &mut String) {
    text.push('(');
    for (index, one) in values.iter().enumerate() {
        if index > 0 {
            text.push(',');
        }
        value(one, text);
    }
    text.push(')');
}

fn value(value_of: &Value<'_>, text: &mut String) {
    match value_of {
        // Bits are made by nobody here.
        Value::Absent | Value::Binary => text.push('$'),
        Value::Derived => text.push('*'),
        Value::Number(number) => real(*number, text),
        Value::Text(said) => string(said, text),
        Value::Word(word) => {
            text.push('.');
            text.push_str(&word.to_ascii_uppercase());
            text.push('.');
        }
        Value::Lexical(whole) => text.push_str(whole),
        Value::Reference(number) => {
            text.push('#');
            text.push_str(&number.to_string());
        }
        Value::List(values) => list(values, text),
        Value::Typed(name, inner) => {
            text.push_str(&name.to_ascii_uppercase());
            text.push('(');
            value(inner, text);
            text.push(')');
        }
    }
}
