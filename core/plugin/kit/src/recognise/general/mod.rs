//! Lists of general data: rows of a label and one value each, which hold for all tendons or for the project.
//!
//! `Strand nominal diameter | 15.7 | mm`, with or without headers above them, on a sheet of their own or above a table.

mod named;
mod names;
mod said;

use std::collections::BTreeSet;

use super::find::is_field;
use super::grid::{GridCell, GridRow, Sheet};
use super::header::is_unit;
use super::notes::UnitNotes;
use super::vocabulary::Vocabulary;
use super::words::{sorted, words};
use super::{Looked, habits};
use crate::sheet::Cell;
use named::{Named, Subject, named, of_heading};
pub(super) use said::{notes, tell, titles};

/// Letters of a label at most.
const LABEL: usize = 90;
/// Rows without headers of which the labels are understood, from which on they are a list.
const LEAST: usize = 3;
/// The same below headers.
const LEAST_HEADED: usize = 2;

/// A list of general data.
#[derive(Debug, Clone)]
pub(super) struct List {
    /// The row of its headers.
    headers: Option<u32>,
    /// The text that stands above it.
    heading: Option<String>,
    entries: Vec<Entry>,
}

/// A row of such a list.
#[derive(Debug, Clone)]
struct Entry {
    row: u32,
    label: (u32, String),
    value: (u32, GridCell),
    unit: Option<(u32, String)>,
    remarks: Vec<(u32, String)>,
    /// What its label names, if it is understood.
    named: Option<Named>,
    subject: Subject,
}

/// The columns of such a list.
#[derive(Debug, Clone, Copy)]
struct Columns {
    label: u32,
    /// A sign of what the label names, as `fpk`.
    sign: Option<u32>,
    value: u32,
    unit: Option<u32>,
}

/// Takes the lists of general data out of a sheet, as a part of their own.
pub(super) fn take_out(sheet: &mut Sheet) -> Option<Looked> {
    if sheet.grid.is_turned() {
        return None;
    }
    let mut lists = Vec::new();
    let mut numbers = BTreeSet::new();
    let mut at = 0;
    while at < sheet.rows.len() {
        let headed = headers(&sheet.rows[at]);
        let (list, end) = match headed {
            Some(columns) => below(&sheet.rows, at + 1, &columns, sheet.rows[at].number),
            None => without_headers(&sheet.rows, at),
        };
        let is_list = list.is_list();
        if is_list {
            numbers.extend(list.headers);
            numbers.extend(list.entries.iter().map(|entry| entry.row));
            lists.push(list);
        }
        // What is no list may have headers of one further down.
        at = if is_list || headed.is_none() { end.max(at + 1) } else { at + 1 };
    }
    if lists.is_empty() {
        return None;
    }
    let own = sheet.of_rows(&numbers);
    sheet.rows.retain(|row| !numbers.contains(&row.number));
    let mut looked = Looked::new(own, Vec::new(), UnitNotes::default(), numbers);
    for list in &lists {
        let Some(headers) = list.headers else { continue };
        let row = looked.sheet.row(headers).into_iter();
        looked.taken.extend(row.flat_map(GridRow::own).map(|(column, _)| (headers, column)));
    }
    for entry in lists.iter().flat_map(|list| &list.entries) {
        if entry.named.is_some() {
            looked.taken.extend(entry.cells().map(|column| (entry.row, column)));
        }
    }
    looked.general = lists;
    Some(looked)
}

impl List {
    /// Whether so much of it is understood that it is a list.
    fn is_list(&self) -> bool {
        let known = self.entries.iter().filter(|entry| entry.named.is_some()).count();
        known >= if self.headers.is_some() { LEAST_HEADED } else { LEAST }
    }
}

impl Entry {
    /// The columns of the label, the value and its unit.
    fn cells(&self) -> impl Iterator<Item = u32> {
        let unit = self.unit.as_ref().map(|(column, _)| *column);
        [self.label.0, self.value.0].into_iter().chain(unit)
    }
}

/// The columns of a list, if a row is its headers.
fn headers(row: &GridRow) -> Option<Columns> {
    const ITEM: [&str; 17] = [
        "item",
        "parameter",
        "description",
        "property",
        "quantity",
        "data",
        "material data",
        "designation",
        "characteristic",
        "bezeichnung",
        "kenngröße",
        "größe",
        "eigenschaft",
        "désignation",
        "paramètre",
        "propriété",
        "caractéristique",
    ];
    const SIGN: [&str; 6] = ["symbol", "sign", "notation", "zeichen", "formelzeichen", "symbole"];
    const VALUE: [&str; 5] = ["value", "wert", "valeur", "values", "werte"];
    const UNIT: [&str; 7] = ["unit", "units", "einheit", "einheiten", "unité", "unités", "uom"];
    let of = |names: &[&str]| {
        let mut found = row.own().filter(|(column, _)| {
            let text = row.text(*column).unwrap_or_default().trim().to_lowercase();
            names.contains(&text.trim_end_matches([':', '.', 's']))
                || names.contains(&text.trim_end_matches([':', '.']))
        });
        let first = found.next().map(|(column, _)| column);
        // Two columns of values are of two things.
        first.filter(|_| found.next().is_none())
    };
    // What stands before the label names of what each row is, unless it only counts them.
    const COUNTS: [&str; 8] = ["no", "nr", "#", "pos", "ref", "n°", "nº", "lfd. nr"];
    let label = of(&ITEM)?;
    let counts = |column: u32| {
        let text = row.text(column).unwrap_or_default().trim().to_lowercase();
        COUNTS.contains(&text.trim_end_matches('.'))
    };
    if row.own().any(|(column, _)| column < label && !counts(column)) {
        return None;
    }
    let columns = Columns { label, sign: of(&SIGN), value: of(&VALUE)?, unit: of(&UNIT) };
    (columns.label < columns.value).then_some(columns)
}

/// The list below its headers, and the position behind it.
fn below(rows: &[GridRow], from: usize, columns: &Columns, headers: u32) -> (List, usize) {
    let mut list =
        List { headers: Some(headers), heading: heading(rows, from - 1), entries: Vec::new() };
    let mut before = Subject::Other;
    let (mut at, mut last) = (from, headers);
    while let Some(row) = rows.get(at).filter(|row| row.number <= last + 2) {
        let label = row.text(columns.label).filter(|text| text.chars().count() <= LABEL);
        let value = row.cells.get(&columns.value).filter(|cell| !cell.cell.is_blank());
        match (label, value) {
            (Some(label), Some(value)) => {
                let sign = columns.sign.and_then(|sign| row.text(sign)).unwrap_or_default();
                let (named, subject) = with_sign(label, sign, before);
                before = subject;
                let unit = columns.unit.and_then(|unit| Some((unit, row.text(unit)?.to_owned())));
                let unit = unit.filter(|(_, unit)| !unit.trim().is_empty());
                let own = [Some(columns.label), Some(columns.value), columns.unit];
                let others = row.own().filter(|(column, _)| !own.contains(&Some(*column)));
                let remarks =
                    others.filter_map(|(column, _)| Some((column, row.text(column)?.to_owned())));
                list.entries.push(Entry {
                    row: row.number,
                    label: (columns.label, label.trim().to_owned()),
                    value: (columns.value, value.clone()),
                    unit,
                    remarks: remarks.collect(),
                    named,
                    subject,
                });
            }
            _ => match row.lone_text() {
                Some(text) if text.chars().count() <= LABEL && !habits::heads_notes(text) => {
                    before = of_heading(text);
                }
                _ => break,
            },
        }
        last = row.number;
        at += 1;
    }
    (list, at)
}

/// The text right above a row, or above the blank one there.
fn heading(rows: &[GridRow], at: usize) -> Option<String> {
    let above = at.checked_sub(1).map(|above| &rows[above])?;
    let is_near = rows.get(at)?.number <= above.number + 2;
    above.lone_text().filter(|_| is_near).map(str::to_owned)
}

/// What a label names, with the sign beside it.
fn with_sign(label: &str, sign: &str, before: Subject) -> (Option<Named>, Subject) {
    let alone = named(label, before);
    match alone.0 {
        Some(_) => alone,
        None if !sign.trim().is_empty() => named(&format!("{label} {sign}"), before),
        None => alone,
    }
}

/// The list that begins with a row, without headers, and the position behind it.
///
/// Only rows are of it whose labels are understood: the others may be of a title block, or of a tendon's own card.
fn without_headers(rows: &[GridRow], from: usize) -> (List, usize) {
    let mut list = List { headers: None, heading: heading(rows, from), entries: Vec::new() };
    let mut before = list.heading.as_deref().map_or(Subject::Other, of_heading);
    let (mut at, mut last) = (from, None);
    while let Some(row) = rows.get(at).filter(|row| last.is_none_or(|last| row.number <= last + 2))
    {
        match alone(row, before) {
            Some(entry) => {
                // A card of one tendon is no list of what holds for all.
                if names_tendon(&entry.label.1) {
                    list.entries.clear();
                    return (list, run_end(rows, at));
                }
                before = entry.subject;
                if entry.named.is_some() {
                    list.entries.push(entry);
                }
            }
            None => match row.lone_text() {
                Some(text) if last.is_some() && text.chars().count() <= LABEL => {
                    before = of_heading(text);
                }
                _ => break,
            },
        }
        last = Some(row.number);
        at += 1;
    }
    (list, at)
}

/// Where rows of a label and a value end.
fn run_end(rows: &[GridRow], from: usize) -> usize {
    let mut at = from;
    while rows.get(at).is_some_and(|row| alone(row, Subject::Other).is_some()) {
        at += 1;
    }
    at
}

/// Whether a label names what each tendon has of its own.
fn names_tendon(label: &str) -> bool {
    let found = Vocabulary::get().find(&sorted(words(label.trim_end_matches([':', '=']))));
    found.iter().any(|(target, score)| {
        *score >= 1.0
            && matches!(
                target.name().as_str(),
                "tendon.mark" | "tendon.strand_count" | "tendon.length_m"
            )
    })
}

/// A row that is a label with one value, perhaps its unit, and texts.
fn alone(row: &GridRow, before: Subject) -> Option<Entry> {
    let own: Vec<(u32, &GridCell)> = row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    let ((label_at, _), rest) = own.split_first()?;
    let label = row.text(*label_at)?.trim();
    let is_label = label.starts_with(char::is_alphabetic) || label.starts_with(['µ', 'Ø']);
    if !is_label || label.chars().count() > LABEL {
        return None;
    }
    let is_unit_cell = |cell: &GridCell| matches!(&cell.cell, Cell::Text(text) if is_unit(text));
    let is_text = |cell: &GridCell| matches!(cell.cell, Cell::Text(_));
    let ((value_at, value), unit, remarks) = match rest {
        [value, unit, remarks @ ..] if is_unit_cell(unit.1) => (*value, Some(*unit), remarks),
        [unit, value, remarks @ ..] if is_unit_cell(unit.1) => (*value, Some(*unit), remarks),
        [value, remarks @ ..] => (*value, None, remarks),
        [] => return None,
    };
    // Several values are of several things, and several names are headers.
    let is_name = matches!(&value.cell, Cell::Text(text) if is_field(text));
    if is_name || remarks.len() > 2 || !remarks.iter().all(|(_, cell)| is_text(cell)) {
        return None;
    }
    let (named, subject) = named(label, before);
    let text = |(column, cell): (u32, &GridCell)| (column, cell.cell.shown());
    Some(Entry {
        row: row.number,
        label: (*label_at, label.to_owned()),
        value: (value_at, value.clone()),
        unit: unit.map(text),
        remarks: remarks.iter().map(|one| text(*one)).collect(),
        named,
        subject,
    })
}
