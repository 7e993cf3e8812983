//! A model as a file holds it: entities by position, found by their numbers.

use restrand_model::reading::{Place, Problem, Span};

use crate::terms::Kind;
use crate::value::Entity;

/// What stands behind a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// The entity at this position.
    At(usize),
    /// An entity that a schedule does not need.
    Other,
    /// Nothing: the file defines no such entity.
    Nothing,
}

/// The same in four bytes, for a table of all numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Slot(u32);

impl Slot {
    /// Nothing.
    pub const NOTHING: Self = Self(0);
    /// An entity that a schedule does not need.
    pub const OTHER: Self = Self(1);

    /// The entity at a position; a position beyond some four thousand millions is none.
    #[must_use]
    pub fn at(position: usize) -> Self {
        Self(position.checked_add(2).and_then(|slot| u32::try_from(slot).ok()).unwrap_or(0))
    }

    /// What it says.
    #[must_use]
    pub const fn found(self) -> Found {
        match self.0 {
            0 => Found::Nothing,
            1 => Found::Other,
            position => Found::At(position as usize - 2),
        }
    }
}

/// Where an entity stands in its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// A stretch of bytes of the part.
    Span(Span),
    /// A line from zero, of a file inside the part, whose bytes nobody can look at again.
    Line(u32),
}

/// A model, of which threads read side by side.
pub trait Model: Sync {
    /// The name of the part, or of the file inside it.
    fn part(&self) -> &str;

    /// How many entities there are that a schedule may need.
    fn count(&self) -> usize;

    /// What the entity at a position is.
    fn kind(&self, at: usize) -> Kind;

    /// The entity at a position.
    ///
    /// # Errors
    /// Says as a clause why it cannot be read.
    fn entity(&self, at: usize) -> Result<Entity<'_>, String>;

    /// What stands behind a number.
    fn find(&self, number: u64) -> Found;

    /// Where the entity at a position stands.
    fn stand(&self, at: usize) -> Stand;

    /// How the file itself calls an entity of this number: `#77`, or its `id`.
    fn name(&self, number: u64) -> String;

    /// The number of the entity at a position.
    fn number(&self, at: usize) -> u64;

    /// The name of the schema that the file states, as `IFC4X3_ADD2`.
    fn schema(&self) -> &str;

    /// Where the file states it, if it does.
    fn schema_stand(&self) -> Option<Stand>;

    /// What the file itself got wrong.
    fn problems(&self) -> Vec<Problem>;

    /// The place of the entity at a position, for a problem.
    fn place(&self, at: usize) -> Place {
        place(self.part(), self.stand(at))
    }
}

/// The place where something stands.
#[must_use]
pub fn place(part: &str, stand: Stand) -> Place {
    match stand {
        Stand::Span(span) => Place::Text { part: part.to_owned(), span, path: Vec::new() },
        Stand::Line(line) => Place::Line {
            part: part.to_owned(),
            sheet: file_of(part).to_owned(),
            line,
            column: None,
        },
    }
}

/// The last name of a path.
#[must_use]
pub fn file_of(part: &str) -> &str {
    part.rsplit('/').next().unwrap_or(part)
}
