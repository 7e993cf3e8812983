//! What people leave out: ditto marks, blanks that mean "as above", rows that are struck or summed up.

use std::collections::BTreeMap;

use super::grid::{GridCell, GridRow, Spread};
use super::vocabulary::{CARRIED, CARRIED_OVER, DITTO, NOTES, PENDING, TOTALS};
use crate::sheet::Cell;

/// Whether a cell says: as above.
pub(super) fn is_ditto(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Text(text) if DITTO.contains(&text.trim().to_lowercase().as_str()))
}

/// Whether a cell says that its value is yet to come.
pub(super) fn is_pending(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Text(text)
        if PENDING.contains(&text.trim().trim_end_matches('.').to_lowercase().as_str()))
}

/// What a row of a table's body is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum RowKind {
    /// A record.
    Record,
    /// It is left out, for this reason.
    Out(String),
    /// A remark or a heading of its own.
    Text(String),
    /// Sums of the rows above.
    Total,
}

/// Looks at a row of a table's body; `columns` are those that state a field.
pub(super) fn kind(row: &GridRow, columns: &[u32]) -> RowKind {
    let own: Vec<(u32, &GridCell)> = row.own().collect();
    let texts = || {
        own.iter().filter_map(|(_, cell)| match &cell.cell {
            Cell::Text(text) => Some(text.trim()),
            _ => None,
        })
    };
    let said: Vec<&GridCell> =
        own.iter().map(|(_, cell)| *cell).filter(|cell| !cell.cell.is_blank()).collect();
    if !said.is_empty() && said.iter().all(|cell| cell.look.struck) {
        return RowKind::Out("it is struck through".to_owned());
    }
    let plain = |text: &str| {
        let lower = text.to_lowercase();
        lower.trim_matches(|c: char| !c.is_alphanumeric() && c != 'σ').to_owned()
    };
    if begins_with_sums(row) {
        return RowKind::Total;
    }
    if said.len() == 1
        && let Cell::Text(text) = &said[0].cell
        && row.cells.values().all(|cell| cell.spread != Spread::Down)
        && !is_ditto(&said[0].cell)
        && (text.trim().contains(char::is_whitespace)
            || text.len() > 24
            || NOTES.contains(&plain(text).as_str()))
    {
        return RowKind::Text(text.trim().to_owned());
    }
    if !row.cells.keys().any(|column| columns.contains(column)) && texts().count() == own.len() {
        return RowKind::Text(texts().collect::<Vec<_>>().join(" "));
    }
    RowKind::Record
}

/// Whether the first text of a row says that it holds sums, or what is carried over.
pub(crate) fn is_of_sums(text: &str) -> bool {
    /// Words of such a text at most; a longer one is a remark.
    const MOST: usize = 7;
    let lower = text.to_lowercase();
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    if words.is_empty() || words.len() > MOST {
        return false;
    }
    let joined = words.join(" ");
    let begins = |wanted: &&str| {
        joined.strip_prefix(*wanted).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    };
    let is_number = |word: &&str| word.starts_with(|c: char| c.is_ascii_digit());
    // `2 tendons`, `12 cables in all`
    if matches!(*words.as_slice(), [count, "tendons" | "cables" | "nos", ..]
        if count.bytes().all(|digit| digit.is_ascii_digit()))
    {
        return true;
    }
    // A word and a number may be a mark, as `Mean 1`, and so may letters with numbers, as `BF-1/2`.
    if words.len() == 2 && words.last().is_some_and(is_number) {
        return false;
    }
    // A word that begins or ends it; between others it may be part of a name.
    [words.first(), words.last()].into_iter().flatten().any(|word| TOTALS.contains(word))
        || words.windows(2).any(|pair| pair == ["sub", "total"] || pair == ["sous", "total"])
        || CARRIED_OVER.iter().any(|wanted| {
            // Two letters need the bar between them and no number behind, for they may be a mark.
            let is_apart = || {
                wanted.contains(' ')
                    && (lower.contains('/') || lower.contains('.'))
                    && !words.iter().any(is_number)
            };
            begins(wanted) && (wanted.len() > 3 || is_apart())
        })
}

/// Whether a text heads the notes below a table, or begins one of them: `Notes:`, `NOTE: all in mm`.
pub(crate) fn heads_notes(text: &str) -> bool {
    let lower = text.trim().to_lowercase();
    let head = lower.split_once(':').map_or(&*lower, |(head, _)| head);
    NOTES.contains(&head.trim_matches(|c: char| !c.is_alphanumeric()))
}

/// Whether a row begins with a text that says so.
pub(super) fn begins_with_sums(row: &GridRow) -> bool {
    row.own()
        .next()
        .is_some_and(|(_, cell)| matches!(&cell.cell, Cell::Text(text) if is_of_sums(text)))
}

/// From where the value of a cell was taken, if not from the cell itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Taken {
    /// It stands there.
    Here,
    /// A mark says that it is as above.
    Ditto,
    /// It is merged with cells above.
    Merged,
    /// The cell is blank, and the column's habit is to write a value once.
    Carried,
}

/// The habit of a column.
#[derive(Debug, Clone, Default)]
pub(super) struct Habit {
    /// Whether a blank means: as above.
    carries: bool,
    /// Whether a note says so: then a dash says that there is none.
    by_note: bool,
    /// The last value that was stated.
    last: Option<GridCell>,
}

impl Habit {
    /// The habit of a column with these cells, from the first row on; `field` is the list and the field or link.
    ///
    /// A blank means "as above" only in a column of groups or kinds that starts with a value, never writes the
    /// same value twice in a row, and shows by a ditto mark, by merged cells, or by several groups of several
    /// rows each that it names each once. The tendon to which points and the like belong may be named once alone.
    pub(super) fn of(field: Option<(&str, &str)>, cells: &[Option<&GridCell>]) -> Self {
        let is_group = field.is_some_and(|field| CARRIED.contains(&field));
        if !is_group {
            return Self::default();
        }
        let stated: Vec<_> =
            cells.iter().map(|cell| cell.filter(|cell| !cell.cell.is_blank())).collect();
        let starts = stated.first().is_some_and(Option::is_some);
        let shows =
            stated.iter().flatten().any(|cell| is_ditto(&cell.cell) || cell.spread == Spread::Down);
        let mut last: Option<&Cell<'_>> = None;
        let (mut groups, mut repeats, mut blanks, mut with_blank) = (0, 0, 0, 0);
        let mut after_value = false;
        for cell in &stated {
            match cell {
                Some(cell) => {
                    groups += 1;
                    repeats += usize::from(last == Some(&cell.cell));
                    last = Some(&cell.cell);
                    after_value = true;
                }
                None => {
                    blanks += 1;
                    with_blank += usize::from(std::mem::replace(&mut after_value, false));
                }
            }
        }
        let by_groups = groups >= 2 && blanks >= 2 && with_blank * 2 >= groups && with_blank >= 2;
        // A point belongs to a tendon; one that is named once at the head of its sheet is meant all the way down.
        let is_owner = field.is_some_and(|(list, header)| list != "Tendons" && header == "Tendon");
        let by_owner = is_owner && groups == 1 && blanks >= 2;
        let carries = starts && blanks > 0 && repeats == 0 && (shows || by_groups || by_owner);
        Self { carries, by_note: false, last: None }
    }

    /// The same of a column of which something else shows that a blank means: as above.
    pub(super) fn carrying(self) -> Self {
        Self { carries: true, ..self }
    }

    /// The same of a column of which a note says that an empty cell means: as above.
    pub(super) fn noted(self) -> Self {
        Self { carries: true, by_note: true, ..self }
    }

    /// The value of the next cell of the column, and where it was taken from.
    pub(super) fn next(&mut self, cell: Option<&GridCell>) -> Option<(GridCell, Taken)> {
        match cell.filter(|cell| !cell.cell.is_blank()) {
            Some(cell) if is_ditto(&cell.cell) => {
                self.last.clone().map(|last| (GridCell { look: last.look, ..last }, Taken::Ditto))
            }
            Some(cell) => {
                self.last = Some(cell.clone());
                let taken = if cell.spread == Spread::Own { Taken::Here } else { Taken::Merged };
                Some((cell.clone(), taken))
            }
            None if self.by_note && cell.is_some() => {
                self.last = None;
                None
            }
            None if self.carries => self.last.clone().map(|last| (last, Taken::Carried)),
            None => None,
        }
    }
}

/// Habits of all columns of a table.
pub(super) type Habits = BTreeMap<u32, Habit>;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recognise::grid::Look;

    fn cells(texts: &[&str]) -> Vec<Option<GridCell>> {
        texts
            .iter()
            .map(|text| {
                (!text.is_empty()).then(|| GridCell {
                    cell: Cell::Text((*text).to_owned().into()),
                    look: Look::default(),
                    spread: Spread::Own,
                    section: None,
                })
            })
            .collect()
    }

    fn read(field: (&str, &str), texts: &[&str]) -> Vec<String> {
        let cells = cells(texts);
        let lent: Vec<Option<&GridCell>> = cells.iter().map(Option::as_ref).collect();
        let mut habit = Habit::of(Some(field), &lent);
        lent.iter()
            .map(|cell| habit.next(*cell).map_or(String::new(), |(cell, _)| cell.cell.shown()))
            .collect()
    }

    #[test]
    fn a_heading_of_notes_is_no_record() {
        let row = |text: &str| GridRow {
            number: 14,
            cells: cells(&[text]).into_iter().flatten().map(|cell| (0, cell)).collect(),
        };
        assert_eq!(kind(&row("Notes:"), &[0]), RowKind::Text("Notes:".to_owned()));
        assert_eq!(kind(&row("T7"), &[0]), RowKind::Record);
    }

    #[test]
    fn rows_of_sums_are_known() {
        for text in [
            "Total",
            "TOTAL STRAND (LB)",
            "Sub-total",
            "Sub total:",
            "Subtotal",
            "Sheet total",
            "Page Total",
            "Grand total",
            "Brought forward",
            "Carried fwd.",
            "C/F",
            "b/f",
            "C/fwd",
            "Total c/f",
            "Sum",
            "Σ",
            "Total this sheet",
            "Total carried to summary",
            "Sous-total",
            "Summe",
            "Übertrag",
            "2 tendons",
            "12 cables in all",
        ] {
            assert!(is_of_sums(text), "{text}");
        }
        for text in ["T1", "CF1", "BF", "S1-1", "Tendon 7", "Totale Brücke 1", "CF 2"] {
            assert!(!is_of_sums(text), "{text}");
        }
    }

    #[test]
    fn a_blank_means_as_above_only_where_the_column_shows_it() {
        let web = ("Tendons", "web");
        assert_eq!(read(web, &["L", "", "", "R", ""]), ["L", "L", "L", "R", "R"]);
        assert_eq!(read(web, &["L", "\"", "R", ""]), ["L", "L", "R", "R"]);
        // One that is written again is left blank for want of a value.
        assert_eq!(read(web, &["L", "L", "", "R", ""]), ["L", "L", "", "R", ""]);
        assert_eq!(read(web, &["L", "R", ""]), ["L", "R", ""]);
        assert_eq!(read(web, &["", "L", "", "R", ""]), ["", "L", "", "R", ""]);
        // What a row belongs to holds for a whole sheet; a kind that is named once does not.
        assert_eq!(read(("Points", "Tendon"), &["W1", "", ""]), ["W1", "W1", "W1"]);
        assert_eq!(read(("Points", "Tendon"), &["", "W1", ""]), ["", "W1", ""]);
        assert_eq!(read(web, &["L", "", ""]), ["L", "", ""]);
        // A number is never carried.
        assert_eq!(
            read(("Tendons", "strand_count"), &["19", "", "", "15", ""]),
            ["19", "", "", "15", ""]
        );
        assert_eq!(read(("Tendons", "strand_count"), &["19", "do.", "15"]), ["19", "19", "15"]);
    }
}
