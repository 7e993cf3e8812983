//! Legends: what the codes in the cells of a sheet mean, as `DE` and beside it `dead end anchorage`.

use std::collections::BTreeMap;

use super::grid::{GridRow, Sheet};
use crate::sheet::Cell;

/// What heads a legend.
const HEADS: [&str; 7] =
    ["legend", "key", "abbreviations", "codes", "notation", "légende", "legende"];
/// Letters of a code at most.
const LONGEST: usize = 6;

/// The meanings of the codes that the legends of a sheet explain.
pub(super) fn of(sheet: &Sheet) -> BTreeMap<String, Cell<'static>> {
    let mut legend = BTreeMap::new();
    let mut last: Option<u32> = None;
    for row in &sheet.rows {
        let is_head = row.lone_text().is_some_and(heads);
        if is_head {
            last = Some(row.number);
        } else if last.is_some_and(|last| row.number == last + 1)
            && let Some((code, meaning)) = explained(row)
        {
            legend.insert(code, Cell::Text(meaning.into()));
            last = Some(row.number);
        } else {
            last = None;
        }
    }
    legend
}

/// Whether a text heads a legend.
pub(super) fn heads(text: &str) -> bool {
    let text = text.trim().trim_end_matches([':', ' ']).to_lowercase();
    HEADS.contains(&text.as_str())
}

/// The code that a row explains, and its meaning: in two cells, or in one as `DE = dead end`.
fn explained(row: &GridRow) -> Option<(String, String)> {
    let texts: Vec<&str> = row.own().filter_map(|(column, _)| row.text(column)).collect();
    let (code, meaning) = match *texts.as_slice() {
        [one] => one.split_once(['=', ':', '–'])?,
        [code, meaning] => (code.trim_end_matches(['=', ':', '–', ' ']), meaning),
        _ => return None,
    };
    let (code, meaning) = (code.trim(), meaning.trim_start_matches(['=', ':', '–', ' ']).trim());
    let is_code = (1..=LONGEST).contains(&code.chars().count()) && !code.contains(' ');
    (is_code && meaning.chars().count() > code.chars().count())
        .then(|| (code.to_owned(), meaning.to_owned()))
}
