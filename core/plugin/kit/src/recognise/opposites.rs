//! Ends that headers tell by opposite words: `Elongation at begin` beside `Elongation at end`, `PK about G` beside
//! `PK about D`.

use std::collections::BTreeSet;

use super::assign::Candidate;
use super::header::HeaderText;
use super::scope::Scope;
use super::words::{sorted, words};
use crate::sheet::Cell;

/// Words by which headers tell the two ends, where one of a pair has the one and the other the other.
struct Opposites {
    /// Each word of end `a` with that of end `b`.
    words: &'static [[&'static str; 2]],
    /// Whether they may be said of other things as well: of a left and a right tendon, of the beginning of a work.
    is_told: bool,
}

const OPPOSITES: [Opposites; 3] = [
    Opposites { words: &[["begin", "end"]], is_told: false },
    Opposites { words: &[["start", "end"], ["start", "finish"]], is_told: true },
    // In English and in French: `l` may stand beside `d` for live and dead.
    Opposites { words: &[["left", "right"], ["l", "r"], ["g", "d"]], is_told: true },
];
/// Words of what has a left and a right side of its own.
const SIDED: [&str; 6] = ["clearance", "lateral", "web", "side", "free", "edge"];

/// Names the ends of headers that say them by opposite words: `Elongation at begin` and `Elongation at end`.
///
/// Left and right may be those of two tendons in one row, which have their stations in common: they are ends where the
/// stations are told so, and nothing else names ends.
pub(super) fn name_ends(columns: &mut [Candidate<'_>]) {
    for opposites in &OPPOSITES {
        let pairs = pairs(columns, opposites);
        if pairs.is_empty() {
            continue;
        }
        let is_station = |(_, told): &(usize, Told)| told.rest.iter().any(|word| word == "station");
        let names_another = |(at, column): (usize, &Candidate<'_>)| {
            column.header.scope.is_some_and(Scope::is_end) && pairs.iter().all(|(of, _)| *of != at)
        };
        let is_told =
            pairs.iter().any(is_station) && !columns.iter().enumerate().any(names_another);
        for (at, told) in pairs {
            let header = &mut columns[at].header;
            if opposites.is_told && !is_told && !told.is_of_room(opposites) {
                told.doubt(header, opposites);
                continue;
            }
            told.name(header, opposites);
            for half in &mut header.tongues {
                if let Some(told) = Told::of(half, opposites) {
                    told.name(half, opposites);
                }
            }
        }
    }
    explain(columns);
}

/// Says to columns that speak of no end that `END` in their cells is the second one, where other headers name `BEGIN` and
/// `END`: all tendons of a table may be stressed from there.
fn explain(columns: &mut [Candidate<'_>]) {
    const FIRST: [&str; 3] = ["begin", "beginning", "start"];
    let names = |end: Scope, some: &[&str]| {
        columns.iter().any(|column| {
            let said = || words(&column.header.given);
            column.header.scope == Some(end) && said().iter().any(|word| some.contains(&&**word))
        })
    };
    if !names(Scope::A, &FIRST) || !names(Scope::B, &["end"]) {
        return;
    }
    let says_none = |header: &HeaderText| matches!(header.scope, None | Some(Scope::Stressing));
    for column in columns.iter_mut().filter(|column| says_none(&column.header)) {
        let texts = column.values.iter().filter_map(|cell| match cell {
            Cell::Text(text) if words(text) == ["end"] => Some(text.trim().to_owned()),
            _ => None,
        });
        let codes: BTreeSet<String> = texts.collect();
        column.header.codes.extend(codes.into_iter().map(|code| (code, "end b".to_owned())));
    }
}

/// The columns of pairs whose headers say the same but for two opposite words.
fn pairs(columns: &[Candidate<'_>], opposites: &Opposites) -> Vec<(usize, Told)> {
    let told: Vec<(usize, Told)> = columns
        .iter()
        .enumerate()
        .filter_map(|(at, column)| Some((at, Told::of(&column.header, opposites)?)))
        .filter(|(_, told)| is_of_ends(&told.rest))
        .collect();
    let is_in_a_pair = |one: &Told| {
        let is_of_same = |other: &&Told| {
            (&other.rest, &other.group) == (&one.rest, &one.group)
                && other.by.iter().any(|by| one.by.contains(by))
        };
        let mut same = told.iter().map(|(_, other)| other).filter(is_of_same);
        matches!(
            (same.next(), same.next(), same.next()),
            (Some(one), Some(other), None) if one.end != other.end
        )
    };
    told.iter().filter(|(_, told)| is_in_a_pair(told)).cloned().collect()
}

/// The end that a header tells by words that have opposites, its other words, and what stands above it.
#[derive(Clone)]
struct Told {
    end: Scope,
    /// The first of the opposites by which it is told, for each of the words.
    by: Vec<usize>,
    rest: Vec<String>,
    group: String,
}

impl Told {
    fn of(header: &HeaderText, opposites: &Opposites) -> Option<Self> {
        let by = |side: usize| -> Vec<usize> {
            let has = |word: &str| header.own.iter().any(|own| own == word);
            let met = opposites.words.iter().enumerate().filter(|(_, pair)| has(pair[side]));
            met.map(|(at, _)| at).collect()
        };
        let (a, b) = (by(0), by(1));
        let (end, by) = match (a.is_empty(), b.is_empty(), header.scope) {
            // Below `Stressing` an `end` of its own is no stressing end.
            (false, true, None | Some(Scope::Stressing)) => (Scope::A, a),
            (true, false, None | Some(Scope::Stressing)) => (Scope::B, b),
            // The first word of a header tells its end already.
            (true, true, Some(Scope::A)) => (Scope::A, (0..opposites.words.len()).collect()),
            _ => return None,
        };
        let mut rest = header.own.clone();
        rest.retain(|word| !opposites.has(word));
        let is_said = !rest.is_empty() || says_behind(&words(&header.group));
        is_said.then(|| Self { end, by, rest, group: header.group.clone() })
    }

    /// Whether it is room behind an anchorage, which has no start and no finish but those of the tendon.
    fn is_of_room(&self, opposites: &Opposites) -> bool {
        opposites.has("start") && (says_behind(&self.rest) || says_behind(&words(&self.group)))
    }

    /// Leaves a word in the header that may say another thing, as an `end` alone says nothing.
    fn doubt(&self, header: &mut HeaderText, opposites: &Opposites) {
        for at in &self.by {
            for words in [&mut header.words, &mut header.own] {
                let [word, _] = opposites.words[*at];
                words.push(word.to_owned());
                *words = sorted(std::mem::take(words));
            }
        }
    }

    fn name(&self, header: &mut HeaderText, opposites: &Opposites) {
        (header.scope, header.said) = (Some(self.end), Some(self.end));
        header.own.retain(|word| !opposites.has(word));
        header.words.retain(|word| !opposites.has(word));
    }
}

impl Opposites {
    fn has(&self, word: &str) -> bool {
        self.words.iter().flatten().any(|other| *other == word)
    }
}

fn says_behind(words: &[String]) -> bool {
    words.iter().any(|word| word == "behind")
}

/// Whether words say what belongs to an end, and to no side of it: room to the left is none of the left end.
pub(super) fn is_of_ends(rest: &[String]) -> bool {
    let has = |word: &str| rest.iter().any(|other| other == word);
    rest.is_empty()
        || has("behind")
        || has("anchorage")
        || !rest.iter().all(|word| SIDED.contains(&word.as_str()))
}
