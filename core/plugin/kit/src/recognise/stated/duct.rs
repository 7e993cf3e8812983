//! What a sentence says of all ducts: material, dimension ratio, size.

use restrand_model::quantity::{Dimension, Unit, pipe};

use super::Given;

/// Words of other pipes, of which nothing is said of ducts.
const OTHERS: [&str; 12] = [
    "deviator",
    "guide",
    "form",
    "trumpet",
    "drain",
    "vent",
    "inlet",
    "saddle",
    "transition",
    "coupl",
    "corrugat",
    "liner",
];
/// Words of materials, each as lists name it.
const MATERIALS: [(&str, &str); 8] = [
    ("hdpe", "polyethylene"),
    ("pe-hd", "polyethylene"),
    ("pehd", "polyethylene"),
    ("pe100", "polyethylene"),
    ("pe 100", "polyethylene"),
    ("pe80", "polyethylene"),
    ("polyethylene", "polyethylene"),
    ("polypropylene", "polypropylene"),
];

/// The values that a sentence states of all ducts.
pub(super) fn read(sentence: &str) -> Vec<Given> {
    let lower = sentence.to_lowercase();
    if OTHERS.iter().any(|word| lower.contains(word)) {
        return Vec::new();
    }
    let mut given = Vec::new();
    let mut named: Vec<(&str, &str)> = Vec::new();
    for (word, material) in MATERIALS {
        if lower.contains(word) && !named.iter().any(|(_, other)| *other == material) {
            named.push((word, material));
        }
    }
    let is_steel = lower.contains("steel");
    if let ([(word, material)], false) = (named.as_slice(), is_steel) {
        given.push(Given::text("Ducts", &["material"], material, word));
    }
    given.extend(ratio(&lower));
    given.extend(size(sentence));
    given
}

/// The one dimension ratio that is named, as in `SDR 17`.
fn ratio(lower: &str) -> Option<Given> {
    let mut found: Vec<(f64, &str)> = Vec::new();
    for (at, word) in lower.match_indices("dr") {
        let start = if lower[..at].ends_with('s') { at - 1 } else { at };
        if lower[..start].ends_with(char::is_alphanumeric) {
            continue;
        }
        let rest = lower[at + word.len()..].trim_start_matches([' ', '-', '=', ':']);
        let digits = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        let end = lower.len() - rest.len() + digits;
        if let Ok(ratio) = rest[..digits].trim_end_matches('.').parse::<f64>()
            && !found.iter().any(|(other, _)| (*other - ratio).abs() < 1e-9)
        {
            found.push((ratio, &lower[start..end]));
        }
    }
    match *found.as_slice() {
        [(ratio, shown)] => {
            Some(Given::number("Ducts", &["dimension_ratio"], ratio, shown.trim_end_matches('.')))
        }
        _ => None,
    }
}

/// The outer diameter and the wall, as in `HDPE 110 x 6.6 mm`, if one size is named.
fn size(sentence: &str) -> Vec<Given> {
    let mm = Unit::find("mm", Dimension::Length);
    // The comma is a decimal mark here, for a list of two sizes is none.
    let plain = sentence.replace('×', "x").replace(',', ".");
    let words: Vec<&str> = plain.split_whitespace().collect();
    let mut found = Vec::new();
    for (at, word) in words.iter().enumerate() {
        if !word.starts_with(|c: char| c.is_ascii_digit()) {
            continue;
        }
        let longest = (1..=4_usize.min(words.len() - at)).rev();
        let read = longest
            .map(|count| words[at..at + count].join(" ").trim_end_matches(['.', ';']).to_owned())
            .find_map(|text| Some((pipe(&text, mm)?, text)));
        if let Some((read, text)) = read
            && read.wall_mm.is_some()
        {
            found.push((read, text));
        }
    }
    let [(read, text)] = found.as_slice() else { return Vec::new() };
    let sizes: [(&'static [&'static str], Option<f64>); 2] =
        [(&["outer_mm"], read.outer_mm), (&["wall_mm"], read.wall_mm)];
    sizes
        .into_iter()
        .filter_map(|(path, value)| Some(Given::number("Ducts", path, value?, text)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::quantity::shortest;
    use restrand_model::value::Value;

    #[test]
    fn sentences_say_what_all_ducts_are() {
        let said = |text: &str| -> Vec<String> {
            read(text)
                .into_iter()
                .map(|given| match given.value {
                    Value::Number(number) => format!("{} {}", given.path[0], shortest(number)),
                    other => other.as_text().unwrap_or_default().to_owned(),
                })
                .collect()
        };
        for (text, expected) in [
            ("HDPE duct SDR 17", &["polyethylene", "dimension_ratio 17"][..]),
            ("DUCT: SMOOTH HDPE PIPE, SIZES ARE NOMINAL IPS.", &["polyethylene"]),
            ("Ducts: PE100, SDR-13.5.", &["polyethylene", "dimension_ratio 13.5"]),
            ("Hüllrohr: PE-HD 110 x 6,6 mm.", &["polyethylene", "outer_mm 110", "wall_mm 6.6"]),
            ("Ducts are SDR 17 or SDR 21", &[]),
            ("Deviator pipes: HDPE-lined steel", &[]),
            ("Ducts are HDPE, steel in the deviators", &[]),
        ] {
            assert_eq!(said(text), expected, "{text}");
        }
    }
}
