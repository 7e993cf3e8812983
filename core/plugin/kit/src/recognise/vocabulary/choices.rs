//! What people write for the words of lists.

use restrand_model::reflect::{ChoiceInfo, FieldInfo};

/// Words of lists, by the field's name.
const WORDS: &[(&str, &str, &[&str])] = &[
    (
        "filler",
        "cement_grout",
        &[
            "cement grout",
            "cementitious",
            "cementitious grout",
            "cement",
            "neat cement grout",
            "pt grout cement",
        ],
    ),
    ("filler", "wax", &["wax", "flexible filler wax", "microcrystalline wax", "petroleum wax"]),
    ("filler", "grease", &["grease", "pt grease"]),
    (
        "kind",
        "stressing",
        &[
            "stressing",
            "stress",
            "live",
            "jacking",
            "jacked",
            "active",
            "l",
            "live end",
            "stressing end",
            "jacking end",
        ],
    ),
    ("kind", "dead", &["dead", "fixed", "passive", "non stressing", "d", "dead end", "fixed end"]),
    ("kind", "embedded", &["embedded", "buried", "embedded dead"]),
    ("situation", "external", &["external", "ext", "e"]),
    ("situation", "internal", &["internal", "int", "i"]),
    ("side", "left", &["left", "lt", "l", "lhs", "lh"]),
    ("side", "right", &["right", "rt", "r", "rhs", "rh"]),
    ("side", "centre", &["centre", "center", "cl", "c", "middle"]),
    (
        "material",
        "polyethylene",
        &["hdpe", "pe", "pe100", "pe80", "polyethylene", "hdpe pipe", "smooth hdpe", "pe pipe"],
    ),
    ("material", "polypropylene", &["pp", "polypropylene"]),
    (
        "material",
        "steel",
        &[
            "steel",
            "steel pipe",
            "galv steel pipe",
            "galvanised steel pipe",
            "galvanized steel pipe",
        ],
    ),
    ("material", "corrugated_metal", &["corrugated metal", "corrugated steel", "corr metal"]),
    (
        "material",
        "corrugated_polymer",
        &["corrugated plastic", "corrugated hdpe", "corrugated pp", "corr plastic"],
    ),
    ("relaxation", "low", &["low", "low relax", "low relaxation", "lr", "lo lax"]),
    ("relaxation", "normal", &["normal", "stress relieved", "normal relaxation", "sr"]),
    ("coating", "bare", &["bare", "uncoated", "none"]),
    ("coating", "epoxy", &["epoxy", "epoxy coated"]),
    ("coating", "galvanised", &["galvanised", "galvanized", "galv"]),
    ("from", "a", &["a", "end a", "left", "lt", "left end", "lt end", "start", "begin", "l"]),
    ("from", "b", &["b", "end b", "right", "rt", "right end", "rt end", "finish", "r"]),
    (
        "from",
        "both",
        &["both", "both ends", "a and b", "a b", "2 ends", "double", "lt and rt", "left and right"],
    ),
    ("end", "a", &["a", "end a", "left", "lt", "left end", "start", "l", "1"]),
    ("end", "b", &["b", "end b", "right", "rt", "right end", "r", "2"]),
    ("installation", "push", &["push", "pushed", "pushing"]),
    ("installation", "pull", &["pull", "pulled", "pulling"]),
    ("stage", "shop_drawing", &["shop drawing", "shop drawings", "for construction", "ifc"]),
    ("stage", "as_built", &["as built", "as constructed"]),
    ("stage", "tender", &["tender", "bid"]),
];

/// Values of which each can be one of several words; the author has to say.
const UNCLEAR: &[(&str, &[&str], &[&str])] = &[(
    "filler",
    &["grout", "grouted", "yes", "filler", "injected", "flexible filler", "flexible"],
    &["cement_grout", "wax", "grease"],
)];

/// What a text says for a field that takes a word of a list.
pub(in crate::recognise) enum Word {
    /// This word.
    Is(&'static str),
    /// One of these words, and nothing tells which.
    Unclear(&'static [&'static str]),
    /// None of the list.
    Unknown,
}

/// The word of a field's list that a text means.
pub(in crate::recognise) fn word(
    field: &FieldInfo,
    list: &'static [ChoiceInfo],
    text: &str,
) -> Word {
    if let Some(word) = ChoiceInfo::find(list, text) {
        return Word::Is(word.name);
    }
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(|letter| *letter != '.')
        .map(|letter| if letter.is_alphanumeric() { letter } else { ' ' })
        .collect();
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    let found = WORDS.iter().find(|(name, word, texts)| {
        *name == field.name
            && texts.contains(&&*plain)
            && list.iter().any(|choice| choice.name == *word)
    });
    if let Some((_, word, _)) = found {
        return Word::Is(word);
    }
    UNCLEAR
        .iter()
        .find(|(name, texts, _)| *name == field.name && texts.contains(&&*plain))
        .map_or(Word::Unknown, |(_, _, words)| Word::Unclear(words))
}
