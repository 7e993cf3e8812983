//! Units of heights that name the datum above which they are measured: `mAOD`, `m ü. NN`, `ft NAVD 88`.

use restrand_model::quantity::{Dimension, Unit};

/// Units in which levels are written; the longer first.
const OF_LEVELS: [&str; 6] = ["metres", "meters", "feet", "mm", "ft", "m"];

/// What datums are called, in small letters without points and blanks; the year of a realisation may follow.
///
/// Common practice, no source.
const DATUMS: [&str; 25] = [
    "aod", "od", "nn", "nhn", "ünn", "ünhn", "unn", "üa", "üm", "ümeer", "asl", "amsl", "msl",
    "ahd", "navd", "ngvd", "ngf", "ign", "nap", "taw", "dvr", "slm", "snm", "datum", "pd",
];

/// The unit of a height above a datum; nothing where a text is anything else.
pub(in crate::recognise) fn unit_above_datum(text: &str) -> Option<&'static Unit> {
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(|letter| !matches!(letter, '.' | ' ' | '\u{a0}' | '+' | '(' | ')' | '[' | ']'))
        .collect();
    let (unit, datum) =
        OF_LEVELS.iter().find_map(|unit| Some((*unit, plain.strip_prefix(unit)?)))?;
    let datum = ["above", "über"].iter().find_map(|word| datum.strip_prefix(word)).unwrap_or(datum);
    let name = datum.trim_end_matches(|letter: char| letter.is_ascii_digit());
    // In millimetres `OD` is an outer diameter.
    let is_diameter = unit == "mm" && name == "od";
    (DATUMS.contains(&name) && !is_diameter).then(|| Unit::find(unit, Dimension::Length)).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_height_above_a_datum_is_in_the_unit_before_it() {
        for (text, symbol) in [
            ("mAOD", "m"),
            ("m OD", "m"),
            ("m ü. NN", "m"),
            ("m ü.NHN", "m"),
            ("m NN", "m"),
            ("m a.s.l.", "m"),
            ("m+NAP", "m"),
            ("ft NAVD 88", "ft"),
            ("ft (NAVD88)", "ft"),
            ("m above MSL", "m"),
        ] {
            assert_eq!(unit_above_datum(text).map(|unit| unit.symbol), Some(symbol), "{text}");
        }
        for text in ["m", "method", "mm OD", "mm OD x t", "NN", "ft-in", "m/m", "m left", "odd"] {
            assert_eq!(unit_above_datum(text), None, "{text}");
        }
    }
}
