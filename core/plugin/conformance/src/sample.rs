//! The schedule that plugins write, and the files that they are given to read.

use std::collections::BTreeMap;
use std::io;

use restrand_kit::{Bytes, Content, Loss, Output, WriteError, WriteOptions};
use restrand_model::reading::Provenance;
use restrand_model::reflect::fill;
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;

use crate::{Outcome, Subject, fail, skip};

/// A short schedule with records of several kinds, nested ones, and values of every type.
#[must_use]
pub fn schedule() -> Schedule {
    let mut schedule = Schedule::default();
    let document: Value = match serde_json::from_str(include_str!("sample.json")) {
        Ok(document) => document,
        Err(error) => unreachable!("the sample is part of this crate: {error}"),
    };
    if let Value::Fields(fields) = document
        && let Err(misfit) = fill(&mut schedule, fields)
    {
        unreachable!("the sample is part of this crate: {}: {}", misfit.path, misfit.needed);
    }
    schedule
}

/// Parts that are written, in memory.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Written(pub(crate) BTreeMap<String, Vec<u8>>);

impl Output for Written {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn io::Write> {
        Ok(self.0.entry(name.to_owned()).or_default())
    }
}

impl Written {
    /// The parts, to be read.
    pub(crate) fn parts(&self) -> Vec<Bytes> {
        self.0.iter().map(|(name, bytes)| Bytes::new(name, bytes.clone())).collect()
    }
}

/// Writes a schedule, and gives the parts and what they could not carry.
pub(crate) fn written(
    subject: &Subject<'_>,
    schedule: &Schedule,
    ending: Option<&str>,
) -> Result<(Written, Vec<Loss>), Outcome> {
    let provenance = Provenance::default();
    let mut output = Written::default();
    let options = WriteOptions { ending, ..WriteOptions::default() };
    match subject.plugin.write(&Content::new(schedule, &provenance), options, &mut output) {
        Ok(losses) if !output.0.is_empty() => Ok((output, losses)),
        Ok(_) => fail("it writes no part"),
        Err(WriteError::Plugin(failure)) => Err(failure.into()),
        Err(error) => fail(format!("it does not write: {error}")),
    }
}

/// The endings under which the plugin writes.
pub(crate) fn endings(subject: &Subject<'_>) -> Result<&'static [&'static str], Outcome> {
    match subject.plugin.describe().writes {
        [] => skip("it does not write"),
        endings => Ok(endings),
    }
}

/// Inputs of the plugin's format: those given, and what it writes.
pub(crate) fn inputs(subject: &Subject<'_>) -> Result<Vec<Vec<Bytes>>, Outcome> {
    let description = subject.plugin.describe();
    if description.reads.is_empty() {
        return skip("it does not read");
    }
    let mut inputs: Vec<Vec<Bytes>> =
        subject.samples.iter().map(|sample| vec![sample.clone()]).collect();
    for ending in description.writes {
        if description.reads.contains(ending) {
            inputs.push(written(subject, &schedule(), Some(ending))?.0.parts());
        }
    }
    if inputs.is_empty() {
        return skip("it does not write what it reads, and no sample was given");
    }
    Ok(inputs)
}
