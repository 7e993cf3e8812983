//! Rows that begin with the name of a field: values beside their names, or a table that is written sideways.
//!
//! Below the rows of a table they look like more of them, and are none.

use std::collections::BTreeSet;
use std::ops::Range;

use restrand_model::reading::{Origin, Problem, ProblemKind};
use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;

use super::assign::Assignment;
use super::find::{Found, is_field};
use super::grid::{GridRow, Sheet};
use super::vocabulary::{Word, word};
use crate::sheet::Cell;

/// Such rows below each other from which on they are believed: a tendon may be called anything.
const LEAST: usize = 2;

/// The name of a field with which a row begins, and values behind it.
pub(super) fn label(row: &GridRow) -> Option<(u32, &str)> {
    let name = |cell: &'_ Cell<'static>| matches!(cell, Cell::Text(text) if is_field(text));
    let mut own = row.own().filter(|(_, cell)| !cell.cell.is_blank());
    let (column, first) = own.next()?;
    let second = own.next()?;
    // Headers that come again are names alone.
    if !name(&first.cell) || name(&second.1.cell) || own.any(|(_, cell)| name(&cell.cell)) {
        return None;
    }
    Some((column, row.text(column)?))
}

/// The first rows of a table's body that begin with names of fields instead, as positions, their caption among them.
pub(super) fn below(
    sheet: &Sheet,
    body: &Range<usize>,
    assignment: &Assignment,
) -> Option<Range<usize>> {
    let rows = &sheet.rows;
    let is_next = |at: usize| at > 0 && rows[at].number == rows[at - 1].number + 1;
    let mut at = body.start;
    while at < body.end {
        let mut names = BTreeSet::new();
        let mut end = at;
        while end < body.end
            && (end == at || is_next(end))
            && let Some((column, name)) = label(&rows[end])
            && !is_word_of(assignment, column, name)
            // A name that comes again is what several rows are called.
            && names.insert(name.to_lowercase())
        {
            end += 1;
        }
        if end - at >= LEAST {
            return Some(with_caption(rows, body.start, at)..end);
        }
        at = end.max(at + 1);
    }
    None
}

/// Whether a column takes this text for a word of its list, as the roles of parts are.
fn is_word_of(assignment: &Assignment, column: u32, text: &str) -> bool {
    let target = assignment.columns.iter().find(|assigned| assigned.index == column);
    match target.and_then(|assigned| assigned.target?.column()) {
        Some(Column::Value { field, .. }) => match field.0.shape {
            Shape::Choice(list) | Shape::Choices(list) => {
                !matches!(word(field.0, list, text), Word::Unknown)
            }
            _ => false,
        },
        _ => false,
    }
}

/// Where rows begin with the text above them that stands apart from what is above it.
fn with_caption(rows: &[GridRow], from: usize, at: usize) -> usize {
    let Some(above) = at.checked_sub(1).filter(|above| *above > from) else { return at };
    let is_apart = rows[above].number > rows[above - 1].number + 1;
    let mut own = rows[above].own();
    let is_text = matches!(own.next(), Some((_, cell)) if matches!(cell.cell, Cell::Text(_)));
    let is_near = rows[at].number - rows[above].number <= 2;
    if is_apart && is_near && is_text && own.next().is_none() { above } else { at }
}

/// Where a table goes on below rows that begin with names of fields, as a position.
///
/// Right below them a row may have the name of a field that nobody knows. It is one of the table only if it begins as
/// the table's own rows do.
pub(super) fn goes_on_at(sheet: &Sheet, table: &Found, labels: &Range<usize>) -> Option<usize> {
    let rows = &sheet.rows;
    let key = key_column(&table.assignment);
    let begins: BTreeSet<String> =
        (table.body.start..labels.start).filter_map(|at| shape(&rows[at], key)).collect();
    let mut is_right_below = true;
    (labels.end..table.body.end).find(|at| {
        is_right_below &= rows[*at].number == rows[*at - 1].number + 1;
        let is_known = || shape(&rows[*at], key).is_some_and(|shape| begins.contains(&shape));
        goes_on(&rows[*at], &table.assignment) && (!is_right_below || is_known())
    })
}

/// The column that names the rows of a table.
fn key_column(assignment: &Assignment) -> Option<u32> {
    let is_key =
        |name: &str| name.ends_with(".mark") || name.ends_with(".id") || name.ends_with(", tendon");
    let named = assignment.columns.iter();
    named
        .filter(|column| column.target.is_some_and(|target| is_key(&target.name())))
        .map(|one| one.index)
        .next()
}

/// What a row's name looks like: runs of letters and of digits, as `a9` of `T12`; a blank one, as of a further row of
/// the same record, is as good as any other.
fn shape(row: &GridRow, key: Option<u32>) -> Option<String> {
    let cell = match key {
        Some(key) => row.cells.get(&key).map(|cell| &cell.cell),
        None => row.own().next().map(|(_, cell)| &cell.cell),
    };
    let mut shape = String::new();
    for letter in cell?.shown().chars() {
        let one = match letter {
            letter if letter.is_ascii_digit() => '9',
            letter if letter.is_alphabetic() => 'a',
            other => other,
        };
        if !shape.ends_with(one) {
            shape.push(one);
        }
    }
    Some(shape)
}

/// Whether a row says something as the rows of this table do.
fn goes_on(row: &GridRow, assignment: &Assignment) -> bool {
    let is_known = |column: u32| assignment.columns.iter().any(|one| one.index == column);
    let said = row.own().filter(|(_, cell)| !cell.cell.is_blank());
    let columns: Vec<u32> = said.map(|(column, _)| column).collect();
    columns.len() >= 2 && columns.iter().all(|column| is_known(*column)) && label(row).is_none()
}

/// What is to be said of rows outside of the tables that begin with the name of a field, and of which nothing was taken.
pub(super) fn outside(
    sheet: &Sheet,
    outside: &BTreeSet<u32>,
    taken: &BTreeSet<(u32, u32)>,
) -> Vec<Problem> {
    let is_taken = |row: u32| taken.range((row, 0)..=(row, u32::MAX)).next().is_some();
    let rows = sheet.rows.iter().filter(|row| outside.contains(&row.number));
    rows.filter(|row| !is_taken(row.number))
        .filter_map(|row| {
            let (column, name) = label(row)?;
            Some(Problem {
                kind: ProblemKind::Unknown,
                place: sheet.place(row.number, Some(column)),
                record: Origin::default(),
                subject: format!("{}: {name}", sheet.name),
                given: Some(name.to_owned()),
                why: "it stands in no table that says of which record it speaks; it is kept as a further value"
                    .to_owned(),
                help: "give it a column of its table, or say it in a mapping file as a constant of all rows"
                    .to_owned(),
            })
        })
        .collect()
}
