//! The column that names the tendons, where its header does not say so.
//!
//! Where several fields of a tendon are certain, the rows are tendons all the same, and some column names them: one
//! that stands before all of these, and in which each row has a short name of its own. Two of that kind are a question.
//! Numbers that only count the rows give way to a column that says that it tells how each is called, wherever it stands.

use restrand_model::quantity::{self, Unit};
use restrand_model::reading::Sureness;

use super::super::dates;
use super::super::vocabulary::{Target, is_of_a_list, target_of};
use super::{Assigned, Assignment, Candidate, Named};
use crate::sheet::Cell;

/// Fields of a tendon that are certain at least.
const SURELY: usize = 3;
/// Rows at least: a single value is always one of its own.
const LEAST: usize = 2;
/// Letters of a name at most.
const LETTERS: usize = 16;

/// Words of headers that say that a column names or tells another thing.
///
/// Common practice, no source.
const OTHERS: [&str; 63] = [
    "lot",
    "batch",
    "coil",
    "heat",
    "serial",
    "certificate",
    "report",
    "bay",
    "line",
    "page",
    "hole",
    "row",
    "cell",
    "heft",
    "blatt",
    "seite",
    "zeile",
    "feld",
    "ligne",
    "feuille",
    "travée",
    "type",
    "kind",
    "class",
    "grade",
    "size",
    "unit",
    "group",
    "set",
    "series",
    "stage",
    "phase",
    "step",
    "order",
    "date",
    "day",
    "time",
    "year",
    "revision",
    "drawing",
    "sheet",
    "detail",
    "note",
    "remark",
    "remarks",
    "comment",
    "comments",
    "location",
    "place",
    "pier",
    "abutment",
    "support",
    "span",
    "girder",
    "web",
    "side",
    "diaphragm",
    "deviator",
    "duct",
    "strand",
    "jack",
    "anchorage",
    "end",
];

/// Words of headers below which stands how something is called: common practice, no source.
const REFERS: [&str; 15] = [
    "ref",
    "reference",
    "id",
    "tag",
    "label",
    "name",
    "designation",
    "bezug",
    "referenz",
    "kennung",
    "réf",
    "référence",
    "nom",
    "désignation",
    "riferimento",
];
/// Letters without a number between them that a code has at most: `N-E`, `LW-UP`.
const OF_CODE: usize = 3;

/// The one of these that may be of another thing than the row as well, as of who is in charge of it.
const VAGUE: &str = "name";
/// Letters with which numbers of details, drawings, papers and tags begin: common practice, no source.
const OF_PAPERS: [&str; 17] = [
    "det", "dtl", "dwg", "drg", "sk", "sht", "fig", "cert", "rep", "rpt", "rfi", "rfid", "ncr",
    "doc", "lot", "coil", "batch",
];

/// Why a column is taken for the one that names the tendons.
const WHY: &str = "no header names the tendons; this column alone can: it stands before all that are known, and \
                   each row has a short name of its own in it";
/// Why one is that says so itself.
const WHY_REFERS: &str = "no header names the tendons; this column alone says that it tells how each is called, and \
                          each row has a short name of its own in it";
/// Why one is that other tables tell.
const WHY_KNOWN: &str = "no header names the tendons; this column alone has marks by which other tables of the file name tendons";

/// A table of tendons in which no header names them.
pub(in crate::recognise) enum Unnamed {
    /// One column can only be it.
    Named(Assignment),
    /// Several columns could be it, or none: the columns that are understood, and the positions of those that could.
    Open(Assignment, Vec<u32>),
}

/// Looks for the column that names the tendons, where certain fields of a tendon tell that rows are such; marks by which
/// other tables name tendons decide.
pub(in crate::recognise) fn unnamed(columns: &[Candidate<'_>], marks: &Named) -> Option<Unnamed> {
    let mark = target_of("Tendons", "mark")?;
    let found = Assignment::of("Tendons", columns);
    let rows = columns.iter().map(|column| column.values.len()).max().unwrap_or(0);
    // Labels that have one value each are no table.
    if rows < LEAST || !is_of_tendons(&found, mark) {
        return None;
    }
    let could = could_name(&found, columns, marks);
    let [only] = *could.as_slice() else { return Some(Unnamed::Open(found, could)) };
    let why = match columns.iter().find(|column| column.index == only) {
        Some(column) if marks.stand_in(column) => WHY_KNOWN,
        Some(column) if refers(column) => WHY_REFERS,
        _ => WHY,
    };
    let mut columns = columns.to_vec();
    let header = &mut columns.iter_mut().find(|column| column.index == only)?.header;
    header.words = vec!["tendon".to_owned()];
    header.own.clone_from(&header.words);
    let mut found = Assignment::of("Tendons", &columns);
    let column = found.columns.iter_mut().find(|column| column.index == only)?;
    if column.target != Some(mark) {
        return None;
    }
    column.is_inferred = true;
    column.sureness = Sureness::Likely;
    why.clone_into(&mut column.why);
    Some(Unnamed::Named(found))
}

/// Whether rows are surely tendons, though no column names them.
fn is_of_tendons(found: &Assignment, mark: Target) -> bool {
    let names = |column: &Assigned| {
        column.target == Some(mark)
            || column.claim.as_ref().is_some_and(|(claim, _)| *claim == mark)
    };
    let sure = found.columns.iter().filter(|column| {
        column.sureness >= Sureness::Sure
            && column.target.is_some_and(|target| {
                matches!(target.list(), None | Some("Tendons" | "Ends" | "Points"))
            })
    });
    let understood = found.columns.iter().filter(|one| one.target.is_some() || one.is_asked());
    !found.columns.iter().any(names)
        && sure.count() >= SURELY
        && understood.count() * 5 >= found.columns.len() * 2
}

/// The columns that could name the tendons: those before all that are understood in which each row has a name of its
/// own; beside numbers that only count the rows, or without any of these, those whose header says that they do.
fn could_name(found: &Assignment, columns: &[Candidate<'_>], marks: &Named) -> Vec<u32> {
    let rows = columns.iter().map(|column| column.values.len()).max().unwrap_or(0);
    let is_open = |column: &Assigned| {
        column.target.is_none() && !column.is_asked() && !column.is_of_another && !column.is_hidden
    };
    let both_ends = found.names_ends();
    let before = found.columns.iter().position(|column| !is_open(column)).unwrap_or(columns.len());
    let open: Vec<(usize, &Candidate<'_>)> = columns
        .iter()
        .enumerate()
        .filter(|(at, column)| is_open(&found.columns[*at]) && speaks_of_none(column))
        .collect();
    let named_by = |is: fn(&Cell<'_>) -> bool| {
        open.iter().filter(move |(_, column)| are_names(&column.values, rows, both_ends, is))
    };
    let is_before = |at: usize| at < before;
    let named: Vec<&Candidate<'_>> =
        named_by(is_name).filter(|(at, _)| is_before(*at)).map(|(_, column)| *column).collect();
    let are_numbers = |column: &Candidate<'_>| numbers(&column.values).is_some();
    let counts = |column: &Candidate<'_>| numbers(&column.values).is_some_and(|all| go_up(&all));
    let indices = |columns: &[&Candidate<'_>]| columns.iter().map(|one| one.index).collect();
    let known: Vec<&Candidate<'_>> = named_by(is_called)
        .filter(|(at, column)| (is_before(*at) || refers(column)) && marks.stand_in(column))
        .map(|(_, column)| *column)
        .collect();
    if let [known] = *known.as_slice() {
        return vec![known.index];
    }
    if named.iter().any(|column| !are_numbers(column) && !refers(column)) {
        return indices(&named);
    }
    let others: Vec<&Candidate<'_>> = named_by(is_called)
        .filter(|(_, column)| refers(column) && !are_numbers(column))
        .map(|(_, column)| *column)
        .collect();
    let is_sure = |column: &&Candidate<'_>| named.is_empty() || surely_refers(column);
    if others.iter().any(is_sure) && named.iter().all(|column| counts(column) || refers(column)) {
        return indices(&others);
    }
    // What may be codes beside bare numbers may name the tendons as well.
    let codes = named_by(is_code).filter(|(at, _)| is_before(*at) && !named.is_empty());
    let mut all: Vec<u32> = indices(&[named.clone(), others].concat());
    all.extend(codes.map(|(_, column)| column.index));
    all.sort_unstable();
    all.dedup();
    all
}

/// Whether a header says that its column tells how each row is called.
fn refers(column: &Candidate<'_>) -> bool {
    let words = &column.header.words;
    let says_so = |word: &String| REFERS.contains(&word.as_str());
    words.iter().any(says_so)
        && words.iter().all(|word| says_so(word) || matches!(word.as_str(), "tendon" | "no"))
}

/// Whether it tells so of the row: no names of persons may stand in it, nor numbers of papers.
fn surely_refers(column: &Candidate<'_>) -> bool {
    let words = &column.header.words;
    let is_vague = |word: &String| word == VAGUE || word == "no";
    let is_of_paper = |cell: &&Cell<'static>| {
        let name = cell.name().trim().to_lowercase();
        OF_PAPERS.contains(&name.split(|c: char| !c.is_alphabetic()).next().unwrap_or_default())
    };
    !words.iter().all(is_vague) && !column.values.iter().all(is_of_paper)
}

/// The values as numbers, if all are such.
fn numbers(values: &[&Cell<'static>]) -> Option<Vec<f64>> {
    let number = |cell: &&Cell<'static>| match cell {
        Cell::Number(number) => Some(*number),
        Cell::Text(text) => text.trim().trim_end_matches('.').parse().ok(),
        _ => None,
    };
    values.iter().map(number).collect()
}

/// Whether numbers only count the rows: they go up by one from each to the next.
fn go_up(numbers: &[f64]) -> bool {
    numbers.windows(2).all(|pair| (pair[1] - pair[0] - 1.0).abs() < 1e-9)
}

/// Whether a header says nothing of what else its column tells.
fn speaks_of_none(column: &Candidate<'_>) -> bool {
    let words = &column.header.words;
    column.header.units.is_empty()
        && column.below.is_none()
        && column.header.scope.is_none()
        && !words.iter().any(|word| OTHERS.contains(&word.as_str()))
}

/// Whether each of so many rows has a short name of its own; of the rows of both ends, those of a tendon the same.
fn are_names(
    values: &[&Cell<'static>],
    rows: usize,
    both_ends: bool,
    is: fn(&Cell<'_>) -> bool,
) -> bool {
    let is_all = values.len() == rows || both_ends && values.len() * 2 >= rows;
    let mut names: Vec<String> = values.iter().map(|cell| cell.name().trim().to_owned()).collect();
    if both_ends {
        names.dedup();
    }
    let count = names.len();
    let is_name = values.iter().all(|cell| is(cell));
    names.sort_unstable();
    names.dedup();
    is_all && is_name && count >= LEAST && names.len() == count
}

/// Whether a cell can be a code of few letters, as `N-E`.
fn is_code(cell: &Cell<'_>) -> bool {
    let Cell::Text(text) = cell else { return false };
    let text = text.trim();
    let mut runs = text.split(|c: char| !c.is_alphabetic());
    text.chars().count() <= LETTERS
        && text.contains(char::is_alphabetic)
        && runs.all(|run| run.chars().count() <= OF_CODE)
        && !is_of_a_list(text)
        && (is_name(cell) || !text.contains(|letter: char| letter.is_ascii_digit()))
}

/// Whether a cell below a header that says so can name a tendon: besides what can anywhere, a code or a single word.
fn is_called(cell: &Cell<'_>) -> bool {
    let is_word = matches!(cell, Cell::Text(text) if {
        let text = text.trim();
        (1..=LETTERS).contains(&text.chars().count())
            && text.chars().all(char::is_alphabetic)
            && !is_of_a_list(text)
    });
    is_name(cell) || is_code(cell) || is_word
}

/// Whether a cell can name a tendon: a text with a number in it or a single letter, or a whole number; no measure, no
/// date, no size.
fn is_name(cell: &Cell<'_>) -> bool {
    match cell {
        Cell::Number(number) => number.fract() == 0.0 && *number >= 0.0,
        Cell::Text(text) => {
            let text = text.trim();
            let letters = text.chars().count();
            let has_number = text.contains(|letter: char| letter.is_ascii_digit());
            let rest = text.trim_start_matches(|c: char| c.is_ascii_digit() || ".,' -".contains(c));
            let is_number = rest.is_empty() && text.contains(['.', ',']);
            let is_measure = rest.len() < text.len() && Unit::find_any(rest.trim()).is_some();
            (1..=LETTERS).contains(&letters)
                && (has_number || letters == 1)
                && !is_number
                && !(is_measure && text.contains(' '))
                && !text.contains('+')
                && dates::date(text).is_none()
                && quantity::strands(text).is_none()
                && quantity::pipe(text, None).is_none()
        }
        _ => false,
    }
}
