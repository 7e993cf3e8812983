//! The schedule's own JSON: one document, or NDJSON with one record on each line.
//!
//! The document's form is that of [`restrand_model::schema::schedule`]; this crate reads it into frames
//! and writes it, and leaves it to the taker of the frames whether a record is valid.
//! What is JSON is for `serde_json` to judge; the walk over the text, which keeps the place of every
//! value, only meets text that has passed.
//!
//! This crate must not know files, other formats, or what the fields of a record mean.

mod depth;
mod document;
mod fault;
mod lines;
mod member;
mod patch;
mod probe;
mod record;
mod said;
mod source;
mod write;

use std::io;

use restrand_kit::{
    Budget, Confidence, Content, Description, Frames, LoadError, Loss, Output, Part, Parts, Plugin,
    WriteError, WriteOptions,
};

use said::Said;

/// The plugin for the schedule's JSON.
#[derive(Debug, Clone, Copy, Default)]
pub struct Json;

/// The two ways of laying a schedule out as JSON.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// One object with a list for each kind of record.
    Document,
    /// An object with one record on each line.
    Lines,
}

impl Form {
    /// The form that an ending stands for.
    fn of_ending(ending: &str) -> Option<Self> {
        let is = |known: &str| ending.eq_ignore_ascii_case(known);
        if is("json") {
            Some(Self::Document)
        } else if is("ndjson") || is("jsonl") {
            Some(Self::Lines)
        } else {
            None
        }
    }

    /// The form that a file's name stands for.
    fn of_name(name: &str) -> Option<Self> {
        Self::of_ending(name.rsplit_once('.')?.1)
    }
}

impl Plugin for Json {
    fn describe(&self) -> Description {
        Description {
            id: "json",
            summary: "the schedule's own JSON, as one document or with a record on each line",
            reads: &["json", "ndjson", "jsonl"],
            writes: &["json", "ndjson"],
        }
    }

    fn tendons_stated(&self) -> Option<String> {
        Some(
            "State the tendons in the list \"tendons\", as {\"restrand\": 1, \"tendons\": [{\"mark\": \"T1\"}]}; \
             the whole form is printed by restrand schema"
                .to_owned(),
        )
    }

    fn probe(&self, parts: Parts<'_>) -> Confidence {
        parts.only().map_or(Confidence::No, probe::probe)
    }

    fn load(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        let part = only(parts)?;
        let mut said = Said::new(part.name(), frames);
        let form = form_of(part)?;
        match form {
            Form::Document => document::load(part, budget, &mut said),
            Form::Lines => lines::load(part, budget, &mut said),
        }
    }

    fn write(
        &self,
        content: &Content<'_>,
        options: WriteOptions,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        let form = match options.ending {
            None => Form::Document,
            Some(ending) => Form::of_ending(ending).ok_or_else(|| {
                WriteError::Unsupported(format!("JSON is not written as .{ending}"))
            })?,
        };
        match form {
            Form::Document => write::document(content, output.part("schedule.json")?)?,
            Form::Lines => write::lines(content, output.part("schedule.ndjson")?)?,
        }
        Ok(Vec::new())
    }

    fn patch(
        &self,
        parts: Parts<'_>,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        let part = only(parts)?;
        let form = form_of(part)?;
        if let Some(ending) = options.ending
            && Form::of_ending(ending) != Some(form)
        {
            let name = part.name();
            return Err(WriteError::Unsupported(format!(
                "{name} is not changed in place into .{ending}; write a new file"
            )));
        }
        Ok(patch::patch(part, form, content, output.part(part.name())?)?)
    }
}

/// The one file that a schedule is.
fn only<'a>(parts: Parts<'a>) -> io::Result<&'a dyn Part> {
    parts.only().ok_or_else(|| {
        io::Error::new(io::ErrorKind::InvalidInput, "a document is one file; name it by itself")
    })
}

/// The form of a part, by its name, or else by what is in it.
fn form_of(part: &dyn Part) -> io::Result<Form> {
    Form::of_name(part.name()).map_or_else(|| form_of_content(part), Ok)
}

/// The form of a part whose name does not tell it: lines, if its first line is a whole object and more
/// follows, or is a record of one of the lists.
fn form_of_content(part: &dyn Part) -> io::Result<Form> {
    let mut lines = source::Lines::new(part);
    let mut first = true;
    while let Some((_, line)) = lines.next()? {
        if source::is_blank(line) {
            continue;
        }
        if !first {
            return Ok(Form::Lines);
        }
        first = false;
        if serde_json::from_slice::<serde::de::IgnoredAny>(line).is_err() {
            break;
        }
        if probe::is_record(line) {
            return Ok(Form::Lines);
        }
    }
    Ok(Form::Document)
}
