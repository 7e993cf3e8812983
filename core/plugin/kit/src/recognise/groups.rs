//! Marks of several tendons in one cell: `T1, T2`, `T3 & T4`, `T5 - T8`, `T1 L/R`.

use std::collections::BTreeSet;

use super::Looked;
use super::assign::Assigned;
use super::find::{Found, keyed};
use super::grid::Sheet;
use super::plan::Take;
use super::vocabulary::Target;

/// Tendons that one cell names at most; more are no group.
const MOST: usize = 60;

/// What a cell with several marks means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Group {
    /// These tendons, as this says.
    Of(Vec<String>, &'static str),
    /// One tendon that is called so, or these.
    Unclear(Vec<String>),
}

/// The marks that tables of the file give to one tendon each, in small letters without blanks.
#[derive(Debug, Default)]
pub(super) struct Marks(BTreeSet<String>);

impl Marks {
    /// Takes the marks in the columns of a table that name tendons.
    pub(super) fn take(&mut self, sheet: &Sheet, found: &Found) {
        for column in found.assignment.columns.iter().filter(|one| names_tendons(one.target)) {
            let rows = sheet.rows[found.body.clone()].iter();
            self.0.extend(
                rows.filter_map(|row| Some(plain(&row.cells.get(&column.index)?.cell.name()))),
            );
        }
    }

    /// The marks of the tendons that tables name, in small letters.
    pub(super) fn of_tendons(&self, looked: &[Looked]) -> BTreeSet<String> {
        let mut marks = BTreeSet::new();
        for one in looked {
            for found in one.found.iter().filter(|found| found.assignment.list == "Tendons") {
                let is_mark = |column: &&Assigned| {
                    column.target.is_some_and(|target| target.name() == "tendon.mark")
                };
                let Some(mark) = found.assignment.columns.iter().find(is_mark) else { continue };
                let rows = one.sheet.rows[found.body.clone()].iter();
                for text in rows.filter_map(|row| row.text(mark.index)) {
                    match group(text, self, None) {
                        Some(Group::Of(named, _)) => {
                            marks.extend(named.iter().map(|mark| mark.to_lowercase()));
                        }
                        _ => _ = marks.insert(text.to_lowercase()),
                    }
                }
            }
        }
        marks
    }

    /// Whether a table has a tendon of this mark.
    pub(super) fn has(&self, mark: &str) -> bool {
        self.0.contains(&plain(mark))
    }
}

/// Takes the tables of ends that are keyed by tendon and end at once; gives the marks of all tendons.
pub(super) fn marks(looked: &mut [Looked]) -> Marks {
    let mut marks = Marks::default();
    for one in looked.iter() {
        let of_tendons = one.found.iter().filter(|found| !keyed::may_be_of_ends(&one.sheet, found));
        of_tendons.for_each(|found| marks.take(&one.sheet, found));
    }
    for one in looked.iter_mut() {
        keyed::take(&mut one.sheet, &mut one.found, &mut one.outside, &marks);
        one.found.iter().for_each(|found| marks.take(&one.sheet, found));
    }
    marks
}

/// Whether a column names tendons.
pub(super) fn names_tendons(target: Option<Target>) -> bool {
    target.is_some_and(|target| {
        let name = target.name();
        name == "tendon.mark" || name.ends_with(", tendon")
    })
}

/// Whether what is done with a column is to take it for the tendon of the row.
pub(super) fn is_mark(take: &Take) -> bool {
    match take {
        Take::Value { path, .. } => **path == ["mark"],
        Take::Link(header) => *header == "Tendon",
        _ => false,
    }
}

fn plain(mark: &str) -> String {
    mark.chars().filter(|letter| !letter.is_whitespace()).flat_map(char::to_lowercase).collect()
}

/// How sure the form of a text is that it names several.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// A list, which no name is.
    List,
    /// It may be a name as well.
    Unclear,
}

/// The tendons of a cell that names several; nothing where it names one.
///
/// `count` is the number of tendons that the row itself states.
pub(super) fn group(text: &str, marks: &Marks, count: Option<f64>) -> Option<Group> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (named, form) = listed(&text).or_else(|| sided(&text)).or_else(|| range(&text))?;
    let distinct: BTreeSet<&String> = named.iter().collect();
    if named.len() < 2 || named.len() > MOST || distinct.len() < named.len() {
        return None;
    }
    if named.iter().all(|mark| marks.has(mark)) {
        return Some(Group::Of(named, "other tables of the file have each of them"));
    }
    // A list may name tendons of which the rest of the file says nothing.
    if form == Form::List {
        return Some(Group::Of(named, "a list names each of them"));
    }
    #[expect(clippy::cast_precision_loss, reason = "a cell names a few tendons")]
    if count.is_some_and(|count| count == named.len() as f64) {
        return Some(Group::Of(named, "the row states as many"));
    }
    Some(Group::Unclear(named))
}

/// A list: `T1, T2`, `T3 & T4`, `T1, 2`; behind a bar the second may as well be a part of the name.
fn listed(text: &str) -> Option<(Vec<String>, Form)> {
    let spelled = text.replace(" and ", ",").replace(" und ", ",").replace(" et ", ",");
    if let Some(named) = parts(&spelled, &[',', ';', '&']) {
        return Some((named, Form::List));
    }
    // Two tendons that are coupled are written with a plus too.
    let signs = ['/', '+'];
    let named = parts(text, &signs)?;
    let are_whole = text.split(signs).zip(&named).all(|(part, mark)| part.trim() == mark);
    are_whole.then_some((named, Form::Unclear))
}

/// The marks between these signs, all of one form; of a mere number, with the letters of the first before it.
fn parts(text: &str, signs: &[char]) -> Option<Vec<String>> {
    let parts: Vec<&str> = text.split(signs).map(str::trim).collect();
    let (first, rest) = parts.split_first().filter(|(_, rest)| !rest.is_empty())?;
    let form = shape(first)
        .filter(|form| form.contains(|letter: char| letter.is_alphabetic() || letter == '*'))?;
    let stem = first.trim_end_matches(|letter: char| letter.is_ascii_digit());
    let mut named = vec![(*first).to_owned()];
    for part in rest {
        if is_number(part) && !stem.is_empty() && stem.len() < first.len() {
            named.push(format!("{stem}{part}"));
        } else if shape(part).is_some_and(|one| one == form) {
            named.push((*part).to_owned());
        } else {
            return None;
        }
    }
    Some(named)
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// What a mark looks like: its letters and where its digits stand, as `T9` of `T12`; nothing of what is none.
fn shape(text: &str) -> Option<String> {
    let mut shape = String::new();
    for letter in text.chars() {
        match letter {
            letter if letter.is_ascii_digit() => {
                if !shape.ends_with('9') {
                    shape.push('9');
                }
            }
            letter if letter.is_alphabetic() => shape.push(letter.to_ascii_uppercase()),
            '-' | '.' | '_' | ' ' | '\'' => shape.push(letter),
            _ => return None,
        }
    }
    // The side by which two of a pair differ.
    let shape = match shape.strip_suffix(['L', 'R']) {
        Some(stem) if stem.ends_with(['9', '-', ' ']) => format!("{stem}*"),
        _ => shape,
    };
    let letters = shape.chars().filter(|letter| letter.is_alphabetic()).count();
    (shape.contains('9') && letters <= 6 && text.chars().count() <= 14).then_some(shape)
}

/// One mark on both sides: `T1L/R`, `T1 L & R`, `T1-L/T1-R` being a list.
fn sided(text: &str) -> Option<(Vec<String>, Form)> {
    let (before, last) = text.split_once(['/', '&'])?;
    let (before, last) = (before.trim_end(), last.trim());
    let stem = before.strip_suffix(['L', 'l'])?;
    let is_pair = last == if before.ends_with('L') { "R" } else { "r" };
    let is_mark = stem.trim_end_matches([' ', '-', '.']).ends_with(|c: char| c.is_ascii_digit());
    (is_pair && is_mark).then(|| (vec![before.to_owned(), format!("{stem}{last}")], Form::Unclear))
}

/// A range: `T1 - T4`, `T1 to T4`.
fn range(text: &str) -> Option<(Vec<String>, Form)> {
    let (first, last) = [" to ", " bis ", " à ", "–", "…", "...", "-"]
        .iter()
        .find_map(|mark| text.split_once(mark).filter(|(_, last)| !last.contains(mark)))?;
    let (first, last) = (first.trim(), last.trim());
    let stem = first.trim_end_matches(|c: char| c.is_ascii_digit());
    let from: u32 = first.strip_prefix(stem)?.parse().ok()?;
    let to: u32 = last.strip_prefix(stem)?.parse().ok()?;
    let width = first.len() - stem.len();
    let count = usize::try_from(to.checked_sub(from)?).ok()? + 1;
    if stem.is_empty() || !(2..=MOST).contains(&count) {
        return None;
    }
    let padded = |number: u32| match first[stem.len()..].starts_with('0') {
        true => format!("{stem}{number:0width$}"),
        false => format!("{stem}{number}"),
    };
    // `S1 to S3` may be one tendon from a support to another.
    Some(((from..=to).map(padded).collect(), Form::Unclear))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marks(known: &[&str]) -> Marks {
        Marks(known.iter().map(|mark| plain(mark)).collect())
    }

    fn of(text: &str, known: &[&str]) -> Option<Vec<String>> {
        match group(text, &marks(known), None)? {
            Group::Of(named, _) => Some(named),
            Group::Unclear(_) => None,
        }
    }

    #[test]
    fn a_list_names_each_of_its_tendons() {
        for (text, named) in [
            ("T1, T2", &["T1", "T2"][..]),
            ("T3 & T4", &["T3", "T4"]),
            ("T3 and T4", &["T3", "T4"]),
            ("101L; 102L; 103L", &["101L", "102L", "103L"]),
            ("T1, 2", &["T1", "T2"]),
            ("T1-L, T1-R", &["T1-L", "T1-R"]),
        ] {
            assert_eq!(of(text, &[]).as_deref(), Some(&named.map_owned()[..]), "{text}");
        }
    }

    trait Owned {
        fn map_owned(&self) -> Vec<String>;
    }

    impl Owned for &[&str] {
        fn map_owned(&self) -> Vec<String> {
            self.iter().map(|one| (*one).to_owned()).collect()
        }
    }

    #[test]
    fn what_may_be_a_name_is_a_group_only_where_the_file_has_its_tendons() {
        for (text, named) in [
            ("T1/T2", &["T1", "T2"][..]),
            ("T1+T2", &["T1", "T2"]),
            ("T1-T3", &["T1", "T2", "T3"]),
            ("T1 to T3", &["T1", "T2", "T3"]),
            ("T1L/R", &["T1L", "T1R"]),
            ("T1 L/R", &["T1 L", "T1 R"]),
            ("T08-T10", &["T08", "T09", "T10"]),
        ] {
            assert_eq!(group(text, &marks(&[]), None), Some(Group::Unclear(named.map_owned())));
            assert_eq!(of(text, named).as_deref(), Some(&named.map_owned()[..]), "{text}");
            #[expect(clippy::cast_precision_loss, reason = "a few")]
            let count = Some(named.len() as f64);
            assert!(matches!(group(text, &marks(&[]), count), Some(Group::Of(..))), "{text}");
        }
    }

    #[test]
    fn names_are_no_groups() {
        for text in [
            "T1",
            "S1-A",
            "T1-4",
            "BF-1/2",
            "Span 1",
            "T4-T1",
            // The first and the second of a row.
            "T1/1",
            "T1/2",
            "T1, T1",
            "TOTAL",
            "Web 1, left",
            "1/2",
            "1, 2",
        ] {
            assert_eq!(group(text, &marks(&[]), None), None, "{text}");
        }
    }
}
