//! Quarters that are sides of the bridge on which tendons lie, and none of their ends: `Web` over `N` and `S`.

use super::assign::Candidate;
use super::header::HeaderText;
use super::placed::{Place, read};
use crate::sheet::Cell;

/// What has tendons of its own on either side of the bridge.
const SIDES: [&str; 5] = ["web", "side", "girder", "beam", "box"];

/// Whether a header says of a tendon on which side it lies, and nothing else.
fn is_of_side(header: &HeaderText) -> bool {
    header.scope.is_none()
        && header.words.iter().any(|word| SIDES.contains(&word.as_str()))
        && header.words.iter().all(|word| {
            SIDES.contains(&word.as_str()) || matches!(word.as_str(), "tendon" | "position")
        })
}

/// Whether a column of a table says of its tendons that they lie on the side of one of these places.
pub(super) fn are_of_tendons(columns: &[Candidate<'_>], places: [&Place; 2]) -> bool {
    let names_one = |cell: &&Cell<'static>| match cell {
        Cell::Text(text) => read(text).is_some_and(|place| places.contains(&&place)),
        _ => false,
    };
    columns
        .iter()
        .filter(|column| is_of_side(&column.header))
        .any(|column| column.values.iter().any(names_one))
}

/// Leaves open of which end or tendon the value below a header is: that of two columns which state the same is asked.
pub(super) fn leave_open(header: &mut HeaderText, rest: &[String]) {
    header.own.retain(|word| rest.contains(word));
    header.words = rest.to_vec();
}
