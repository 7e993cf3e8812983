//! Of which tendons a sentence speaks: of all, of those that it names, or of the others.

use std::collections::BTreeSet;

use restrand_model::quantity::Unit;

use super::super::vocabulary::DELETED;
use super::accounted;
use super::limits::{self, Limit};

/// Of which tendons something is said, by their marks in small letters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in super::super) enum Whose {
    /// Of all.
    All,
    /// Of all but these.
    AllBut(BTreeSet<String>),
    /// Of these.
    Of(BTreeSet<String>),
}

impl Whose {
    /// Whether it is said of a tendon.
    pub(in super::super) fn is_of(&self, mark: Option<&str>) -> bool {
        let is_among = |named: &BTreeSet<String>| {
            mark.is_some_and(|mark| named.contains(&mark.trim().to_lowercase()))
        };
        match self {
            Self::All => true,
            Self::AllBut(named) => mark.is_some() && !is_among(named),
            Self::Of(named) => is_among(named),
        }
    }

    /// How little it is said of: what is said of fewer goes before what is said of more.
    pub(in super::super) const fn rank(&self) -> u8 {
        match self {
            Self::Of(_) => 0,
            Self::AllBut(_) => 1,
            Self::All => 2,
        }
    }

    /// The tendons as a text.
    pub(in super::super) fn shown(&self) -> String {
        let list = |named: &BTreeSet<String>| {
            named.iter().map(|mark| mark.to_uppercase()).collect::<Vec<_>>().join(", ")
        };
        match self {
            Self::All => "all tendons".to_owned(),
            Self::AllBut(named) => format!("all tendons but {}", list(named)),
            Self::Of(named) => list(named),
        }
    }
}

/// Of which tendons a sentence itself says that it speaks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Spoken {
    Of(Whose),
    /// Of those of which the note has not spoken yet.
    Others,
    /// That cannot be told, for this reason.
    Unclear(Limit),
}

/// Words for the others.
const OTHERS: [&str; 17] = [
    "other",
    "others",
    "remaining",
    "remainder",
    "rest",
    "otherwise",
    "elsewhere",
    "balance",
    "übrige",
    "übrigen",
    "andere",
    "anderen",
    "restliche",
    "restlichen",
    "reste",
    "autres",
    "restants",
];
/// Words that take out what is named behind them.
const BUT: [&str; 8] =
    ["except", "excepting", "excluding", "excl", "but", "außer", "sauf", "ausser"];

/// Words for the others, and those that take out, which are understood.
pub(super) const TAKES_OUT: [&[&str]; 3] = [&OTHERS, &BUT, &["only"]];

/// The marks that stand in a sentence, in small letters; those of a range too.
pub(super) fn marks_in(sentence: &str, marks: &BTreeSet<String>) -> BTreeSet<String> {
    let lower = sentence.to_lowercase();
    named(&tokens(&lower), marks).map(|(named, _)| named).unwrap_or_default()
}

/// Of which tendons a sentence speaks; `marks` are those of the file, in small letters.
pub(super) fn spoken(sentence: &str, marks: &BTreeSet<String>) -> Spoken {
    let lower = sentence.to_lowercase();
    let tokens = tokens(&lower);
    let of_some = |why: String| Spoken::Unclear(Limit { why, is_of_some: true, is_by_name: false });
    let (named, rest) = match named(&tokens, marks) {
        Ok(named) => named,
        Err(why) => return of_some(why),
    };
    let is_other = rest.iter().any(|word| OTHERS.contains(word));
    // What takes something out must take out what it names, and nothing more may follow.
    // `All but T1: wax` names behind its colon what holds for the rest.
    let head = lower.split_once(':').map_or(0, |(head, _)| self::tokens(head).len());
    let but = tokens.iter().position(|word| BUT.contains(word));
    if let Some(but) = but {
        let end = if but < head { head } else { tokens.len() };
        let is_head = named == self::named(&tokens[..end], marks).unwrap_or_default().0;
        let behind: Vec<&str> = rest_of(&tokens[but + 1..end], marks);
        let is_plain = behind.iter().all(|word| FILLING.contains(word) || *word == "for");
        let before = self::named(&tokens[..but], marks);
        let limit = limits::limit(&tokens[..but].join(" "));
        // What takes out of nothing goes on with what was said elsewhere: `Except T2: wax`.
        let is_said = tokens[..but].iter().any(|word| word.contains(char::is_alphabetic));
        let is_all = before.is_ok_and(|(named, _)| named.is_empty()) && limit.is_none() && is_said;
        if !named.is_empty() && is_head && is_plain && is_all && !is_other {
            return Spoken::Of(Whose::AllBut(named));
        }
    }
    // `T1 only` is of T1, and takes nothing else out.
    let plain = match named.is_empty() {
        true => lower.clone(),
        false => self::named(&self::tokens(without_apposition(&lower)), marks)
            .map_or(rest, |(_, rest)| rest)
            .iter()
            .filter(|word| **word != "only")
            .copied()
            .collect::<Vec<_>>()
            .join(" "),
    };
    let is_by_name = !named.is_empty() && is_called(&tokens, marks);
    if let Some(limit) = limits::limit(&super::ends::without_only(&plain)) {
        // What names tendons is of them, whatever else it says.
        return Spoken::Unclear(Limit { is_of_some: limit.is_of_some || is_by_name, ..limit });
    }
    match (named.is_empty(), is_other) {
        (true, false) => Spoken::Of(Whose::All),
        (true, true) => Spoken::Others,
        (false, true) => of_some("it speaks of some tendons and of the others".to_owned()),
        // A mere number or letter may be anything.
        (false, false) if is_by_name => Spoken::Of(Whose::Of(named)),
        (false, false) => {
            let mark = named.iter().next().map_or_else(String::new, |mark| mark.to_uppercase());
            of_some(format!("it may speak of {mark} by name"))
        }
    }
}

/// Whether a text names some tendons.
pub(super) fn names_some(text: &str, marks: &BTreeSet<String>) -> bool {
    let lower = text.to_lowercase();
    let tokens = tokens(&lower);
    let Ok((named, _)) = named(&tokens, marks) else { return false };
    named.iter().any(|mark| is_telling(mark)) || !named.is_empty() && is_called(&tokens, marks)
}

/// Whether a text speaks of others than those named before.
pub(super) fn names_others(text: &str) -> bool {
    tokens(&text.to_lowercase()).iter().any(|word| OTHERS.contains(word))
}

/// Whether a word in small letters takes out what is named behind it.
pub(super) fn takes_out(word: &str) -> bool {
    BUT.contains(&word) || matches!(word, "exception" | "ausnahme" | "l'exception" | "l’exception")
}

/// Whether what stands between two marks makes them one group.
pub(super) fn joins_marks(between: &str) -> bool {
    let lower = between.to_lowercase();
    !lower.contains([':', ';', '(', ')', '[', ']', '='])
        && tokens(&lower)
            .iter()
            .all(|word| *word != "in" && FILLING.contains(word) || is_range(word))
}

fn is_range(word: &str) -> bool {
    matches!(word, "to" | "bis" | "thru" | "through" | "-" | "–" | "à")
}

/// Whether a sentence says of something that it is no longer there.
pub(super) fn says_deleted(sentence: &str) -> bool {
    let lower = sentence.to_lowercase();
    let words = tokens(&lower);
    let is_said = |word: &&str| {
        let word: Vec<&str> = word.split(' ').collect();
        words.windows(word.len()).any(|pair| pair == word.as_slice())
    };
    DELETED.iter().chain(&["removed"]).any(is_said)
}

/// Words between marks that say nothing.
const FILLING: [&str; 10] =
    ["tendon", "tendons", "cable", "cables", "and", "und", "et", "in", "no", "nos"];

/// Whether a mark can be nothing else: letters with digits.
fn is_telling(mark: &str) -> bool {
    mark.chars().any(char::is_alphabetic) && mark.chars().any(|c| c.is_ascii_digit())
}

/// Whether each mark of a sentence can be nothing else, or stands behind a word for tendons: `Tendon 203`.
fn is_called(tokens: &[&str], marks: &BTreeSet<String>) -> bool {
    let is_count = |next: &&str| {
        Unit::find_any(next).is_some()
            || ["strand", "litze", "toron", "wire"].iter().any(|word| next.starts_with(word))
    };
    let mut is_behind = false;
    for (at, token) in tokens.iter().enumerate() {
        let is_mark = named(&[*token], marks).is_ok_and(|(named, _)| !named.is_empty());
        if is_mark && !is_telling(token) && (!is_behind || tokens.get(at + 1).is_some_and(is_count))
        {
            return false;
        }
        is_behind = accounted::names_tendons(token) && !token.starts_with("duct")
            || is_behind && (is_mark || matches!(*token, "and" | "und" | "et") || is_range(token));
    }
    true
}

/// A sentence without brackets at its end that say what the tendon of which it speaks is by one more
/// word: `tendon 203 is filled with cement grout (trial tendon)`.
pub(super) fn without_apposition(sentence: &str) -> &str {
    let bare = sentence.trim_end_matches([' ', '.']);
    let Some((before, inside)) = bare.strip_suffix(')').and_then(|bare| bare.rsplit_once('('))
    else {
        return sentence;
    };
    let inside = inside.to_lowercase();
    match *inside.split_whitespace().collect::<Vec<_>>().as_slice() {
        [_, "tendon" | "cable" | "spannglied"] | ["câble", _] => before.trim_end(),
        _ => sentence,
    }
}

/// The words of a sentence in small letters.
fn tokens(lower: &str) -> Vec<&str> {
    lower
        .split(|c: char| c.is_whitespace() || ",;:()[]&=".contains(c))
        .map(|word| word.trim_end_matches('.'))
        .filter(|word| !word.is_empty())
        .collect()
}

/// The marks among words, and the other words; or why it cannot be told which are meant.
fn named<'t>(
    tokens: &[&'t str],
    marks: &BTreeSet<String>,
) -> Result<(BTreeSet<String>, Vec<&'t str>), String> {
    let mut named = BTreeSet::new();
    let mut rest = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let token = tokens[at];
        let range = tokens
            .get(at + 1)
            .zip(tokens.get(at + 2))
            .filter(|(word, last)| is_range(word) && marks.contains(**last));
        if marks.contains(token) {
            if let Some((_, last)) = range {
                named.extend(between(token, last, marks)?);
                at += 2;
            } else {
                named.insert(token.to_owned());
            }
        } else {
            let parts: Vec<&str> = token.split(['-', '–', '/', '+']).collect();
            let known = parts.iter().filter(|part| marks.contains(**part)).count();
            match *parts.as_slice() {
                [first, last] if known == 2 && token.contains(['-', '–']) => {
                    named.extend(between(first, last, marks)?);
                }
                _ if known == parts.len() && known > 1 => {
                    named.extend(parts.iter().map(|part| (*part).to_owned()));
                }
                // `15.7-T1` names something else.
                _ if known > 0
                    && parts.iter().any(|part| is_telling(part) && marks.contains(*part)) =>
                {
                    return Err(format!(
                        "\"{}\" in it may name some tendons",
                        token.to_uppercase()
                    ));
                }
                _ => rest.push(token),
            }
        }
        at += 1;
    }
    Ok((named, rest))
}

/// The words that are no marks.
fn rest_of<'t>(tokens: &[&'t str], marks: &BTreeSet<String>) -> Vec<&'t str> {
    named(tokens, marks).map(|(_, rest)| rest).unwrap_or_else(|_| tokens.to_vec())
}

/// The marks from one to another that differ by their numbers alone; each must be one.
fn between(first: &str, last: &str, marks: &BTreeSet<String>) -> Result<Vec<String>, String> {
    let why = || {
        format!("the tendons from {} to {} are not told", first.to_uppercase(), last.to_uppercase())
    };
    let stem = first.trim_end_matches(|c: char| c.is_ascii_digit());
    let number = |mark: &str| mark.strip_prefix(stem)?.parse::<u32>().ok();
    let (Some(from), Some(to)) = (number(first), number(last)) else { return Err(why()) };
    let width = first.len() - stem.len();
    let is_padded = first[stem.len()..].starts_with('0');
    let all: Vec<String> = (from..=to)
        .take(200)
        .map(|number| match is_padded {
            true => format!("{stem}{number:0width$}"),
            false => format!("{stem}{number}"),
        })
        .filter(|mark| marks.contains(mark))
        .collect();
    if all.len() >= 2 { Ok(all) } else { Err(why()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_tells_of_which_tendons_it_speaks() {
        let marks: BTreeSet<String> =
            ["t1", "t2", "t3", "e1-n", "5"].map(str::to_owned).into_iter().collect();
        let of = |named: &[&str]| {
            Spoken::Of(Whose::Of(named.iter().map(|mark| (*mark).to_owned()).collect()))
        };
        for (text, expected) in [
            ("duct filler: wax for T1 only", of(&["t1"])),
            ("T1 and T2 are filled with wax", of(&["t1", "t2"])),
            ("mu = 0.12 (T1-T3)", of(&["t1", "t2", "t3"])),
            ("T1 to T3: wax", of(&["t1", "t2", "t3"])),
            ("E1-N: wax", of(&["e1-n"])),
            ("Tendon 5 is filled with cement grout (trial tendon).", of(&["5"])),
            (
                "All tendons except T2: wax",
                Spoken::Of(Whose::AllBut(BTreeSet::from(["t2".to_owned()]))),
            ),
            ("all others cement grout", Spoken::Others),
            ("remaining tendons: wax", Spoken::Others),
            ("All ducts filled with wax", Spoken::Of(Whose::All)),
            (
                "All ducts filled with wax except T1",
                Spoken::Of(Whose::AllBut(BTreeSet::from(["t1".to_owned()]))),
            ),
        ] {
            assert_eq!(spoken(text, &marks), expected, "{text}");
        }
        for text in [
            "All ducts filled with wax except those of span 1",
            "T1 is not filled with wax",
            "wax for T1 and cement grout for all others",
            "Wedge draw-in 5 mm",
            "Wax in T1 until 2020",
            "T1 may be filled with wax",
            "Wax except T1 and future tendons",
            "Ducts of 22-strand tendons filled with wax",
        ] {
            assert!(matches!(spoken(text, &marks), Spoken::Unclear(_)), "{text}");
        }
    }
}
