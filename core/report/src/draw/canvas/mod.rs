//! Paper to draw on: lines, hatches, texts with measured boxes, dimensions, labels that keep clear of one another, and
//! the sheet round them.
//!
//! All positions are on paper, in mm, from the upper left corner; it knows nothing of tendons.

mod dimension;
mod geometry;
mod hatch;
mod label;
mod letters;
mod pen;
mod row;
mod scale;
mod scene;
mod sheet;
mod svg;
mod table;

pub(super) use dimension::Lanes;
pub(super) use geometry::{Point, Rect, arc};
pub(super) use label::Label;
pub(super) use letters::{TEXT_MM, text_width_mm};
pub(super) use pen::{Hatch, Pen, Sample};
pub(super) use scale::{View, bar, fitting, scale_words};
pub(super) use scene::{Anchor, Scene};
pub(super) use sheet::{CONTENT, Heading, finish};
