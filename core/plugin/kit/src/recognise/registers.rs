//! Lists beside the schedule that explain or register: of codes and what they mean, of drawings, of revisions.
//!
//! What heads their columns reads like the labels of a title block, and what stands in them like its values.

use std::collections::BTreeSet;

use super::grid::GridRow;
use super::legend;
use crate::sheet::Cell;

/// What heads the meanings of a legend: common practice, no source.
const MEANINGS: [&str; 7] = [
    "meaning",
    "explanation",
    "definition",
    "bedeutung",
    "erläuterung",
    "signification",
    "what it means",
];
/// What heads a column of a register, beside what title blocks have as well: common practice, no source.
const ENTRIES: [&str; 15] = [
    "description",
    "descriptions",
    "designation",
    "title",
    "subject",
    "by",
    "details",
    "amendment",
    "change",
    "remarks",
    "issued for",
    "beschreibung",
    "änderung",
    "désignation",
    "modification",
];

/// Whether a text heads a column of such a list.
pub(super) fn heads(text: &str) -> bool {
    let lower = text.trim().trim_end_matches([':', '.']).to_lowercase();
    MEANINGS.contains(&lower.as_str()) || ENTRIES.contains(&lower.as_str())
}

/// The numbers of the rows that belong to such lists, among rows outside all tables.
pub(super) fn rows(sheet: &str, rows: &[&GridRow]) -> BTreeSet<u32> {
    if legend::heads(sheet) {
        return rows.iter().map(|row| row.number).collect();
    }
    let mut of_lists = BTreeSet::new();
    let mut last: Option<u32> = None;
    for (at, row) in rows.iter().enumerate() {
        let goes_on = last.is_some_and(|last| row.number == last + 1);
        if goes_on || is_head(row, &rows[at + 1..]) {
            of_lists.insert(row.number);
            last = Some(row.number);
        } else {
            last = None;
        }
    }
    of_lists
}

/// Whether a row heads such a list: texts alone, one of which says what the others are.
///
/// Labels with their values in the one row below them are a title block.
fn is_head(row: &GridRow, below: &[&GridRow]) -> bool {
    if row.lone_text().is_some_and(legend::heads) {
        return true;
    }
    let own: Vec<&Cell<'_>> =
        row.own().map(|(_, cell)| &cell.cell).filter(|cell| !cell.is_blank()).collect();
    let texts: Vec<&str> = own
        .iter()
        .filter_map(|cell| match cell {
            Cell::Text(text) => Some(text.trim()),
            _ => None,
        })
        .collect();
    let is_labelled = || texts.iter().any(|text| text.ends_with(':'));
    if texts.len() < 2 || texts.len() < own.len() || is_labelled() {
        return false;
    }
    let says = |heads: &[&str]| {
        let lower = |text: &&str| text.trim_end_matches('.').to_lowercase();
        texts[1..].iter().map(lower).any(|text| heads.contains(&text.as_str()))
    };
    let entries = below.iter().zip(row.number + 1..);
    let entries = entries.take_while(|(entry, number)| {
        entry.number == *number && entry.own().filter(|(_, cell)| !cell.cell.is_blank()).count() > 1
    });
    says(&MEANINGS) || says(&ENTRIES) && entries.count() > 1
}
