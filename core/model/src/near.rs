//! The names that were most likely meant.

/// Looks for names that are like another one.
///
/// Each look costs the letters of all candidates; a file made to make many looks gets answers without
/// suggestions rather than late.
#[derive(Debug)]
pub struct Near {
    pairs_left: usize,
}

/// Likeness (Jaro-Winkler) below which a name of the file's own is not offered.
const NEAR: f64 = 0.8;
/// Likeness below which a known word is not offered: known words are many, and a wrong one confuses.
const NEAR_WORD: f64 = 0.84;

impl Default for Near {
    fn default() -> Self {
        Self::new()
    }
}

impl Near {
    /// A search that has not looked yet.
    #[must_use]
    pub const fn new() -> Self {
        /// Pairs of letters that are compared in one run.
        const PAIRS: usize = 20_000_000;
        Self { pairs_left: PAIRS }
    }

    /// Whether nothing more is looked for.
    #[must_use]
    pub const fn is_spent(&self) -> bool {
        self.pairs_left == 0
    }

    /// The candidates that are most like the name, if they are like enough; several only where they are
    /// equally like it, and none where they are too many to choose from.
    pub fn find<'n>(
        &mut self,
        name: &str,
        candidates: impl Iterator<Item = &'n str>,
    ) -> Vec<&'n str> {
        /// Names that a suggestion offers.
        const OFFERED: usize = 3;
        let mut least = NEAR;
        let mut best = Vec::new();
        for candidate in candidates {
            let pairs = name.len() * candidate.len() + 1;
            match self.pairs_left.checked_sub(pairs) {
                Some(left) => self.pairs_left = left,
                None => {
                    self.pairs_left = 0;
                    return Vec::new();
                }
            }
            let likeness = match is_same_but_for_case(name, candidate) {
                true => 1.0,
                false => strsim::jaro_winkler(name, candidate),
            };
            if likeness > least {
                least = likeness;
                best.clear();
            }
            if likeness >= least && best.len() <= OFFERED && !best.contains(&candidate) {
                best.push(candidate);
            }
        }
        if best.len() > OFFERED { Vec::new() } else { best }
    }
}

/// Whether two names are the same but for case and spaces.
#[must_use]
pub fn is_same_but_for_case(one: &str, other: &str) -> bool {
    let plain = |text: &'_ str| {
        let letters: Vec<char> = text
            .chars()
            .filter(|letter| !letter.is_whitespace())
            .flat_map(char::to_lowercase)
            .collect();
        letters
    };
    plain(one) == plain(other)
}

/// The names of a list that is short enough to be read at once: `K19, K22`.
#[must_use]
pub fn short_list(names: &[&str]) -> Option<String> {
    /// Names that a person takes in at a look.
    const SHORT: usize = 8;
    (1..=SHORT).contains(&names.len()).then(|| names.join(", "))
}

/// Words that people write for those of a field's name.
const SYNONYMS: &[(&str, &[&str])] = &[
    ("kind", &["type", "sort", "class", "category"]),
    ("id", &["name", "designation"]),
    ("mark", &["name", "designation"]),
];

/// The candidate that is most like a name, whatever the case, if it is like enough to be worth naming; or the one
/// that says the same in another word.
///
/// For lists that do not grow with the file: of those that do, [`Near`] bounds the looks.
#[must_use]
pub fn nearest<'n>(name: &str, candidates: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let name = name.to_lowercase();
    candidates
        .map(|candidate| {
            let plain = candidate.to_lowercase();
            let likeness = strsim::jaro_winkler(&name, &plain);
            (if is_synonym(&name, &plain) { likeness.max(NEAR_WORD) } else { likeness }, candidate)
        })
        .filter(|(likeness, _)| *likeness >= NEAR_WORD)
        .max_by(|one, other| one.0.total_cmp(&other.0))
        .map(|(_, candidate)| candidate)
}

/// Whether two names in lower case differ by a word only, and that says the same.
fn is_synonym(written: &str, known: &str) -> bool {
    let words = |name: &'_ str| -> Vec<String> {
        name.split(|letter: char| !letter.is_alphanumeric()).map(str::to_owned).collect()
    };
    let (written, known) = (words(written), words(known));
    let says = |(written, known): (&String, &String)| {
        written == known
            || SYNONYMS.iter().any(|(word, others)| known == word && others.contains(&&**written))
    };
    written.len() == known.len() && written != known && written.iter().zip(&known).all(says)
}

/// Names as a sentence gives a choice of them: `B3A, B3B or B3C`.
#[must_use]
pub fn choice(names: &[&str]) -> String {
    match names.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_differs_in_case_or_spaces_alone_is_the_one() {
        let find = |name: &str| Near::new().find(name, ["K22", "K19", "K 19b"].into_iter());
        assert_eq!(find("k19"), ["K19"]);
        assert_eq!(find("k19B"), ["K 19b"]);
        assert_eq!(find("x"), Vec::<&str>::new());
        let both = Near::new().find("k19", ["K19", "K 19"].into_iter());
        assert_eq!(both, ["K19", "K 19"]);
    }

    #[test]
    fn another_word_for_the_same_is_known() {
        let near = |name: &str| nearest(name, ["Kind", "Station", "Cap kind", "Id"].into_iter());
        assert_eq!(near("Type"), Some("Kind"));
        assert_eq!(near("cap type"), Some("Cap kind"));
        assert_eq!(near("NAME"), Some("Id"));
        assert_eq!(near("Stations"), Some("Station"));
        assert_eq!(near("Typed"), None);
        assert_eq!(nearest("type", ["cap_kind"].into_iter()), None);
        assert_eq!(nearest("cap_type", ["cap_kind"].into_iter()), Some("cap_kind"));
    }

    #[test]
    fn a_list_is_shown_where_it_is_short() {
        assert_eq!(short_list(&["A1", "P2"]).as_deref(), Some("A1, P2"));
        assert_eq!(short_list(&[]), None);
        assert_eq!(short_list(&["x"; 9]), None);
    }
}
