//! The words of a header in one spelling: case, punctuation, line breaks and the trade's abbreviations gone.

use std::collections::HashMap;
use std::sync::OnceLock;

use super::tongues::{FURTHER_TONGUES, OTHER_TONGUES};

/// Abbreviations and synonyms of single words; an empty one says nothing.
///
/// Common practice, no source.
const SAME: &[(&str, &str)] = &[
    ("nos", "no"),
    ("nr", "no"),
    ("num", "no"),
    ("number", "no"),
    ("qty", "no"),
    ("quantity", "no"),
    ("count", "no"),
    ("#", "no"),
    ("dia", "diameter"),
    ("diam", "diameter"),
    ("ø", "diameter"),
    ("φ", "diameter"),
    ("⌀", "diameter"),
    ("∅", "diameter"),
    ("od", "outer diameter"),
    ("bore", "inner diameter"),
    ("outside", "outer"),
    ("inside", "inner"),
    ("thk", "wall"),
    ("thick", "wall"),
    ("thickness", "wall"),
    ("lgth", "length"),
    ("len", "length"),
    ("elev", "elevation"),
    ("elevn", "elevation"),
    ("el", "elevation"),
    ("level", "elevation"),
    ("lvl", "elevation"),
    ("levels", "elevation"),
    ("elevations", "elevation"),
    ("rl", "elevation"),
    ("sta", "station"),
    ("stations", "station"),
    ("stn", "station"),
    ("chainage", "station"),
    ("chn", "station"),
    ("ch", "station"),
    ("lt", "left"),
    ("lhs", "left"),
    ("lh", "left"),
    ("rt", "right"),
    ("rhs", "right"),
    ("rh", "right"),
    ("live", "stressing"),
    ("jacking", "stressing"),
    ("jacked", "stressing"),
    ("active", "stressing"),
    ("fixed", "dead"),
    ("passive", "dead"),
    ("anch", "anchorage"),
    ("anchor", "anchorage"),
    ("anchors", "anchorage"),
    ("anchorages", "anchorage"),
    ("elong", "elongation"),
    ("elongn", "elongation"),
    ("extn", "elongation"),
    ("extension", "elongation"),
    ("extensions", "elongation"),
    ("elongations", "elongation"),
    ("forces", "force"),
    ("strands", "strand"),
    ("str", "strand"),
    ("tendons", "tendon"),
    ("tdn", "tendon"),
    ("cable", "tendon"),
    ("cables", "tendon"),
    ("ducts", "duct"),
    ("sheath", "duct"),
    ("sheathing", "duct"),
    ("ends", "end"),
    ("coeff", "coefficient"),
    ("coef", "coefficient"),
    ("wt", "mass"),
    ("weight", "mass"),
    ("lat", "lateral"),
    ("offset", "lateral"),
    ("offsets", "lateral"),
    ("dist", "distance"),
    ("horiz", "horizontal"),
    ("vert", "vertical"),
    ("dwg", "drawing"),
    ("drg", "drawing"),
    ("rev", "revision"),
    ("seq", "order"),
    ("sequence", "order"),
    ("mat", "material"),
    ("matl", "material"),
    ("rad", "radius"),
    ("µ", "mu"),
    ("μ", "mu"),
    ("nom", "nominal"),
    ("clr", "clearance"),
    ("clear", "clearance"),
    ("clearances", "clearance"),
    ("space", "clearance"),
    ("room", "clearance"),
    ("spans", "span"),
    ("grout", "filler"),
    ("fill", "filler"),
    ("grouting", "filler"),
    ("filling", "filler"),
    ("faces", "face"),
    ("plates", "plate"),
    ("pl", "plate"),
    ("brg", "bearing"),
    ("betw", "between"),
    ("btw", "between"),
    ("btwn", "between"),
    ("ecc", "lateral"),
    ("eccentricity", "lateral"),
    ("protrusion", "projection"),
    ("doc", "document"),
    ("docs", "document"),
    ("deviators", "deviator"),
    ("maximum", "max"),
    ("minimum", "min"),
    ("approx", ""),
    ("design", ""),
    ("theoretical", ""),
    ("theor", ""),
    ("meas", "measured"),
    ("liftoff", "lift off"),
    ("calc", ""),
    ("calculated", ""),
    ("anticipated", ""),
    ("expected", ""),
    ("of", ""),
    ("the", ""),
    ("at", ""),
    ("in", ""),
    ("per", ""),
    ("for", ""),
    ("to", ""),
    ("from", ""),
    ("each", ""),
    ("ea", ""),
    ("and", ""),
    ("by", ""),
];

/// The words that stand for others, by how they are written; English ones go before those of other tongues.
fn same_words() -> &'static HashMap<&'static str, &'static str> {
    static WORDS: OnceLock<HashMap<&'static str, &'static str>> = OnceLock::new();
    WORDS.get_or_init(|| FURTHER_TONGUES.iter().chain(OTHER_TONGUES).chain(SAME).copied().collect())
}

/// Abbreviations that are written with a stroke.
const SLASHED: [(&str, &str); 3] = [("o/d", "od"), ("i/d", "id"), ("o/s", "offset")];

/// A text with an abbreviation in other words, where it is no part of a longer word.
fn whole(text: &str, written: &str, word: &str) -> String {
    let mut parts = text.split(written);
    let mut all = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let is_part = all.ends_with(char::is_alphanumeric)
            || part.starts_with(|letter: char| letter.is_alphanumeric());
        all.push_str(if is_part { written } else { word });
        all.push_str(part);
    }
    all
}

/// The words of a text, in order.
pub(super) fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase();
    let lower = SLASHED.iter().fold(lower, |text, (written, word)| whole(&text, written, word));
    let lower = lower.replace("n°", "no ").replace("nº", "no ");
    let mut plain = String::with_capacity(lower.len());
    for letter in lower.chars() {
        match letter {
            // What shortens a word is part of it: `O.D.`, `f'pu`.
            '.' | '\'' | '’' => {}
            '#' | 'ø' | 'φ' | '⌀' | '∅' | 'µ' | 'μ' => {
                plain.push(' ');
                plain.push(letter);
                plain.push(' ');
            }
            letter if letter.is_alphanumeric() => plain.push(letter),
            _ => plain.push(' '),
        }
    }
    let mut found = Vec::new();
    let mut rest = plain.split_whitespace().peekable();
    while let Some(word) = rest.next() {
        // Between two words it joins them; alone it may be short for a dead end.
        if matches!(word, "de" | "di" | "do") && !found.is_empty() && rest.peek().is_some() {
            continue;
        }
        match same_words().get(word) {
            Some(same) => found.extend(same.split_whitespace().map(str::to_owned)),
            None => found.push(word.to_owned()),
        }
    }
    found
}

/// The words in the order of the alphabet, each once.
pub(super) fn sorted(mut words: Vec<String>) -> Vec<String> {
    words.sort_unstable();
    words.dedup();
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_one_header_have_the_same_words() {
        let same = |texts: &[&str]| {
            let first = sorted(words(texts[0]));
            for text in texts {
                assert_eq!(sorted(words(text)), first, "{text}");
            }
        };
        same(&["No. of strands", "NO. OF\nSTRANDS", "Strand count", "Qty strands", "# strands"]);
        same(&["Duct O.D.", "duct od", "DUCT O/D", "outside dia. of duct", "Duct outer Ø"]);
        same(&["Sta.", "STATION", "Chainage"]);
        same(&["Jacking end anchor", "Live End Anch.", "Stressing end\nanchorage"]);
        same(&["Lt. offset", "left lateral"]);
        same(&["O/S (m)", "offset, m"]);
        same(&["Coeff. de frottement", "friction coefficient", "Reibungsbeiwert"]);
        same(&["Kabel Nr.", "Câble n°", "Tendon no."]);
    }
}
