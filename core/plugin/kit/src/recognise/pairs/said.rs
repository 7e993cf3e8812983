//! What notes say of two values in one cell: `Elongations: end B / end A`, `Elongation: before / after lock-off`.

use super::super::ends;
use super::super::grid::GridRow;
use super::super::scope::Scope;
use super::super::words::words;
use super::super::{Looked, header};
use crate::sheet::Cell;

/// Letters of a note at most: longer ones speak of many things.
const LONGEST: usize = 120;
/// Words of what one half is, at most.
const WORDS: usize = 3;

/// What each of two values is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::recognise) enum Halves {
    /// That of end `a` and that of end `b`.
    Ends,
    /// That of end `b` and that of end `a`.
    Turned,
    /// Values of other things, as before and after lock-off.
    Others,
}

/// What a note says of two values, and of which.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::recognise) struct Said {
    /// The words of what the values are.
    of: Vec<String>,
    pub(in crate::recognise) halves: Halves,
    pub(in crate::recognise) text: String,
}

impl Said {
    /// Whether it speaks of the values below a header with these words.
    pub(in crate::recognise) fn is_of(&self, words: &[String]) -> bool {
        self.of.iter().any(|word| words.contains(word))
    }
}

/// What the notes of all sheets say of it.
pub(in crate::recognise) fn said(looked: &[Looked]) -> Vec<Said> {
    let texts = looked.iter().flat_map(|one| {
        // A note right below a table may stand among its rows.
        let is_note =
            |row: &&GridRow| one.outside.contains(&row.number) || row.lone_text().is_some();
        let rows = one.sheet.rows.iter().filter(is_note);
        rows.flat_map(|row| row.own()).filter_map(|(_, cell)| match &cell.cell {
            Cell::Text(text) => Some(&**text),
            _ => None,
        })
    });
    texts.filter_map(read).collect()
}

/// What one note says.
fn read(text: &str) -> Option<Said> {
    let text = text.trim();
    if text.chars().count() > LONGEST {
        return None;
    }
    let (of, halves) = text.split_once([':', '=']).or_else(|| text.split_once(" are "))?;
    let (one, other) = halves.split_once('/')?;
    let is_short = |half: &str| {
        let count = half.split_whitespace().count();
        (1..=WORDS).contains(&count)
            && half.split_whitespace().all(|word| is_bare(word) || is_figure(word))
            && !half.contains('/')
            && !is_value(half)
            && !header::is_unit(half.trim())
    };
    let halves = [one, other].map(|half| half.trim().trim_end_matches('.'));
    if !halves.iter().all(|half| is_short(half)) {
        return None;
    }
    let of: Vec<String> = words(of).into_iter().filter(|word| word.chars().count() > 3).collect();
    let halves = match halves.map(ends::read) {
        [Some(Scope::A), Some(Scope::B)] => Halves::Ends,
        [Some(Scope::B), Some(Scope::A)] => Halves::Turned,
        _ => Halves::Others,
    };
    (!of.is_empty()).then(|| Said { of, halves, text: text.to_owned() })
}

/// Whether a word has no figures.
fn is_bare(word: &str) -> bool {
    !word.contains(|c: char| c.is_ascii_digit())
}

/// Whether a word is the number of a stage, of an end or of the like: `2`, `2nd`, `2.`.
fn is_figure(word: &str) -> bool {
    let rest = word.strip_prefix(|c: char| c.is_ascii_digit());
    rest.is_some_and(|rest| matches!(rest, "" | "." | "st" | "nd" | "rd" | "th"))
}

/// Whether a half begins with a number that is that of a value: `5 mm`.
fn is_value(half: &str) -> bool {
    let first = half.split_whitespace().next().unwrap_or_default();
    first.chars().all(|c| c.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_say_what_two_values_are() {
        for (text, halves) in [
            ("Elongations: end A / end B", Halves::Ends),
            ("Elongations: end B / end A", Halves::Turned),
            ("Elongations are B / A.", Halves::Turned),
            ("Elongation: before / after lock-off", Halves::Others),
            ("Elongation = elongation / draw-in", Halves::Others),
            ("Elongation: calculated / measured", Halves::Others),
            ("Elongation = stage 1 / stage 2", Halves::Others),
            ("Elongation values are given as 1st / 2nd stage.", Halves::Others),
            ("Elongations: end 2 / end 1", Halves::Turned),
            ("Extensions: far end / near end", Halves::Turned),
        ] {
            let said = read(text).expect(text);
            assert_eq!(said.halves, halves, "{text}");
            assert!(said.is_of(&["elongation".to_owned()]), "{text}");
        }
        for text in [
            "Elongation: 205 / 200",
            "Elongation T3: 205 mm / 200 mm",
            "Elongation: 5 mm / 6 mm",
            "Elongation / draw-in",
            "Unit: mm / m",
            "Rev: A",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
