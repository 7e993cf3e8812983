//! The contract of a format plugin.

use std::io;

use restrand_model::quantity::System;
use restrand_model::reading::Place;

use crate::content::Content;
use crate::frame::{Frames, Stopped};
use crate::part::Parts;
use crate::recognise::Mapping;

/// What a plugin is and what it can do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Description {
    /// The short name by which users choose the format.
    pub id: &'static str,
    /// What the format is, in a few words.
    pub summary: &'static str,
    /// The endings of the file names it reads, in lower case, without the dot.
    pub reads: &'static [&'static str],
    /// The endings of the file names it writes.
    pub writes: &'static [&'static str],
}

/// How sure a plugin is that the parts are of its format.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Confidence {
    /// They are not.
    No,
    /// Nothing speaks against it, as the name's ending fits.
    Perhaps,
    /// The content shows it.
    Sure,
}

/// What a reading may cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    /// Bytes that compressed content may have unpacked.
    pub unpacked_bytes: u64,
    /// Levels of nesting.
    pub depth: u32,
}

impl Default for Budget {
    fn default() -> Self {
        Self { unpacked_bytes: 2_000_000_000, depth: 256 }
    }
}

/// In which way a plugin failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FailureKind {
    /// It ended before its call did.
    Crashed,
    /// It did not come to an end in time.
    TimedOut,
    /// It did, or handed over, what it must not.
    Misbehaved,
}

/// A plugin itself failed: nothing is known against what it was given.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct Failure {
    /// In which way it failed.
    pub kind: FailureKind,
    /// What happened, as a clause.
    pub why: String,
    /// What to do about it.
    pub help: String,
}

/// The parts as a whole cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// The content is not what the format needs, or more than the budget allows.
    #[error("{why}")]
    Unreadable {
        /// Where it shows.
        place: Place,
        /// What is wrong, as a clause.
        why: String,
        /// What to do about it.
        help: String,
    },
    /// The medium failed.
    #[error("the part cannot be read: {0}")]
    Medium(#[from] io::Error),
    /// The taker of the frames wanted no more.
    #[error("the reading was stopped")]
    Stopped,
    /// The plugin failed.
    #[error(transparent)]
    Plugin(#[from] Failure),
}

impl From<Stopped> for LoadError {
    fn from(_: Stopped) -> Self {
        Self::Stopped
    }
}

/// What to write.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct WriteOptions<'a> {
    /// The system of units in which people read it, where the format leaves a choice.
    pub system: System,
    /// The ending of the file name, without the dot, where a plugin writes several.
    pub ending: Option<&'a str>,
}

/// A value that a format could not carry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loss {
    /// The route of the value.
    pub route: String,
    /// The value.
    pub value: String,
    /// Why it could not be carried.
    pub why: String,
}

/// The schedule cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The format cannot do this.
    #[error("{0}")]
    Unsupported(String),
    /// The medium failed.
    #[error("the part cannot be written: {0}")]
    Medium(#[from] io::Error),
    /// The plugin failed.
    #[error(transparent)]
    Plugin(#[from] Failure),
}

/// Takes written parts.
pub trait Output {
    /// A place for the bytes of the part of this name.
    ///
    /// # Errors
    /// Whatever the medium reports.
    fn part(&mut self, name: &str) -> io::Result<&mut dyn io::Write>;
}

/// A format: reads its files into frames, writes schedules into its files.
pub trait Plugin: Send + Sync {
    /// What the plugin is and what it can do.
    fn describe(&self) -> Description;

    /// How a file of the format states its tendons: advice, in whole sentences, to the author of one in which no
    /// tendon was found.
    fn tendons_stated(&self) -> Option<String> {
        None
    }

    /// Looks at the parts, at as little of them as tells the format.
    fn probe(&self, parts: Parts<'_>) -> Confidence;

    /// Reads the parts into frames.
    ///
    /// What is wrong with one value or one record is a problem frame, and the reading goes on.
    ///
    /// # Errors
    /// The parts as a whole cannot be read.
    fn load(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError>;

    /// Whether it takes what a mapping file says of sheets.
    fn takes_mapping(&self) -> bool {
        false
    }

    /// Reads the parts into frames, as [`load`](Self::load) does, with what the user says of sheets that are not in
    /// the schedule's own layout.
    ///
    /// # Errors
    /// The parts as a whole cannot be read.
    fn load_mapped(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        mapping: &Mapping,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        let _ = mapping;
        self.load(parts, budget, frames)
    }

    /// The cells that hold the result of a formula, in any order; nothing where that cannot be told.
    ///
    /// Only corrections ask, so that a reading does not pay for it. A format without formulas has none.
    ///
    /// # Errors
    /// The parts as a whole cannot be read.
    fn calculated(
        &self,
        parts: Parts<'_>,
        budget: Budget,
    ) -> Result<Option<Vec<Place>>, LoadError> {
        let _ = (parts, budget);
        Ok(Some(Vec::new()))
    }

    /// Whether the format shows models, so that what it is asked to write comes with a layout.
    ///
    /// Laying out costs time, so that it is done only for formats that say so.
    fn takes_layout(&self) -> bool {
        false
    }

    /// Writes a schedule, and returns what it could not carry.
    ///
    /// # Errors
    /// The format cannot hold schedules, or the medium fails.
    fn write(
        &self,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError>;

    /// Writes the parts again with the changes of `content` in them, and leaves everything else of them as it is;
    /// returns what it could not carry.
    ///
    /// # Errors
    /// The format cannot be patched, or the medium fails.
    fn patch(
        &self,
        parts: Parts<'_>,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        let _ = (parts, content, options, output);
        let format = self.describe().id;
        Err(WriteError::Unsupported(format!(
            "a file of the format {format} is not yet changed in place; write a new one"
        )))
    }

    /// Writes the parts again, as [`patch`](Self::patch) does, where they were read with what the user says of
    /// them.
    ///
    /// # Errors
    /// The format cannot be patched, or the medium fails.
    fn patch_mapped(
        &self,
        parts: Parts<'_>,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        mapping: &Mapping,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        let _ = mapping;
        self.patch(parts, content, options, output)
    }
}
