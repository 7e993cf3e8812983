//! What a sentence says of the strand: size, area, strength, modulus, grade, standard.

use restrand_model::quantity::{self, Dimension, Unit};

use super::quantities::{Quantity, quantities};
use super::{Given, field_of};

/// Words of the strength of strand, before or behind a stress.
const STRENGTH: [&str; 14] = [
    "fpu",
    "f'pu",
    "f’pu",
    "fpk",
    "fptk",
    "fprg",
    "fpt",
    "uts",
    "guts",
    "tensile",
    "ultimate",
    "strength",
    "festigkeit",
    "rm",
];
/// Words of other stresses, and of forces that are no strength.
const NO_STRENGTH: [&str; 14] = [
    "yield", "proof", "fp0", "fpy", "0.1", "0,1", "jack", "initial", "lock", "transfer",
    "stressed", "anchor", "service", "limit",
];
/// Words of the force at which a strand breaks.
const BREAKING: [&str; 9] =
    ["break", "uts", "guts", "ultimate", "mbl", "rupture", "bruch", "fpk", "failure"];
/// Words of the modulus.
const MODULUS: [&str; 5] = ["modul", "elast", "young", "ep", "es"];
/// Words of a diameter.
const DIAMETER: [&str; 8] = ["dia", "ø", "⌀", "φ", "∅", "durchm", "nominal", "diam"];
/// Organisations whose standards are for strand.
const STANDARDS: [&str; 12] =
    ["ASTM", "EN", "prEN", "BS", "AASHTO", "JIS", "AS/NZS", "ISO", "NF", "DIN", "IS", "SIA"];
/// What a strand can be in its own units: modulus, strength, area, force, mass, diameter.
///
/// Common practice, no source.
const MODULI_MPA: std::ops::RangeInclusive<f64> = 150_000.0..=230_000.0;
const STRENGTHS_MPA: std::ops::RangeInclusive<f64> = 1400.0..=2400.0;
const AREAS_MM2: std::ops::RangeInclusive<f64> = 30.0..=250.0;
const FORCES_KN: std::ops::RangeInclusive<f64> = 50.0..=500.0;
const MASSES_KG_PER_M: std::ops::RangeInclusive<f64> = 0.3..=2.2;
const DIAMETERS_MM: std::ops::RangeInclusive<f64> = 8.0..=20.0;
const DIAMETERS_IN: std::ops::RangeInclusive<f64> = 0.3..=0.8;

/// The values that a sentence states of the strand.
pub(super) fn read(sentence: &str) -> Vec<Given> {
    let mut given = Vec::new();
    for one in quantities(sentence) {
        given.extend(measure(&one));
    }
    given.extend(designation(sentence));
    given.extend(grade(sentence).map(|grade| Given::text("Strands", &["grade"], &grade, &grade)));
    given
        .extend(standard(sentence).map(|name| Given::text("Strands", &["standard"], &name, &name)));
    let lower = sentence.to_lowercase().replace(['-', '_'], " ");
    if ["low relax", "lo lax", "lolax", "lowlax"].iter().any(|words| lower.contains(words)) {
        given.push(Given::text("Strands", &["relaxation"], "low", "low"));
    }
    given
}

/// The one value that a number with its unit is.
fn measure(one: &Quantity<'_>) -> Option<Given> {
    let lower = |text: &str| text.to_lowercase();
    let before = lower(one.before);
    let says = |words: &[&str], dimension: Dimension| {
        let rest = lower(one.rest(dimension));
        let near = rest.split([',', ';']).next().unwrap_or_default().to_owned();
        words.iter().any(|word| holds(&before, word) || holds(&near, word))
    };
    let stated = |path: &'static [&'static str]| {
        let field = field_of("Strands", path)?;
        let dimension = quantity::of_field(field.name).1?.dimension;
        Some((one.value(field)?, one.shown(Some(dimension))))
    };
    let put = |path, value, shown| Given::number("Strands", path, value, shown);
    if let Some((area, shown)) = stated(&["area_mm2"]).filter(|(area, _)| AREAS_MM2.contains(area))
        && !["total", "tendon", "duct"].iter().any(|word| before.contains(word))
    {
        return Some(put(&["area_mm2"], area, shown));
    }
    if let Some((modulus, shown)) =
        stated(&["e_mpa"]).filter(|(modulus, _)| MODULI_MPA.contains(modulus))
        && (says(&MODULUS, Dimension::Stress) || ends_in_e(&before))
    {
        return Some(put(&["e_mpa"], modulus, shown));
    }
    if let Some((stress, shown)) = stated(&["fpu_mpa"]) {
        let is_strength = STRENGTHS_MPA.contains(&stress)
            && !says(&NO_STRENGTH, Dimension::Stress)
            && (says(&STRENGTH, Dimension::Stress) || is_item(&before) || before.contains("gr"));
        return is_strength.then(|| put(&["fpu_mpa"], stress, shown));
    }
    if let Some((force, shown)) = stated(&["breaking_force_kn"]) {
        let breaks = FORCES_KN.contains(&force)
            && says(&BREAKING, Dimension::Force)
            && !says(&NO_STRENGTH, Dimension::Force);
        return breaks.then(|| put(&["breaking_force_kn"], force, shown));
    }
    if let Some((mass, shown)) =
        stated(&["mass_kg_per_m"]).filter(|(mass, _)| MASSES_KG_PER_M.contains(mass))
    {
        return Some(put(&["mass_kg_per_m"], mass, shown));
    }
    diameter(one, &before, says(&DIAMETER, Dimension::Length))
}

/// The nominal diameter; a bare one is in inches or millimetres by its size, as in `19 x 15.7`.
fn diameter(one: &Quantity<'_>, before: &str, is_called_so: bool) -> Option<Given> {
    let field = field_of("Strands", &["diameter_mm"])?;
    // 0.6 in is 15.24 mm, and nothing behind that.
    let put = |value: f64, shown| {
        let value = (value * 1e6).round() / 1e6;
        Given::number("Strands", &["diameter_mm"], value, shown)
    };
    let rest = one.rest(Dimension::Length).trim_start().to_lowercase();
    if let Some(value) = one.value(field).filter(|value| DIAMETERS_MM.contains(value)) {
        let is_size = is_called_so
            || is_item(before)
            || ["strand", "litze", "toron"].iter().any(|word| rest.starts_with(word));
        let is_other = ["pitch", "lay", "wire dia", "duct", "coat", "sheath"]
            .iter()
            .any(|word| before.contains(word));
        return (is_size && !is_other).then(|| put(value, one.shown(Some(Dimension::Length))));
    }
    let is_beside = before.trim_end_matches([' ', '=', ':', '.']).ends_with(['ø', '⌀', 'φ', '∅'])
        || ["dia", "dia.", "diameter", "diam."]
            .iter()
            .any(|word| before.trim_end_matches([' ', '=', ':']).ends_with(word))
        || ["dia", "ø", "⌀", "φ"].iter().any(|word| rest.starts_with(word));
    let number = one.number().filter(|_| one.is_bare() && is_beside)?;
    let symbol = match number {
        size if DIAMETERS_IN.contains(&size) => "in",
        size if DIAMETERS_MM.contains(&size) => "mm",
        _ => return None,
    };
    let value = one.value_in(field, Unit::find(symbol, Dimension::Length)?)?;
    Some(put(value, one.shown(None)))
}

/// The size and the grade of a strand's name, as of `Y1860S7-15.7`.
fn designation(sentence: &str) -> Vec<Given> {
    let Some(name) = words(sentence).find(|word| is_designation(word)) else { return Vec::new() };
    let (grade, size) = name.split_once('-').unwrap_or((name, ""));
    let mut given = vec![Given::text("Strands", &["grade"], grade, name)];
    let size = size.replace(',', ".");
    if let Ok(size) = size.parse::<f64>()
        && DIAMETERS_MM.contains(&size)
    {
        given.push(Given::number("Strands", &["diameter_mm"], size, name));
    }
    given
}

/// Whether a word is the name of a strand by its strength and wires, as `Y1860S7`.
fn is_designation(word: &str) -> bool {
    let Some(rest) = word.strip_prefix('Y') else { return false };
    let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    digits == 4 && rest[digits..].starts_with(['S', 'C'])
}

/// The grade as standards write it: `Grade 270`, `Gr. 1860`, `St 1660/1860`.
fn grade(sentence: &str) -> Option<String> {
    let all: Vec<&str> = words(sentence).collect();
    all.iter().enumerate().find_map(|(at, word)| {
        let lower = word.to_lowercase();
        let behind = all.get(at + 1).copied().unwrap_or_default();
        let own = ["grade", "gr.", "gr"].iter().find_map(|name| lower.strip_prefix(name));
        let number = match own {
            Some("") => behind,
            Some(rest) => rest,
            None if lower == "st" && behind.contains('/') => {
                return is_pair(behind).then(|| format!("{word} {behind}"));
            }
            None if lower.starts_with("st") && is_pair(&lower[2..]) => {
                return Some((*word).to_owned());
            }
            None => return None,
        };
        let number = number.trim_matches(|c: char| !c.is_ascii_digit());
        let is_grade = number
            .parse::<u32>()
            .is_ok_and(|grade| (240..=330).contains(&grade) || (1500..=2200).contains(&grade));
        is_grade.then(|| number.to_owned())
    })
}

fn is_pair(text: &str) -> bool {
    text.split_once('/').is_some_and(|(yields, breaks)| {
        [yields, breaks].iter().all(|one| one.len() == 4 && one.bytes().all(|c| c.is_ascii_digit()))
    })
}

/// The standard, as `ASTM A416` or `EN 10138-3`.
fn standard(sentence: &str) -> Option<String> {
    let all: Vec<&str> = words(sentence).collect();
    let at = all.iter().position(|word| STANDARDS.contains(word))?;
    let has_digit = |word: &&str| word.contains(|c: char| c.is_ascii_digit());
    let number = all.get(at + 1..)?.iter().take(2).position(has_digit)?;
    // `AASHTO M 203` has a letter of its own before its number.
    let between = &all[at + 1..at + 1 + number];
    let is_plain = between.iter().all(|word| word.len() <= 2);
    is_plain.then(|| all[at..=at + 1 + number].join(" "))
}

/// The words of a sentence, without the marks at their ends.
fn words(sentence: &str) -> impl Iterator<Item = &str> {
    sentence
        .split(|c: char| c.is_whitespace() || "(),;:=".contains(c))
        .map(|word| word.trim_end_matches('.'))
        .filter(|word| !word.is_empty())
}

/// Whether a text in small letters holds a word that begins so.
fn holds(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, _)| {
        let is_begin = !text[..at].ends_with(char::is_alphanumeric);
        // Two letters are a sign of their own, and begin many words.
        let is_end = !text[at + word.len()..].starts_with(char::is_alphanumeric);
        is_begin && (word.chars().count() > 2 || is_end)
    })
}

/// Whether what stands before a number is the sign E.
fn ends_in_e(before: &str) -> bool {
    let bare = before.trim_end_matches([' ', '=', ':', '≈', '~']);
    before.trim_start().starts_with("e of ")
        || bare.strip_suffix('e').is_some_and(|rest| !rest.ends_with(char::is_alphanumeric))
}

/// Whether a number is an item by itself, behind a comma or the name of what is listed.
fn is_item(before: &str) -> bool {
    let before = before.trim_end();
    before.is_empty()
        || before.ends_with([',', ':', '/', '&', '(', '-'])
        || before.ends_with("strand")
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::value::Value;

    fn said(sentence: &str) -> Vec<String> {
        let mut said: Vec<String> = read(sentence)
            .into_iter()
            .map(|given| {
                format!(
                    "{} {}",
                    given.path.join("."),
                    match given.value {
                        Value::Number(number) => quantity::shortest(number),
                        other => other.as_text().unwrap_or_default().to_owned(),
                    }
                )
            })
            .collect();
        said.sort();
        said.dedup();
        said
    }

    #[test]
    fn sentences_say_what_the_strand_is() {
        for (text, expected) in [
            (
                "Strand shall be 0.6\" dia., ASTM A416 Gr 270 low relaxation, As = 0.217 in²",
                &[
                    "area_mm2 139.99972",
                    "diameter_mm 15.24",
                    "grade 270",
                    "relaxation low",
                    "standard ASTM A416",
                ][..],
            ),
            (
                "7-wire strand Y1860S7-15.7 to EN 10138-3",
                &["diameter_mm 15.7", "grade Y1860S7", "standard EN 10138-3"],
            ),
            ("E = 28,500 ksi", &["e_mpa 196500.582855"]),
            ("E of strand: 28,500 ksi", &["e_mpa 196500.582855"]),
            ("UTS 279 kN", &["breaking_force_kn 279"]),
            (
                "Strand: 15.7 mm, 150 mm2, fpk 1860 MPa, Ep 195 GPa",
                &["area_mm2 150", "diameter_mm 15.7", "e_mpa 195000", "fpu_mpa 1860"],
            ),
            (
                "Strand: 7-wire, 15.7 mm dia., 150 mm2, fpk = 1860 N/mm2, E = 195 kN/mm2",
                &["area_mm2 150", "diameter_mm 15.7", "e_mpa 195000", "fpu_mpa 1860"],
            ),
            (
                "STRAND: ASTM A416 GRADE 270 LOW RELAXATION, 0.6\" DIA., A = 0.217 SQ. IN., E = 28,500 KSI",
                &[
                    "area_mm2 139.99972",
                    "diameter_mm 15.24",
                    "e_mpa 196500.582855",
                    "grade 270",
                    "relaxation low",
                    "standard ASTM A416",
                ],
            ),
            (
                "Strand 15.7 dia., 150 mm2, 279 kN min. breaking load",
                &["area_mm2 150", "breaking_force_kn 279", "diameter_mm 15.7"],
            ),
            (
                "T15S : toron Ø 15,7 mm, 150 mm², fprg 1860 MPa",
                &["area_mm2 150", "diameter_mm 15.7", "fpu_mpa 1860"],
            ),
            (
                "Litzen St 1660/1860, Ø 15,7 mm, Ap = 150 mm², Ep = 195.000 N/mm²",
                &["area_mm2 150", "diameter_mm 15.7", "e_mpa 195000", "grade St 1660/1860"],
            ),
            ("Strand 0.6 in. dia., 0.74 lb/ft", &["diameter_mm 15.24", "mass_kg_per_m 1.10124"]),
            // What is no property of the strand is none.
            ("Strands are stressed to 1395 MPa", &[]),
            ("fp0,1k = 1640 MPa", &[]),
            ("Force per strand at jack 195 kN", &[]),
            ("Strand tails 300 mm", &[]),
            ("19 strands in each tendon", &[]),
            ("Total strand area 2850 mm2", &[]),
            ("Strand to be cut 20 mm behind the wedges", &[]),
        ] {
            let measured: Vec<String> = said(text);
            let measured: Vec<&str> =
                measured.iter().map(|one| one.trim_end_matches("0000001")).collect();
            assert_eq!(measured.len(), expected.len(), "{text}: {measured:?}");
            for (one, other) in measured.iter().zip(expected) {
                assert!(
                    one.starts_with(other) || other.starts_with(one),
                    "{text}: {one}, not {other}"
                );
            }
        }
    }
}
