//! The tables whose headers a mapping file places.

use std::collections::BTreeSet;
use std::ops::Range;

use super::super::assign::Assignment;
use super::super::fit::SAMPLE;
use super::super::grid::Sheet;
use super::super::mapping::{TableMapping, list_of, named};
use super::headers::{is_unit_row, units_of};
use super::{Found, above_caption, candidates, caption};

/// Takes each row for one end of a tendon where a mapping says that a column names the end.
pub(in crate::recognise) fn settle_rows(found: &mut Found, mapped: &[&TableMapping]) {
    let assignment = &mut found.assignment;
    let said = || mapped.iter().flat_map(|table| &table.columns);
    let names_end = assignment.columns.iter().any(|column| {
        let given = &column.header.given;
        let said = said()
            .find(|said| said.is_called(given))
            .or_else(|| said().find(|said| said.speaks_of(given)));
        let field = said.and_then(|said| named(said.field.as_deref()?));
        field.is_some_and(|named| named.target.name() == "end, end")
    });
    if names_end && assignment.list == "Tendons" {
        (assignment.per_end, assignment.one_is_jacked) = (true, true);
    }
}

/// The tables whose headers a mapping places.
pub(super) fn mapped_tables(sheet: &Sheet, mapped: &[&TableMapping]) -> Vec<Found> {
    let at = |row: u32| sheet.rows.iter().position(|one| one.number + 1 == row);
    let mut placed: Vec<(Range<usize>, &TableMapping)> = mapped
        .iter()
        .filter_map(|mapped| {
            let [first, last] = mapped.headers?;
            Some((at(first)?..at(last)? + 1, *mapped))
        })
        .filter(|(headers, _)| !headers.is_empty())
        .collect();
    placed.sort_by_key(|(headers, _)| headers.start);
    placed.dedup_by_key(|(headers, _)| headers.start);
    let ends: Vec<usize> = placed
        .iter()
        .skip(1)
        .map(|(headers, _)| above_caption(sheet, headers.start))
        .chain([sheet.rows.len()])
        .collect();
    placed
        .into_iter()
        .zip(ends)
        .filter_map(|((headers, mapped), end)| {
            let list = list_of(mapped.record.as_deref().unwrap_or("tendon"))?;
            let units_row = sheet.rows.get(headers.end).filter(|row| is_unit_row(row));
            let body = headers.end + usize::from(units_row.is_some());
            let end = end.max(body);
            let units = units_of(units_row);
            let columns = candidates(sheet, headers.clone(), &units, body..end.min(body + SAMPLE));
            Some(Found {
                caption: caption(sheet, 0, headers.start),
                headers,
                units,
                body: body..end,
                repeated: BTreeSet::new(),
                assignment: Assignment::of(list, &columns),
                owner: None,
                only: None,
                by_others: false,
            })
        })
        .collect()
}
