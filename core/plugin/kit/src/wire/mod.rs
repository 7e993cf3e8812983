//! Frames, losses, descriptions and contents as lines of JSON: the form in which they cross the boundary to
//! a plugin that is a library of its own.
//!
//! A line is one object with one member, whose name says what it is.
//! The last line of a reading and of a writing is `end`, with the counts of what came before it, so that
//! lines that were lost on the way are noticed.
//! Reading is strict: what is not as agreed is a [`WireError`], and nothing is guessed.

mod content;
mod frame;
mod line;
mod place;
mod receive;

pub use content::{Carried, write_content};
pub use frame::{WireDescription, WireFailure, write_error, write_frame, write_loss};
pub use receive::{Received, Receiver, Refused, description};

/// Nesting above which no line is read; values of a schedule are nested less.
const DEEPEST: usize = 512;

/// Lines that are not as agreed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WireError {
    /// A line is not UTF-8, not JSON, or has members that it must not have.
    #[error("line {line} is not as agreed: {why}")]
    Malformed {
        /// The line, from one.
        line: u64,
        /// What is wrong, as a clause.
        why: String,
    },
    /// A line stands where it must not.
    #[error("line {line} is out of order: {why}")]
    OutOfOrder {
        /// The line, from one.
        line: u64,
        /// What is wrong, as a clause.
        why: String,
    },
    /// A place lies outside of the parts that were handed over.
    #[error("line {line} names a place outside of the input: {why}")]
    Outside {
        /// The line, from one.
        line: u64,
        /// What is wrong, as a clause.
        why: String,
    },
    /// The lines end without saying how many they are.
    #[error("the lines end without an end line, so some may be missing")]
    Unfinished,
    /// The counts of the end line are not those of the lines.
    #[error("the end line counts {counted}, but there were {seen}")]
    Miscounted {
        /// What the end line says.
        counted: String,
        /// What was seen.
        seen: String,
    },
}

/// The counts that an `end` line carries.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    /// Tables.
    pub tables: u64,
    /// Records.
    pub records: u64,
    /// Problems.
    pub problems: u64,
    /// Questions.
    pub questions: u64,
    /// Sheets that were understood.
    pub understood: u64,
    /// Losses.
    pub losses: u64,
}

impl Counts {
    /// Writes the `end` line.
    pub fn write_end(&self, lines: &mut Vec<u8>) {
        line::write(
            &line::Line::End(line::EndLine {
                tables: self.tables,
                records: self.records,
                problems: self.problems,
                questions: self.questions,
                understood: self.understood,
                losses: self.losses,
            }),
            lines,
        );
    }
}

impl std::fmt::Display for Counts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { tables, records, problems, questions, understood, losses } = self;
        write!(
            f,
            "{tables} tables, {records} records, {problems} problems, {questions} questions, {understood} understood sheets and {losses} losses"
        )
    }
}
