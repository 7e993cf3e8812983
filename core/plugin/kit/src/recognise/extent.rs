//! Where a table ends: at the caption of another, or where rows of labels with values begin.

use std::ops::Range;

use super::fit::SAMPLE;
use super::grid::{GridRow, Spread};
use super::habits::{begins_with_sums, heads_notes, is_ditto, is_pending};
use super::header::HeaderText;
use super::legend;
use super::superseded;
use super::vocabulary::Vocabulary;
use crate::sheet::Cell;

/// How much a word of the trade must explain of a label.
const KNOWN: f64 = 0.9;

/// The row at which the table with these rows ends, at the latest at the end of them.
pub(super) fn end(rows: &[GridRow], body: Range<usize>) -> usize {
    (body.start..body.end)
        .find(|at| {
            is_numbered_caption(rows, *at, body.end)
                || heads_no_records(rows, *at, &body)
                || *at > body.start
                    && rows[*at].lone_text().is_some_and(superseded::says_so)
                    && has_headers_below(rows, *at, body.end)
                || heads_others(rows, *at, &body)
                || is_apart(rows, *at, body.start)
                    && (is_caption_of_others(rows, *at, &body)
                        || begins_sparser(rows, *at, &body)
                        || begins_headers(rows, *at, &body)
                        || begins_legend(rows, *at, &body)
                        || is_of_labels(rows, *at, body.end))
        })
        .unwrap_or(body.end)
}

/// Whether blank rows part a row from those above it.
fn is_apart(rows: &[GridRow], at: usize, first: usize) -> bool {
    at > first && rows[at].number > rows[at - 1].number + 1
}

/// Whether a row is a caption with a number, as `Table 3: Losses`, and more follows below it.
fn is_numbered_caption(rows: &[GridRow], at: usize, end: usize) -> bool {
    const NAMES: [&str; 6] = ["table", "tab", "schedule", "tableau", "tabelle", "list"];
    let Some(text) = rows[at].lone_text() else { return false };
    let lower = text.to_lowercase();
    let is_named = NAMES.iter().any(|name| {
        lower.strip_prefix(name).is_some_and(|rest| {
            let rest = rest.trim_start_matches(['.', ' ', '-']);
            let rest = rest.strip_prefix("no").unwrap_or(rest).trim_start_matches(['.', ' ']);
            let mut letters = rest.chars();
            let first = letters.next();
            first.is_some_and(|first| {
                first.is_ascii_digit()
                    || first.is_alphabetic()
                        && letters.next().is_none_or(|next| !next.is_alphanumeric())
            })
        })
    });
    is_named && !lower.contains("cont") && at + 1 < end && rows[at + 1].lone_text().is_none()
}

/// Whether a caption begins rows there that fill fewer cells than those of the table.
fn begins_sparser(rows: &[GridRow], at: usize, body: &Range<usize>) -> bool {
    let Some(text) = rows[at].lone_text() else { return false };
    if super::table::heading(text).is_some() || is_carried_down(&rows[at]) {
        return false;
    }
    let below: Vec<usize> = block(rows, at + 1, body.end).map(filled).collect();
    let above: Vec<usize> =
        rows[body.start..at].iter().filter(|row| !begins_with_sums(row)).map(filled).collect();
    match (middle(below.into_iter().filter(|count| *count > 1).collect()), middle(above)) {
        // A table of two columns says nothing by how much of it is filled.
        (Some(below), Some(above)) => above >= 3 && below * 5 <= above * 3,
        _ => false,
    }
}

/// Whether a caption stands there above headers of another table: texts alone, the first of the trade, over values.
fn begins_headers(rows: &[GridRow], at: usize, body: &Range<usize>) -> bool {
    let is_caption = rows[at].lone_text().is_some();
    let (Some(headers), Some(below)) = (rows.get(at + 1), rows.get(at + 2)) else { return false };
    if !is_caption || at + 2 >= body.end || below.number > headers.number + 1 {
        return false;
    }
    let are_texts =
        headers.own().all(|(_, cell)| cell.cell.is_blank() || matches!(cell.cell, Cell::Text(_)));
    let has_values = below.own().any(|(_, cell)| matches!(cell.cell, Cell::Number(_)));
    !comes_again(rows, headers, body) && are_texts && has_values && is_labelled(headers)
}

/// Whether the row right below states no value but words only, as headers do: else a heading parts rows of one table.
fn has_headers_below(rows: &[GridRow], at: usize, end: usize) -> bool {
    let Some(row) = rows[..end].get(at + 1) else { return false };
    let mut own = row.own().filter(|(_, cell)| !cell.cell.is_blank()).peekable();
    let is_word = |cell: &Cell<'_>| matches!(cell, Cell::Text(text) if text.trim().starts_with(char::is_alphabetic));
    own.peek().is_some() && own.all(|(_, cell)| is_word(&cell.cell))
}

/// Whether headers of another table stand there, below no caption or below one of which more is said: names of the trade
/// over values, where the table has values itself.
fn heads_others(rows: &[GridRow], at: usize, body: &Range<usize>) -> bool {
    /// Names at least.
    const LEAST: usize = 3;
    /// Characters of a name at most.
    const LONGEST: usize = 60;
    let own: Vec<_> = rows[at].own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    let names: Vec<(u32, &str)> = own
        .iter()
        .filter_map(|(column, _)| Some((*column, rows[at].text(*column)?)))
        .filter(|(_, text)| text.chars().count() <= LONGEST)
        .collect();
    let are_words = names.iter().filter(|(_, name)| name.starts_with(char::is_alphabetic)).count()
        * 2
        > own.len();
    if at <= body.start || names.len() < LEAST || names.len() < own.len() || !are_words {
        return false;
    }
    // The unit of each column may stand between.
    let stands_over = |row: &GridRow| {
        let values = names.iter().filter(|(column, _)| is_value_at(row, *column));
        values.count() * 2 >= names.len()
    };
    let is_right_below =
        |below: &usize| (rows[*below].number - rows[at].number) as usize == below - at;
    let mut below = (at + 1..body.end.min(at + 3)).take_while(is_right_below);
    if !below.any(|below| stands_over(&rows[below])) {
        return false;
    }
    let above = &rows[body.start.max(at.saturating_sub(SAMPLE))..at];
    let mut unfit: usize = 0;
    for (column, name) in &names {
        let filled = above.iter().filter(|row| {
            row.cells.get(column).is_some_and(|cell| !cell.cell.is_blank() && !is_ditto(&cell.cell))
        });
        let values = above.iter().filter(|row| is_value_at(row, *column)).count();
        if values * 2 > filled.count() {
            let cell = Cell::Text((*name).into());
            if !name.starts_with(char::is_alphabetic) || is_ditto(&cell) || is_pending(&cell) {
                return false;
            }
            unfit += 1;
        }
    }
    let least = if is_apart(rows, at, body.start) { 1 } else { 2 };
    if unfit < least || comes_again(rows, &rows[at], body) {
        return false;
    }
    is_labelled(&rows[at]) || names.iter().filter(|(_, name)| is_name(name)).count() >= 2
}

/// Whether texts stand there right above headers of another table that are more than its caption alone.
fn is_caption_of_others(rows: &[GridRow], at: usize, body: &Range<usize>) -> bool {
    /// The caption, and what is said beside it.
    const MOST: usize = 2;
    let own: Vec<_> = rows[at].own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    let is_text = |cell: &Cell<'_>| matches!(cell, Cell::Text(text) if text.trim().contains(' '));
    own.len() <= MOST
        && own.iter().all(|(_, cell)| is_text(&cell.cell))
        && at + 1 < body.end
        && rows[at + 1].number - rows[at].number <= 2
        && heads_others(rows, at + 1, body)
}

/// Whether a value in numbers stands in a column of a row.
fn is_value_at(row: &GridRow, column: u32) -> bool {
    row.cells.get(&column).is_some_and(|cell| match &cell.cell {
        Cell::Number(_) => true,
        Cell::Text(text) => {
            text.trim_start_matches(['+', '-', '(', ' ']).starts_with(|c: char| c.is_ascii_digit())
        }
        _ => false,
    })
}

/// Whether a row begins as the table's own headers do, which may come again, as below `Sheet 2`.
fn comes_again(rows: &[GridRow], headers: &GridRow, body: &Range<usize>) -> bool {
    let first =
        |row: &GridRow| row.own().next().map(|(_, cell)| cell.cell.name().trim().to_lowercase());
    let own = &rows[body.start.saturating_sub(3)..body.start];
    own.iter().any(|row| first(row) == first(headers))
}

/// Whether a heading of codes or of notes stands there over rows that fill fewer cells than those of the table.
fn heads_no_records(rows: &[GridRow], at: usize, body: &Range<usize>) -> bool {
    /// Cells of a code and its meaning, or of a note and its number.
    const MOST: usize = 2;
    let is_heading =
        rows[at].lone_text().is_some_and(|text| legend::heads(text) || heads_notes(text));
    if !is_heading || usual_above(rows, at, body).is_none_or(|usual| usual <= MOST) {
        return false;
    }
    let mut below = block(rows, at + 1, body.end).map(filled).peekable();
    below.peek().is_some() && below.all(|count| count <= MOST)
}

/// Whether rows begin there, below a heading or without one, of which each explains a code, as `W | petroleum wax`, or
/// states a numbered note: two texts, where the table has more cells in a row.
fn begins_legend(rows: &[GridRow], at: usize, body: &Range<usize>) -> bool {
    let from = if rows[at].lone_text().is_some() { at + 1 } else { at };
    let explains = |row: &GridRow| {
        let own: Vec<_> = row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
        let is_text = |cell: &Cell<'_>| {
            matches!(cell, Cell::Text(text) if text.chars().any(char::is_alphabetic))
                && !is_ditto(cell)
        };
        own.len() == 2 && own.iter().all(|(_, cell)| is_text(&cell.cell))
    };
    let mut below = block(rows, from, body.end).peekable();
    below.peek().is_some_and(|row| explains(row))
        && usual_above(rows, at, body).is_some_and(|usual| usual >= 3)
        && below.all(explains)
}

/// Whether rows of labels of the trade begin there, as those of a table that is written sideways do.
fn is_of_labels(rows: &[GridRow], at: usize, end: usize) -> bool {
    let from = if rows[at].lone_text().is_some() { at + 1 } else { at };
    let labels: Vec<bool> = block(rows, from, end).map(is_labelled).collect();
    let known = labels.iter().filter(|known| **known).count();
    known >= 2 && known * 5 >= labels.len() * 3
}

/// The rows from there on that no blank row parts.
fn block(rows: &[GridRow], from: usize, end: usize) -> impl Iterator<Item = &GridRow> {
    (from..end)
        .take_while(move |at| *at == from || rows[*at].number == rows[*at - 1].number + 1)
        .map(|at| &rows[at])
}

/// Whether a row begins with a name of the trade and states values behind it.
fn is_labelled(row: &GridRow) -> bool {
    let own: Vec<_> = row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    let Some((_, cell)) = own.first() else { return false };
    let Cell::Text(text) = &cell.cell else { return false };
    if own.len() < 2 || text.trim().chars().count() < 2 || is_ditto(&cell.cell) {
        return false;
    }
    is_name(text)
}

/// Whether a text is a name of the trade.
fn is_name(text: &str) -> bool {
    let header = HeaderText::read(&[text.trim()]);
    let is_known = |header: &HeaderText| {
        Vocabulary::get().find(&header.words).first().is_some_and(|(_, score)| *score >= KNOWN)
    };
    is_known(&header) || header.tongues.iter().any(is_known)
}

/// Whether a cell of the row is merged with those above it.
fn is_carried_down(row: &GridRow) -> bool {
    row.cells.values().any(|cell| cell.spread == Spread::Down)
}

fn filled(row: &GridRow) -> usize {
    row.own().filter(|(_, cell)| !cell.cell.is_blank()).count()
}

/// How many cells the rows right above fill in the middle.
fn usual_above(rows: &[GridRow], at: usize, body: &Range<usize>) -> Option<usize> {
    let above = &rows[body.start.max(at.saturating_sub(SAMPLE)).min(at)..at];
    middle(above.iter().map(filled).collect())
}

fn middle(mut counts: Vec<usize>) -> Option<usize> {
    counts.sort_unstable();
    counts.get(counts.len() / 2).copied()
}
