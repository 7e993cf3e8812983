//! Cutting texts that are longer than anybody reads in a sentence.

use std::borrow::Cow;

/// The text, cut with `…` where it is longer than `most` characters.
///
/// ```
/// use restrand_model::shortened;
/// assert_eq!(shortened("trumpet", 7), "trumpet");
/// assert_eq!(shortened("trumpet", 4), "trum…");
/// ```
#[must_use]
pub fn shortened(text: &str, most: usize) -> Cow<'_, str> {
    match text.char_indices().nth(most) {
        Some((at, _)) => Cow::Owned(format!("{}…", &text[..at])),
        None => Cow::Borrowed(text),
    }
}
