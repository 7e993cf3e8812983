//! From which end a sentence says that all tendons are stressed: `All tendons stressed from end 2 only`.

use super::super::scope::Scope;
use super::Given;
use super::quantities::Quantity;

/// What says from where tendons are stressed, right before the end.
const FROM: [&str; 4] = ["stressed from ", "stressed at ", "jacked from ", "jacked at "];
/// How ends are named, each with its letter; the longer first.
const ENDS: [(&str, &str); 15] = [
    ("both ends", "both"),
    ("each end", "both"),
    ("end a", "a"),
    ("end b", "b"),
    ("end 1", "a"),
    ("end 2", "b"),
    ("a end", "a"),
    ("b end", "b"),
    ("one end", ""),
    ("beiden enden", "both"),
    ("ende a", "a"),
    ("ende b", "b"),
    ("deux extrémités", "both"),
    ("extrémité a", "a"),
    ("extrémité b", "b"),
];

/// The end from which a sentence in small letters says that tendons are stressed, and whether it says so of all.
pub(super) fn from(lower: &str) -> Option<(Given, bool)> {
    let (before, behind) = FROM.iter().find_map(|words| lower.split_once(words))?;
    let behind = behind.strip_prefix("the ").unwrap_or(behind);
    let (name, end) = ENDS.iter().find(|(name, _)| {
        behind.strip_prefix(name).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    })?;
    // `End A, then end B` is of both, in an order.
    let rest = &behind[name.len()..];
    let is_of_more = ["then", " and ", "end a", "end b", "end 1", "end 2"];
    let is_one = *end == "both" || !is_of_more.iter().any(|word| rest.contains(word));
    let given = || Given::text("Tendons", &["stressing", "from"], end, &format!("from {name}"));
    (is_one && !end.is_empty()).then(|| (given(), is_of_all(before)))
}

/// Whether what stands before `stressed from` speaks of all tendons, and of nothing less: `E2 tendons are`, `all tendons
/// in span 1` do not.
fn is_of_all(before: &str) -> bool {
    const AUXILIARIES: [&str; 6] = ["are", "is", "be", "to", "shall", "will"];
    let numbered = before.trim_start_matches(|c: char| c.is_ascii_digit() || " .)-".contains(c));
    let mut words = numbered.split_whitespace().filter(|word| !AUXILIARIES.contains(word));
    match words.next() {
        Some("all") => matches!(words.next(), Some("tendons" | "cables")) && words.next().is_none(),
        Some("tendons" | "cables") => words.next().is_none(),
        _ => false,
    }
}

/// At which end a quantity holds, as `6 mm at end A` or `end A: 6 mm` says; nothing where no one end is named.
pub(super) fn at(one: &Quantity<'_>) -> Option<Scope> {
    let behind = one.from().to_lowercase();
    let clause = behind.split([',', ';', '(', ')']).next().unwrap_or_default();
    let clause = clause.split(" and ").next().unwrap_or_default();
    let before = one.before.to_lowercase();
    let before = before.trim_end_matches([' ', ':', '=']);
    let is_whole = |rest: &str| !rest.starts_with(char::is_alphanumeric);
    let named = |(name, end): &(&'static str, &'static str)| {
        let is_behind = clause.split_once(name).is_some_and(|(_, rest)| is_whole(rest));
        (is_behind || before.ends_with(name)).then_some(*end)
    };
    let end = ENDS.iter().find_map(named).or_else(|| {
        let short = ["at a", "at b"]
            .iter()
            .find(|name| clause.trim_end_matches(['.', ' ']).ends_with(*name))?;
        short.strip_prefix("at ")
    })?;
    match end {
        "a" => Some(Scope::A),
        "b" => Some(Scope::B),
        _ => None,
    }
}

/// A sentence in small letters without the `only` behind an end, which takes no tendon out.
pub(super) fn without_only(sentence: &str) -> String {
    let lower = sentence.to_lowercase();
    ENDS.iter().fold(lower, |text, (name, _)| text.replace(&format!("{name} only"), name))
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::Value;

    #[test]
    fn a_sentence_of_all_tendons_says_from_where_they_are_stressed() {
        let of_all = |text: &str| from(&text.to_lowercase()).filter(|(_, is_of_all)| *is_of_all);
        let said = |text: &str| match of_all(text)?.0.value {
            Value::Text(text) => Some(text.to_string()),
            _ => None,
        };
        for (text, end) in [
            ("1. ALL TENDONS STRESSED FROM END 2 ONLY", Some("b")),
            ("All tendons are to be stressed from both ends", Some("both")),
            ("Tendons shall be jacked from end A", Some("a")),
            ("All tendons stressed from end A, then end B", None),
            ("All tendons stressed from one end", None),
            ("T1 stressed from end A", None),
            ("4. E2 tendons are stressed from end A only", None),
            ("All tendons in span 1 are stressed from end A", None),
            ("All tendons stressed at end Ab", None),
        ] {
            assert_eq!(said(text).as_deref(), end, "{text}");
        }
    }
}
