//! Places in words: a cell, a line, a stretch of a text.

use restrand_check::{LocatedFinding, LocatedRelated};
use restrand_model::reading::Place;

use super::{Lookup, wanted_of, wanted_related};
use crate::checked::Checked;
use crate::letters::cell;
use crate::plain::plain;
use crate::row;
use crate::text::Wanted;

/// The place with the name of the part.
pub(crate) fn in_full(
    found: &LocatedFinding,
    lookup: &Lookup<'_>,
    checked: &Checked<'_>,
) -> String {
    let place = &found.place;
    let wanted = wanted_of(place, found, &lookup.records);
    plain(&match place {
        Place::Part { part } => part.clone(),
        Place::Line { part, line, .. } => format!("{part}:{}", u64::from(*line) + 1),
        _ => format!("{} › {}", place.part(), place_in_part(place, wanted, lookup, checked)),
    })
}

/// Where findings stand that say the same as one that is shown.
pub(crate) fn others(
    others: &[&LocatedFinding],
    lookup: &Lookup<'_>,
    checked: &Checked<'_>,
    most: usize,
) -> String {
    let mut places: Vec<String> = Vec::new();
    let mut run: Option<Run<'_>> = None;
    for found in others.iter().take(most) {
        let cell = Run::of(&found.place, checked);
        if let (Some(run), Some(cell)) = (&mut run, &cell)
            && run.takes(cell)
        {
            continue;
        }
        places.extend(run.take().map(|run| run.shown()));
        if cell.is_none() {
            let wanted = wanted_of(&found.place, found, &lookup.records);
            let place = place_in_part(&found.place, wanted, lookup, checked);
            if places.last() != Some(&place) {
                places.push(place);
            }
        }
        run = cell;
    }
    places.extend(run.map(|run| run.shown()));
    if others.len() > most {
        places.push(format!("and {} further ones", others.len() - most));
    }
    plain(&format!("{} more, at {}", others.len(), places.join(", ")))
}

/// Cells below one another.
struct Run<'a> {
    sheet: &'a str,
    column: u32,
    rows: [u32; 2],
}

impl<'a> Run<'a> {
    fn of(place: &'a Place, checked: &Checked<'_>) -> Option<Self> {
        let Place::Cell { part, sheet, row, column } = place else { return None };
        let column = column.or_else(|| naming(checked, part, sheet, *row))?;
        Some(Self { sheet, column, rows: [*row; 2] })
    }

    /// Whether the next cell goes on where these end, which it then does, or is the last of them again.
    fn takes(&mut self, next: &Self) -> bool {
        let goes_on = (self.sheet, self.column) == (next.sheet, next.column)
            && (self.rows[1] == next.rows[0] || self.rows[1].checked_add(1) == Some(next.rows[0]));
        if goes_on {
            self.rows[1] = next.rows[1];
        }
        goes_on
    }

    fn shown(&self) -> String {
        let [first, last] = self.rows.map(|row| cell(row, self.column));
        match first == last {
            true => format!("{}!{first}", self.sheet),
            false => format!("{}!{first}:{last}", self.sheet),
        }
    }
}

/// The column that names the rows of a sheet.
fn naming(checked: &Checked<'_>, part: &str, sheet: &str, row: u32) -> Option<u32> {
    let table = checked.reading?.provenance.table_at(part, sheet, row, None)?.1;
    table.naming().map(|column| column.index)
}

/// The place without the name of the part, or with it where each sheet is a part.
///
/// A row is shown by the cell that names it.
fn place_in_part(
    place: &Place,
    wanted: Option<Wanted<'_>>,
    lookup: &Lookup<'_>,
    checked: &Checked<'_>,
) -> String {
    match place {
        Place::Part { part } => part.clone(),
        Place::Sheet { sheet, .. } => format!("sheet {sheet}"),
        Place::Cell { part, sheet, row, column } => {
            match column.or_else(|| naming(checked, part, sheet, *row)) {
                Some(column) => format!("{sheet}!{}", cell(*row, column)),
                None => format!("{sheet}, row {}", u64::from(*row) + 1),
            }
        }
        Place::Line { part, sheet, line, column } => {
            let file = part.rsplit(['/', '\\']).next().unwrap_or(part);
            let table = checked.reading.and_then(|reading| {
                reading.provenance.table_at(part, sheet, *line, *column).map(|(_, table)| table)
            });
            let is_turned = table.is_some_and(|table| table.grid.is_turned());
            let header = table.and_then(|table| row::header(table, *line, (*column)?));
            let place = format!("{file}:{}", u64::from(*line) + 1);
            match header {
                Some(header) if is_turned => {
                    let column = column.map_or(0, |column| u64::from(column) + 1);
                    format!("{place}, {header}, column {column}")
                }
                Some(header) => format!("{place}, {header}"),
                None => place,
            }
        }
        Place::Text { span, .. } => match wanted.and_then(|wanted| lookup.places.get(&wanted)) {
            Some(at) => format!("line {}, column {}", at.line, at.column),
            None => format!("byte {}", span.start),
        },
    }
}

/// A further place of a finding, and what it has to do with it.
pub(crate) fn also(
    related: &LocatedRelated,
    lookup: &Lookup<'_>,
    checked: &Checked<'_>,
    filled: &dyn Fn(&str) -> String,
) -> String {
    let place = match (&related.place, &related.name) {
        (Some(place), _) => {
            place_in_part(place, wanted_related(related, &lookup.records), lookup, checked)
        }
        (None, Some(name)) => match checked.rulebook.and_then(|r| r.book.limits.get(name)) {
            Some(limit) => format!("rulebook {}, {name}", limit.book),
            None => name.clone(),
        },
        (None, None) => String::new(),
    };
    let text = filled(&related.text);
    match (place.is_empty(), text.is_empty()) {
        (true, _) => text,
        (false, true) => plain(&place),
        (false, false) => format!("{}: {text}", plain(&place)),
    }
}
