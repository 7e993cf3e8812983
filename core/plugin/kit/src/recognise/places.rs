//! Names of places along a bridge: supports, deviators, ends.

use super::scope;

/// Words with which names of places begin: common practice, no source.
const WORDS: [&str; 27] = [
    "abut",
    "abutment",
    "abt",
    "pier",
    "bent",
    "support",
    "supp",
    "dev",
    "deviator",
    "deviation",
    "saddle",
    "diaphragm",
    "diaph",
    "anchorage",
    "anchor",
    "anch",
    "end",
    "midspan",
    "mid",
    "low",
    "high",
    "blister",
    "widerlager",
    "pfeiler",
    "umlenkstelle",
    "culée",
    "déviateur",
];

/// Whether a text names a place, and so no tendon: `Abut. A`, `Dev. 1`, `Pier 2`, `D1`.
pub(super) fn is_place(text: &str) -> bool {
    let lower = text.trim().to_lowercase();
    let first = lower.split(|c: char| !c.is_alphabetic()).next().unwrap_or_default();
    let is_deviator = || matches!(scope::deviator(text), Some((_, "")));
    // A longer text is a sentence.
    lower.split_whitespace().count() <= 3 && (WORDS.contains(&first) || is_deviator())
}

/// Whether these texts name places, most of them in words, so that none can be the mark of a tendon.
pub(super) fn are_places<'t>(texts: impl Iterator<Item = &'t str>) -> bool {
    let (mut all, mut places, mut words) = (0, 0, 0);
    for text in texts {
        all += 1;
        places += i32::from(is_place(text));
        // `D1` may as well be a tendon.
        let letters = text.chars().take_while(|letter| letter.is_alphabetic()).count();
        words += i32::from(letters >= 3 && is_place(text));
    }
    words >= 2 && places == all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_no_tendons() {
        assert!(are_places(["Abut. A", "Dev. 1", "Pier 1"].into_iter()));
        assert!(are_places(["Pier 1", "D1", "D2", "Pier 2"].into_iter()));
        for texts in [["T1", "T2", "T3"], ["D1", "D2", "D3"], ["Pier 1", "T1", "T2"]] {
            assert!(!are_places(texts.into_iter()), "{texts:?}");
        }
    }
}
