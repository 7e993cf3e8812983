//! What makes a sentence speak of less than all, or of nothing that is: then nothing is taken from it.

use std::collections::BTreeSet;

/// Words that take something out, leave something open, or speak of what is not there, in small letters.
const LIMITS: [&str; 31] = [
    "except",
    "unless",
    "other than",
    "excluding",
    " only",
    "alternativ",
    "either",
    "may be",
    "if ",
    "optional",
    "future",
    "temporary",
    "mock",
    "trial",
    "test",
    "until",
    "instead",
    "bar",
    "rebar",
    "reinforc",
    "annul",
    "void",
    "cap ",
    "caps",
    "recess",
    "bearing",
    "bedding",
    "spare",
    "out of scope",
    "außer",
    "sauf",
];

/// Why a sentence speaks of less than all tendons; nothing if it speaks of all.
pub(super) fn limit(sentence: &str, marks: &BTreeSet<String>) -> Option<String> {
    let lower = format!("{} ", sentence.to_lowercase());
    let begins = |word: &&str| {
        lower.match_indices(*word).any(|(at, found)| {
            found.starts_with(' ') || !lower[..at].ends_with(char::is_alphanumeric)
        })
    };
    if let Some(word) = LIMITS.iter().find(|word| begins(word)) {
        return Some(format!("\"{}\" in it takes something out or leaves it open", word.trim()));
    }
    let words: Vec<&str> = lower
        .split(|c: char| c.is_whitespace() || ",;:()&".contains(c))
        .map(|word| word.trim_end_matches('.'))
        .filter(|word| !word.is_empty())
        .collect();
    if let Some(mark) = words.iter().find(|word| marks.contains(**word)) {
        return Some(format!("it speaks of {} by name", mark.to_uppercase()));
    }
    if let Some(not) = words.iter().find(|word| matches!(**word, "not" | "no" | "nicht" | "never"))
    {
        return Some(format!("it says what is not: \"{not}\""));
    }
    const EQUAL: [&str; 4] = ["equal", "equivalent", "approved", "similar"];
    let offers = words
        .iter()
        .zip(words.iter().skip(1))
        .any(|(word, next)| matches!(*word, "or" | "oder" | "ou") && !EQUAL.contains(next));
    if offers {
        return Some("it offers a choice".to_owned());
    }
    // `22-strand tendons`, `tendons of span 2`
    let of_some = words.iter().zip(words.iter().skip(1)).find(|(one, next)| {
        matches!(**one, "span" | "spans" | "web" | "unit" | "feld")
            && next.starts_with(|c: char| c.is_ascii_digit())
            || one.split_once('-').is_some_and(|(count, rest)| {
                rest.starts_with("str") && count.bytes().all(|digit| digit.is_ascii_digit())
            })
    });
    // A wire is part of every strand.
    of_some
        .filter(|(one, _)| !one.starts_with("7-"))
        .map(|(one, _)| format!("it speaks of some tendons alone, by \"{one}\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_that_speaks_of_some_is_told_from_one_of_all() {
        let marks = BTreeSet::from(["t1".to_owned(), "e1-n".to_owned()]);
        for text in [
            "All tendons are filled with wax, except T9",
            "T1: strand 0.6 in",
            "Tendons E1-N and E1-S are greased",
            "22-strand tendons are filled with wax",
            "Tendons of span 2 are filled with wax",
            "Strands shall not be galvanised",
            "Caps filled with grease",
            "Wax may be used",
            "PT bars: fpk 1030 MPa",
            "Strand 15.2 mm or 15.7 mm",
        ] {
            assert!(limit(text, &marks).is_some(), "{text}");
        }
        for text in [
            "All tendons are filled with wax",
            "Strand: 7-wire, 15.7 mm dia., 150 mm2",
            "FILLER: FLEXIBLE FILLER (WAX), ALL TENDONS.",
            "Strand 15.7 dia., 150 mm2, 279 kN min. breaking load",
            "Strand to ASTM A416 or equal",
        ] {
            assert_eq!(limit(text, &marks), None, "{text}");
        }
    }
}
