//! Rows that state sums of the rows above without a word for it: `Web 1 | 31`, `All | 62`.
//!
//! That numbers add up is not enough, as three tendons of 7, 12 and 19 strands do; what the row is called, or what it
//! leaves blank that all others state, must speak for it as well.

use std::collections::BTreeMap;
use std::ops::Range;

use super::super::grid::GridRow;
use super::super::habits::RowKind;
use super::super::plan::{Of, Take};
use super::TableReader;
use crate::sheet::Cell;

/// What rows are called that hold the sums of all: common practice, no source.
const ALL: [&str; 14] = [
    "all",
    "all tendons",
    "alle",
    "tous",
    "toutes",
    "tout",
    "both",
    "both webs",
    "both sides",
    "overall",
    "together",
    "combined",
    "zusammen",
    "ensemble",
];
/// Rows of which sums are taken at least.
const LEAST: usize = 2;

impl TableReader<'_> {
    /// The rows of the body that state sums, by their positions in it.
    pub(super) fn sums(&self, body: &Range<usize>, kinds: &[RowKind]) -> Vec<usize> {
        let assignment = &self.found.assignment;
        let is_mark = |take: &Take| matches!(take, Take::Value { of: Of::Row, path, .. } if **path == ["mark"]);
        let mark = self.plans.values().find(|plan| is_mark(&plan.take)).map(|plan| plan.index);
        let Some(mark) = mark.filter(|_| assignment.list == "Tendons" && !assignment.per_end)
        else {
            return Vec::new();
        };
        let rows: Vec<&GridRow> = self.sheet.rows[body.clone()].iter().collect();
        let mut headings: Vec<String> = Vec::new();
        let mut sums = Vec::new();
        // The rows since the last heading or sum, and all.
        let (mut group, mut all) = (Above::default(), Above::default());
        for (at, (row, kind)) in rows.iter().zip(kinds).enumerate() {
            match kind {
                RowKind::Record => {}
                RowKind::Text(text) => {
                    headings.push(plain(text));
                    group = Above::default();
                    continue;
                }
                _ => {
                    group = Above::default();
                    continue;
                }
            }
            let is_sum = |above: &Above<'_>| {
                above.rows.len() >= LEAST
                    && above.add_up_to(row, mark)
                    && (is_named(row, mark, &headings)
                        || says_less(row, &above.rows, &all.rows, mark))
            };
            if is_sum(&group) || is_sum(&all) {
                sums.push(at);
                group = Above::default();
            } else {
                group.push(row);
                all.push(row);
            }
        }
        sums
    }
}

/// Rows above one, with the sums of their columns.
#[derive(Default)]
struct Above<'a> {
    rows: Vec<&'a GridRow>,
    sums: BTreeMap<u32, f64>,
}

impl<'a> Above<'a> {
    fn push(&mut self, row: &'a GridRow) {
        self.rows.push(row);
        for (column, cell) in &row.cells {
            if let Some(number) = number(&cell.cell) {
                *self.sums.entry(*column).or_default() += number;
            }
        }
    }

    /// Whether a row states numbers alone beside its mark, each the sum of those of these rows.
    fn add_up_to(&self, row: &GridRow, mark: u32) -> bool {
        let stated = row.own().filter(|(column, cell)| *column != mark && !cell.cell.is_blank());
        let mut stated = stated.peekable();
        stated.peek().is_some()
            && stated.all(|(column, cell)| {
                let sum = self.sums.get(&column).copied().unwrap_or_default();
                let is_sum = |number: f64| (number - sum).abs() <= 1e-6 * sum.abs() && sum != 0.0;
                number(&cell.cell).is_some_and(is_sum)
            })
    }
}

/// Whether a row is called after a heading above, or as the sums of all are.
fn is_named(row: &GridRow, mark: u32, headings: &[String]) -> bool {
    row.text(mark).is_some_and(|text| {
        let text = plain(text);
        ALL.contains(&text.as_str()) || headings.contains(&text)
    })
}

/// Whether a row is called otherwise than all the others are, and leaves blank what all of these state.
fn says_less(row: &GridRow, of: &[&GridRow], all: &[&GridRow], mark: u32) -> bool {
    let Some(shape) = row.text(mark).map(shape) else { return false };
    let is_other = all.iter().all(|row| row.text(mark).map(self::shape).as_ref() != Some(&shape));
    let states = |row: &GridRow, column: u32| {
        row.cells.get(&column).is_some_and(|cell| !cell.cell.is_blank())
    };
    let columns = of.first().into_iter().flat_map(|row| row.cells.keys().copied());
    is_other
        && columns.into_iter().any(|at| !states(row, at) && of.iter().all(|row| states(row, at)))
}

/// How a mark is written: which letters and digits follow each other, each kind once.
fn shape(text: &str) -> String {
    let mut shape = String::new();
    for letter in text.trim().chars() {
        let kind = match letter {
            letter if letter.is_ascii_digit() => '0',
            letter if letter.is_alphabetic() => 'a',
            letter if letter.is_whitespace() => ' ',
            letter => letter,
        };
        if !shape.ends_with(kind) {
            shape.push(kind);
        }
    }
    shape
}

fn plain(text: &str) -> String {
    let text = text.trim().trim_end_matches(':').to_lowercase();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn number(cell: &Cell<'_>) -> Option<f64> {
    match cell {
        Cell::Number(number) => Some(*number),
        Cell::Text(text) => text.trim().parse().ok(),
        _ => None,
    }
}
