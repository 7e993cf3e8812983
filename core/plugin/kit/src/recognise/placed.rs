//! Ends that headers tell by the places where they lie: `Clear behind, Pier 3` beside `Clear behind, Pier 4`, or
//! `Elongation W` beside `Elongation E`.

use std::collections::{BTreeMap, BTreeSet};

use super::assign::Candidate;
use super::grid::Sheet;
use super::header::HeaderText;
use super::scope::Scope;
use super::sides;
use super::words::{sorted, words};
use crate::sheet::Cell;

/// What carries the ends of tendons, with a number or a letter behind it.
const SUPPORTS: [&str; 6] = ["abutment", "pier", "bent", "pylon", "support", "diaphragm"];
/// The quarters, and the letters by which they are written.
const QUARTERS: [(&str, &str, &str); 4] = [
    ("north", "n", "south"),
    ("south", "s", "north"),
    ("east", "e", "west"),
    ("west", "w", "east"),
];

/// A place, by its words in one spelling.
pub(super) type Place = Vec<String>;

/// The ends that lie in two opposite quarters, by their names; none where the file does not tell them.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Quarters(BTreeMap<Place, Scope>);

impl Quarters {
    /// Rows from the top of a sheet in which headers stand.
    const ROWS: usize = 30;

    /// What the headers of the sheets tell, where all that tell any tell the same: `South anchorage ch.` beside
    /// `North anchorage ch.`, of which the first is end `a`.
    pub(super) fn of(sheets: &[Sheet]) -> Self {
        let rows = sheets.iter().flat_map(|sheet| sheet.rows.iter().take(Self::ROWS));
        let mut told: BTreeSet<(Place, Place)> = BTreeSet::new();
        for row in rows {
            let texts = || row.cells.keys().filter_map(|column| row.text(*column));
            // Bearings and piers have two sides as well.
            if !texts().any(|text| words(text).iter().any(|word| word == "tendon")) {
                continue;
            }
            let named: Vec<(Place, Vec<String>)> = texts()
                .filter_map(|text| take(&HeaderText::read(&[text]).words))
                .filter(|(place, rest)| is_of_ends(rest) && quarter(place).is_some())
                .collect();
            for (at, (one, rest)) in named.iter().enumerate() {
                let other = named[at + 1..]
                    .iter()
                    .find(|(other, same)| same == rest && other != one && are_alike(one, other));
                told.extend(other.map(|(other, _)| (one.clone(), other.clone())));
            }
        }
        match told.into_iter().collect::<Vec<_>>().as_slice() {
            [(one, other)] => {
                Self(BTreeMap::from([(one.clone(), Scope::A), (other.clone(), Scope::B)]))
            }
            _ => Self::default(),
        }
    }
}

/// Names the ends of headers that say them by two places, and says in other columns what these places are.
///
/// Where no group of headers tells it, the place that comes first is end `a`, as it is with groups; places whose
/// numbers fall are left as they are. `of_file` is what other headers of the file tell.
pub(super) fn name_ends(columns: &mut [Candidate<'_>], of_file: &Quarters) {
    let mut ends = of_groups(columns);
    let is_known = !ends.is_empty();
    let (open, pairs): (Vec<_>, Vec<_>) = pairs(columns).into_iter().partition(|(one, other)| {
        !is_known
            && !is_of_ends(&one.rest)
            && sides::are_of_tendons(columns, [&one.place, &other.place])
    });
    for one in open.iter().flat_map(|(one, other)| [one, other]) {
        sides::leave_open(&mut columns[one.at].header, &one.rest);
    }
    let named: BTreeSet<&Place> =
        pairs.iter().flat_map(|(one, other)| [&one.place, &other.place]).collect();
    let names_none = named.is_empty();
    // Of three places none is an end.
    if named.len() == 2 {
        if let Some((one, other)) = pairs.first().filter(|_| !is_known)
            && !falls(&one.place, &other.place)
        {
            ends = BTreeMap::from([(one.place.clone(), Scope::A), (other.place.clone(), Scope::B)]);
        }
        for one in pairs.iter().flat_map(|(one, other)| [one, other]) {
            let Some(scope) = ends.get(&one.place) else { continue };
            let header = &mut columns[one.at].header;
            (header.scope, header.said) = (Some(*scope), Some(*scope));
            header.place = Some(shown(&header.given, &one.place));
            header.own.retain(|word| one.rest.contains(word));
            header.words.clone_from(&one.rest);
            header.by_order = !is_known;
        }
    }
    if ends.len() == 2 {
        explain(columns, &ends);
    } else if names_none {
        explain(columns, &of_file.0);
    }
}

/// One of two columns that state the same of two places.
#[derive(Debug, Clone)]
struct Named {
    at: usize,
    place: Place,
    rest: Vec<String>,
}

/// The places over which groups of headers stand, with the ends that they were taken for.
fn of_groups(columns: &[Candidate<'_>]) -> BTreeMap<Place, Scope> {
    let mut ends: BTreeMap<Place, Scope> = BTreeMap::new();
    for column in columns {
        let header = &column.header;
        if let (Some(scope @ (Scope::A | Scope::B)), Some(place)) = (header.scope, &header.place)
            && let Some(place) = read(place)
        {
            ends.insert(place, scope);
        }
    }
    if ends.len() == 2 { ends } else { BTreeMap::new() }
}

/// Pairs of columns whose headers say the same but for the place, in the order of the columns.
fn pairs(columns: &[Candidate<'_>]) -> Vec<(Named, Named)> {
    let named: Vec<Named> = columns
        .iter()
        .enumerate()
        .filter(|(_, column)| column.header.scope.is_none())
        .filter_map(|(at, column)| {
            let (place, rest) = take(&column.header.words)?;
            (!rest.is_empty()).then_some(Named { at, place, rest })
        })
        .collect();
    let mut pairs = Vec::new();
    for one in &named {
        let same: Vec<&Named> = named.iter().filter(|other| other.rest == one.rest).collect();
        if let [first, second] = *same.as_slice()
            && first.at == one.at
            && first.place != second.place
            && are_alike(&first.place, &second.place)
        {
            pairs.push((one.clone(), second.clone()));
        }
    }
    pairs
}

/// Whether words beside a place say that it is that of an end.
fn is_of_ends(rest: &[String]) -> bool {
    let has = |word: &str| rest.iter().any(|own| own == word);
    has("anchorage") || has("end") || has("station") && rest.len() == 1
}

/// Whether two places can be the two ends: two supports, or quarters that lie opposite.
fn are_alike(one: &Place, other: &Place) -> bool {
    match (quarter(one), quarter(other)) {
        (Some((.., opposite)), Some((name, ..))) => opposite == name,
        (None, None) => true,
        _ => false,
    }
}

/// The quarter that a place is.
fn quarter(place: &Place) -> Option<&'static (&'static str, &'static str, &'static str)> {
    QUARTERS.iter().find(|(name, ..)| place == &[*name])
}

/// Whether the number or letter of the first place comes behind that of the second.
fn falls(one: &Place, other: &Place) -> bool {
    let mark = |place: &Place| place.iter().find(|word| is_mark(word)).cloned();
    match (mark(one), mark(other)) {
        (Some(one), Some(other)) => match (one.parse::<u32>(), other.parse::<u32>()) {
            (Ok(one), Ok(other)) => one > other,
            (Err(_), Err(_)) => one > other,
            // A letter beside a number: `A` is that of the first abutment.
            (Ok(_), Err(_)) => other == "a",
            (Err(_), Ok(_)) => one != "a",
        },
        _ => false,
    }
}

fn is_mark(word: &str) -> bool {
    word.bytes().all(|letter| letter.is_ascii_digit()) || word.len() == 1
}

/// The place that words name, and the words without it.
fn take(all: &[String]) -> Option<(Place, Vec<String>)> {
    let quarter = |word: &str| {
        QUARTERS.iter().find(|(name, letter, _)| word == *name || word == *letter).map(|one| one.0)
    };
    let support = all.iter().find_map(|word| support(word));
    let mut place: Place = Vec::new();
    let mut rest = Vec::new();
    for word in all {
        if support.is_some() && (self::support(word).is_some() || is_mark(word)) {
            place.push(self::support(word).unwrap_or(word).to_owned());
        } else if let (None, Some(name)) = (support, quarter(word)) {
            place.push(name.to_owned());
        } else {
            rest.push(word.clone());
        }
    }
    (!place.is_empty()).then(|| (sorted(place), rest))
}

/// Whether a text is a quarter and nothing else: it says where an end lies, and is no place of a bridge.
pub(super) fn is_quarter(text: &str) -> bool {
    read(text).is_some_and(|place| quarter(&place).is_some())
}

/// What words say besides a place that they name, if they say anything.
pub(super) fn without_place(words: &[String]) -> Option<Vec<String>> {
    take(words).map(|(_, rest)| rest).filter(|rest| !rest.is_empty())
}

fn support(word: &str) -> Option<&'static str> {
    let word = if word == "abut" { "abutment" } else { word };
    SUPPORTS.into_iter().find(|support| *support == word)
}

/// The place that a text names and nothing else: `Pier 3`, `W`, `North end`.
pub(super) fn read(text: &str) -> Option<Place> {
    let (place, rest) = take(&words(text))?;
    rest.iter().all(|word| matches!(word.as_str(), "end" | "anchorage")).then_some(place)
}

/// A place as a header writes it.
fn shown(given: &str, place: &Place) -> String {
    let own = given.rsplit(" › ").next().unwrap_or(given);
    let is_of = |text: &&str| {
        let found = take(&words(text)).map(|(place, _)| place).unwrap_or_else(|| words(text));
        !found.is_empty() && found.iter().all(|word| place.contains(word))
    };
    let named: Vec<&str> = own
        .split(|letter: char| letter.is_whitespace() || matches!(letter, ',' | '(' | ')' | ':'))
        .filter(|text| !text.is_empty())
        .filter(is_of)
        .collect();
    named.join(" ")
}

/// Says to columns that speak of no end what the places are that their cells name: `Stressed from` or `Stressing end`
/// over `W`.
fn explain(columns: &mut [Candidate<'_>], ends: &BTreeMap<Place, Scope>) {
    let says_none = |header: &HeaderText| matches!(header.scope, None | Some(Scope::Stressing));
    for column in columns.iter_mut().filter(|column| says_none(&column.header)) {
        let mut codes: BTreeMap<String, String> = BTreeMap::new();
        for cell in &column.values {
            if let Cell::Text(text) = cell
                && let Some(scope) = read(text).and_then(|place| ends.get(&place))
            {
                let end = if *scope == Scope::A { "end a" } else { "end b" };
                codes.insert(text.trim().to_owned(), end.to_owned());
            }
        }
        column.header.codes.extend(codes);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_name_places() {
        for (text, place) in [
            ("Pier 3", &["3", "pier"][..]),
            ("Abut. A", &["a", "abutment"]),
            ("W", &["west"]),
            ("North anchorage", &["north"]),
            ("EAST END", &["east"]),
        ] {
            assert_eq!(
                read(text).as_deref(),
                Some(&*place.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>()),
                "{text}"
            );
        }
        for text in ["Pier 3 diaphragm wall", "Stressed", "12"] {
            assert_eq!(read(text), None, "{text}");
        }
        assert!(falls(&read("Pier 4").unwrap(), &read("Pier 3").unwrap()));
        assert!(falls(&read("Pier 2").unwrap(), &read("Abut. A").unwrap()));
        assert!(!falls(&read("Abut. A").unwrap(), &read("Pier 1").unwrap()));
        assert_eq!(shown("Clear behind (mm), Pier 3", &read("Pier 3").unwrap()), "Pier 3");
    }
}
