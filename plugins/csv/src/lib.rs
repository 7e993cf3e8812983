//! Schedules as CSV: a file for each sheet of the layout, in a folder or a zip archive, or one by itself.
//!
//! The layout and the meaning of cells are the kit's ([`restrand_kit::sheet`]); this crate knows the files:
//! their encodings, delimiters, quotes and lines.
//! Whatever a file leaves open is told: the encoding that was taken, the quote that does not close, the
//! number that can be read in two ways.
//!
//! CSV has no types. A value in quotes is a text; one without is a number, or true or false, if it is written
//! as restrand writes those, and a text else. So further values come back as what they were.
//! Nor has it a mark for texts that begin like a formula (`=`, `+`, `-`, `@`): they are written as they are,
//! since a mark would be part of the text for every other reader.
//!
//! Nothing here opens files, prints, or knows what a schedule is for.

mod files;
mod form;
mod number;
mod reading;
mod records;
mod text;
mod write;

use restrand_kit::archive::is_archive;
use restrand_kit::recognise::Mapping;
use restrand_kit::sheet::tendons_stated;
use restrand_kit::{
    Budget, Confidence, Content, Description, Frames, LoadError, Loss, Output, Part, Parts, Plugin,
    WriteError, WriteOptions,
};

use crate::files::{ARCHIVE, Files, TABLES, has_ending, is_text};
use crate::form::Form;
use crate::reading::Reading;
use crate::text::{Letters, Text};

/// The plugin for CSV.
#[derive(Debug, Clone, Copy, Default)]
pub struct Csv;

impl Plugin for Csv {
    fn describe(&self) -> Description {
        Description {
            id: "csv",
            summary: "CSV files, one for each sheet of the schedule: in a folder, in a zip archive, or one",
            reads: &["csv", "tsv", "txt", "zip"],
            writes: &["csv", "zip"],
        }
    }

    fn tendons_stated(&self) -> Option<String> {
        Some(tendons_stated())
    }

    fn probe(&self, parts: Parts<'_>) -> Confidence {
        match parts.only() {
            Some(part) => probe(part),
            None if parts.0.iter().any(|part| is_text(part.name())) => Confidence::Sure,
            None => Confidence::No,
        }
    }

    fn load(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        self.load_mapped(parts, budget, &Mapping::default(), frames)
    }

    fn takes_mapping(&self) -> bool {
        true
    }

    fn load_mapped(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        mapping: &Mapping,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        let files = Files::of(parts, budget)?;
        let mut reading = Reading::new(mapping, frames);
        for file in &files.texts {
            reading.file(file)?;
        }
        reading.finish()?;
        for name in &files.others {
            reading.not_a_text(name)?;
        }
        Ok(())
    }

    fn write(
        &self,
        content: &Content<'_>,
        options: WriteOptions,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        write::write(content, options, output)
    }
}

/// How sure it is that a part is CSV with a sheet of the layout, or an archive of such.
fn probe(part: &dyn Part) -> Confidence {
    /// Bytes that are looked at: titles and headers.
    const HEAD: usize = 16 * 1024;
    /// Headers that other texts do not have by chance.
    const TELLING: usize = 2;
    // Any text may be called .txt.
    let by_name =
        if has_ending(part.name(), TABLES) { Confidence::Perhaps } else { Confidence::No };
    let Ok(head) = files::head(part, HEAD) else { return by_name };
    if is_archive(&head) {
        return if files::holds_texts(part) {
            Confidence::Sure
        } else if has_ending(part.name(), &[ARCHIVE]) {
            Confidence::Perhaps
        } else {
            Confidence::No
        };
    }
    let Ok(letters) = Letters::of(&mut &*head) else { return by_name };
    let mut bytes = &*head;
    let Ok(text) = Text::new(&mut bytes, letters).beginning(2 * HEAD) else { return by_name };
    if Form::of(part.name(), &text).known >= TELLING {
        Confidence::Sure
    } else if by_name == Confidence::No && form::has_headers(&text) {
        Confidence::Perhaps
    } else {
        by_name
    }
}
