//! What makes a sentence speak of less than all, or of nothing that is: then nothing is taken from it.

/// Why a sentence speaks of less than all tendons.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Limit {
    pub(super) why: String,
    /// Whether what it states may be of some of the tendons; else it is of other things, or no more than possible.
    pub(super) is_of_some: bool,
    /// Whether it names some by what a column may say of them, as `tendons of span 2`.
    pub(super) is_by_name: bool,
}

/// Words that take some tendons out, or speak of some alone, in small letters.
const OF_SOME: [&str; 12] = [
    "except",
    "unless",
    "other than",
    "excluding",
    " only",
    "future",
    "instead",
    "spare",
    "some ",
    "certain ",
    "außer",
    "sauf",
];
/// Words that leave something open, or speak of other things than tendons, in small letters.
const OF_OTHERS: [&str; 21] = [
    "alternativ",
    "either",
    "may be",
    "if ",
    "optional",
    "temporary",
    "mock",
    "trial",
    "test",
    "until",
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
    "out of scope",
];

/// Why a sentence speaks of less than all tendons; nothing if it speaks of all.
pub(super) fn limit(sentence: &str) -> Option<Limit> {
    let lower = format!("{} ", sentence.to_lowercase());
    let begins = |word: &&&str| {
        lower.match_indices(**word).any(|(at, found)| {
            found.starts_with(' ') || !lower[..at].ends_with(char::is_alphanumeric)
        })
    };
    let limit = |why: String, is_of_some: bool| Some(Limit { why, is_of_some, is_by_name: false });
    let word = |list: &'static [&'static str]| list.iter().find(begins);
    if let Some(word) = word(&OF_OTHERS).or_else(|| word(&OF_SOME)) {
        let why = format!("\"{}\" in it takes something out or leaves it open", word.trim());
        return limit(why, !OF_OTHERS.contains(word));
    }
    let words: Vec<&str> = lower
        .split(|c: char| c.is_whitespace() || ",;:()&".contains(c))
        .map(|word| word.trim_end_matches('.'))
        .filter(|word| !word.is_empty())
        .collect();
    if let Some(not) = words.iter().find(|word| matches!(**word, "not" | "no" | "nicht" | "never"))
    {
        return limit(format!("it says what is not: \"{not}\""), false);
    }
    const EQUAL: [&str; 4] = ["equal", "equivalent", "approved", "similar"];
    let offers = words
        .iter()
        .zip(words.iter().skip(1))
        .any(|(word, next)| matches!(*word, "or" | "oder" | "ou") && !EQUAL.contains(next));
    if offers {
        return limit("it offers a choice".to_owned(), false);
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
    of_some.filter(|(one, _)| !one.starts_with("7-")).map(|(one, _)| Limit {
        why: format!("it speaks of some tendons alone, by \"{one}\""),
        is_of_some: true,
        is_by_name: true,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_that_speaks_of_some_is_told_from_one_of_all() {
        for text in [
            "All tendons are filled with wax, except T9",
            "22-strand tendons are filled with wax",
            "Tendons of span 2 are filled with wax",
            "Strands shall not be galvanised",
            "Caps filled with grease",
            "Wax may be used",
            "PT bars: fpk 1030 MPa",
            "Strand 15.2 mm or 15.7 mm",
        ] {
            assert!(limit(text).is_some(), "{text}");
        }
        for text in [
            "All tendons are filled with wax",
            "Strand: 7-wire, 15.7 mm dia., 150 mm2",
            "FILLER: FLEXIBLE FILLER (WAX), ALL TENDONS.",
            "Strand 15.7 dia., 150 mm2, 279 kN min. breaking load",
            "Strand to ASTM A416 or equal",
        ] {
            assert_eq!(limit(text), None, "{text}");
        }
        // What is said of some tendons leaves open what holds for all.
        for (text, is_of_some) in
            [("Wax except at pier 2", true), ("Caps filled with grease", false), ("No wax", false)]
        {
            assert_eq!(limit(text).map(|limit| limit.is_of_some), Some(is_of_some), "{text}");
        }
    }
}
