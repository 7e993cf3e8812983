//! Rows that are headers, those that group them, and those of their units.

use std::collections::BTreeSet;

use super::super::grid::{GridRow, Spread};
use super::super::habits::is_ditto;
use super::super::header::{HeaderText, is_surely_unit, is_unit_below, unit_above_datum};
use super::super::placed;
use super::super::scope::{self, Scope};
use super::super::vocabulary::{DELETED, Vocabulary};
use super::super::words::{sorted, words};
use crate::sheet::Cell;

/// The texts of a row, by which headers are known again.
pub(super) fn header_key(row: &GridRow) -> Vec<String> {
    row.own()
        .map(|(_, cell)| match &cell.cell {
            Cell::Text(text) => sorted(words(text)).join(" "),
            _ => String::new(),
        })
        .collect()
}

/// Whether a row looks as headers do: words of the trade, and no numbers.
pub(in crate::recognise) fn is_header_like(row: &GridRow) -> bool {
    let (mut texts, mut known, mut names_tendons) = (0_usize, 0_usize, false);
    for (column, cell) in row.own() {
        match &cell.cell {
            Cell::Text(text) => {
                if text.len() > 120 {
                    return false;
                }
                texts += 1;
                let header = HeaderText::read(&[text.trim()]);
                names_tendons |= is_name_of_tendons(&header.words);
                let is_end = header.scope.is_some() && header.words.is_empty();
                let is_at_place = placed::without_place(&header.words)
                    .is_some_and(|rest| is_column(&rest) || is_direction(&rest));
                let is_known =
                    is_end || is_at_place || is_deviator(row, column, text) || is_field(text);
                known += usize::from(is_known);
            }
            // Marks of the ends may stand in headers as bare numbers.
            Cell::Number(_) | Cell::Flag(_) | Cell::Date(_) | Cell::Moment(..) | Cell::Time(_) => {
                return false;
            }
            Cell::Error(_) | Cell::Uncalculated(_) => return false,
        }
    }
    // The columns of a register may be unknown for the most part.
    known >= 2 && (known * 5 >= texts * 2 || names_tendons && known >= KNOWN)
}

/// Whether words say a direction from an anchorage, as those of columns of its clear room do.
fn is_direction(words: &[String]) -> bool {
    matches!(words, [word] if matches!(word.as_str(), "behind" | "above" | "below" | "rear"))
}

/// Known headers that make a row of headers, however many others it has.
const KNOWN: usize = 3;

/// Whether these words head the names of tendons.
fn is_name_of_tendons(words: &[String]) -> bool {
    words.iter().any(|word| word == "tendon") && is_known(words) && words.len() <= 2
}

/// Whether a text heads the columns of a deviator. `D1` alone is as often a value, and heads what it is merged over.
fn is_deviator(row: &GridRow, column: u32, text: &str) -> bool {
    let is_word = text.split(|c: char| !c.is_alphabetic()).any(|word| word.chars().count() >= 3);
    let is_over = || row.cells.get(&(column + 1)).is_some_and(|cell| cell.spread == Spread::Across);
    matches!(scope::named_alone(text), Some(Scope::Between(_))) && (is_word || is_over())
}

/// Whether people call a field so.
pub(in crate::recognise) fn is_field(text: &str) -> bool {
    let header = HeaderText::read(&[text.trim()]);
    // Of a header in two tongues one is enough.
    is_known(&header.words)
        || is_known(&sorted(words(text)))
        || header.tongues.iter().any(|half| is_known(&half.words))
}

/// Whether these words are what people call a field.
fn is_known(wanted: &[String]) -> bool {
    Vocabulary::get().find(wanted).first().is_some_and(|(_, score)| *score >= 0.85)
}

/// Whether these words are what people call a field of which a table has a column; those of the project stand once.
fn is_column(wanted: &[String]) -> bool {
    let found = Vocabulary::get().find(wanted);
    found.iter().any(|(target, score)| *score >= 0.85 && target.list() != Some("Project"))
}

/// Whether a row states fields of the project, each beside its label, as `Bridge: | Long Mill | Rev. | B`.
pub(super) fn is_title(row: &GridRow) -> bool {
    let texts = || row.own().filter_map(|(column, _)| row.text(column));
    let heads_columns = |text: &str| {
        let header = HeaderText::read(&[text.trim()]);
        // Of a header in two tongues one is enough.
        scope::of_group(text).is_some()
            || is_column(&header.words)
            || header.tongues.iter().any(|half| is_column(&half.words))
    };
    let is_label = |text: &str| text.trim_end().ends_with(':') && !heads_columns(text);
    texts().any(is_label) || texts().next().is_some_and(is_field) && !texts().any(heads_columns)
}

/// Whether a row can stand above headers and group them.
pub(super) fn is_group_row(row: &GridRow) -> bool {
    row.own().count() >= 1
        && !is_title(row)
        && row.own().all(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if text.len() <= 40))
        && (row.own().count() >= 2 || row.cells.values().any(|cell| cell.spread == Spread::Across))
}

/// Whether a row stands right above headers as their uppermost part: texts, one of which is merged over several columns
/// or down into the headers.
pub(super) fn is_band(row: &GridRow, headers: &GridRow) -> bool {
    let is_merged_into =
        |column: &u32| headers.cells.get(column).is_some_and(|below| below.spread == Spread::Down);
    let is_over = row.cells.values().any(|cell| cell.spread == Spread::Across);
    // Where marks stand, a row of the table above has one.
    let first = headers.cells.keys().next();
    let is_of_headers = row
        .own()
        .next()
        .is_some_and(|(column, _)| Some(&column) > first || row.text(column).is_some_and(is_field));
    row.number + 1 == headers.number
        && is_group_row(row)
        && is_of_headers
        && !row.cells.values().any(|cell| cell.spread == Spread::Down)
        && (row.own().count() >= 2 && is_over
            || row.own().any(|(column, _)| is_merged_into(&column)))
}

/// Whether a row can be the lower part of headers.
pub(super) fn is_lower_header(row: &GridRow, above: &GridRow) -> bool {
    row.number == above.number + 1
        && row.cells.values().all(|cell| {
            matches!(&cell.cell, Cell::Text(text)
                if !text.trim().starts_with(|c: char| c.is_ascii_digit()) && text.len() <= 60)
        })
        && !row.cells.values().any(|cell| {
            matches!(&cell.cell, Cell::Text(text) if DELETED.contains(&text.trim().to_lowercase().as_str()))
        })
}

/// The units in a row, by column.
pub(super) fn units_of(row: Option<&GridRow>) -> Vec<(u32, String)> {
    let Some(row) = row else { return Vec::new() };
    let stated = row.cells.iter().filter(|(_, cell)| cell.spread != Spread::Down);
    stated
        .filter_map(|(column, _)| {
            let text = row.text(*column)?.trim_matches(['(', ')', '[', ']', ' ']);
            let unit = unit_above_datum(text).map_or(text, |unit| unit.symbol);
            (!unit.is_empty()).then(|| (*column, unit.to_owned()))
        })
        .collect()
}

/// Whether a row below headers holds units; a word among them that is none costs its own column alone.
///
/// A header that is merged down over the row says nothing of it.
pub(super) fn is_unit_row(row: &GridRow) -> bool {
    let (mut units, mut others, mut is_sure) = (0_usize, 0_usize, false);
    for (_, cell) in row.cells.iter().filter(|(_, cell)| cell.spread != Spread::Down) {
        let Cell::Text(text) = &cell.cell else { return false };
        if text.trim().is_empty() {
            continue;
        }
        if is_unit_below(text) {
            units += 1;
            is_sure |= is_surely_unit(text);
        } else if looks_like_unit(text) {
            others += 1;
        } else {
            return false;
        }
    }
    is_sure && units + others >= 2 && others * 2 <= units
}

/// Whether a text can be a unit that is not known here: short, and no number, mark or ditto.
fn looks_like_unit(text: &str) -> bool {
    let bare = text.trim().trim_matches(['(', ')', '[', ']']);
    bare.chars().count() <= 12
        && bare.chars().any(char::is_alphabetic)
        && !bare.starts_with(|letter: char| letter.is_ascii_digit())
        && !is_ditto(&Cell::Text(bare.into()))
        && !is_field(bare)
}

/// Whether a group reaches as far as this column: one that comes again, as `from`, `to`, `from`, `to` do, as far as
/// it did before.
fn is_over(row: &GridRow, group: u32, column: u32) -> bool {
    let before = row.cells.range(..group).find(|(other, _)| row.text(**other) == row.text(group));
    let Some((before, _)) = before else { return true };
    let next = row.cells.range(before + 1..).next().map_or(u32::MAX, |(next, _)| *next);
    column - group < next - before
}

/// The texts above each other of each column that has a header.
///
/// In a file without merged cells a group stands only in its first column; it holds for the columns to its right
/// that have a header below and nothing beside it.
pub(super) fn header_texts(rows: &[GridRow]) -> Vec<(u32, Vec<String>)> {
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
                    && is_over(row, *group, column)
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
