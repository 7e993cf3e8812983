//! Signs of footnotes behind the marks of tendons: `T3*`, `T3 ¹`, `T3 (a)`.
//!
//! They are taken off where a note explains them: the tendon is called so without them. What the note says of the
//! tendons that have its sign is not told here. A sign by which alone two marks differ is a part of the marks.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Origin, Problem, ProblemKind};

use super::Looked;
use super::groups::names_tendons;
use crate::sheet::Cell;

/// Letters of what a note says behind its sign, at least.
const LEAST: usize = 3;

/// A name without the sign of a footnote behind it, and the sign.
fn parted(name: &str) -> Option<(&str, &str)> {
    let name = name.trim();
    let is_mark = |c: char| matches!(c, '*' | '†' | '‡' | '#' | '¹' | '²' | '³');
    let bare = name.trim_end_matches(is_mark);
    let at = if bare.len() < name.len() {
        bare.len()
    } else {
        // A letter or a number in brackets, or before one behind a blank.
        let rest = name.strip_suffix(')')?;
        let sign = rest.chars().next_back().filter(|c| c.is_ascii_alphanumeric())?;
        let before = &rest[..rest.len() - sign.len_utf8()];
        match before.strip_suffix('(') {
            Some(before) => before.len(),
            None if before.ends_with(' ') => before.len(),
            None => return None,
        }
    };
    let (bare, sign) = (name[..at].trim_end(), &name[at..]);
    bare.contains(char::is_alphanumeric).then_some((bare, sign))
}

/// Whether a text begins with a sign and explains it.
fn explains(text: &str, sign: &str) -> bool {
    text.trim().strip_prefix(sign).is_some_and(|rest| {
        !rest.starts_with(|c: char| sign.ends_with(c))
            && rest.chars().filter(|c| c.is_alphabetic()).count() >= LEAST
    })
}

/// The texts of all sheets that may be notes; one of which the sign has a cell of its own is put together.
fn notes(looked: &[Looked]) -> Vec<String> {
    let mut notes = Vec::new();
    for one in looked {
        let is_note = |number: u32| one.outside.contains(&number);
        for row in &one.sheet.rows {
            if let Some(text) = row.lone_text() {
                notes.push(text.to_owned());
            } else if is_note(row.number) {
                let texts: Vec<&str> = row.own().filter_map(|(at, _)| row.text(at)).collect();
                notes.extend(texts.iter().map(|text| (*text).to_owned()));
                notes.extend(texts.windows(2).map(|pair| pair.join(" ")));
            }
        }
    }
    notes
}

/// The signs that tell marks of the file apart: `(a)` and `(b)` of `T2 (a)` and `T2 (b)`, in whatever tables these stand,
/// and `*` of `T2*` in a column that has `T2` as well.
fn telling(looked: &[Looked]) -> BTreeSet<String> {
    let mut signs: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
    let mut telling = BTreeSet::new();
    for one in looked {
        for found in &one.found {
            let body = &one.sheet.rows[found.body.clone()];
            for column in found.assignment.columns.iter().filter(|one| names_tendons(one.target)) {
                let names: BTreeSet<&str> =
                    body.iter().filter_map(|row| row.text(column.index)).map(str::trim).collect();
                for (bare, sign) in names.iter().filter_map(|name| parted(name)) {
                    signs.entry(bare.to_lowercase()).or_default().insert(sign.trim());
                    if names.contains(bare) {
                        telling.insert(sign.trim().to_owned());
                    }
                }
            }
        }
    }
    let several = signs.values().filter(|signs| signs.len() > 1).flatten();
    telling.extend(several.map(|sign| (*sign).to_owned()));
    telling
}

/// Takes the signs off the marks of all tables; gives what is to be said of it.
pub(super) fn take_off(looked: &mut [Looked]) -> Vec<Problem> {
    let notes = notes(looked);
    let telling = telling(looked);
    let mut problems = Vec::new();
    let mut taken = BTreeSet::new();
    for one in looked.iter_mut() {
        for found in &one.found {
            for column in found.assignment.columns.iter().filter(|one| names_tendons(one.target)) {
                let body = &one.sheet.rows[found.body.clone()];
                let name = |at: usize| body[at].text(column.index);
                let signs: BTreeMap<usize, (String, String, String)> = (0..body.len())
                    .filter_map(|at| {
                        let (bare, sign) = parted(name(at)?)?;
                        let note = notes.iter().find(|note| explains(note, sign))?;
                        (!telling.contains(sign.trim()))
                            .then(|| (at, (bare.to_owned(), sign.to_owned(), note.clone())))
                    })
                    .collect();
                let Some((first, (bare, sign, note))) = signs.iter().next() else { continue };
                let given = name(*first).unwrap_or_default().to_owned();
                problems.push(Problem {
                    kind: ProblemKind::Assumed,
                    place: one.sheet.place(body[*first].number, Some(column.index)),
                    record: Origin::default(),
                    subject: format!("{}: {}", one.sheet.name, column.header.given),
                    given: Some(given),
                    why: format!(
                        "ends with the sign of a footnote, {sign}, which \"{note}\" explains: the tendon is taken to be called \
                         {bare}{}",
                        match signs.len() {
                            1 => String::new(),
                            count => format!(", and so are {} more", count - 1),
                        }
                    ),
                    help: "write the mark without the sign, and what the note says into a column".to_owned(),
                });
                let start = found.body.start;
                for (at, (bare, sign, _)) in signs {
                    let row = &mut one.sheet.rows[start + at];
                    if let Some(cell) = row.cells.get_mut(&column.index) {
                        cell.cell = Cell::Text(bare.into());
                    }
                    taken.insert(sign);
                }
            }
        }
    }
    looked.iter_mut().for_each(|one| one.sheet.footnotes.clone_from(&taken));
    problems
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_stand_behind_names() {
        for (text, bare, sign) in [
            ("T3*", "T3", "*"),
            ("T3 **", "T3", "**"),
            ("T3 ¹", "T3", "¹"),
            ("T3 (a)", "T3", "(a)"),
            ("T3(2)", "T3", "(2)"),
            ("T3 1)", "T3", "1)"),
        ] {
            assert_eq!(parted(text), Some((bare, sign)), "{text}");
        }
        for text in ["T3", "*", "T3 (left)", "T31)", "(a)", "T3 (ab)"] {
            assert_eq!(parted(text), None, "{text}");
        }
    }

    #[test]
    fn notes_explain_the_very_sign_with_which_they_begin() {
        assert!(explains("* not stressed", "*") && explains("(a): filled with wax", "(a)"));
        for text in ["** not stressed", "not stressed *", "*", "* 5 %"] {
            assert!(!explains(text, "*"), "{text}");
        }
    }
}
