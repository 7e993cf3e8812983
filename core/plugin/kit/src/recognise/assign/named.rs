//! The marks that stand below headers of a file that surely name tendons.

use std::collections::BTreeSet;

use super::super::grid::Sheet;
use super::super::groups::names_tendons;
use super::super::header::HeaderText;
use super::super::vocabulary::Vocabulary;
use super::Candidate;

/// Rows from the top of a sheet in which headers stand.
const ROWS: usize = 30;

/// The marks that tables of a file give to tendons, in small letters.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(in crate::recognise) struct Named(BTreeSet<String>);

impl Named {
    /// Those below headers as `Tendon` and `Tendon mark`, beside which others stand.
    pub(in crate::recognise) fn of(sheets: &[Sheet]) -> Self {
        let mut marks = BTreeSet::new();
        for sheet in sheets {
            for (at, row) in sheet.rows.iter().enumerate().take(ROWS) {
                let texts = row.own().filter_map(|(column, _)| Some((column, row.text(column)?)));
                for (column, _) in texts.filter(|(_, text)| names_them(text)) {
                    if row.own().count() < 2 {
                        continue;
                    }
                    let below = sheet.rows[at + 1..].iter();
                    let cells = below.filter_map(|row| row.cells.get(&column));
                    let given = cells.filter(|cell| !cell.cell.is_blank());
                    marks.extend(given.map(|cell| plain(&cell.cell.name())));
                }
            }
        }
        Self(marks)
    }

    /// Whether a column holds one of them.
    pub(super) fn stand_in(&self, column: &Candidate<'_>) -> bool {
        column.values.iter().any(|cell| self.0.contains(&plain(&cell.name())))
    }
}

/// Whether a header surely names tendons.
fn names_them(text: &str) -> bool {
    let words = HeaderText::read(&[text]).words;
    words.iter().any(|word| word == "tendon")
        && Vocabulary::get()
            .find(&words)
            .iter()
            .any(|(target, score)| *score >= 1.0 && names_tendons(Some(*target)))
}

fn plain(mark: &str) -> String {
    mark.trim().to_lowercase()
}
