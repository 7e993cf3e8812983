//! Frames: what a plugin hands over while it reads.

use restrand_model::reading::{Apart, Problem, Question, Table, Understood};
use restrand_model::value::Fields;

pub use restrand_model::reading::At;

/// One thing that a plugin has read.
///
/// A record refers to the table frames by their order, from zero, so its table comes first.
#[derive(Debug)]
pub enum Frame {
    /// A sheet or list begins: which of its columns is which field.
    Table(Table),
    /// A record.
    Record(RecordFrame),
    /// Something could not be read, or only with doubt.
    Problem(Problem),
    /// Values of a column can mean two things, and none of them is taken.
    Question(Question),
    /// How a sheet that is not in the schedule's own layout was understood.
    Understood(Understood),
}

/// A record as it was read: values in SI, in the units of their fields' names.
#[derive(Debug)]
pub struct RecordFrame {
    /// The position of its table among the table frames.
    pub table: u32,
    /// Where in the table it stands.
    pub at: At,
    /// The names of its owner, one for each link column of the layout's sheet.
    pub links: Vec<Option<Box<str>>>,
    /// What it states; members that no field takes come under their own names.
    pub fields: Fields,
    /// Texts of cells whose value reads differently, by column of the sheet.
    pub texts: Vec<(u32, Box<str>)>,
    /// Values that stand elsewhere than the record, as the properties of a model.
    pub apart: Vec<Apart>,
}

/// The taker of frames wants no more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stopped;

/// Takes frames.
pub trait Frames {
    /// Takes one frame.
    ///
    /// # Errors
    /// The taker wants no more; the plugin ends its reading.
    fn take(&mut self, frame: Frame) -> Result<(), Stopped>;
}

impl<F: FnMut(Frame) -> Result<(), Stopped>> Frames for F {
    fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
        self(frame)
    }
}
