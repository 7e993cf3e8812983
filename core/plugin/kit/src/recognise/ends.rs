//! Which end of a tendon a text or a header means.

use super::scope::Scope;
use super::words::words;

/// The end that the text of a cell names.
pub(super) fn read(text: &str) -> Option<Scope> {
    let mut words = words(text);
    if words.len() > 1 {
        words.retain(|word| word != "end");
    }
    Some(match words.join(" ").as_str() {
        "a" | "1" | "left" | "l" | "start" | "begin" | "near" => Scope::A,
        "b" | "2" | "right" | "r" | "finish" | "far" => Scope::B,
        "stressing" | "je" | "se" | "le" => Scope::Stressing,
        "dead" | "de" | "fe" | "non stressing" | "nonstressing" => Scope::Dead,
        _ => return None,
    })
}

/// The end that a cell of a column names: `End` alone is the second one where others of the column say `Start`.
pub(super) fn read_beside<'c>(
    text: &str,
    mut others: impl Iterator<Item = &'c str>,
) -> Option<Scope> {
    let is_end = |text: &str| words(text) == ["end"];
    let is_start = |text: &str| matches!(words(text).as_slice(), [one] if matches!(one.as_str(), "start" | "begin"));
    match is_end(text) {
        true => others.any(is_start).then_some(Scope::B),
        false => read(text),
    }
}

/// The names of deviators on the way, by their number.
const BETWEEN: [&str; 41] = [
    "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "15", "16",
    "17", "18", "19", "20", "21", "22", "23", "24", "25", "26", "27", "28", "29", "30", "31", "32",
    "33", "34", "35", "36", "37", "38", "39", "40",
];

/// How the two ends of the tendons of a table are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Names {
    /// Whether the stressed end is the one at the lower station.
    stressing_is_a: bool,
}

impl Names {
    /// The ends of a table in which these scopes come in this order.
    pub(super) fn of(scopes: impl Iterator<Item = Scope>) -> Self {
        let mut scopes = scopes.filter(|scope| matches!(scope, Scope::Stressing | Scope::Dead));
        Self { stressing_is_a: scopes.next() != Some(Scope::Dead) }
    }

    /// The same with the ends exchanged.
    pub(super) const fn exchanged(self) -> Self {
        Self { stressing_is_a: !self.stressing_is_a }
    }

    /// The name of an end, or of a deviator on the way.
    pub(super) fn name(self, scope: Scope) -> &'static str {
        match (scope, self.stressing_is_a) {
            (Scope::A, _) | (Scope::Stressing, true) | (Scope::Dead, false) => "a",
            (Scope::B, _) | (Scope::Dead, true) | (Scope::Stressing, false) => "b",
            (Scope::Between(number), _) => {
                BETWEEN.get(usize::from(number)).copied().unwrap_or(BETWEEN[0])
            }
        }
    }
}

/// The kind of end that a scope says.
pub(super) const fn kind(scope: Scope) -> Option<&'static str> {
    match scope {
        Scope::Stressing => Some("stressing"),
        Scope::Dead => Some("dead"),
        Scope::A | Scope::B | Scope::Between(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_name_ends() {
        for (text, scope) in [
            ("A", Scope::A),
            ("End B", Scope::B),
            ("LT.", Scope::A),
            ("Live", Scope::Stressing),
            ("Dead End", Scope::Dead),
        ] {
            assert_eq!(read(text), Some(scope), "{text}");
        }
        assert_eq!(read("K19"), None);
        let names = Names::of([Scope::Dead, Scope::Stressing].into_iter());
        assert_eq!((names.name(Scope::Dead), names.name(Scope::Stressing)), ("a", "b"));
        assert_eq!(names.exchanged().name(Scope::Dead), "b");
    }
}
