//! Writing a schedule, one record after another, so that only one stands in memory twice.

use std::io::{self, BufWriter, Write};

use restrand_model::reflect::{EXTRA, List, Record, View};
use restrand_model::schedule::{Schedule, VERSION};
use serde::Serialize;
use serde::ser::{Error as _, SerializeMap, Serializer};

use crate::member::VERSION_MEMBER;

/// Writes one document, indented by two spaces.
pub(crate) fn document(schedule: &Schedule, output: &mut dyn Write) -> io::Result<()> {
    let mut output = BufWriter::new(output);
    serde_json::to_writer_pretty(&mut output, &Document(schedule))?;
    output.write_all(b"\n")?;
    output.flush()
}

/// Writes a record on each line.
pub(crate) fn lines(schedule: &Schedule, output: &mut dyn Write) -> io::Result<()> {
    let mut output = BufWriter::new(output);
    line(&mut output, VERSION_MEMBER, &VERSION)?;
    for (name, view) in members(schedule) {
        match view {
            View::List(list) => {
                for index in 0..list.len() {
                    line(&mut output, name, &Stated(list.item(index)))?;
                }
            }
            view => line(&mut output, name, &Stated(view))?,
        }
    }
    if !schedule.extra.is_empty() {
        line(&mut output, EXTRA, &schedule.extra)?;
    }
    output.flush()
}

fn line(output: &mut impl Write, name: &str, value: &impl Serialize) -> io::Result<()> {
    serde_json::to_writer(&mut *output, &One(name, value))?;
    output.write_all(b"\n")
}

/// What the schedule states, in the order of the declaration, without the version.
fn members(schedule: &Schedule) -> impl Iterator<Item = (&'static str, View<'_>)> {
    let root: &dyn Record = schedule;
    root.info()
        .fields
        .iter()
        .enumerate()
        .filter(|(_, field)| field.name != VERSION_MEMBER)
        .map(move |(index, field)| (field.name, root.field(index).view()))
        .filter(|(_, view)| !view.is_absent())
}

/// A schedule as a document.
struct Document<'a>(&'a Schedule);

impl Serialize for Document<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry(VERSION_MEMBER, &VERSION)?;
        for (name, view) in members(self.0) {
            match view {
                View::List(list) => map.serialize_entry(name, &Items(list))?,
                view => map.serialize_entry(name, &Stated(view))?,
            }
        }
        if !self.0.extra.is_empty() {
            map.serialize_entry(EXTRA, &self.0.extra)?;
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
struct Items<'a>(&'a dyn List);

impl Serialize for Items<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq((0..self.0.len()).map(|index| Stated(self.0.item(index))))
    }
}

/// A value that is stated.
struct Stated<'a>(View<'a>);

impl Serialize for Stated<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0
            .to_value()
            .ok_or_else(|| S::Error::custom("an item of a list states nothing"))?
            .serialize(serializer)
    }
}
