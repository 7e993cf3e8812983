//! Of which end or deviator of a tendon words speak.

use super::words::words;

/// Of which end or deviator of a tendon a header speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Scope {
    /// The end at the lower station.
    A,
    /// The end at the higher station.
    B,
    /// The end that is stressed, wherever it lies.
    Stressing,
    /// The end that is not stressed, wherever it lies.
    Dead,
    /// A deviator on the way, by its number.
    Between(u8),
}

impl Scope {
    /// Whether it is an end.
    pub(super) const fn is_end(self) -> bool {
        !matches!(self, Self::Between(_))
    }
}

/// The end that words speak of, and the words without it.
pub(super) fn of_words(words: Vec<String>) -> (Option<Scope>, Vec<String>) {
    const PAIRS: &[(&[&str], Scope)] = &[
        (&["end", "a"], Scope::A),
        (&["end", "b"], Scope::B),
        (&["end", "1"], Scope::A),
        (&["end", "2"], Scope::B),
        (&["left", "end"], Scope::A),
        (&["right", "end"], Scope::B),
        (&["start", "end"], Scope::A),
        (&["begin", "end"], Scope::A),
        (&["near", "end"], Scope::A),
        (&["far", "end"], Scope::B),
        (&["stressing", "end"], Scope::Stressing),
        (&["dead", "end"], Scope::Dead),
        (&["non", "stressing", "end"], Scope::Dead),
    ];
    const SINGLE: &[(&str, Scope)] = &[
        ("dead", Scope::Dead),
        ("start", Scope::A),
        ("begin", Scope::A),
        ("beginning", Scope::A),
        ("left", Scope::A),
        ("right", Scope::B),
        ("finish", Scope::B),
    ];
    /// Words that offer a choice where both stand, and so name neither.
    const CHOICES: [[&str; 2]; 2] = [["stressing", "dead"], ["left", "right"]];
    let has = |word: &str| words.iter().any(|other| other == word);
    let is_choice = |word: &str| {
        CHOICES.iter().any(|choice| choice.contains(&word) && choice.iter().all(|one| has(one)))
            && !has("non")
    };
    let longest = PAIRS
        .iter()
        .filter(|(pair, _)| pair.iter().all(|word| has(word) && !is_choice(word)))
        .max_by_key(|(pair, _)| pair.len());
    if let Some((pair, scope)) = longest {
        let mut rest = words;
        for word in *pair {
            if let Some(at) = rest.iter().position(|other| other == word) {
                rest.remove(at);
            }
        }
        return (Some(*scope), rest);
    }
    if words.len() > 1
        && let Some((word, scope)) = SINGLE
            .iter()
            .find(|(word, _)| words.first().is_some_and(|first| first == word) && !is_choice(word))
    {
        let rest = words.into_iter().filter(|other| other != word).collect();
        return (Some(*scope), rest);
    }
    (None, words)
}

/// The end or deviator that a text names and nothing else.
pub(super) fn named_alone(text: &str) -> Option<Scope> {
    if let Some((number, "")) = deviator(text) {
        return Some(Scope::Between(number));
    }
    let (scope, rest) = of_words(words(text));
    scope.filter(|_| rest.is_empty())
}

/// The end or deviator over which a group of headers stands, and the place that it gives: `END A (Abut. S)`.
pub(super) fn of_group(text: &str) -> Option<(Scope, Option<String>)> {
    const MARKS: [char; 10] = ['(', '[', '-', '–', '—', ',', ':', '=', '@', '\n'];
    if let Some(scope) = named_alone(text) {
        return Some((scope, None));
    }
    // Over the columns of an end these words say which one it is; `DE` is a dead end.
    match text.trim().to_lowercase().as_str() {
        "from" | "von" => return Some((Scope::A, None)),
        "to" | "bis" => return Some((Scope::B, None)),
        _ => {}
    }
    let at = text.find(MARKS)?;
    let (before, behind) = (&text[..at], text[at..].trim_start_matches(MARKS));
    let place = |text: &str| {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let text = text.trim_matches(|c: char| MARKS.contains(&c) || c == ')' || c == ']');
        let text = text.trim();
        (!text.is_empty()).then(|| text.to_owned())
    };
    let letter = |text: &str| match text.trim().trim_end_matches([')', ']']).trim() {
        "A" => Some(Scope::A),
        "B" => Some(Scope::B),
        _ => None,
    };
    if let Some(scope) = named_alone(before).or_else(|| letter(before)) {
        return Some((scope, place(behind)));
    }
    let scope = named_alone(behind.trim_end_matches([')', ']'])).or_else(|| letter(behind))?;
    Some((scope, place(before)))
}

/// The number of the deviator with which a text begins, and what follows.
pub(super) fn deviator(text: &str) -> Option<(u8, &str)> {
    const NAMES: [&str; 14] = [
        "umlenkstelle",
        "umlenksattel",
        "umlenker",
        "umlenkpunkt",
        "deviation point",
        "deviation block",
        "deviator",
        "déviateur",
        "saddle",
        "dév.",
        "dév",
        "dev.",
        "dev",
        "d",
    ];
    let text = text.trim();
    let behind = |name: &str| {
        let head = text.get(..name.len())?;
        head.to_lowercase().eq(name).then(|| &text[name.len()..])
    };
    let (name, rest) = NAMES.iter().find_map(|name| Some((*name, behind(name)?)))?;
    let rest = match name {
        "d" => rest,
        _ => {
            let rest = rest.trim_start_matches([' ', '.', '#', '-', '\n']);
            ["no.", "No.", "NO.", "nr", "n°"]
                .iter()
                .find_map(|word| rest.strip_prefix(word))
                .unwrap_or(rest)
                .trim_start()
                // `DEVIATOR D1`: the letter is its name's.
                .trim_start_matches(['D', 'd'])
        }
    };
    let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let number: u8 = rest[..digits].parse().ok().filter(|number| (1..=40).contains(number))?;
    let rest = &rest[digits..];
    (!rest.starts_with(|c: char| c.is_alphanumeric() || c == '.'))
        .then(|| (number, rest.trim_matches([' ', ':', '-', '–', ',', '\n'])))
}

/// The number of the deviator of whose angle a text speaks, and the angle: `Umlenkwinkel 1`.
pub(super) fn deviator_of_angle(text: &str) -> Option<(u8, &str)> {
    const ANGLES: [&str; 3] = ["umlenkwinkel", "deviation angle", "angle de déviation"];
    let (angle, number) = text.trim().rsplit_once(char::is_whitespace)?;
    let is_angle = ANGLES.contains(&angle.trim().to_lowercase().as_str());
    let number = number.parse().ok().filter(|number| is_angle && (1..=40).contains(number))?;
    Some((number, angle))
}

/// The number of the deviator with which a text ends, and what stands before it: `Ch. D1`.
pub(super) fn deviator_behind(text: &str) -> Option<(u8, &str)> {
    let named = |at: usize| {
        let (before, last) = text.trim().split_at(at);
        match deviator(last.trim().trim_matches(['(', ')', '[', ']']))? {
            (number, "") if before.chars().any(char::is_alphabetic) => {
                Some((number, before.trim_end()))
            }
            _ => None,
        }
    };
    // `Ch. D1`, `Station deviator 1`
    let mut spaces = text.trim().rmatch_indices(char::is_whitespace).map(|(at, _)| at);
    let (last, before) = (spaces.next()?, spaces.next());
    named(last).or_else(|| named(before?))
}

/// The letter of an end by which a text begins or ends, and what is left of it: `Clearance A`, `A x`.
pub(super) fn letter(text: &str) -> Option<(Scope, String)> {
    /// Words behind which a letter names a kind.
    const KINDS: [&str; 8] =
        ["type", "grade", "class", "group", "table", "note", "detail", "section"];
    let tokens: Vec<&str> = text.split_whitespace().collect();
    let end = |token: &str| match token.trim_matches(['(', ')', '[', ']', '.', ':', '@', ',']) {
        "A" => Some(Scope::A),
        "B" => Some(Scope::B),
        _ => None,
    };
    let (last, before) = tokens.split_last()?;
    let (first, behind) = tokens.split_first()?;
    let says =
        |tokens: &[&str]| tokens.iter().any(|token| token.chars().any(char::is_alphanumeric));
    let is_kind = before.last().is_some_and(|word| {
        KINDS.contains(&word.trim_end_matches(['.', ':']).to_lowercase().as_str())
    });
    if let Some(scope) = end(last).filter(|_| says(before) && !is_kind) {
        let before = match before.split_last() {
            Some((word, rest))
                if matches!(
                    *word,
                    "at" | "@" | "-" | "–" | "end" | "End" | "Ende" | "extrémité" | "côté"
                ) =>
            {
                rest
            }
            _ => before,
        };
        return Some((scope, before.join(" ")));
    }
    end(first).filter(|_| says(behind)).map(|scope| (scope, behind.join(" ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_name_an_end_and_its_place() {
        for (text, scope, place) in [
            ("END A", Scope::A, None),
            ("END A (Abut. S)", Scope::A, Some("Abut. S")),
            ("END B - PIER 1", Scope::B, Some("PIER 1")),
            ("End A, Abut. S", Scope::A, Some("Abut. S")),
            ("Abut. S (End A)", Scope::A, Some("Abut. S")),
            ("Pier 3: Dead End", Scope::Dead, Some("Pier 3")),
            ("Live end @ P2", Scope::Stressing, Some("P2")),
            ("Abut 1 (A)", Scope::A, Some("Abut 1")),
            ("DEVIATOR 2", Scope::Between(2), None),
            ("from", Scope::A, None),
            ("To", Scope::B, None),
            ("Dev. no. 3 - Bay 4", Scope::Between(3), Some("Bay 4")),
        ] {
            assert_eq!(of_group(text), Some((scope, place.map(str::to_owned))), "{text}");
        }
        for text in ["Abutment end", "Live / dead", "Strand", "Stressing (kN)"] {
            assert_eq!(of_group(text), None, "{text}");
        }
    }

    #[test]
    fn a_choice_names_no_end() {
        for text in ["Live / dead", "Active/Passive", "Stressing or fixed", "Left / right"] {
            assert_eq!(of_words(words(text)).0, None, "{text}");
        }
        assert_eq!(of_words(words("END A live / dead")).0, Some(Scope::A));
        assert_eq!(of_words(words("non-stressing end")).0, Some(Scope::Dead));
    }

    #[test]
    fn deviators_and_letters_are_taken_off() {
        assert_eq!(deviator("D1 x (m)"), Some((1, "x (m)")));
        assert_eq!(deviator("DEV. 2"), Some((2, "")));
        for text in ["D13 bars", "Diameter 1", "D", "d 1"] {
            assert!(deviator(text).is_none_or(|(_, rest)| !rest.is_empty()), "{text}");
        }
        assert_eq!(deviator_behind("Ch. D1"), Some((1, "Ch.")));
        assert_eq!(deviator_behind("Station Umlenkstelle 1"), Some((1, "Station")));
        assert_eq!(deviator_of_angle("Umlenkwinkel 2"), Some((2, "Umlenkwinkel")));
        assert_eq!(deviator_of_angle("Angle 2"), None);
        assert_eq!(deviator_behind("D1"), None);
        assert_eq!(letter("Station Ende A"), Some((Scope::A, "Station".to_owned())));
        assert_eq!(letter("Clearance A"), Some((Scope::A, "Clearance".to_owned())));
        assert_eq!(letter("B z"), Some((Scope::B, "z".to_owned())));
        assert_eq!(letter("Level at B"), Some((Scope::B, "Level".to_owned())));
        assert_eq!(letter("Anchor type A"), None);
        assert_eq!(letter("A"), None);
    }
}
