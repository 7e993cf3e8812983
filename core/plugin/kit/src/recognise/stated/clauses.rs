//! The clauses of a sentence that states several values of one field, each with the tendons that have it: `Wax, except
//! T2: grout`, `T1, T2: wax, all others cement grout`, `mu = 0.12 (T1-T2), mu = 0.18 (T3)`.
//!
//! A rule and its exceptions stand in many orders. A sentence is taken apart only where nothing else can be meant; of
//! any other, nothing is taken.

use std::collections::BTreeSet;
use std::ops::Range;

use super::quantities::quantities;
use super::{accounted, exceptions, tendons, whose};

/// What a sentence is made of.
#[derive(Debug, Clone, PartialEq)]
enum What {
    /// A value, as it is compared.
    Value(String),
    /// Some tendons, by their marks.
    Marks(BTreeSet<String>),
    /// The others.
    Others,
    /// What takes out the tendons behind it.
    But,
}

/// What stands between two of these, the stronger later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Gap {
    /// Words, a colon, or nothing.
    Near,
    /// A bracket opens.
    Open,
    /// A comma, a semicolon, the end of a bracket, or a word that goes on with something else.
    Apart,
}

#[derive(Debug, Clone)]
struct Item {
    what: What,
    at: Range<usize>,
    /// What stands before it, behind the item before.
    gap: Gap,
}

/// How a sentence is read.
#[derive(Debug, PartialEq)]
pub(super) enum Clauses {
    /// As it stands: it states one value, or its numbers are not of one field.
    Whole,
    /// By its clauses, the rule of all before its exceptions.
    Parted(Vec<String>),
    /// Not at all: it names several fillers and some tendons, and their order does not tell which have which.
    Unclear,
}

/// The clauses of a sentence; `marks` are those of the file, in small letters.
pub(super) fn clauses(sentence: &str, marks: &BTreeSet<String>) -> Clauses {
    let of_fillers = || {
        let items = items(sentence, marks, &fillers(sentence, marks, false)?)?;
        match differ(&items) {
            true => Some(items),
            // What is grouted beside what is filled with wax is so with cement.
            false => self::items(sentence, marks, &fillers(sentence, marks, true)?)
                .filter(|all| differ(all)),
        }
    };
    if let Some(items) = of_fillers() {
        return match parted(sentence, &items) {
            Some(clauses) => {
                Clauses::Parted(clauses.iter().map(|clause| exceptions::in_full(clause)).collect())
            }
            None if items.iter().any(|one| !matches!(one.what, What::Value(_))) => Clauses::Unclear,
            None => Clauses::Whole,
        };
    }
    let numbers: Vec<(Range<usize>, String)> = quantities(sentence)
        .iter()
        .filter(|one| !accounted::is_conversion(one))
        .map(|one| (one.place(), one.shown(None).to_owned()))
        .collect();
    let items = Some(numbers).filter(|numbers| numbers.len() > 1);
    let items = items.and_then(|numbers| self::items(sentence, marks, &numbers));
    match items.and_then(|items| parted(sentence, &items)) {
        Some(clauses) if is_of_one_number(&clauses) => Clauses::Parted(clauses),
        _ => Clauses::Whole,
    }
}

/// Whether items are of several values.
fn differ(items: &[Item]) -> bool {
    let mut values = items.iter().filter(|one| matches!(one.what, What::Value(_)));
    let first = values.next();
    values.any(|one| first.is_some_and(|first| first.what != one.what))
}

/// Whether each clause states a number of the same field, the first with its words.
fn is_of_one_number(clauses: &[String]) -> bool {
    let read = |clause: &String| tendons::read(clause).unwrap_or_default();
    let Some(first) = clauses.first().map(read) else { return false };
    let [first] = first.as_slice() else { return false };
    clauses[1..].iter().all(|clause| match read(clause).as_slice() {
        [] => exceptions::continued(clause, first.path, true).is_some(),
        [one] => one.path.last() == first.path.last(),
        _ => false,
    })
}

/// Where a sentence names fillers, or nothing where a word may be of several; `with_grout` takes what is called grout
/// alone too.
fn fillers(
    sentence: &str,
    marks: &BTreeSet<String>,
    with_grout: bool,
) -> Option<Vec<(Range<usize>, String)>> {
    let mut found = Vec::new();
    for (at, word) in words(sentence) {
        let named = tendons::named(&word);
        match named.as_slice() {
            [] if with_grout && exceptions::is_grout(&word) => {
                found.push((at, "cement_grout".to_owned()));
            }
            [] => {}
            [one] => found.push((at, one.value.as_text().unwrap_or_default().to_owned())),
            _ => return None,
        }
    }
    // What is grouted with wax has wax.
    let is_beside = |one: &Range<usize>, other: &Range<usize>| {
        let between = &sentence[one.end.min(other.end)..one.start.max(other.start)];
        let parts = |word: &str| {
            whose::takes_out(word)
                || whose::names_others(word)
                || !whose::marks_in(word, marks).is_empty()
        };
        // `T2, which are grouted: wax` says what the others have.
        let is_behind =
            sentence[one.clone()].eq_ignore_ascii_case("grouted") && between.contains(':');
        gap(between) == Gap::Near && !is_behind && !words(between).any(|(_, word)| parts(&word))
    };
    let materials: Vec<Range<usize>> = found
        .iter()
        .filter(|(at, _)| !exceptions::is_grout(&sentence[at.clone()].to_lowercase()))
        .map(|(at, _)| at.clone())
        .collect();
    found.retain(|(at, _)| {
        materials.contains(at) || !materials.iter().any(|other| is_beside(at, other))
    });
    Some(found)
}

/// What a sentence is made of, in its order; nothing where it cannot be told which tendons it names.
fn items(
    sentence: &str,
    marks: &BTreeSet<String>,
    values: &[(Range<usize>, String)],
) -> Option<Vec<Item>> {
    let mut items: Vec<Item> = Vec::new();
    let value_at = |at: &Range<usize>| values.iter().find(|(value, _)| at.contains(&value.start));
    for (at, word) in words(sentence) {
        let value = value_at(&at);
        // What stands behind a decimal comma is part of its number.
        if value.is_none() && values.iter().any(|(value, _)| value.contains(&at.start)) {
            continue;
        }
        let named = whose::marks_in(&word, marks);
        let what = match value {
            // A number that is a mark too may be either.
            Some(_) if !named.is_empty() => return None,
            Some((_, value)) => What::Value(value.clone()),
            None if !named.is_empty() => What::Marks(named),
            None if whose::takes_out(&word) => What::But,
            None if whose::names_others(&word) => What::Others,
            None => continue,
        };
        let between = &sentence[items.last().map_or(0, |last| last.at.end)..at.start];
        let gap = gap(between);
        match (items.last_mut(), what) {
            // `T1, T2 and T3`, `T1 to T3`
            (Some(last), What::Marks(_))
                if matches!(last.what, What::Marks(_)) && whose::joins_marks(between) =>
            {
                last.at.end = at.end;
                let all = whose::marks_in(&sentence[last.at.clone()], marks);
                last.what = What::Marks(Some(all).filter(|all| !all.is_empty())?);
            }
            // `flexible filler (wax): petroleum wax`
            (Some(last), what @ What::Value(_)) if last.what == what => last.at.end = at.end,
            (_, what) => {
                let at = value.map_or(at, |(value, _)| value.clone());
                items.push(Item { what, at, gap });
            }
        }
    }
    Some(items)
}

/// The words of a text with their places, in small letters.
fn words(text: &str) -> impl Iterator<Item = (Range<usize>, String)> {
    let is_parting = |c: char| c.is_whitespace() || ",;:()[]&=".contains(c);
    text.split(is_parting).filter_map(move |word| {
        let from = word.as_ptr() as usize - text.as_ptr() as usize;
        let bare = word.trim_end_matches('.');
        (!bare.is_empty()).then(|| (from..from + bare.len(), bare.to_lowercase()))
    })
}

/// What stands between two items; an aside in brackets of its own says nothing of it.
fn gap(between: &str) -> Gap {
    const GOES_ON: [&str; 4] = ["and", "und", "et", "sowie"];
    let between = without_asides(between);
    let goes_on = words(&between).any(|(_, word)| GOES_ON.contains(&&*word));
    if between.contains([',', ';', ')', ']', '&']) || goes_on {
        Gap::Apart
    } else if between.contains(['(', '[']) {
        Gap::Open
    } else {
        Gap::Near
    }
}

fn without_asides(text: &str) -> String {
    let mut text = text.to_owned();
    while let Some(end) = text.find([')', ']'])
        && let Some(from) = text[..end].rfind(['(', '['])
    {
        text.replace_range(from..=end, "");
    }
    text
}

/// The sentence in its clauses, the rule first.
fn parted(sentence: &str, items: &[Item]) -> Option<Vec<String>> {
    match items.iter().position(|one| one.what == What::But) {
        Some(but) => with_but(sentence, items, but),
        None => side_by_side(sentence, items),
    }
}

/// The letters by which orders of items are told.
fn order(items: &[Item]) -> String {
    let letter = |one: &Item| match one.what {
        What::Value(_) => 'V',
        What::Marks(_) => 'M',
        What::Others => 'O',
        What::But => 'B',
    };
    items.iter().map(letter).collect()
}

/// Where the clause of an item ends and that of the next begins: at the first mark that parts them, or right before it.
fn cut(sentence: &str, items: &[Item], next: usize) -> usize {
    let from = next.checked_sub(1).map_or(0, |before| items[before].at.end);
    let between = &sentence[from..items[next].at.start];
    // An aside belongs to what stands before it.
    let parts = |(at, c): (usize, char)| {
        let behind = &between[at..];
        let is_aside = matches!(c, '(' | '[') && behind.contains([')', ']']);
        (matches!(c, ',' | ';' | '(' | '[' | ')' | ']') && !is_aside).then_some(from + at)
    };
    between.char_indices().find_map(parts).unwrap_or(items[next].at.start)
}

/// A rule and what is taken out of it, as `Wax, except T2: grout` or `All except T2 (grout): wax`.
fn with_but(sentence: &str, items: &[Item], but: usize) -> Option<Vec<String>> {
    const WHICH: [&str; 7] = ["which", "that", "with", "die", "das", "mit", "qui"];
    let (before, after) = (&items[..but], &items[but + 1..]);
    let from = after.first()?.at.start;
    let head = &sentence[..items[but].at.start];
    // What stands between two items names the value of the tendons before it.
    let between = |at: usize| &sentence[after[at - 1].at.end..after[at].at.start];
    let binds = |at: usize| {
        after[at].gap < Gap::Apart
            || between(at).contains(':')
            || words(between(at)).any(|(_, word)| WHICH.contains(&&*word))
    };
    let all_but = |one: &Item, other: &Item| one.what == other.what;
    match (&*order(before), &*order(after)) {
        // `Wax, except T1: grout, T2: grease`
        ("V", order) if is_pairs(order) => {
            let is_bound = |at: usize| match at % 2 {
                1 => binds(at),
                _ => at == 0 || after[at].gap == Gap::Apart,
            };
            if !(0..after.len()).all(is_bound) {
                return None;
            }
            let mut clauses = vec![head.to_owned()];
            let mut begin = from;
            for next in (2..after.len()).step_by(2) {
                let end = cut(sentence, items, but + 1 + next);
                clauses.push(sentence[begin..end].to_owned());
                begin = end;
            }
            clauses.push(sentence[begin..].to_owned());
            Some(clauses)
        }
        // `All except T2: wax, T2: grout`
        ("", "MVMV") if all_but(&after[0], &after[2]) && after[2].gap == Gap::Apart => {
            let end = cut(sentence, items, but + 3);
            let rule = format!("{head}{}", &sentence[after[0].at.end..end]);
            Some(vec![rule, sentence[end..].to_owned()])
        }
        // `All except T2 (grout): wax`, `All except T2, which is grouted: wax`
        ("", "MVV") if after[1].gap == Gap::Open || between(1) != ":" && binds(1) => {
            let between = between(2);
            let closes = match after[1].gap {
                Gap::Open => between.find([')', ']']),
                _ => between.find(':'),
            };
            let end = after[1].at.end + closes?;
            Some(vec![format!("{head}{}", &sentence[end..]), sentence[from..end].to_owned()])
        }
        // `T2: grout, all except T2: wax`
        ("MV", "MV") if all_but(&before[0], &after[0]) => {
            let end = cut(sentence, items, but);
            let rule =
                format!("{}{}", &sentence[end..items[but].at.start], &sentence[after[0].at.end..]);
            Some(vec![rule, sentence[..end].to_owned()])
        }
        // `Grout for T2, wax for all except T2`
        ("VMV", "M") if all_but(&before[1], &after[0]) && before[2].gap == Gap::Apart => {
            let end = cut(sentence, items, 2);
            Some(vec![sentence[end..items[but].at.start].to_owned(), sentence[..end].to_owned()])
        }
        _ => None,
    }
}

fn is_pairs(order: &str) -> bool {
    !order.is_empty() && order.replace("MV", "").is_empty()
}

/// Values side by side, each with its tendons; the first may be the rule of all.
fn side_by_side(sentence: &str, items: &[Item]) -> Option<Vec<String>> {
    // Where each clause begins.
    let mut begins = vec![0];
    for at in 1..items.len() {
        // `wax (T3: grease)` is a rule with its exception in brackets.
        let is_bracketed = items[at].gap == Gap::Open
            && order(&items[at - 1..]).starts_with("VMV")
            && items[at + 1].gap == Gap::Near;
        if items[at].gap == Gap::Apart || is_bracketed {
            begins.push(at);
        }
    }
    // Without any mark between them, pairs are told by their order alone.
    if begins.len() == 1 && items.iter().all(|one| one.gap == Gap::Near) {
        begins = (0..items.len()).step_by(2).collect();
    }
    let ends = begins.iter().copied().skip(1).chain([items.len()]);
    let parts: Vec<&[Item]> =
        begins.iter().zip(ends).map(|(begin, end)| &items[*begin..end]).collect();
    let is_rule = parts.first().is_some_and(|first| order(first) == "V");
    let is_told = |(at, part): (usize, &&[Item])| match &*order(part) {
        "MV" | "VM" => true,
        "OV" | "VO" => !is_rule,
        "V" => at == 0,
        _ => false,
    };
    let mut named = BTreeSet::new();
    let mut all_marks = items.iter().filter_map(|one| match &one.what {
        What::Marks(marks) => Some(marks),
        _ => None,
    });
    let is_once = all_marks.all(|marks| marks.iter().all(|mark| named.insert(mark)));
    if parts.len() < 2 || !is_once || !parts.iter().enumerate().all(is_told) {
        return None;
    }
    let mut cuts: Vec<usize> =
        begins.iter().skip(1).map(|begin| cut(sentence, items, *begin)).collect();
    cuts.push(sentence.len());
    let mut from = 0;
    Some(
        cuts.iter()
            .map(|end| sentence[std::mem::replace(&mut from, *end)..*end].to_owned())
            .collect(),
    )
}
