//! Notes that say of numbers that they are others than their headers tell: levels of the invert, forces of a pair.

/// What a note may say, in small letters: of what, in which words, and of which fields.
///
/// Common practice, no source.
const SAID: [(&[&str], &[&str], &[&str]); 2] = [
    (
        &["level", "levels", "elevation", "elevations", "heights"],
        &["invert", "soffit", "underside", "obvert", "crown", "top of", "bottom of"],
        &["elevation_m"],
    ),
    (
        &["force", "forces", "load", "loads", "values"],
        &[
            "per pair",
            "for pair",
            "a pair",
            "for both",
            "per strand",
            "one strand",
            "each strand",
            "single strand",
            "after losses",
            "after all losses",
            "after seating",
            "after lock-off",
            "long-term",
            "long term",
            "in service",
            "factored",
        ],
        &["jacking_force_kn"],
    ),
];

/// The fields of which a text says that their numbers are others.
///
/// A text with numbers states something of its own, as `195 kN per strand`.
pub(super) fn fields(text: &str) -> Option<&'static [&'static str]> {
    let lower = text.to_lowercase();
    lower.split([';', '.', '\n']).find_map(|sentence| {
        if sentence.chars().any(|letter| letter.is_ascii_digit()) {
            return None;
        }
        let words: Vec<&str> = sentence
            .split(|c: char| !c.is_alphanumeric() && c != '-')
            .filter(|word| !word.is_empty())
            .collect();
        let says = |wanted: &&str| {
            let wanted: Vec<&str> = wanted.split(' ').collect();
            words.windows(wanted.len()).any(|part| part == wanted.as_slice())
        };
        // What is measured to the axis of the duct may be called after more.
        const AXIS: [&str; 6] = ["axis", "centreline", "centerline", "centre", "center", "cgs"];
        if words.iter().any(|word| AXIS.contains(word)) {
            return None;
        }
        let said = SAID.iter().find(|(of, how, _)| of.iter().any(&says) && how.iter().any(&says));
        said.map(|(_, _, fields)| *fields)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_say_that_numbers_are_others() {
        for (text, field) in [
            ("Levels are to duct invert", Some("elevation_m")),
            ("NOTE: forces are per pair of tendons", Some("jacking_force_kn")),
            ("Values for one strand", Some("jacking_force_kn")),
            ("Forces after all losses", Some("jacking_force_kn")),
            ("Levels are to the axis of the duct", None),
            (
                "Levels are to tendon centreline at the anchorage face, metres above site datum",
                None,
            ),
            ("Levels are in metres above datum", None),
            ("Jacking force 195 kN per strand", None),
            ("All levels in m. Forces in kN", None),
            ("Top of pier", None),
        ] {
            assert_eq!(fields(text).map(|fields| fields[0]), field, "{text}");
        }
    }
}
