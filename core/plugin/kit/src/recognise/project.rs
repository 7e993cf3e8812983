//! Title blocks: what stands outside the tables and speaks of the project.

use std::collections::BTreeSet;

use restrand_model::quantity::of_field;
use restrand_model::reading::{Column as ReadColumn, Origin, Problem, ProblemKind, Table};
use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;
use restrand_model::value::{Fields, Value};

use super::dates::date;
use super::grid::{GridCell, GridRow};
use super::vocabulary::{Target, Vocabulary};
use super::words::{sorted, words};
use super::{Looked, registers};
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};
use crate::sheet::read::put;
use crate::sheet::{Cell, cell};

/// A value of the title block.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Title {
    pub(super) target: Target,
    pub(super) row: u32,
    pub(super) column: u32,
    /// What it is called, and the row and column where that stands.
    pub(super) label: String,
    pub(super) labelled_at: (u32, u32),
    pub(super) cell: Cell<'static>,
}

/// Words of labels that may name more than what the field holds: a project has several bridges, and each document a
/// title of its own.
const WIDE: &[&str] =
    &["contract", "scheme", "works", "project", "job", "document", "doc", "plan", "name", "title"];

impl Title {
    /// Whether its label may name more than what the field holds.
    fn is_wide(&self) -> bool {
        words(&self.label).iter().all(|word| WIDE.contains(&word.as_str()))
    }
}

/// Takes out the titles with wider labels where another one of the same field tells more closely: beside `Structure`
/// that which `Project` names is not the bridge. They are kept as what stands outside the tables.
pub(super) fn narrow(looked: &mut [Looked], titles: &mut Vec<(usize, Title)>) {
    let close: Vec<Target> = titles
        .iter()
        .filter(|(_, title)| !title.is_wide())
        .map(|(_, title)| title.target)
        .collect();
    titles.retain(|(of, title)| {
        let is_kept = !title.is_wide() || !close.contains(&title.target);
        if !is_kept {
            looked[*of].taken.remove(&(title.row, title.column));
            looked[*of].taken.remove(&title.labelled_at);
        }
        is_kept
    });
}

/// The values of the title blocks of a sheet, which stand outside its tables.
pub(super) fn titles(one: &mut Looked) -> Vec<Title> {
    let rows: Vec<&GridRow> =
        one.sheet.rows.iter().filter(|row| one.outside.contains(&row.number)).collect();
    let mut found = Vec::new();
    let registers = registers::rows(&one.sheet.name, &rows);
    let mut taken = std::mem::take(&mut one.taken);
    for (at, row) in rows.iter().enumerate() {
        if registers.contains(&row.number) {
            continue;
        }
        let below = rows.get(at + 1).filter(|below| below.number - row.number == 1).copied();
        of_row(row, below, &mut taken, &mut found);
    }
    one.taken = taken;
    found
}

/// Takes the values of the title block in a row: behind their label, beside it, or below it.
fn of_row(
    row: &GridRow,
    below: Option<&GridRow>,
    taken: &mut BTreeSet<(u32, u32)>,
    found: &mut Vec<Title>,
) {
    let cells: Vec<_> =
        row.own().filter(|(column, _)| !taken.contains(&(row.number, *column))).collect();
    let is_label = |cell: &GridCell| matches!(&cell.cell, Cell::Text(text) if label_of(text).is_some() || registers::heads(text));
    let mut at = 0;
    while at < cells.len() {
        let (column, cell) = cells[at];
        at += 1;
        let Cell::Text(text) = &cell.cell else { continue };
        let text = text.trim();
        let mut take = |label: &str, target: Target, place: (u32, u32), cell: Cell<'static>| {
            if !is_of_this(target, &cell) {
                return false;
            }
            taken.insert((row.number, column));
            taken.insert(place);
            let labelled_at = (row.number, column);
            let (row, column) = place;
            found.push(Title { target, row, column, label: label.to_owned(), labelled_at, cell });
            true
        };
        if let Some((label, value)) = text.split_once(':')
            && let Some(target) = project_field(label)
            && !value.trim().is_empty()
        {
            let value = Cell::Text(value.trim().to_owned().into());
            take(label.trim(), target, (row.number, column), value);
            continue;
        }
        let Some((label, target)) = label_of(text) else { continue };
        if let Some((beside, cell)) = cells.get(at).filter(|(_, cell)| !is_label(cell)) {
            at += usize::from(take(label, target, (row.number, *beside), cell.cell.clone()));
            continue;
        }
        if let Some(below) = below
            && let Some(cell) = below.cells.get(&column).filter(|cell| !is_label(cell))
            && !cell.cell.is_blank()
        {
            take(label, target, (below.number, column), cell.cell.clone());
        }
    }
}

/// The label that a text is, without its colon, and the field that it names.
fn label_of(text: &str) -> Option<(&str, Target)> {
    let label = text.trim().trim_end_matches(':').trim_end();
    Some((label, project_field(label)?))
}

/// Whether a value can be that of the field: two initials are no designer.
fn is_of_this(target: Target, cell: &Cell<'_>) -> bool {
    /// Letters of initials at most.
    const INITIALS: usize = 4;
    let Cell::Text(text) = cell else { return true };
    // What explains something, or says that it is yet to come, is no value.
    let bare = text.trim().trim_matches(['(', ')']);
    if text.contains('=') || super::habits::is_pending(&Cell::Text(bare.into())) {
        return false;
    }
    let letters = text.chars().filter(|letter| letter.is_alphabetic()).count();
    let is_initials = letters <= INITIALS && text.chars().all(|letter| !letter.is_lowercase());
    target.name() != "project.designer" || !is_initials
}

fn project_field(label: &str) -> Option<Target> {
    let of = |text: &str| {
        let found = Vocabulary::get().find(&sorted(words(text))).into_iter();
        found
            .filter(|(target, score)| *score >= 1.0 && target.list() == Some("Project"))
            .map(|(target, _)| target)
            .next()
    };
    of(label)
        .or_else(|| label.split_once('/').and_then(|(one, other)| of(one).or_else(|| of(other))))
}

/// Hands over what the title blocks say of the project, and before it what a mapping file gives, each by its path.
pub(super) fn hand_over(
    looked: &[Looked],
    titles: &[(usize, Title)],
    given: &[(&'static [&'static str], Value)],
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    let (first, row) = titles.first().map_or((0, 0), |(first, title)| (*first, title.row));
    let Some(Looked { sheet, .. }) = looked.get(first) else { return Ok(()) };
    let mut fields = Fields::new();
    // What the file states itself holds.
    let is_titled = |path: &&[&str]| {
        titles.iter().any(|(_, title)| {
            matches!(title.target.column(), Some(Column::Value { path: own, .. }) if own.as_slice() == *path)
        })
    };
    for (path, value) in given.iter().filter(|(path, _)| !is_titled(path)) {
        put(&mut fields, path, value.clone());
    }
    let mut columns = Vec::new();
    let mut problems = Vec::new();
    for (of, title) in titles {
        let Some(Column::Value { path, field, .. }) = title.target.column() else { continue };
        let dated = match (&title.cell, field.0.shape) {
            (Cell::Text(text), Shape::Date) => date(text).map(Cell::Date),
            _ => None,
        };
        let given = dated.as_ref().unwrap_or(&title.cell);
        let unit = of_field(field.0.name).1.filter(|_| matches!(field.0.shape, Shape::Number));
        let read = cell::value(given, field.0, cell::Measure { unit, ..cell::Measure::default() });
        let value = match read {
            Ok(value) => value,
            Err(unfit) => {
                problems.push(Problem {
                    kind: ProblemKind::ValueLost,
                    place: looked[*of].sheet.place(title.row, Some(title.column)),
                    record: Origin::default(),
                    subject: title.target.name(),
                    given: Some(title.cell.shown()),
                    why: unfit.why,
                    help: unfit.help,
                });
                continue;
            }
        };
        match path.first().and_then(|name| fields.get(name)) {
            None => {
                put(&mut fields, path.as_slice(), value);
                columns.push(ReadColumn {
                    index: title.column,
                    header: title.label.as_str().into(),
                    path: path.clone(),
                    unit: None,
                    link: false,
                });
            }
            Some(other) if *other == value => {}
            Some(other) => problems.push(Problem {
                kind: ProblemKind::ValueDoubtful,
                place: looked[*of].sheet.place(title.row, Some(title.column)),
                record: Origin::default(),
                subject: title.target.name(),
                given: Some(title.cell.shown()),
                why: format!("another one says \"{other}\", and that is taken"),
                help: "write the same in both places".to_owned(),
            }),
        }
    }
    if !fields.is_empty() {
        frames.take(Frame::Table(Table {
            part: sheet.part.clone(),
            sheet: Some(sheet.name.clone()),
            grid: sheet.grid,
            list: "Project".to_owned(),
            header_row: row,
            columns,
        }))?;
        let record = RecordFrame {
            table: *tables,
            at: At::Row(row),
            links: Vec::new(),
            fields,
            texts: Vec::new(),
            apart: Vec::new(),
        };
        *tables += 1;
        frames.take(Frame::Record(record))?;
    }
    for problem in problems {
        frames.take(Frame::Problem(problem))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn initials_are_no_designer() {
        let designer = project_field("Prepared by").unwrap();
        assert!(!is_of_this(designer, &Cell::Text("K.L.".into())));
        assert!(is_of_this(designer, &Cell::Text("Ash & Birch".into())));
    }
}
