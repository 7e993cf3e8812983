//! Numbers and texts as ISO 10303-21 writes them.

use std::fmt::Write;

/// A number: the fewest digits that say it, always with a point.
pub(crate) fn real(number: f64, text: &mut String) {
    let shortest = format!("{number:?}");
    let (mantissa, exponent) = match shortest.split_once('e') {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (shortest.as_str(), None),
    };
    text.push_str(mantissa.strip_suffix('0').filter(|cut| cut.ends_with('.')).unwrap_or(mantissa));
    if !mantissa.contains('.') {
        text.push('.');
    }
    if let Some(exponent) = exponent {
        text.push('E');
        text.push_str(exponent);
    }
}

/// A text between its quotes; what is not ASCII stands as UCS, in two or four bytes a letter.
pub(crate) fn string(said: &str, text: &mut String) {
    let mut open = 0;
    text.push('\'');
    for letter in said.chars() {
        let width = match letter {
            ' '..='~' => 0,
            letter if u32::from(letter) <= 0xffff => 2,
            _ => 4,
        };
        if width != open {
            if open != 0 {
                text.push_str("\\X0\\");
            }
            if width != 0 {
                text.push_str(if width == 2 { "\\X2\\" } else { "\\X4\\" });
            }
            open = width;
        }
        match (width, letter) {
            (0, '\'') => text.push_str("''"),
            (0, '\\') => text.push_str("\\\\"),
            (0, letter) => text.push(letter),
            (width, letter) => {
                let digits = width * 2;
                // Writing into a text cannot fail.
                let _ = write!(text, "{:0digits$X}", u32::from(letter));
            }
        }
    }
    if open != 0 {
        text.push_str("\\X0\\");
    }
    text.push('\'');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_point_and_read_as_themselves() {
        for (number, asked) in [
            (2500.0, "2500."),
            (0.1, "0.1"),
            (-0.0, "-0."),
            (1e-6, "1.E-6"),
            (1.5e-9, "1.5E-9"),
            (1e22, "1.E22"),
            (2849.9999999999995, "2849.9999999999995"),
        ] {
            let mut text = String::new();
            real(number, &mut text);
            assert_eq!(text, asked);
            assert_eq!(text.parse::<f64>().unwrap().to_bits(), number.to_bits());
        }
    }

    /// ISO 10303-21:2016, 6.4.3 (from memory): doubled apostrophes and backslashes, \X2\ and \X4\ runs.
    #[test]
    fn texts_are_encoded_as_part_21_says() {
        for (said, asked) in [
            ("it's", "'it''s'"),
            ("a\\b", "'a\\\\b'"),
            ("Ø 12", "'\\X2\\00D8\\X0\\ 12'"),
            ("äö", "'\\X2\\00E400F6\\X0\\'"),
            ("one\ntwo", "'one\\X2\\000A\\X0\\two'"),
            ("é\u{1f309}", "'\\X2\\00E9\\X0\\\\X4\\0001F309\\X0\\'"),
            ("", "''"),
        ] {
            let mut text = String::new();
            string(said, &mut text);
            assert_eq!(text, asked);
        }
    }
}
