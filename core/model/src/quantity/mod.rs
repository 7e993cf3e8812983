//! Quantities as people write them: units, and numbers with units in a text.
//!
//! Inside, each quantity has one unit, which the last part of the field's name says
//! (`behind_mm`, `jacking_force_kn`); a number without such an ending is a ratio or a count.

mod angle;
mod described;
mod mark;
mod number;
mod side;
mod station;
mod text;
mod unit;

pub use described::{Pipe, Strands, pipe, strands};
pub use mark::{DecimalMark, Marks};
pub use number::shortest;
pub use side::sided;
pub use station::station;
pub use text::{Misread, feet_and_inches, read};
pub use unit::{Dimension, System, Unit, of_field};
