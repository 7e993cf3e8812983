//! Strands and ducts in a few signs: `19-0.6"`, `19x15.7`, `19T15`; `4" SDR 17`, `114.3 x 6.7`.
//!
//! Only what the text itself says is taken. A class as `T15` names a size and states no diameter.
//! Common practice, no source.

mod pipe;
mod strands;

pub use pipe::{Pipe, pipe};
pub use strands::{Strands, strands};

/// Signs of a diameter.
const SIGNS: [char; 6] = ['Ø', 'ø', '⌀', 'φ', 'Φ', '∅'];

fn strip_word<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    super::text::strip_ignoring_case(text, word).map(str::trim_start)
}

fn strip_end<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let at = text.len().checked_sub(word.len())?;
    text.get(at..)?.eq_ignore_ascii_case(word).then(|| text[..at].trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in "[0-9.xXØTSDRCH\"½ -]{0,14}") {
            let _ = (strands(&text), pipe(&text, None));
        }
    }
}
