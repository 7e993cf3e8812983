//! A schedule that is written into the model it came from: what says something else is replaced, what is new stands
//! at the end, and every other byte stays as it is.
//!
//! * `own`: a model that restrand wrote follows the schedule as a whole, with its shapes;
//! * `foreign`: any other model is changed value by value, where each stands.

mod foreign;
mod own;

use std::ops::Range;

use restrand_ifc::read::Mapping;
use restrand_ifc::write::model;
use restrand_kit::{Content, Loss};

use crate::read::Scanned;
use own::Outcome;

/// A file with a schedule's changes in it.
pub(crate) struct Patched {
    pub(crate) bytes: Vec<u8>,
    /// Changes that it does not show.
    pub(crate) losses: Vec<Loss>,
}

/// Writes the file again with the changes of a schedule in it; nothing where shapes in it no longer follow.
pub(crate) fn patch(
    scanned: &Scanned<'_>,
    mapping: &Mapping,
    content: &Content<'_>,
) -> Option<Patched> {
    // What the model cannot show is in the file as it was.
    let (model, ..) = model(content);
    match own::patch(scanned, &model, content.layout.is_some()) {
        Outcome::Patched(bytes) => Some(Patched { bytes, losses: Vec::new() }),
        Outcome::OutOfDate => None,
        Outcome::Another => Some(foreign::patch(scanned, mapping, content)),
    }
}

/// The bytes with other texts in some stretches, which come in order, and lines behind the last instance.
fn assembled(scanned: &Scanned<'_>, replaced: &[(Range<usize>, String)], added: &str) -> Vec<u8> {
    let bytes = scanned.bytes();
    let last = scanned.last();
    // New lines follow the last instance, in the way in which the file ends its lines.
    let rest = bytes.get(last + 1..).unwrap_or_default();
    let (end, insert) = match rest {
        [b'\r', b'\n', ..] => ("\r\n", last + 3),
        [b'\n', ..] => ("\n", last + 2),
        _ => ("\n", last + 1),
    };
    let insert = insert.min(bytes.len());
    let mut written = Vec::with_capacity(bytes.len() + added.len());
    let mut at = 0;
    for (stretch, text) in replaced {
        written.extend_from_slice(&bytes[at..stretch.start]);
        written.extend_from_slice(text.as_bytes());
        at = stretch.end;
    }
    written.extend_from_slice(&bytes[at..insert]);
    if !added.is_empty() {
        if insert == last + 1 {
            written.extend_from_slice(end.as_bytes());
        }
        written.extend_from_slice(added.replace('\n', end).as_bytes());
    }
    written.extend_from_slice(&bytes[insert..]);
    written
}
