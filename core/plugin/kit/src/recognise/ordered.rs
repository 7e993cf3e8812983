//! Ends that headers tell by their order alone: `Begin` and `End`, `1` and `2`, or the places at which they lie.

use std::collections::{BTreeMap, BTreeSet};

use super::assign::Candidate;
use super::scope::Scope;
use super::words::words;

/// Marks of a pair that say an end only where both stand over the same.
const MARKS: [[&str; 2]; 3] = [["1", "2"], ["i", "ii"], ["i", "j"]];

/// Words of what has a place.
const OF_PLACES: [&str; 5] = ["station", "x", "elevation", "lateral", "anchorage"];

/// Names the ends of headers that say them only beside each other.
pub(super) fn name_ends(columns: &mut [Candidate<'_>]) {
    begin_and_end(columns);
    of_two_letters(columns);
    numbered(columns);
    at_places(columns);
}

/// Under `Begin Sta.` and `End Sta.` the second speaks of the other end, though `end` alone says neither.
fn begin_and_end(columns: &mut [Candidate<'_>]) {
    let begun: Vec<Vec<String>> = columns
        .iter()
        .filter(|column| column.header.scope == Some(Scope::A))
        .map(|column| column.header.words.clone())
        .collect();
    for column in columns.iter_mut().filter(|column| column.header.scope.is_none()) {
        let rest = without(&column.header.words, "end");
        if rest.len() < column.header.words.len() && begun.contains(&rest) {
            (column.header.scope, column.header.said) = (Some(Scope::B), Some(Scope::B));
            column.header.words = rest;
        }
    }
}

/// Beside `Station A` the other end is called `E` as well, as `Ende` is the end in German.
fn of_two_letters(columns: &mut [Candidate<'_>]) {
    let of = |scope: Scope| -> Vec<Vec<String>> {
        let of = columns.iter().filter(|column| column.header.scope == Some(scope));
        of.map(|column| column.header.words.clone()).collect()
    };
    let (begun, ended) = (of(Scope::A), of(Scope::B));
    for column in columns.iter_mut().filter(|column| column.header.scope.is_none()) {
        let rest = without(&column.header.words, "e");
        if rest.len() < column.header.words.len()
            && !rest.is_empty()
            && begun.contains(&rest)
            && !ended.contains(&rest)
        {
            (column.header.scope, column.header.said) = (Some(Scope::B), Some(Scope::B));
            column.header.words = rest;
        }
    }
}

/// `Sta. 1` and `Sta. 2`, where no third comes, are those of the two ends.
fn numbered(columns: &mut [Candidate<'_>]) {
    for [first, second] in MARKS {
        let of = |columns: &[Candidate<'_>], mark: &str| -> Vec<(usize, Vec<String>)> {
            let marked = columns.iter().enumerate().filter(|(_, column)| {
                column.header.scope.is_none() && column.header.words.iter().any(|word| word == mark)
            });
            marked.map(|(at, column)| (at, without(&column.header.words, mark))).collect()
        };
        let (ones, twos) = (of(columns, first), of(columns, second));
        let has_third = |rest: &[String]| {
            columns.iter().any(|column| {
                ["3", "iii", "4"].iter().any(|third| without(&column.header.words, third) == rest)
                    && column.header.words.len() > rest.len()
            })
        };
        let pairs: Vec<(usize, usize, Vec<String>)> = ones
            .iter()
            .filter(|(_, rest)| !rest.is_empty() && !has_third(rest))
            .filter_map(|(one, rest)| {
                let (two, _) = twos.iter().find(|(_, other)| other == rest)?;
                Some((*one, *two, rest.clone()))
            })
            .collect();
        // Two of anything, as forces and elongations of two stages, are no ends; those have places.
        let is_placed =
            |rest: &[String]| rest.iter().any(|word| OF_PLACES.contains(&word.as_str()));
        if pairs.len() < 2 || !pairs.iter().any(|(_, _, rest)| is_placed(rest)) {
            continue;
        }
        for (one, two, rest) in pairs {
            for (at, scope) in [(one, Scope::A), (two, Scope::B)] {
                let header = &mut columns[at].header;
                (header.scope, header.said) = (Some(scope), Some(scope));
                header.words.clone_from(&rest);
                header.by_order = true;
            }
        }
    }
}

/// Two groups with the same headers below them, as `Abutment end` and `Pier end`, are the two ends in their order.
fn at_places(columns: &mut [Candidate<'_>]) {
    let mut groups: BTreeMap<&str, Vec<(usize, &[String])>> = BTreeMap::new();
    for (at, column) in columns.iter().enumerate() {
        let header = &column.header;
        // The letter of a support is an end only beside the other letter: `Abut. A` and `Pier 1` are two places.
        let may_be = matches!(header.scope, None | Some(Scope::A | Scope::B));
        if may_be && is_place(&header.group) && !header.own.is_empty() {
            groups.entry(&header.group).or_default().push((at, &header.own));
        }
    }
    let mut same: Vec<(usize, usize, String, String)> = Vec::new();
    let names: Vec<&str> = groups.keys().copied().collect();
    for (position, one) in names.iter().enumerate() {
        for other in &names[position + 1..] {
            let (first, second) = (&groups[one], &groups[other]);
            let pairs: Vec<(usize, usize)> = first
                .iter()
                .filter_map(|(at, words)| {
                    let (beside, _) = second.iter().find(|(_, other)| other == words)?;
                    Some((*at, *beside))
                })
                .collect();
            // One letter among them is half a name: then one pair of headers is enough.
            let mut of_both = first.iter().chain(second);
            let least =
                if of_both.any(|(at, _)| columns[*at].header.scope.is_some()) { 1 } else { 2 };
            if pairs.len() >= least && pairs.len() * 5 >= first.len().max(second.len()) * 3 {
                same.extend(
                    pairs
                        .into_iter()
                        .map(|(at, beside)| (at, beside, (*one).to_owned(), (*other).to_owned())),
                );
            }
        }
    }
    // Of three groups none is an end.
    let mut met: Vec<&String> = same.iter().flat_map(|(_, _, one, other)| [one, other]).collect();
    met.sort_unstable();
    met.dedup();
    if met.len() != 2 {
        return;
    }
    let said: BTreeSet<Option<&'static str>> = same
        .iter()
        .flat_map(|(one, other, ..)| [*one, *other])
        .map(|at| columns[at].header.scope.map(|scope| if scope == Scope::A { "a" } else { "b" }))
        .collect();
    if said == BTreeSet::from([Some("a"), Some("b")]) {
        return;
    }
    for (one, other, one_name, other_name) in same.clone() {
        let mut pair = [(one, one_name), (other, other_name)];
        pair.sort_by_key(|(at, _)| columns[*at].index);
        for ((at, name), scope) in pair.into_iter().zip([Scope::A, Scope::B]) {
            let header = &mut columns[at].header;
            (header.scope, header.said) = (Some(scope), Some(scope));
            header.words = header.own.clone();
            header.by_order = true;
            header.place = Some(bracketed(&name).unwrap_or(name));
        }
    }
}

/// The place in brackets behind words that say of which end a group is: `Begin anchorage (Pier 6)`.
fn bracketed(group: &str) -> Option<String> {
    const OF_AN_END: [&str; 9] =
        ["begin", "start", "end", "near", "far", "anchorage", "stressing", "dead", "first"];
    let (before, inside) = group.trim().strip_suffix([')', ']'])?.split_once(['(', '['])?;
    let said = words(before);
    let is_end = !said.is_empty() && said.iter().all(|word| OF_AN_END.contains(&word.as_str()));
    let inside = inside.trim();
    (is_end && is_place(inside)).then(|| inside.to_owned())
}

/// Whether a group of headers is called after a place where a tendon can end; `Measured` is none.
fn is_place(group: &str) -> bool {
    const PLACES: [&str; 17] = [
        "end",
        "abut",
        "abutment",
        "pier",
        "bent",
        "pylon",
        "diaphragm",
        "support",
        "anchorage",
        "axis",
        "bay",
        "north",
        "south",
        "east",
        "west",
        "culée",
        "pile",
    ];
    let is_numbered = |word: &str| {
        let digits = word.trim_start_matches(char::is_alphabetic);
        digits.len() < word.len()
            && word.len() - digits.len() <= 2
            && !digits.is_empty()
            && digits.bytes().all(|digit| digit.is_ascii_digit())
    };
    words(group).iter().any(|word| PLACES.contains(&word.as_str()) || is_numbered(word))
}

fn without(words: &[String], word: &str) -> Vec<String> {
    words.iter().filter(|other| *other != word).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_are_ends_only_where_they_name_places() {
        for group in ["ABUTMENT 1", "Pier 3", "P3", "North", "Abutment end", "Axis 10"] {
            assert!(is_place(group), "{group}");
        }
        for group in ["Measured", "Theoretical", "Strand", "Stage 1", "Duct", ""] {
            assert!(!is_place(group), "{group}");
        }
    }
}
