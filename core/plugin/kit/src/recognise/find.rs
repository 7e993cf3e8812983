//! The tables of a sheet: where their headers stand, and which rows belong to them.

use std::collections::BTreeSet;
use std::ops::Range;

use super::assign::{Assignment, Candidate};
use super::extent;
use super::fit::SAMPLE;
use super::grid::{GridRow, Sheet, Spread};
use super::habits;
use super::header::{HeaderText, is_unit};
use super::labels;
use super::mapping::{TableMapping, list_of};
use super::vocabulary::{DELETED, Vocabulary};
use super::words::{sorted, words};
use crate::sheet::Cell;

/// Rows of one header, the units below it not counted.
const HEADER_ROWS: usize = 3;
/// Tables of one sheet.
const MOST_TABLES: usize = 200;

/// A table of a sheet; rows are positions among the rows that say something.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) caption: Option<String>,
    /// The rows of its headers.
    pub(super) headers: Range<usize>,
    /// The units in a row below the headers, by column.
    pub(super) units: Vec<(u32, String)>,
    /// The rows below.
    pub(super) body: Range<usize>,
    /// Rows in the body in which the headers come again.
    pub(super) repeated: BTreeSet<usize>,
    pub(super) assignment: Assignment,
    /// The tendon to which its rows belong, where no column says it.
    pub(super) owner: Option<Box<str>>,
    /// The numbers of the only rows that give records, where others are for other tendons.
    pub(super) only: Option<BTreeSet<u32>>,
}

/// What must speak for a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Trust {
    /// Headers, and values that fit them.
    Values,
    /// Headers alone, of which hardly one is unknown.
    Headers,
}

/// Columns that headers must name at least which nothing else speaks for.
const LEAST_NAMED: usize = 3;

/// Looks for the tables of a sheet whose merged cells are filled; the mapping may say where headers stand.
pub(super) fn tables(sheet: &Sheet, mapped: &[&TableMapping]) -> Vec<Found> {
    let found = mapped_tables(sheet, mapped);
    if found.is_empty() { search(sheet, Trust::Values) } else { found }
}

/// Looks for tables none of whose values may fit, as their headers leave no doubt: what cannot be read is then said of
/// each value.
pub(super) fn by_headers(sheet: &Sheet) -> Vec<Found> {
    search(sheet, Trust::Headers)
}

fn search(sheet: &Sheet, trust: Trust) -> Vec<Found> {
    let rows = &sheet.rows;
    let mut found: Vec<Found> = Vec::new();
    let mut from = 0;
    let mut at = 0;
    while at < rows.len() && found.len() < MOST_TABLES {
        if !is_header_like(&rows[at]) {
            at += 1;
            continue;
        }
        let caption = caption(sheet, from, at);
        match best_at(sheet, trust, from, at, caption.as_deref()) {
            Some(mut table) => {
                let first = header_key(&rows[table.headers.start]);
                let last = header_key(&rows[table.headers.end - 1]);
                let mut end = table.body.start;
                while end < rows.len() {
                    if is_header_like(&rows[end]) {
                        let key = header_key(&rows[end]);
                        if key != first && key != last {
                            break;
                        }
                        table.repeated.insert(end);
                    }
                    end += 1;
                }
                let body_end = if end < rows.len() {
                    above_caption(sheet, end).max(table.body.start)
                } else {
                    end
                };
                let body_end = extent::end(rows, table.body.start..body_end);
                end = end.min(body_end.max(at + 1));
                table.body.end = body_end;
                from = body_end;
                at = end;
                found.extend(without_labels(sheet, table));
            }
            None => at += 1,
        }
    }
    found
}

/// A table without the rows in its body that begin with names of fields, in as many pieces as they leave of it.
fn without_labels(sheet: &Sheet, table: Found) -> Vec<Found> {
    let mut pieces = Vec::new();
    let mut rest = Some(table);
    while let Some(mut piece) = rest.take() {
        if let Some(labels) = labels::below(sheet, &piece.body, &piece.assignment) {
            let goes_on = labels::goes_on_at(sheet, &piece, &labels);
            if let Some(from) = goes_on {
                let body = from..piece.body.end;
                rest =
                    Some(Found { caption: None, headers: from..from + 1, body, ..piece.clone() });
            }
            piece.body.end = labels.start;
        }
        pieces.push(piece);
    }
    pieces
}

fn is_text(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Text(_))
}

/// The texts of a row, by which headers are known again.
fn header_key(row: &GridRow) -> Vec<String> {
    row.own()
        .map(|(_, cell)| match &cell.cell {
            Cell::Text(text) => sorted(words(text)).join(" "),
            _ => String::new(),
        })
        .collect()
}

/// Whether a row looks as headers do: words of the trade, and no numbers.
pub(super) fn is_header_like(row: &GridRow) -> bool {
    let (mut texts, mut known) = (0_usize, 0_usize);
    for (_, cell) in row.own() {
        match &cell.cell {
            Cell::Text(text) => {
                if text.len() > 120 {
                    return false;
                }
                texts += 1;
                let header = HeaderText::read(&[text.trim()]);
                let is_end = header.scope.is_some() && header.words.is_empty();
                known += usize::from(
                    is_end
                        || is_field(text)
                        || header.tongues.iter().any(|half| is_known(&half.words)),
                );
            }
            // Marks of the ends may stand in headers as bare numbers.
            Cell::Number(_) | Cell::Flag(_) | Cell::Date(_) | Cell::Moment(..) | Cell::Time(_) => {
                return false;
            }
            Cell::Error(_) | Cell::Uncalculated(_) => return false,
        }
    }
    known >= 2 && known * 5 >= texts * 2
}

/// Whether people call a field so.
pub(super) fn is_field(text: &str) -> bool {
    is_known(&HeaderText::read(&[text.trim()]).words) || is_known(&sorted(words(text)))
}

/// Whether these words are what people call a field.
fn is_known(wanted: &[String]) -> bool {
    Vocabulary::get().find(wanted).first().is_some_and(|(_, score)| *score >= 0.85)
}

/// The caption above headers: the last text of its own above them.
fn caption(sheet: &Sheet, from: usize, at: usize) -> Option<String> {
    (from..at).rev().take(3).find_map(|row| {
        let row = &sheet.rows[row];
        let mut own = row.own();
        let (first, second) = (own.next(), own.next());
        match (first, second) {
            (Some((_, cell)), None) => match &cell.cell {
                Cell::Text(text) if text.len() <= 120 => Some(text.trim().to_owned()),
                _ => None,
            },
            _ => None,
        }
    })
}

/// The best table whose headers hold this row.
fn best_at(
    sheet: &Sheet,
    trust: Trust,
    from: usize,
    at: usize,
    caption: Option<&str>,
) -> Option<Found> {
    let rows = &sheet.rows;
    let mut best: Option<Found> = None;
    let context = format!("{} {}", sheet.name, caption.unwrap_or_default());
    for above in 0..HEADER_ROWS {
        let Some(first) = at.checked_sub(above).filter(|first| *first >= from) else { break };
        if above > 0
            && (!is_group_row(&rows[first]) || rows[first + 1].number - rows[first].number > 1)
        {
            break;
        }
        for below in 0..HEADER_ROWS - above {
            let end = at + below + 1;
            if end > rows.len() {
                break;
            }
            if below > 0 && !is_lower_header(&rows[end - 1], &rows[end - 2]) {
                break;
            }
            let Some(one) = one(sheet, trust, first..end, caption, &context) else { continue };
            if best.as_ref().is_none_or(|best| one.assignment.score > best.assignment.score + 1e-9)
            {
                best = Some(one);
            }
        }
    }
    best
}

/// Whether a row can stand above headers and group them.
fn is_group_row(row: &GridRow) -> bool {
    row.own().count() >= 1
        && row.own().all(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if text.len() <= 40))
        && (row.own().count() >= 2 || row.cells.values().any(|cell| cell.spread == Spread::Across))
}

/// Whether a row can be the lower part of headers.
fn is_lower_header(row: &GridRow, above: &GridRow) -> bool {
    row.number == above.number + 1
        && row.cells.values().all(|cell| {
            matches!(&cell.cell, Cell::Text(text)
                if !text.trim().starts_with(|c: char| c.is_ascii_digit()) && text.len() <= 60)
        })
        && !row.cells.values().any(|cell| {
            matches!(&cell.cell, Cell::Text(text) if DELETED.contains(&text.trim().to_lowercase().as_str()))
        })
}

fn one(
    sheet: &Sheet,
    trust: Trust,
    headers: Range<usize>,
    caption: Option<&str>,
    context: &str,
) -> Option<Found> {
    let rows = &sheet.rows;
    let units_row = rows.get(headers.end).filter(|row| is_unit_row(row));
    let units = units_of(units_row);
    let body = headers.end + usize::from(units_row.is_some());
    let sample_end = rows.len().min(body + SAMPLE);
    let sample_end = (body..sample_end).find(|at| is_header_like(&rows[*at])).unwrap_or(sample_end);
    let sample_end = extent::end(rows, body..sample_end);
    let mut columns = candidates(sheet, headers.clone(), &units, body..sample_end);
    if trust == Trust::Headers {
        columns.iter_mut().for_each(|column| column.values.clear());
    }
    let assignment = Assignment::best(&columns, context)?;
    let named = assignment.columns.iter().filter(|column| column.target.is_some()).count();
    if trust == Trust::Headers && (named < LEAST_NAMED || named * 5 < columns.len() * 4) {
        return None;
    }
    Some(Found {
        caption: caption.map(str::to_owned),
        headers,
        units,
        body: body..body,
        repeated: BTreeSet::new(),
        assignment,
        owner: None,
        only: None,
    })
}

/// The units in a row, by column.
fn units_of(row: Option<&GridRow>) -> Vec<(u32, String)> {
    let Some(row) = row else { return Vec::new() };
    let bare = |text: &str| text.trim_matches(['(', ')', '[', ']', ' ']).to_owned();
    row.cells.keys().filter_map(|column| Some((*column, bare(row.text(*column)?)))).collect()
}

/// The columns under headers, with the values of some rows.
fn candidates<'s>(
    sheet: &'s Sheet,
    headers: Range<usize>,
    units: &[(u32, String)],
    sample: Range<usize>,
) -> Vec<Candidate<'s>> {
    let rows = &sheet.rows;
    let mut columns: Vec<Candidate<'_>> = header_texts(&rows[headers])
        .into_iter()
        .map(|(index, parts)| {
            let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
            let values = rows[sample.clone()]
                .iter()
                .filter(|row| row.cells.len() > 1 && !super::habits::begins_with_sums(row))
                .filter_map(|row| row.cells.get(&index))
                .map(|cell| &cell.cell)
                .filter(|cell| {
                    !(cell.is_blank() || habits::is_ditto(cell) || habits::is_pending(cell))
                })
                .collect();
            let below =
                units.iter().find(|(column, _)| *column == index).map(|(_, unit)| unit.clone());
            Candidate { index, header: HeaderText::read(&parts), below, values }
        })
        .collect();
    super::ordered::name_ends(&mut columns);
    columns
}

/// The tables whose headers a mapping places.
fn mapped_tables(sheet: &Sheet, mapped: &[&TableMapping]) -> Vec<Found> {
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
            })
        })
        .collect()
}

/// The row at which the table above headers ends: what stands right above them is their caption.
fn above_caption(sheet: &Sheet, headers: usize) -> usize {
    let rows = &sheet.rows;
    let mut end = headers;
    while end > 0
        && rows[headers].number - rows[end - 1].number <= 3
        && rows[end - 1].own().count() <= 2
        && rows[end - 1].own().all(|(_, cell)| is_text(&cell.cell))
    {
        end -= 1;
    }
    end
}

/// The rows of a sheet without headers that goes on with the last table of the sheet before it.
pub(super) fn continued(sheet: &Sheet, before: &[Found]) -> Option<Found> {
    let last = before.last()?;
    let says = |text: &str| {
        let lower = text.to_lowercase();
        lower.contains("cont") || lower.contains("(2)") || lower.contains("(3)")
    };
    let title = sheet.rows.first().is_some_and(|row| {
        row.own().count() == 1
            && row.own().all(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if says(text)))
    });
    if !title && !says(&sheet.name) {
        return None;
    }
    let from = usize::from(title);
    let known: BTreeSet<u32> = last.assignment.columns.iter().map(|column| column.index).collect();
    let fits = sheet.rows[from..]
        .iter()
        .filter(|row| row.cells.keys().all(|column| known.contains(column)));
    if fits.count() * 10 < sheet.rows.len().saturating_sub(from) * 9 || sheet.rows.len() <= from {
        return None;
    }
    Some(Found {
        caption: None,
        headers: from..from + 1,
        units: last.units.clone(),
        body: from..sheet.rows.len(),
        repeated: BTreeSet::new(),
        assignment: last.assignment.clone(),
        owner: None,
        only: None,
    })
}

/// Whether a row below headers holds units and nothing else.
fn is_unit_row(row: &GridRow) -> bool {
    let mut count = 0;
    for cell in row.cells.values() {
        let Cell::Text(text) = &cell.cell else { return false };
        let text = text.trim().trim_matches(['(', ')', '[', ']', ' ']);
        if !is_unit(text) && !text.is_empty() {
            return false;
        }
        count += 1;
    }
    count >= 2
}

/// The texts above each other of each column that has a header.
///
/// In a file without merged cells a group stands only in its first column; it holds for the columns to its right
/// that have a header below and nothing beside it.
fn header_texts(rows: &[GridRow]) -> Vec<(u32, Vec<String>)> {
    let columns: BTreeSet<u32> = rows.iter().flat_map(|row| row.cells.keys().copied()).collect();
    let Some((lowest, upper)) = rows.split_last() else { return Vec::new() };
    let has_lower = |level: usize, column: u32| {
        upper[level + 1..].iter().chain([lowest]).any(|row| row.text(column).is_some())
    };
    let is_merged =
        rows.iter().any(|row| row.cells.values().any(|cell| cell.spread == Spread::Across));
    let mut found = Vec::new();
    for column in columns {
        let mut parts = Vec::new();
        let section = rows.iter().find_map(|row| row.cells.get(&column)?.section.clone());
        parts.extend(section);
        for (level, row) in upper.iter().enumerate() {
            if let Some(text) = row.text(column) {
                parts.push(text.to_owned());
            } else if !is_merged && has_lower(level, column) {
                let left = row.cells.range(..column).next_back();
                if let Some((group, _)) = left
                    && has_lower(level, *group)
                    && let Some(text) = row.text(*group)
                {
                    parts.push(text.to_owned());
                }
            }
        }
        parts.extend(lowest.text(column).map(str::to_owned));
        if !parts.is_empty() {
            found.push((column, parts));
        }
    }
    found
}
