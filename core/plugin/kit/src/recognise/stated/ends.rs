//! From which end a sentence says that all tendons are stressed: `All tendons stressed from end 2 only`.

use super::Given;

/// What says from where tendons are stressed, right before the end.
const FROM: [&str; 6] = [
    "stressed from ",
    "stressed at ",
    "jacked from ",
    "jacked at ",
    "stressing from ",
    "stressing is from ",
];
/// How ends are named, each with its letter; the longer first.
const ENDS: [(&str, &str); 9] = [
    ("both ends", "both"),
    ("each end", "both"),
    ("end a", "a"),
    ("end b", "b"),
    ("end 1", "a"),
    ("end 2", "b"),
    ("a end", "a"),
    ("b end", "b"),
    ("one end", ""),
];

/// The end from which a sentence says that all tendons are stressed, in small letters.
pub(super) fn from(lower: &str) -> Option<Given> {
    if !["all tendons", "all cables", "tendons are", "tendons to be", "tendons shall"]
        .iter()
        .any(|words| lower.contains(words))
    {
        return None;
    }
    let behind = FROM.iter().find_map(|words| Some(lower.split_once(words)?.1))?;
    let behind = behind.strip_prefix("the ").unwrap_or(behind);
    let (name, end) = ENDS.iter().find(|(name, _)| {
        behind.strip_prefix(name).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    })?;
    // `End A, then end B` is of both, in an order.
    let rest = &behind[name.len()..];
    let is_of_more = ["then", " and ", "end a", "end b", "end 1", "end 2"];
    let is_one = *end == "both" || !is_of_more.iter().any(|word| rest.contains(word));
    (is_one && !end.is_empty())
        .then(|| Given::text("Tendons", &["stressing", "from"], end, &format!("from {name}")))
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
        let said = |text: &str| match from(&text.to_lowercase())?.value {
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
            ("All tendons stressed at end Ab", None),
        ] {
            assert_eq!(said(text).as_deref(), end, "{text}");
        }
    }
}
