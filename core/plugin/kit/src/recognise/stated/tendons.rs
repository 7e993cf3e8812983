//! What a sentence says of all tendons: what fills them, their friction, the set of their wedges, their jacking stress.

use restrand_model::quantity::Dimension;
use restrand_model::reflect::Shape;

use super::super::vocabulary::{Word, word};
use super::quantities::{Quantity, quantities};
use super::{Given, field_of};

/// Words that tell that something is filled, with which a word begins.
const FILLS: [&str; 12] = [
    "fill",
    "füll",
    "inject",
    "grout",
    "verpress",
    "verfüll",
    "rempli",
    "coulis",
    "pumped",
    "wax",
    "grease",
    "hinterfüll",
];
/// Words of materials that fill, each as lists name it.
const MATERIALS: [&str; 12] = [
    "wax",
    "cire",
    "wachs",
    "grease",
    "graisse",
    "fett",
    "cement grout",
    "cementitious grout",
    "cementitious",
    "cement",
    "zement",
    "ciment",
];
/// Words of the set.
const SETS: [&str; 13] = [
    "anchor set",
    "anchorage set",
    "wedge set",
    "set =",
    "draw-in",
    "draw in",
    "drawin",
    "seating",
    "slip",
    "pull-in",
    "pull in",
    "schlupf",
    "rentrée",
];

/// The values that a sentence states of all tendons, or why it does not tell which is meant.
pub(super) fn read(sentence: &str) -> Result<Vec<Given>, String> {
    let lower = sentence.to_lowercase();
    let mut given: Vec<Given> = filler(&lower)?.into_iter().collect();
    given.extend(situation(&lower));
    given.extend(
        super::ends::from(&lower).filter(|(_, is_of_all)| *is_of_all).map(|(from, _)| from),
    );
    let mut is_of_set = false;
    for one in quantities(sentence) {
        let before = one.before.to_lowercase();
        given.extend(friction(&one, &before, &lower));
        // `Draw-in 6 mm at end A, 4 mm at end B`
        let goes_on = is_of_set && super::ends::at(&one).is_some();
        let before = if goes_on { format!("draw-in {before}") } else { before };
        let set = set(&one, &before, &lower);
        is_of_set = set.is_some();
        given.extend(set);
        given.extend(share(&one, &lower));
    }
    Ok(given)
}

/// Whether a sentence speaks of what this reads, so that it is said why nothing was taken.
pub(super) fn speaks(sentence: &str) -> bool {
    let lower = sentence.to_lowercase();
    let fills = FILLS[..9].iter().any(|word| begins(&lower, word));
    let has_material = MATERIALS.iter().any(|word| begins(&lower, word));
    fills && has_material || SETS.iter().any(|word| lower.contains(word)) && lower.contains("mm")
}

/// Whether a sentence gives a length beside a word of the set.
pub(super) fn speaks_of_set(sentence: &str) -> bool {
    let lower = sentence.to_lowercase();
    let is_length = |one: &Quantity<'_>| one.shown(Some(Dimension::Length)) != one.shown(None);
    SETS.iter().any(|word| lower.contains(word)) && quantities(sentence).iter().any(is_length)
}

fn filler(lower: &str) -> Result<Option<Given>, String> {
    // A material alone fills nothing yet: a waxed thread.
    let is_filled = FILLS[..9].iter().any(|word| begins(lower, word));
    let mut named = materials(lower);
    match named.len() {
        0 => Ok(None),
        1 => Ok(named.pop().filter(|_| is_filled)),
        _ => {
            let names: Vec<&str> = named.iter().map(|given| given.shown.as_str()).collect();
            Err(format!("it names several fillers, {}", names.join(" and ")))
        }
    }
}

/// The fillers that a sentence names.
pub(super) fn fillers(sentence: &str) -> Vec<Given> {
    materials(&sentence.to_lowercase())
}

/// The fillers that a sentence in small letters names where it says that something is filled, each once.
fn materials(lower: &str) -> Vec<Given> {
    match FILLS.iter().any(|word| begins(lower, word)) {
        true => named(lower),
        false => Vec::new(),
    }
}

/// The fillers that a text in small letters names, each once.
pub(super) fn named(lower: &str) -> Vec<Given> {
    let path = &["filler"];
    let Some(field) = field_of("Tendons", path) else { return Vec::new() };
    let Shape::Choice(list) = field.shape else { return Vec::new() };
    let mut named: Vec<Given> = Vec::new();
    for material in MATERIALS.iter().filter(|word| begins(lower, word)) {
        let meant = match *material {
            "zement" | "ciment" => "cement",
            other => other,
        };
        if let Word::Is(word) = word(field, list, meant)
            && !named.iter().any(|other| other.value.as_text() == Some(word))
        {
            named.push(Given::text("Tendons", path, word, material));
        }
    }
    named
}

/// Where all tendons lie, as `All tendons external` says.
fn situation(lower: &str) -> Option<Given> {
    // The word itself, right behind: tendons may be handed to an external examiner.
    let says_so = |behind: &str| {
        let behind = behind.trim_start();
        let verbs = ["are to be ", "shall be ", "to be ", "are ", "is "];
        let bare = verbs.iter().find_map(|verb| behind.strip_prefix(verb)).unwrap_or(behind);
        bare.trim_start()
            .strip_prefix("external")
            .is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    };
    let is_of_all = ["all tendons", "all cables"]
        .iter()
        .any(|words| lower.split_once(words).is_some_and(|(_, behind)| says_so(behind)));
    let is_of_some = ["internal", "except", "unless", "other than"];
    (is_of_all && !is_of_some.iter().any(|word| lower.contains(word)))
        .then(|| Given::text("Tendons", &["situation"], "external", "external"))
}

fn friction(one: &Quantity<'_>, before: &str, lower: &str) -> Option<Given> {
    let is_friction = ["friction", "wobble", "reib", "frottement", "mu ", "mu=", "µ", "μ"]
        .iter()
        .any(|word| lower.contains(word));
    let sign = before.trim_end_matches([' ', '=', ':', '≈', '(', '\u{a0}']);
    let near = sign.rsplit([',', ';', ':']).next().unwrap_or(sign);
    let is_sign = |name: &str| {
        near.strip_suffix(name).is_some_and(|rest| !rest.ends_with(char::is_alphanumeric))
    };
    // `k = 0.3 °/m` beside a note of `µ` is an angle for each length, and nothing else.
    let is_k = is_sign("k") && is_per_length(one);
    if !(is_friction || is_k)
        || ["concrete", "interface", "shear"].iter().any(|word| lower.contains(word))
    {
        return None;
    }
    if is_sign("k") || near.contains("wobble") || near.contains("unintended") {
        let paths: [&'static [&'static str]; 2] =
            [&["stressing", "wobble_per_m"], &["stressing", "unintended_angle_rad_per_m"]];
        return paths.into_iter().find_map(|path| {
            let field = field_of("Tendons", path)?;
            let dimension = restrand_model::quantity::of_field(field.name).1?.dimension;
            let value = one.value(field).filter(|value| (0.0..0.1).contains(value))?;
            Some(Given::number("Tendons", path, value, one.shown(Some(dimension))))
        });
    }
    let is_mu = is_sign("mu")
        || is_sign("µ")
        || is_sign("μ")
        // As French notes call it.
        || is_sign("f") && lower.contains("frottement")
        || near.contains("friction")
        || near.contains("reib")
        || near.contains("frottement");
    let is_other = ["loss", "jack", "elongation"].iter().any(|word| near.contains(word));
    // A coefficient for each radian is one for each radian of turn: it has no unit of its own.
    let rest = one.rest(Dimension::Angle).trim_start().to_lowercase();
    let is_plain = one.is_bare() || rest.starts_with("/rad") || rest.starts_with("1/rad");
    let value = one.number().filter(|value| (0.01..0.6).contains(value))?;
    (is_mu && !is_other && is_plain)
        .then(|| Given::number("Tendons", &["stressing", "mu"], value, one.shown(None)))
}

/// Whether a number has the unit of an angle for each length, or of a share for each length.
fn is_per_length(one: &Quantity<'_>) -> bool {
    const PATHS: [[&str; 2]; 2] =
        [["stressing", "wobble_per_m"], ["stressing", "unintended_angle_rad_per_m"]];
    let dimension = |path: &[&'static str]| {
        let field = field_of("Tendons", path)?;
        Some(restrand_model::quantity::of_field(field.name).1?.dimension)
    };
    let mut dimensions = PATHS.iter().filter_map(|path| dimension(path));
    dimensions.any(|dimension| one.shown(Some(dimension)) != one.shown(None))
}

fn set(one: &Quantity<'_>, before: &str, lower: &str) -> Option<Given> {
    /// What wedges are drawn in at most.
    const MOST_MM: f64 = 25.0;
    let near = before.rsplit(';').next().unwrap_or(before);
    let is_set = SETS.iter().any(|word| near.contains(word))
        || near.trim_end_matches([' ', ':', '=', '.']).ends_with("set");
    let is_other = ["dead", "fixed", "passive", "toleran", "±", "+/-", "cap", "measur"]
        .iter()
        .any(|word| lower.contains(word));
    if !is_set || is_other {
        return None;
    }
    let path = &["stressing", "set_mm"];
    let value =
        one.value(field_of("Tendons", path)?).filter(|value| (0.0..MOST_MM).contains(value))?;
    let shown = one.shown(Some(Dimension::Length));
    Some(match super::ends::at(one) {
        end @ Some(_) => Given { end, ..Given::number("Ends", &["set_mm"], value, shown) },
        None => Given::number("Tendons", path, value, shown),
    })
}

/// The jacking stress over the strength: `jacked to 0.75 fpu`, `75 % of GUTS`.
fn share(one: &Quantity<'_>, lower: &str) -> Option<Given> {
    const STRENGTH: [&str; 8] = ["fpu", "f'pu", "f’pu", "fpk", "guts", "muts", "uts", "fptk"];
    let jacks = ["jack", "stressed to", "stress to", "stressing force", "pj"]
        .iter()
        .any(|word| lower.contains(word));
    let is_other =
        ["max", "limit", "exceed", "after", "loss", "transfer", "anchorage", "lock", "least"]
            .iter()
            .any(|word| lower.contains(word));
    if !jacks || is_other {
        return None;
    }
    let rest = one.rest(Dimension::Angle).trim_start().to_lowercase();
    let (is_per_cent, rest) = match rest.strip_prefix('%') {
        Some(rest) => (true, rest.to_owned()),
        None => (false, rest),
    };
    let rest = rest
        .trim_start_matches([' ', '×', 'x', '*', '·'])
        .trim_start_matches("of ")
        .trim_start_matches("the ");
    if !STRENGTH.iter().any(|word| rest.starts_with(word)) {
        return None;
    }
    let number = one.number()?;
    let value = if is_per_cent { number / 100.0 } else { number };
    let shown = one.shown(None);
    (0.3..1.0)
        .contains(&value)
        .then(|| Given::number("Tendons", &["stressing", "jacking_share"], value, shown))
}

/// Whether a word in small letters begins so.
fn begins(lower: &str, word: &str) -> bool {
    lower.match_indices(word).any(|(at, _)| !lower[..at].ends_with(char::is_alphanumeric))
        // A material may be the end of a compound word, as in German.
        || matches!(word, "wachs" | "zement") && lower.contains(word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::value::Value;

    #[test]
    fn sentences_say_what_holds_for_all_tendons() {
        let said = |text: &str| -> Vec<(String, String)> {
            let given = read(text).unwrap_or_default();
            given
                .into_iter()
                .map(|given| {
                    (
                        given.path.join("."),
                        match given.value {
                            Value::Number(number) => restrand_model::quantity::shortest(number),
                            other => other.as_text().unwrap_or_default().to_owned(),
                        },
                    )
                })
                .collect()
        };
        for (text, expected) in [
            ("All ducts filled with wax", &[("filler", "wax")][..]),
            ("FILLER: FLEXIBLE FILLER (WAX), ALL TENDONS.", &[("filler", "wax")]),
            ("Filling: microcrystalline wax after stressing.", &[("filler", "wax")]),
            ("Verpressung aller Spannglieder mit Korrosionsschutzwachs.", &[("filler", "wax")]),
            ("Tendons shall be grouted with cementitious grout", &[("filler", "cement_grout")]),
            ("Injection : cire pétrolière", &[("filler", "wax")]),
            ("Filler: PT grease", &[("filler", "grease")]),
            (
                "mu = 0.25, k=0.0002/ft",
                &[("stressing.mu", "0.25"), ("stressing.wobble_per_m", "0.000656167979003")],
            ),
            ("Losses based on: mu = 0.12", &[("stressing.mu", "0.12")]),
            ("μ = 0.12/rad", &[("stressing.mu", "0.12")]),
            ("Coefficient of friction at the deviators: mu = 0.10", &[("stressing.mu", "0.1")]),
            ("anchor set 1/4 in", &[("stressing.set_mm", "6.35")]),
            ("Wedge draw-in 6 mm at every stressing anchorage.", &[("stressing.set_mm", "6")]),
            ("Tendons are jacked to 75% of GUTS", &[("stressing.jacking_share", "0.75")]),
            ("Jacking stress 0.75 f'pu", &[("stressing.jacking_share", "0.75")]),
            ("Jacking stress shall not exceed 0.80 fpu", &[]),
            ("All ducts shall be grouted", &[]),
            ("Coefficient of friction of concrete 0.6", &[]),
            ("Set 3 mm at the dead end", &[]),
            ("Elongations are from 20% of the jacking force", &[]),
            ("Waxed paper below the plate", &[]),
        ] {
            let expected: Vec<(String, String)> = expected
                .iter()
                .map(|(one, other)| ((*one).to_owned(), (*other).to_owned()))
                .collect();
            assert_eq!(said(text), expected, "{text}");
        }
        assert!(read("Filled with wax or grease").is_err());
    }
}
