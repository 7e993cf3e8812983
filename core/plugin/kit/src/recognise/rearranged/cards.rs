//! Cards: a tendon's values each beside its name, and those of its ends below the names of the ends.

use std::ops::Range;

use super::super::find::is_field;
use super::super::grid::{GridCell, GridRow, Sheet};
use super::super::header::is_unit;
use super::super::scope;
use super::super::vocabulary::{Vocabulary, is_word_of};
use super::super::words::{sorted, words};
use super::{Rows, with_text};
use crate::sheet::Cell;

/// Values beside the name of a field that make a card of what begins with a mark.
const LEAST_KNOWN: usize = 4;
/// How far a value stands from its name at most, in columns.
const FAR: u32 = 2;

/// A value beside its name.
struct Pair<'s> {
    name: (u32, u32, &'s GridCell),
    value: (u32, u32, &'s GridCell),
    /// The unit behind it.
    unit: Option<(u32, u32, &'s GridCell)>,
    /// The end below whose name it stands.
    end: Option<String>,
}

/// Takes the cards out of a sheet, each as a sheet with one row.
pub(super) fn take_out(sheet: &mut Sheet) -> Vec<Sheet> {
    let begins: Vec<usize> =
        (0..sheet.rows.len()).filter(|at| marked(&sheet.rows[*at]).is_some()).collect();
    let ends = begins.iter().copied().skip(1).chain([sheet.rows.len()]);
    let blocks: Vec<Range<usize>> =
        begins.iter().copied().zip(ends).map(|(begin, end)| begin..end).collect();
    let mut taken = Vec::new();
    let mut cards = Vec::new();
    for block in blocks {
        let pairs = pairs(&sheet.rows[block]);
        let known = pairs.iter().filter(|pair| is_known(pair.name.2)).count();
        // The mark itself is one of them.
        if known <= LEAST_KNOWN {
            continue;
        }
        cards.extend(card(sheet, &pairs));
        for pair in &pairs {
            taken.extend([pair.name, pair.value].map(|(row, column, _)| (row, column)));
            taken.extend(pair.unit.map(|(row, column, _)| (row, column)));
        }
    }
    if cards.is_empty() {
        return cards;
    }
    for row in &mut sheet.rows {
        let number = row.number;
        row.cells.retain(|column, _| !taken.contains(&(number, *column)));
        let is_ends = row.own().all(|(_, cell)| end(cell).is_some() || cell.cell.is_blank());
        if is_ends {
            row.cells.clear();
        }
    }
    sheet.rows.retain(|row| !row.cells.is_empty());
    cards
}

/// The name and the value of a mark, if a row states one beside its name: the value and nothing of its kind.
fn marked(row: &GridRow) -> Option<(u32, u32)> {
    let own: Vec<(u32, &GridCell)> = row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    let at = own.iter().position(|(_, cell)| is_mark(cell))?;
    let (name, value) = (own[at], own.get(at + 1)?);
    let is_beside = value.0 - name.0 <= FAR && is_value(value.1);
    // A second value makes it a table that is written sideways.
    let is_alone = own.get(at + 2).is_none_or(|(_, next)| is_known(next) || is_label(next));
    (is_beside && is_alone).then_some((name.0, value.0))
}

/// Whether a cell is what people call the mark of a tendon.
fn is_mark(cell: &GridCell) -> bool {
    let Cell::Text(text) = &cell.cell else { return false };
    let words = sorted(words(text));
    // Whoever names the kind of a tendon names no mark.
    let found = Vocabulary::get().find(&words);
    found.iter().any(|(target, score)| *score >= 1.0 && target.name() == "tendon.mark")
}

/// Whether a cell names a field.
fn is_known(cell: &GridCell) -> bool {
    matches!(&cell.cell, Cell::Text(text) if is_field(text.trim().trim_end_matches(':')))
}

/// Whether a cell ends as labels do.
fn is_label(cell: &GridCell) -> bool {
    matches!(&cell.cell, Cell::Text(text) if text.trim().ends_with(':'))
}

fn is_value(cell: &GridCell) -> bool {
    !is_known(cell) && !is_label(cell) && end(cell).is_none()
}

/// Whether a cell holds a word of the list of the field beside it, though fields are called so too: `Filler | grout`.
fn is_word(name: &GridCell, value: &GridCell) -> bool {
    match (&name.cell, &value.cell) {
        (Cell::Text(name), Cell::Text(text)) => {
            is_word_of(&sorted(words(name.trim().trim_end_matches(':'))), text.trim())
        }
        _ => false,
    }
}

/// The name of an end in a cell that holds nothing else.
fn end(cell: &GridCell) -> Option<String> {
    let Cell::Text(text) = &cell.cell else { return None };
    let text = text.trim();
    let is_end =
        scope::of_group(text).is_some_and(|(scope, _)| scope.is_end()) || matches!(text, "A" | "B");
    is_end.then(|| match text {
        "A" | "B" => format!("End {text}"),
        other => other.to_owned(),
    })
}

/// Whether a cell names end a or b, as a value beside `Stressing end` does; `Dead end` heads what stands below it.
fn names_one(cell: &GridCell) -> bool {
    let Cell::Text(text) = &cell.cell else { return false };
    matches!(text.trim(), "A" | "B")
        || matches!(scope::named_alone(text), Some(scope::Scope::A | scope::Scope::B))
}

/// The values of a card, each beside its name, or below the name of an end.
fn pairs(rows: &[GridRow]) -> Vec<Pair<'_>> {
    let mut pairs = Vec::new();
    // The columns of the ends, as long as rows follow each other.
    let mut ends: Vec<(u32, String)> = Vec::new();
    let mut last = None;
    for row in rows {
        let own: Vec<(u32, &GridCell)> =
            row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
        if last.is_some_and(|last| row.number > last + 1) {
            ends.clear();
        }
        last = Some(row.number);
        if let [name, value] = own.as_slice()
            && is_known(name.1)
            && names_one(value.1)
        {
            pairs.push(Pair {
                name: (row.number, name.0, name.1),
                value: (row.number, value.0, value.1),
                unit: None,
                end: None,
            });
            continue;
        }
        let named: Vec<(u32, String)> =
            own.iter().filter_map(|(column, cell)| Some((*column, end(cell)?))).collect();
        if named.len() >= 2 && named.len() + 1 >= own.len() {
            ends = named;
            continue;
        }
        if let Some(first) = ends.first().map(|(column, _)| *column)
            && let Some(name) = own.iter().rev().find(|(column, _)| *column < first)
        {
            let unit = own.iter().find(|(column, cell)| {
                is_unit_cell(cell) && !ends.iter().any(|(end, _)| end == column)
            });
            for (column, end) in &ends {
                let Some(value) = own.iter().find(|(at, _)| at == column) else { continue };
                pairs.push(Pair {
                    name: (row.number, name.0, name.1),
                    value: (row.number, value.0, value.1),
                    unit: unit.map(|unit| (row.number, unit.0, unit.1)),
                    end: Some(end.clone()),
                });
            }
            continue;
        }
        let mut at = 0;
        while let (Some(name), Some(value)) = (own.get(at), own.get(at + 1)) {
            let is_name = matches!(&name.1.cell, Cell::Text(text) if !is_unit(text.trim()));
            let further = own.get(at + 2);
            let unit = further.filter(|(_, cell)| is_unit_cell(cell));
            let next = own.get(at + 2 + usize::from(unit.is_some()));
            // Several values beside one name belong to something else.
            let is_alone = next.is_none_or(|(_, next)| is_known(next) || is_label(next));
            let is_said = is_value(value.1) || own.len() == 2 && is_word(name.1, value.1);
            if is_name && value.0 - name.0 <= FAR && is_said && is_alone {
                pairs.push(Pair {
                    name: (row.number, name.0, name.1),
                    value: (row.number, value.0, value.1),
                    unit: unit.map(|unit| (row.number, unit.0, unit.1)),
                    end: None,
                });
                at += 2 + usize::from(unit.is_some());
            } else {
                at += 1;
            }
        }
    }
    pairs
}

fn is_unit_cell(cell: &GridCell) -> bool {
    matches!(&cell.cell, Cell::Text(text) if is_unit(text.trim()))
}

/// A card as a sheet of one row below headers.
fn card(sheet: &Sheet, pairs: &[Pair<'_>]) -> Option<Sheet> {
    let mark = pairs.first()?.value.0;
    let (head, row) = if mark == 0 { (0, 1) } else { (mark - 1, mark) };
    let arranged = format!(
        "{} and what follows is a card: its values stand beside their names, and those of its ends below theirs.",
        super::super::cell_name(sheet, pairs.first()?.name.0, pairs.first()?.name.1)
    );
    let mut rows = Rows::new(sheet, arranged);
    for (column, pair) in (0..).zip(pairs) {
        let name = pair.name.2.cell.shown();
        let mut text = name.trim_end_matches(':').trim_end().to_owned();
        if let Some((_, _, unit)) = pair.unit {
            let unit = unit.cell.shown();
            text = format!("{text} ({})", unit.trim_matches(['(', ')', '[', ']']));
        }
        let mut header = with_text(pair.name.2, text);
        header.section.clone_from(&pair.end);
        rows.put(head, column, header, (pair.name.0, pair.name.1));
        rows.put(row, column, pair.value.2.clone(), (pair.value.0, pair.value.1));
    }
    rows.sheet()
}
