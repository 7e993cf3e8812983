//! Headings among the rows of a table that is written sideways, as `LEFT END` over the rows of that end.

use std::collections::BTreeSet;

use super::grid::Sheet;
use super::scope;

/// A section of a sideways table.
struct Section {
    heading: String,
    /// Its rows, by their positions.
    rows: Vec<usize>,
}

/// Takes the rows that do nothing but head others out of a sheet, and notes them at the labels of their rows.
///
/// Behind the last section rows may follow that belong to the whole table again: of sections that have the same
/// labels, the last has no more than the others. One that has none of them is another thing, with all its rows.
pub(super) fn take_out(sheet: &mut Sheet) {
    let mut sections: Vec<Section> = Vec::new();
    let mut headings: BTreeSet<u32> = BTreeSet::new();
    for (at, row) in sheet.rows.iter().enumerate() {
        match row.lone_text() {
            Some(text) if at > 0 => {
                headings.insert(row.number);
                sections.push(Section { heading: text.to_owned(), rows: Vec::new() });
            }
            _ => {
                if let Some(section) = sections.last_mut() {
                    section.rows.push(at);
                }
            }
        }
    }
    let label = |at: usize| sheet.rows[at].cells.iter().next().map(|(_, cell)| cell.cell.shown());
    if let Some((last, others)) = sections.split_last_mut() {
        let is_end = |section: &Section| {
            scope::of_group(&section.heading).is_some_and(|(scope, _)| scope.is_end())
        };
        let known: BTreeSet<String> = others
            .iter()
            .filter(|other| is_end(other) == is_end(last))
            .flat_map(|other| other.rows.iter().filter_map(|at| label(*at)))
            .collect();
        let is_alike =
            last.rows.iter().any(|at| label(*at).is_some_and(|own| known.contains(&own)));
        if is_alike {
            while last
                .rows
                .last()
                .and_then(|at| label(*at))
                .is_some_and(|label| !known.contains(&label))
            {
                last.rows.pop();
            }
        }
    }
    for section in &sections {
        for at in &section.rows {
            if let Some(cell) = sheet.rows[*at].cells.values_mut().next() {
                cell.section = Some(section.heading.clone());
            }
        }
    }
    sheet.rows.retain(|row| !headings.contains(&row.number));
}
