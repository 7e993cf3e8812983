//! Changing values in the text of a file, and leaving every other byte of it.
//!
//! A record of a list is cut out, changed by itself, and put back in its place: what stands around it is copied
//! as it is. A value that was not stated is added in the way in which its neighbours are written.

mod edit;

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_kit::{Change, Content, Loss, Part};
use restrand_model::reading::Place;
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;

use crate::Form;
use crate::source;

/// A value, and the way to it from the record that is changed.
struct Edit<'c> {
    path: Vec<String>,
    change: &'c Change,
}

/// The changes of one stretch of the file.
#[derive(Default)]
struct Stretch<'c> {
    end: usize,
    edits: Vec<Edit<'c>>,
}

/// Writes the part again with the changes in it; returns those that have no place in it.
pub(crate) fn patch(
    part: &dyn Part,
    form: Form,
    content: &Content<'_>,
    output: &mut dyn Write,
) -> io::Result<Vec<Loss>> {
    let held;
    let bytes = match part.slice() {
        Some(bytes) => bytes,
        None => {
            held = source::read_all(part)?;
            &held
        }
    };
    let (mut stretches, of_no_record) = sorted(content);
    let mut losses = Vec::new();
    let mut whole = Vec::with_capacity(bytes.len());
    let mut copied = 0;
    for (start, stretch) in &mut stretches {
        let text = bytes.get(*start..stretch.end).filter(|_| *start >= copied);
        let text = text.and_then(|bytes| std::str::from_utf8(bytes).ok()).ok_or_else(elsewhere)?;
        whole.extend_from_slice(&bytes[copied..*start]);
        let mut text = text.to_owned();
        make(&mut text, &mut stretch.edits, &mut losses);
        whole.extend_from_slice(text.as_bytes());
        copied = stretch.end;
    }
    whole.extend_from_slice(&bytes[copied..]);
    if !of_no_record.is_empty() {
        add(&mut whole, form, of_no_record, &mut losses)?;
    }
    output.write_all(&whole)?;
    output.flush()?;
    Ok(losses)
}

/// The changes by the stretch of the record that holds them, and those of records that the file does not have.
fn sorted<'c>(content: &Content<'c>) -> (BTreeMap<usize, Stretch<'c>>, Vec<Edit<'c>>) {
    let mut stretches: BTreeMap<usize, Stretch<'c>> = BTreeMap::new();
    let mut of_no_record = Vec::new();
    for change in content.changes {
        let (record, path) = change.route.source(content.schedule);
        let Some(Place::Text { span, path, .. }) = content.provenance.place(record, &path) else {
            of_no_record.push(Edit { path: change.route.names(), change });
            continue;
        };
        let stretch = stretches.entry(position(span.start)).or_default();
        stretch.end = position(span.end);
        stretch.edits.push(Edit { path, change });
    }
    (stretches, of_no_record)
}

fn position(byte: u64) -> usize {
    usize::try_from(byte).unwrap_or(usize::MAX)
}

/// The error of a place that the part does not have: it is another one than was read.
fn elsewhere() -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, "the file is not the one that was read")
}

/// Makes the changes in the text of one object.
fn make(text: &mut String, edits: &mut [Edit<'_>], losses: &mut Vec<Loss>) {
    // An item that is taken out moves the ones behind it, so the last of a list goes first.
    edits.sort_by(|one, other| match (&one.change.after, &other.change.after) {
        (None, None) => other.change.route.cmp(&one.change.route),
        (after, other) => after.is_none().cmp(&other.is_none()),
    });
    for Edit { path, change } in edits {
        let value = change.after.as_ref();
        if edit::set(text, path, value).is_err() {
            losses.push(Loss {
                route: change.route.names().join("."),
                value: value.map_or_else(String::new, Value::to_string),
                why: "the file has no such place".to_owned(),
            });
            continue;
        }
        edit::forget_text(text, path);
    }
}

/// Adds what belongs to no record of the file: to the document's object, or on lines of its own.
fn add(
    whole: &mut Vec<u8>,
    form: Form,
    mut edits: Vec<Edit<'_>>,
    losses: &mut Vec<Loss>,
) -> io::Result<()> {
    match form {
        Form::Document => {
            let (mark, rest) = source::without_mark(whole);
            let mut text = std::str::from_utf8(rest).map_err(|_| elsewhere())?.to_owned();
            make(&mut text, &mut edits, losses);
            whole.truncate(mark);
            whole.extend_from_slice(text.as_bytes());
        }
        Form::Lines => {
            let mut lines: BTreeMap<usize, (String, Vec<Edit<'_>>)> = BTreeMap::new();
            for edit in edits {
                let index = edit.path.first().and_then(|name| Schedule::INFO.index_of(name));
                let line = lines.entry(index.unwrap_or(usize::MAX)).or_default();
                line.0 = "{}".to_owned();
                line.1.push(edit);
            }
            for (mut text, mut edits) in lines.into_values() {
                make(&mut text, &mut edits, losses);
                if !whole.ends_with(b"\n") {
                    whole.push(b'\n');
                }
                whole.extend_from_slice(text.as_bytes());
                whole.push(b'\n');
            }
        }
    }
    Ok(())
}
