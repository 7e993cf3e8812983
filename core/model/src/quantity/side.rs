//! Offsets with the side they lie on: `1.20 L`, `4'-0" RT`, `L 1.20`.

use super::text::strip_ignoring_case;

/// The words of the sides, longer ones first, and the sign of what lies there: left is positive.
const SIDES: &[(&str, f64)] = &[
    ("left", 1.0),
    ("right", -1.0),
    ("links", 1.0),
    ("rechts", -1.0),
    ("gauche", 1.0),
    ("droite", -1.0),
    ("lt.", 1.0),
    ("rt.", -1.0),
    ("lt", 1.0),
    ("rt", -1.0),
    ("li.", 1.0),
    ("re.", -1.0),
    ("li", 1.0),
    ("re", -1.0),
    ("l", 1.0),
    ("r", -1.0),
];

/// The offset without its side, and the sign of that side; nothing where the text names none.
///
/// ```
/// use restrand_model::quantity::sided;
/// assert_eq!(sided("1.20 L"), Some(("1.20", 1.0)));
/// assert_eq!(sided("4'-0\" Rt."), Some(("4'-0\"", -1.0)));
/// assert_eq!(sided("2,40 li"), Some(("2,40", 1.0)));
/// assert_eq!(sided("1.20 m"), None);
/// ```
#[must_use]
pub fn sided(text: &str) -> Option<(&str, f64)> {
    let text = text.trim();
    for (word, sign) in SIDES {
        let before = text.len().checked_sub(word.len()).and_then(|at| {
            let tail = text.get(at..)?;
            tail.eq_ignore_ascii_case(word).then(|| text[..at].trim_end())
        });
        let behind = strip_ignoring_case(text, word).map(str::trim_start);
        let is_offset = |rest: &&str| {
            rest.starts_with(|c: char| c.is_ascii_digit() || c == '.')
                && !rest.ends_with(char::is_alphabetic)
                || rest.ends_with("mm")
                || rest.ends_with(" m")
                || rest.ends_with("ft")
        };
        if let Some(rest) = before.filter(is_offset).or_else(|| behind.filter(is_offset)) {
            return Some((rest, *sign));
        }
    }
    None
}
