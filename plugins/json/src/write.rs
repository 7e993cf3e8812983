//! Writing a schedule, one record after another, so that only one stands in memory twice.

mod texts;

use std::io::{self, BufWriter, Write};

use restrand_kit::Content;
use restrand_model::reflect::{EXTRA, List, Record, View};
use restrand_model::route::Route;
use restrand_model::schedule::VERSION;
use serde::Serialize;
use serde::ser::{Error as _, SerializeMap, Serializer};

use crate::member::VERSION_MEMBER;
use texts::Texts;

/// Writes one document, indented by two spaces.
pub(crate) fn document(content: &Content<'_>, output: &mut dyn Write) -> io::Result<()> {
    let mut output = BufWriter::new(output);
    serde_json::to_writer_pretty(&mut output, &Document(&Texts::of(content)))?;
    output.write_all(b"\n")?;
    output.flush()
}

/// Writes a record on each line.
pub(crate) fn lines(content: &Content<'_>, output: &mut dyn Write) -> io::Result<()> {
    let mut output = BufWriter::new(output);
    let texts = Texts::of(content);
    line(&mut output, VERSION_MEMBER, &VERSION)?;
    for member in members(&texts) {
        match member.view {
            View::List(list) => {
                for item in member.items(list) {
                    line(&mut output, member.name, &item)?;
                }
            }
            _ => line(&mut output, member.name, &member)?,
        }
    }
    if !content.schedule.extra.is_empty() {
        line(&mut output, EXTRA, &content.schedule.extra)?;
    }
    output.flush()
}

fn line(output: &mut impl Write, name: &str, value: &impl Serialize) -> io::Result<()> {
    serde_json::to_writer(&mut *output, &One(name, value))?;
    output.write_all(b"\n")
}

/// What the schedule states, in the order of the declaration, without the version.
fn members<'a>(texts: &'a Texts<'a>) -> impl Iterator<Item = Stated<'a>> {
    let root: &dyn Record = texts.schedule();
    root.info()
        .fields
        .iter()
        .enumerate()
        .filter(|(_, field)| field.name != VERSION_MEMBER)
        .map(move |(index, field)| Stated {
            name: field.name,
            view: root.field(index).view(),
            route: Route::root().field(field.name),
            texts,
        })
        .filter(|member| !member.view.is_absent())
}

/// A schedule as a document.
struct Document<'a>(&'a Texts<'a>);

impl Serialize for Document<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry(VERSION_MEMBER, &VERSION)?;
        for member in members(self.0) {
            match member.view {
                View::List(list) => map.serialize_entry(member.name, &Items(&member, list))?,
                _ => map.serialize_entry(member.name, &member)?,
            }
        }
        let extra = &self.0.schedule().extra;
        if !extra.is_empty() {
            map.serialize_entry(EXTRA, extra)?;
        }
        map.end()
    }
}

/// An object with one member.
struct One<'a, V>(&'a str, &'a V);

impl<V: Serialize> Serialize for One<'_, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(1))?;
        map.serialize_entry(self.0, self.1)?;
        map.end()
    }
}

/// The items of a list.
struct Items<'a>(&'a Stated<'a>, &'a dyn List);

impl Serialize for Items<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.items(self.1))
    }
}

/// A value that is stated, and the way to it.
struct Stated<'a> {
    name: &'static str,
    view: View<'a>,
    route: Route,
    texts: &'a Texts<'a>,
}

impl<'a> Stated<'a> {
    fn items(&self, list: &'a dyn List) -> impl Iterator<Item = Stated<'a>> {
        (0..list.len()).map(move |index| Stated {
            name: self.name,
            view: list.item(index),
            route: self.route.item(index),
            texts: self.texts,
        })
    }
}

impl Serialize for Stated<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.texts
            .value(self.view, &self.route)
            .ok_or_else(|| S::Error::custom("an item of a list states nothing"))?
            .serialize(serializer)
    }
}
