//! Two values in one cell: columns of them, as `Chainage A / B` over `1+200.500 / 1+260.500`, and what notes say of them.

mod named;
mod said;

use super::grid::{GridCell, Sheet, Spread, second};
use super::habits::is_ditto;
use crate::sheet::Cell;
use named::named;
pub(super) use said::{Halves, Said, said};

/// Rows of headers above the one that names the ends.
const ABOVE: u32 = 2;

/// Gives the second of two values in one cell a column of its own, in all columns whose headers name both.
pub(super) fn split(sheet: &mut Sheet) {
    let mut pairs: Vec<(usize, u32, [String; 2])> = Vec::new();
    // A text of its own is a note, and heads nothing.
    let rows = sheet.rows.iter().enumerate().filter(|(_, row)| row.lone_text().is_none());
    for (at, row) in rows {
        for (column, cell) in row.own() {
            if let Cell::Text(text) = &cell.cell
                && let Some(names) = named(text)
                && (at > 0 || names.iter().all(|name| name.chars().count() > 1))
                && holds_pairs(sheet, at, column)
            {
                pairs.push((at, column, names));
            }
        }
    }
    for (at, column, names) in pairs {
        split_one(sheet, at, column, names);
    }
}

/// Whether all cells below a header that state something hold two values.
fn holds_pairs(sheet: &Sheet, at: usize, column: u32) -> bool {
    let mut count = 0;
    let mut last = sheet.rows[at].number;
    for row in &sheet.rows[at + 1..] {
        let Some(cell) = row.cells.get(&column).filter(|cell| !cell.cell.is_blank()) else {
            // Below the table other things begin.
            if count > 0 && row.number > last + 1 {
                break;
            }
            last = row.number;
            continue;
        };
        last = row.number;
        match &cell.cell {
            Cell::Text(text) if halves(text).is_some() => count += 1,
            cell if is_ditto(cell) => {}
            // A row of units stands between.
            Cell::Text(text)
                if count == 0 && super::header::is_unit(text.trim().trim_matches(['(', ')'])) => {}
            _ => return false,
        }
    }
    count > 0
}

fn split_one(sheet: &mut Sheet, at: usize, column: u32, names: [String; 2]) {
    let header = sheet.rows[at].number;
    let [one, other] = names.map(|name| Cell::Text(name.into()));
    for row in &mut sheet.rows {
        let Some(cell) = row.cells.get(&column).cloned() else { continue };
        let with = |value: Cell<'static>| GridCell { cell: value, ..cell.clone() };
        if row.number == header {
            row.cells.insert(column, with(one.clone()));
            row.cells.insert(second(column), with(other.clone()));
        } else if row.number < header && header - row.number <= ABOVE {
            // What groups the first groups the second.
            row.cells.insert(second(column), GridCell { spread: Spread::Across, ..cell });
        } else if row.number > header {
            let parts = match &cell.cell {
                Cell::Text(text) => halves(text),
                _ => None,
            };
            match parts {
                Some([one, other]) => {
                    for (column, part) in [(column, one), (second(column), other)] {
                        let part = if part.is_empty() { "-".to_owned() } else { part };
                        row.cells.insert(column, with(Cell::Text(part.into())));
                    }
                }
                None if is_ditto(&cell.cell) || is_unit(&cell.cell) => {
                    row.cells.insert(second(column), cell);
                }
                None => {}
            }
        }
    }
    sheet.paired.insert(column);
    sheet.paired.insert(second(column));
}

fn is_unit(cell: &Cell<'_>) -> bool {
    matches!(cell, Cell::Text(text) if super::header::is_unit(text.trim().trim_matches(['(', ')'])))
}

/// The two values of a cell; a dash is none, and a unit behind the second holds for both.
pub(super) fn halves(text: &str) -> Option<[String; 2]> {
    let text = text.trim();
    let parted = [" / ", "\n", " | ", ";", "/"].iter().find_map(|mark| {
        let parts: Vec<&str> = text.split(mark).map(str::trim).collect();
        match *parts {
            [one, other]
                if !(one.is_empty()
                    || other.is_empty()
                    || *mark == "/" && is_fraction(one, other)) =>
            {
                Some([one, other])
            }
            _ => None,
        }
    })?;
    let is_dash = |part: &str| {
        part.starts_with(['-', '–', '—']) && !part.chars().any(|letter| letter.is_ascii_digit())
    };
    let [one, other] = parted;
    let unit = other.trim_start_matches(|c: char| !c.is_alphabetic() && !matches!(c, '"' | '″'));
    let is_bare =
        one.ends_with(|c: char| c.is_ascii_digit()) && !unit.is_empty() && unit.len() <= 5;
    let first = if is_bare && super::header::is_unit(unit) {
        format!("{one} {unit}")
    } else {
        one.to_owned()
    };
    let value = |part: String| if is_dash(&part) { String::new() } else { part };
    Some([value(first), value(other.to_owned())])
}

/// Whether a bar between two numbers makes a fraction of them: `1/4"`.
fn is_fraction(one: &str, other: &str) -> bool {
    const BELOW: [u32; 6] = [2, 4, 8, 16, 32, 64];
    let digits = |text: &str, from_end: bool| -> Option<u32> {
        let of = |c: &char| c.is_ascii_digit();
        let found: String = if from_end {
            let back: String = text.chars().rev().take_while(of).collect();
            back.chars().rev().collect()
        } else {
            text.chars().take_while(of).collect()
        };
        found.parse().ok()
    };
    match (digits(one, true), digits(other, false)) {
        (Some(above), Some(below)) => above < below && BELOW.contains(&below),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recognise::Look;
    use restrand_model::reading::Grid;

    #[test]
    fn cells_are_halved_where_two_values_stand() {
        let both = |one: &str, other: &str| Some([one.to_owned(), other.to_owned()]);
        assert_eq!(halves("1+200.500 / 1+260.500"), both("1+200.500", "1+260.500"));
        assert_eq!(halves("210 / 205 mm"), both("210 mm", "205 mm"));
        assert_eq!(halves("412 / - mm"), both("412 mm", ""));
        assert_eq!(halves("- / 410 mm"), both("", "410 mm"));
        assert_eq!(halves("210/205"), both("210", "205"));
        for text in ["1/4\"", "4'-6 1/2\"", "210", "a / b / c"] {
            assert_eq!(halves(text), None, "{text}");
        }
    }

    #[test]
    fn a_column_of_single_values_stays_one() {
        let mut sheet = Sheet::new("a.xlsx", "S", Grid::Cells);
        for (row, texts) in
            [["Live / dead", "Level A / B"], ["Live", "1.0 / 2.0"], ["Dead", "3.0 / 4.0"]]
                .iter()
                .enumerate()
        {
            for (column, text) in texts.iter().enumerate() {
                let at = |number: usize| u32::try_from(number).unwrap();
                sheet.push(at(row), at(column), &Cell::Text((*text).into()), Look::default());
            }
        }
        split(&mut sheet);
        assert_eq!(sheet.rows[0].text(0), Some("Live / dead"));
        assert_eq!(
            (sheet.rows[0].text(1), sheet.rows[0].text(second(1))),
            (Some("Level A"), Some("Level B"))
        );
        assert_eq!(
            (sheet.rows[2].text(1), sheet.rows[2].text(second(1))),
            (Some("3.0"), Some("4.0"))
        );
    }
}
