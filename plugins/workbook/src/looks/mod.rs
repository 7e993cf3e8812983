//! What of a sheet is not in its cells: what is merged, hidden, struck or struck in part, and units in number formats.
//!
//! Only sheets that are not in the schedule's own layout are looked at so. What cannot be read here was told of
//! when the values were read, or is no more than a look.

mod binary;
mod old;
mod open;
mod runs;
mod xml;

pub(crate) use binary::of_xlsb;
pub(crate) use old::of_xls;
pub(crate) use open::of_ods;
pub(crate) use runs::Shared;
pub(crate) use xml::{of_xlsx, sheets};
