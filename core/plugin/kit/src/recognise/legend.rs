//! Legends: what the codes in the cells of a file mean, as `DE` and beside it `dead end anchorage`.
//!
//! A legend says of codes what they mean wherever they stand, and states nothing of any record.

use std::collections::{BTreeMap, BTreeSet};

use super::grid::{GridRow, Sheet};
use crate::sheet::Cell;

/// What heads a legend.
const HEADS: [&str; 11] = [
    "legend",
    "key",
    "abbreviations",
    "codes",
    "notation",
    "symbols",
    "légende",
    "legende",
    "abkürzungen",
    "zeichenerklärung",
    "abréviations",
];
/// What heads the codes of a legend that has headers.
const OF_CODES: [&str; 10] = [
    "code",
    "codes",
    "abbreviation",
    "abbr",
    "symbol",
    "letter",
    "key",
    "kürzel",
    "abkürzung",
    "sigle",
];
/// Letters of a code at most.
const LONGEST: usize = 6;

/// What the legends of a sheet say.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Legend {
    /// The meanings of codes.
    pub(super) meanings: BTreeMap<String, Cell<'static>>,
    /// The rows that say them.
    pub(super) rows: BTreeSet<u32>,
}

/// The legends of a sheet.
pub(super) fn of(sheet: &Sheet) -> Legend {
    let mut legend = Legend::default();
    // On a sheet that is called so all rows are of it.
    let is_all = heads(&sheet.name);
    let mut last: Option<u32> = None;
    for row in &sheet.rows {
        let goes_on = is_all || last.is_some_and(|last| row.number == last + 1);
        if row.lone_text().is_some_and(heads) || has_headers(row) {
            last = Some(row.number);
        } else if goes_on && let Some(codes) = explained(row) {
            legend.take(row.number, codes);
            last = Some(row.number);
        } else if let Some(codes) = row.lone_text().and_then(in_one_text) {
            legend.take(row.number, codes);
            last = None;
        } else {
            last = None;
        }
    }
    for block in blocks(sheet) {
        for row in block {
            legend.take(row.number, explained(row).unwrap_or_default());
        }
    }
    legend
}

impl Legend {
    fn take(&mut self, row: u32, codes: Vec<(String, String)>) {
        self.rows.insert(row);
        for (code, meaning) in codes {
            self.meanings.insert(code, Cell::Text(meaning.into()));
        }
    }
}

/// What the legends of several sheets say: a code of which they say different things means nothing.
pub(super) fn of_all(sheets: &[Sheet]) -> BTreeMap<String, Cell<'static>> {
    // What stands behind the first cell of a row.
    let stated: BTreeSet<&str> = sheets
        .iter()
        .flat_map(|sheet| &sheet.rows)
        .flat_map(|row| row.cells.keys().skip(1).filter_map(|column| row.text(*column)))
        .collect();
    let lone = sheets.iter().flat_map(|sheet| &sheet.rows).filter_map(|row| {
        let (code, meaning) = row.lone_text()?.split_once([':', '='])?;
        code_of(code, meaning).filter(|(code, _)| stated.contains(code.as_str()))
    });
    let mut all: BTreeMap<String, Option<Cell<'static>>> = BTreeMap::new();
    let of_sheets = sheets.iter().flat_map(|sheet| of(sheet).meanings);
    let lone = lone.map(|(code, meaning)| (code, Cell::Text(meaning.into())));
    for (code, meaning) in of_sheets.chain(lone) {
        let known = all.entry(code).or_insert_with(|| Some(meaning.clone()));
        if known.as_ref().is_some_and(|known| *known != meaning) {
            *known = None;
        }
    }
    all.into_iter().filter_map(|(code, meaning)| Some((code, meaning?))).collect()
}

/// Whether a text heads a legend: `Legend:`, `Filler codes`, `Key to symbols`; in one tongue or in two, as
/// `Legende / Legend`.
pub(super) fn heads(text: &str) -> bool {
    let text = text.trim().trim_end_matches([':', ' ']).to_lowercase();
    text.split('/').all(heads_in_one)
}

fn heads_in_one(text: &str) -> bool {
    /// Words of such a heading at most.
    const MOST: usize = 4;
    let words: Vec<&str> = text.split_whitespace().collect();
    let (Some(first), Some(last)) = (words.first(), words.last()) else {
        return false;
    };
    let is_of =
        words.get(1).is_some_and(|word| matches!(*word, "to" | "of" | "for" | "zu" | "des"));
    words.len() <= MOST && (HEADS.contains(last) || is_of && HEADS.contains(first))
}

/// Whether a row heads the codes of a legend and their meanings: `Code | Meaning`.
fn has_headers(row: &GridRow) -> bool {
    let own: Vec<_> = row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    own.len() == 2
        && own.iter().all(|(_, cell)| matches!(cell.cell, Cell::Text(_)))
        && row.text(own[0].0).is_some_and(|text| {
            OF_CODES.contains(&text.trim_end_matches(['.', ':']).to_lowercase().as_str())
        })
}

/// The codes that a row explains, each with its meaning: in two cells, or in one as `DE = dead end`.
fn explained(row: &GridRow) -> Option<Vec<(String, String)>> {
    let own: Vec<_> = row.own().filter(|(_, cell)| !cell.cell.is_blank()).collect();
    let texts: Vec<&str> = own.iter().filter_map(|(column, _)| row.text(*column)).collect();
    if texts.len() < own.len() {
        return None;
    }
    match *texts.as_slice() {
        [one] => one
            .split_once(['=', ':', '–'])
            .and_then(|(code, meaning)| Some(vec![code_of(code, meaning)?])),
        [code, meaning] => {
            Some(vec![code_of(code.trim_end_matches(['=', ':', '–', ' ']), meaning)?])
        }
        _ => None,
    }
}

/// The codes that a text explains, which does nothing else: `W = wax, CG = cement grout`, `Filler: W = wax`.
pub(super) fn in_one_text(text: &str) -> Option<Vec<(String, String)>> {
    // A label before the first of them says of what they are.
    let codes = match text.split_once(':') {
        Some((label, codes)) if !label.contains('=') => codes,
        _ => text,
    };
    let clauses = codes.split([',', ';', '\n']).map(str::trim).filter(|clause| !clause.is_empty());
    let codes: Option<Vec<(String, String)>> = clauses
        .map(|clause| {
            let (code, meaning) = clause.split_once('=')?;
            let is_upper = code.chars().all(|letter| !letter.is_lowercase());
            // What states a number explains nothing: `E = 195 GPa`.
            let is_word = meaning.trim().starts_with(char::is_alphabetic);
            code_of(code, meaning).filter(|_| is_upper && is_word)
        })
        .collect();
    codes.filter(|codes| !codes.is_empty())
}

/// A code with its meaning, if they can be these.
fn code_of(code: &str, meaning: &str) -> Option<(String, String)> {
    let (code, meaning) = (code.trim(), meaning.trim_start_matches(['=', ':', '–', ' ']).trim());
    let is_code = (1..=LONGEST).contains(&code.chars().count()) && !code.contains(' ');
    (is_code && meaning.chars().count() > code.chars().count())
        .then(|| (code.to_owned(), meaning.to_owned()))
}

/// Rows below each other, apart from all others, of which each explains a code that stands elsewhere on the sheet.
fn blocks(sheet: &Sheet) -> Vec<&[GridRow]> {
    /// Rows of such a block at least.
    const LEAST: usize = 2;
    let mut blocks = Vec::new();
    let mut from = 0;
    let texts = |rows| {
        let rows: &[GridRow] = rows;
        rows.iter().flat_map(|row| row.cells.keys().filter_map(|at| row.text(*at)))
    };
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    for text in texts(&sheet.rows) {
        *times.entry(text).or_default() += 1;
    }
    for at in 1..=sheet.rows.len() {
        let goes_on =
            sheet.rows.get(at).is_some_and(|row| row.number == sheet.rows[at - 1].number + 1);
        if goes_on {
            continue;
        }
        let block = &sheet.rows[from..at];
        let own: Vec<Vec<(String, String)>> = block.iter().map_while(explained).collect();
        let codes: BTreeSet<&str> = own.iter().flatten().map(|(code, _)| code.as_str()).collect();
        let is_block =
            own.len() == block.len() && block.len() >= LEAST && codes.len() == block.len();
        let stands_elsewhere = || {
            codes.iter().any(|code| {
                let here = texts(block).filter(|text| text == code).count();
                times.get(code).is_some_and(|times| *times > here)
            })
        };
        if is_block && stands_elsewhere() {
            blocks.push(block);
        }
        from = at;
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_legend_is_known_by_its_heading() {
        for text in ["Legend:", "KEY", "Filler codes", "Key to symbols", "Legende zu den Kürzeln"]
        {
            assert!(heads(text), "{text}");
        }
        for text in ["Key plan", "Design code", "Symbols of this drawing are in mm", "T1"] {
            assert!(!heads(text), "{text}");
        }
    }

    #[test]
    fn a_text_explains_codes_and_states_no_values() {
        let codes = |text: &str| in_one_text(text).map(|codes| codes.len());
        assert_eq!(codes("W = wax, CG = cement grout"), Some(2));
        assert_eq!(codes("Filler: W = wax; CG = cement grout"), Some(2));
        for text in ["E = 195 GPa", "Filler = wax", "mu = 0.12, k = 0.001/m", "All ducts: wax"] {
            assert_eq!(codes(text), None, "{text}");
        }
    }
}
