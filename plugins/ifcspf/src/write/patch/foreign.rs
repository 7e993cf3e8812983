//! A model of whatever program: values are changed where they stand, and of their instances nothing else.

use restrand_ifc::change::{Edits, edits};
use restrand_ifc::read::{Mapping, Model};
use restrand_kit::{Content, Loss};

use super::super::{line, value};
use super::{Patched, assembled};
use crate::read::Scanned;

/// Writes the file again with what can be changed in it.
pub(super) fn patch(scanned: &Scanned<'_>, mapping: &Mapping, content: &Content<'_>) -> Patched {
    let Edits { attributes, added, mut losses } =
        edits(scanned, mapping, content, scanned.greatest());
    let mut replaced = Vec::with_capacity(attributes.len());
    for ((at, position), new) in attributes {
        match scanned.argument(at, position) {
            Some(stretch) => {
                let mut text = String::new();
                value(&new, &mut text);
                replaced.push((stretch, text));
            }
            None => losses.push(Loss {
                route: scanned.name(scanned.number(at)),
                value: String::new(),
                why: "the instance has no such attribute".to_owned(),
            }),
        }
    }
    replaced.sort_by_key(|(stretch, _)| stretch.start);
    let mut lines = String::new();
    for (number, entity) in &added {
        line(*number, entity, &mut lines);
    }
    Patched { bytes: assembled(scanned, &replaced, &lines), losses }
}
