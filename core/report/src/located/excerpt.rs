//! The row or the lines in which a finding stands.

use restrand_check::LocatedFinding;
use restrand_finding::FactValue;
use restrand_model::reading::Place;

use super::{Lookup, wanted_of};
use crate::checked::Checked;
use crate::excerpt::Excerpt;
use crate::plain::plain;
use crate::row::{self, Marked};
use crate::text;

/// The excerpt of a finding, at most `room` columns wide.
pub(crate) fn excerpt(
    checked: &Checked<'_>,
    lookup: &Lookup<'_>,
    found: &LocatedFinding,
    room: usize,
) -> Option<Excerpt> {
    let record = lookup.records.get(found.record);
    match &found.place {
        Place::Cell { part, sheet, row, column }
        | Place::Line { part, sheet, line: row, column } => {
            let provenance = &checked.reading?.provenance;
            let table = match provenance.table(found.record) {
                Some(table) => table,
                None => provenance.table_at(part, sheet, *row, *column)?.1,
            };
            let given = found.finding.facts.iter().find_map(|fact| match &fact.value {
                FactValue::Text(text) if fact.name == "given" => Some(text.as_str()),
                _ => None,
            });
            let marked =
                Marked { part, sheet, row: *row, column: *column, path: &found.path, given };
            row::excerpt(&marked, table, record, provenance, room)
        }
        Place::Text { part, span, path } => {
            let wanted = wanted_of(&found.place, found, &lookup.records)?;
            let at = lookup.places.get(&wanted)?;
            // Only a document has members; what another text says stands there in its own way.
            let first = checked.sources.window(part, span.start, 1);
            let has_members = first.is_none_or(|bytes| bytes.first() == Some(&b'{'));
            let label = match path.get(at.members) {
                Some(missing) if has_members => format!("no member \"{}\" here", plain(missing)),
                _ if path.is_empty() => "here".to_owned(),
                _ => plain(&way(path)),
            };
            text::excerpt(part, at, label, checked.sources, room)
        }
        Place::Part { .. } | Place::Sheet { .. } => None,
    }
}

/// Members and positions as routes show them: `parts[#1].permanence`.
fn way(path: &[String]) -> String {
    let mut way = String::new();
    for step in path {
        match step.parse::<usize>() {
            Ok(position) => way.push_str(&format!("[#{}]", position.saturating_add(1))),
            Err(_) => {
                if !way.is_empty() {
                    way.push('.');
                }
                way.push_str(step);
            }
        }
    }
    way
}
