//! Ends that headers tell by opposite words: `Elongation at begin` beside `Elongation at end`, `PK about G` beside
//! `PK about D`.

use super::assign::Candidate;
use super::header::HeaderText;
use super::scope::Scope;

/// Words by which headers tell the two ends, where one of a pair has the one and the other the other: an `end` alone
/// may be either. Letters are short for `left` and `right`, in English and in French.
const OPPOSITES: [[&[&str]; 2]; 2] = [
    [&["begin", "beginning", "start"], &["end", "finish"]],
    [&["l", "g", "left"], &["r", "d", "right"]],
];
/// Words of what has a left and a right side of its own.
const SIDED: [&str; 6] = ["clearance", "lateral", "web", "side", "free", "edge"];

/// Words of what only the two ends of a tendon have apart: a left and a right tendon of one row have their stations in
/// common.
const TELLING: [&str; 2] = ["station", "anchorage"];

/// Names the ends of headers that say them by opposite words: `Elongation at begin` and `Elongation at end`.
///
/// Left and right may be those of two tendons as well: they are ends where some of the headers can be of nothing else.
pub(super) fn name_ends(columns: &mut [Candidate<'_>]) {
    for (at, opposites) in OPPOSITES.iter().enumerate() {
        let pairs = pairs(columns, opposites);
        let is_told = |told: &Told| told.rest.iter().any(|word| TELLING.contains(&word.as_str()));
        if at > 0 && !pairs.iter().any(|(_, told)| is_told(told)) {
            continue;
        }
        for (at, told) in pairs {
            let header = &mut columns[at].header;
            told.name(header, opposites);
            for half in &mut header.tongues {
                if let Some(told) = Told::of(half, opposites) {
                    told.name(half, opposites);
                }
            }
        }
    }
}

/// The columns of pairs whose headers say the same but for two opposite words.
fn pairs(columns: &[Candidate<'_>], opposites: &[&[&str]; 2]) -> Vec<(usize, Told)> {
    let told: Vec<(usize, Told)> = columns
        .iter()
        .enumerate()
        .filter_map(|(at, column)| Some((at, Told::of(&column.header, opposites)?)))
        .filter(|(_, told)| is_of_ends(&told.rest))
        .collect();
    let is_in_a_pair = |one: &Told| {
        let is_of_same = |other: &&Told| (&other.rest, &other.group) == (&one.rest, &one.group);
        let mut same = told.iter().map(|(_, other)| other).filter(is_of_same);
        matches!(
            (same.next(), same.next(), same.next()),
            (Some(one), Some(other), None) if one.end != other.end
        )
    };
    told.iter().filter(|(_, told)| is_in_a_pair(told)).cloned().collect()
}

/// The end that a header tells by a word that has an opposite, its other words, and what stands above it.
#[derive(Clone)]
struct Told {
    end: Scope,
    rest: Vec<String>,
    group: String,
}

impl Told {
    fn of(header: &HeaderText, opposites: &[&[&str]; 2]) -> Option<Self> {
        let has = |names: &[&str]| header.own.iter().any(|word| names.contains(&word.as_str()));
        let end = match (has(opposites[0]), has(opposites[1]), header.scope) {
            // Below `Stressing` an `end` of its own is no stressing end.
            (true, false, None | Some(Scope::Stressing)) => Scope::A,
            (false, true, None | Some(Scope::Stressing)) => Scope::B,
            // The first word of a header tells its end already.
            (false, false, Some(Scope::A)) => Scope::A,
            _ => return None,
        };
        let mut rest = header.own.clone();
        rest.retain(|word| !is_of(opposites, word));
        (!rest.is_empty()).then(|| Self { end, rest, group: header.group.clone() })
    }

    fn name(&self, header: &mut HeaderText, opposites: &[&[&str]; 2]) {
        (header.scope, header.said) = (Some(self.end), Some(self.end));
        header.own.retain(|word| !is_of(opposites, word));
        header.words.retain(|word| !is_of(opposites, word));
    }
}

fn is_of(opposites: &[&[&str]; 2], word: &str) -> bool {
    opposites.iter().any(|words| words.contains(&word))
}

/// Whether words say what belongs to an end, and to no side of it: room to the left is none of the left end.
fn is_of_ends(rest: &[String]) -> bool {
    let has = |word: &str| rest.iter().any(|other| other == word);
    has("behind") || has("anchorage") || !rest.iter().all(|word| SIDED.contains(&word.as_str()))
}
