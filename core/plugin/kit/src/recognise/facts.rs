//! What stands outside the tables of tendons and holds for all of them: rows of labels with one value, and tables
//! with a row for each end.

use std::collections::BTreeSet;

use restrand_model::quantity::of_field;
use restrand_model::reading::{Origin, Problem, ProblemKind, Remark, Understood};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::sheet::Column;
use restrand_model::value::Value;

use super::grid::{GridCell, GridRow};
use super::header::HeaderText;
use super::notes::UnitNotes;
use super::plan::Of;
use super::scope::{self, Scope};
use super::stated::{Given, Note, Whose, agree};
use super::unit::{ColumnUnit, unit};
use super::vocabulary::{Target, Vocabulary, Word, target_of, word};
use super::{Looked, report_of};
use super::{legend, said};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;
use crate::sheet::cell::{self, Measure};

/// A value that holds for all tendons, or for one end of each.
#[derive(Debug, Clone)]
pub(super) struct Fact {
    pub(super) of: Of,
    /// The tendons for which it holds.
    pub(super) whose: Whose,
    pub(super) path: &'static [&'static str],
    pub(super) value: Value,
    /// The row in which it stands.
    pub(super) row: u32,
    /// What it is called there.
    pub(super) label: String,
    /// Its text.
    pub(super) given: String,
}

/// Fields of which one value may hold for all tendons.
const OF_ALL: [&str; 5] = [
    "filler",
    "stressing.mu",
    "stressing.wobble_per_m",
    "stressing.unintended_angle_rad_per_m",
    "stressing.set_mm",
];

/// Takes the values of a sheet that stand outside its tables and hold for all tendons; those of the rows in `headed` do
/// not.
pub(super) fn take(one: &mut Looked, headed: &BTreeSet<u32>) -> Vec<Fact> {
    let legend = legend::of(&one.sheet).rows;
    let is_outside =
        |row: &&GridRow| one.outside.contains(&row.number) && !legend.contains(&row.number);
    let rows: Vec<&GridRow> = one.sheet.rows.iter().filter(is_outside).collect();
    let mut taken = std::mem::take(&mut one.taken);
    let mut facts = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        facts.extend(of_label(row, &one.notes, &mut taken));
        facts.extend(by_end(&rows[at..], &one.notes, &mut taken));
    }
    let is_doubted = |fact: &Fact| {
        headed.contains(&fact.row) || rows.iter().any(|row| states_otherwise(row, fact))
    };
    let (doubted, facts): (Vec<Fact>, Vec<Fact>) = facts.into_iter().partition(is_doubted);
    let rows: BTreeSet<u32> = doubted.iter().map(|fact| fact.row).collect();
    taken.retain(|(row, _)| !rows.contains(row));
    one.taken = taken;
    facts
}

/// Whether a row says of some, by more words than the name of the field, what a fact says of all: `Filler T2`.
fn states_otherwise(row: &GridRow, fact: &Fact) -> bool {
    let mut own = row.own().filter(|(_, cell)| !cell.cell.is_blank());
    let (Some((label, _)), Some((_, value))) = (own.next(), own.next()) else { return false };
    let Some(text) = row.text(label).filter(|_| fact.of == Of::Row && row.number != fact.row)
    else {
        return false;
    };
    let header = HeaderText::read(&[text.trim_end_matches(':')]);
    let found = Vocabulary::get().find(&header.words);
    let is_named = found.iter().any(|(target, score)| {
        (*score < 1.0 || names_some(text))
            && field(*target).is_some_and(|(path, _)| path == fact.path)
    });
    is_named && value.cell.shown() != fact.given
}

/// Says what is taken for all tendons.
pub(super) fn tell(
    one: &Looked,
    facts: &[Fact],
    frames: &mut dyn Frames,
) -> Result<Understood, Stopped> {
    let mut report = report_of(one);
    for fact in facts {
        let whose = match fact.of {
            Of::End(scope) => {
                format!("end {} of all tendons", if scope == Scope::A { "a" } else { "b" })
            }
            _ => "all tendons".to_owned(),
        };
        let why = format!("stands once and is taken for {whose} that state none of their own");
        report
            .remarks
            .push(Remark { row: Some(fact.row), what: format!("\"{}\" {why}.", fact.label) });
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place: one.sheet.place(fact.row, None),
            record: Origin::default(),
            subject: format!("{}: {}", one.sheet.name, fact.label),
            given: Some(fact.given.clone()),
            why,
            help: "write it into the rows of the tendons, if it is not that of all".to_owned(),
        }))?;
    }
    Ok(report)
}

/// Takes what notes state of tendons, and says what was taken from them or why nothing was.
///
/// What a note says of tendons that it does not tell may be of any: then nothing else is taken for all.
pub(super) fn take_notes(
    notes: &[Note],
    facts: &mut Vec<Fact>,
    frames: &mut dyn Frames,
) -> Result<Vec<Understood>, Stopped> {
    let mut said = Vec::new();
    let open: Vec<&Given> = notes.iter().flat_map(|note| &note.open).collect();
    // All tendons, and all but some, cannot both have what differs.
    let rules: Vec<(Whose, &Given)> = notes
        .iter()
        .flat_map(|note| {
            let of_all = note.given.iter().map(|given| (Whose::All, given));
            of_all.chain(note.of_some.iter().map(|(whose, given)| (whose.clone(), given)))
        })
        .filter(|(whose, _)| !matches!(whose, Whose::Of(_)))
        .collect();
    for note in notes {
        take_note(note, &open, &rules, facts, &mut said, frames)?;
    }
    // What is said of fewer tendons goes before what is said of more.
    facts.sort_by_key(|fact| fact.whose.rank());
    Ok(said)
}

fn take_note(
    note: &Note,
    open: &[&Given],
    rules: &[(Whose, &Given)],
    facts: &mut Vec<Fact>,
    said: &mut Vec<Understood>,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    let mut tell = |why: &str, is_taken: bool| {
        said.push(said::remark(note, why));
        frames.take(Frame::Problem(said::problem(note, why, is_taken)))
    };
    let is_of_tendons = |given: &&Given| matches!(given.list, "Tendons" | "Ends");
    let of_all = note.given.iter().filter(is_of_tendons);
    let of_all = of_all.map(|given| (&Whose::All, given));
    let of_some = note.of_some.iter().map(|(whose, given)| (whose, given));
    for (whose, given) in of_some.chain(of_all) {
        let of = given.end.map_or(Of::Row, Of::End);
        let of_same = |fact: &&Fact| {
            fact.of == of && fact.path == given.path && fact.whose.rank() == whose.rank()
        };
        let is_of_same =
            |fact: &&Fact| of_same(fact) && (*whose == Whose::All || fact.whose == *whose);
        let name = given.name();
        let is_rule = !matches!(whose, Whose::Of(_));
        let is_open = is_rule
            && (open.iter().any(|other| other.is_otherwise(given))
                || rules.iter().any(|(of, other)| of != whose && other.is_otherwise(given)));
        if is_open {
            let why = format!(
                "states {name} {}, and a note says otherwise of some tendons; it is not taken",
                given.shown
            );
            tell(&why, false)?;
            continue;
        }
        match facts.iter().find(is_of_same) {
            Some(fact) if agree(&fact.value, &given.value) => {}
            Some(fact) => {
                let before = &fact.label;
                let why = format!(
                    "states {name} {}, and \"{before}\" states another; that is taken",
                    given.shown
                );
                tell(&why, false)?;
            }
            None => {
                let why = format!(
                    "states {name} {}; it is taken for {} that state none of their own",
                    given.shown,
                    whose.shown()
                );
                tell(&why, true)?;
                facts.push(Fact {
                    of,
                    whose: whose.clone(),
                    path: given.path,
                    value: given.value.clone(),
                    row: note.row,
                    label: format!("the note in {}", note.cell),
                    given: given.shown.clone(),
                });
            }
        }
    }
    for asked in &note.asked {
        said.push(said::remark(note, &asked.why()));
        frames.take(Frame::Question(said::question(note, asked)))?;
    }
    let mut tell = |why: &str, is_taken: bool| {
        said.push(said::remark(note, why));
        frames.take(Frame::Problem(said::problem(note, why, is_taken)))
    };
    for why in &note.left {
        tell(&format!("is not taken for all tendons, as {why}"), false)?;
    }
    Ok(())
}

/// Whether a label names something by letters and digits, as a tendon is called: `Filler T2`.
fn names_some(label: &str) -> bool {
    let bare = label.split(['(', '[']).next().unwrap_or(label);
    bare.split(|c: char| !c.is_alphanumeric()).any(|word| {
        word.chars().any(|c| c.is_ascii_digit()) && word.chars().any(char::is_alphabetic)
    })
}

/// The value of a row that is a label with one value, and perhaps its unit.
fn of_label(row: &GridRow, notes: &UnitNotes, taken: &mut BTreeSet<(u32, u32)>) -> Option<Fact> {
    // What a title block states in the same row is no part of it.
    let cells: Vec<(u32, &GridCell)> = row
        .own()
        .filter(|(column, cell)| !cell.cell.is_blank() && !taken.contains(&(row.number, *column)))
        .collect();
    let (label, value, below) = match *cells.as_slice() {
        [label, value] => (label, value, None),
        [label, unit, value] if is_unit(unit.1) => (label, value, Some(unit.1)),
        [label, value, unit] if is_unit(unit.1) => (label, value, Some(unit.1)),
        _ => return None,
    };
    let Cell::Text(text) = &label.1.cell else { return None };
    if names_some(text) {
        return None;
    }
    let header = HeaderText::read(&[text.trim().trim_end_matches(':')]);
    let target = OF_ALL
        .iter()
        .filter_map(|field| target_of("Tendons", field))
        .find(|target| is_called(*target, &header))?;
    let below = below.and_then(|cell| match &cell.cell {
        Cell::Text(unit) => Some(unit.trim().to_owned()),
        _ => None,
    });
    let given = value.1.cell.shown();
    let value = read(target, &header, below.as_deref(), value.1, notes)?;
    let (path, _) = field(target)?;
    taken.extend(cells.iter().map(|(column, _)| (row.number, *column)));
    Some(Fact {
        of: Of::Row,
        whose: Whose::All,
        path,
        value,
        row: row.number,
        label: text.trim().to_owned(),
        given,
    })
}

/// The values of a table whose rows are the two ends, and whose first row is headers.
fn by_end(rows: &[&GridRow], notes: &UnitNotes, taken: &mut BTreeSet<(u32, u32)>) -> Vec<Fact> {
    let Some((headers, rows)) = rows.split_first() else { return Vec::new() };
    let columns: Vec<(u32, HeaderText)> = headers
        .own()
        .filter_map(|(column, _)| Some((column, HeaderText::read(&[headers.text(column)?]))))
        .collect();
    let Some((first, _)) = columns.first() else { return Vec::new() };
    let end_of = |row: &GridRow| -> Option<Scope> {
        let (scope, _) = scope::of_group(row.text(*first)?)?;
        matches!(scope, Scope::A | Scope::B).then_some(scope)
    };
    let mut number = headers.number;
    let mut facts = Vec::new();
    for row in rows {
        if row.number != number + 1 {
            break;
        }
        number = row.number;
        let Some(end) = end_of(row) else { break };
        for (column, header) in &columns[1..] {
            let target = Vocabulary::get()
                .find(&header.words)
                .into_iter()
                .find(|(target, score)| *score >= 1.0 && target.list() == Some("Ends"));
            let (Some((target, _)), Some(cell)) = (target, row.cells.get(column)) else { continue };
            let (Some((path, _)), Some(value)) =
                (field(target), read(target, header, None, cell, notes))
            else {
                continue;
            };
            taken.extend([(row.number, *column), (headers.number, *column)]);
            taken.extend([(row.number, *first), (headers.number, *first)]);
            let label = format!("{} › {}", columns[0].1.given, header.given);
            let given = cell.cell.shown();
            facts.push(Fact {
                of: Of::End(end),
                whose: Whose::All,
                path,
                value,
                row: row.number,
                label,
                given,
            });
        }
    }
    facts
}

fn is_unit(cell: &GridCell) -> bool {
    matches!(&cell.cell, Cell::Text(text) if super::header::is_unit(text.trim()))
}

fn is_called(target: Target, header: &HeaderText) -> bool {
    let is_named = |header: &HeaderText| {
        Vocabulary::get()
            .find(&header.words)
            .iter()
            .any(|(other, score)| *other == target && *score >= 1.0)
    };
    is_named(header) || header.tongues.iter().any(is_named)
}

pub(super) fn field(target: Target) -> Option<(&'static [&'static str], &'static FieldInfo)> {
    match target.column()? {
        Column::Value { path, field, .. } => Some((path.as_slice(), field.0)),
        Column::Link { .. } => None,
    }
}

/// The value of a cell, if its unit is stated and it is one.
pub(super) fn read(
    target: Target,
    header: &HeaderText,
    below: Option<&str>,
    cell: &GridCell,
    notes: &UnitNotes,
) -> Option<Value> {
    let (_, field) = field(target)?;
    if let (Shape::Choice(list), Cell::Text(text)) = (field.shape, &cell.cell) {
        return match word(field, list, text) {
            Word::Is(word) => Some(Value::Text(word.into())),
            Word::Unclear(_) | Word::Unknown => None,
        };
    }
    let own = of_field(field.name).1.filter(|_| matches!(field.shape, Shape::Number));
    let measure = match unit(field, &header.units, below, &[cell], notes) {
        ColumnUnit::None { per_cent } => {
            Measure { stated: None, unit: own, per_cent: per_cent && !cell.look.per_cent }
        }
        ColumnUnit::Stated(unit, _) => Measure { stated: Some(unit), unit: own, per_cent: false },
        ColumnUnit::Asked { .. } if matches!(cell.cell, Cell::Text(_)) => {
            Measure { stated: None, unit: own, per_cent: false }
        }
        ColumnUnit::Asked { .. } | ColumnUnit::Gradient(_) | ColumnUnit::Impossible(_) => {
            return None;
        }
    };
    cell::value(&cell.cell, field, measure).ok()
}
