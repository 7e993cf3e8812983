//! Numbers as restrand writes them, and texts that are such numbers.

use restrand_kit::sheet::plain_number;

/// The shortest digits that read back as the same number.
pub(crate) fn written(number: f64) -> String {
    match number.abs() {
        // Nobody counts the zeros of these.
        size if size != 0.0 && !(1e-9..1e15).contains(&size) => format!("{number:e}"),
        _ => (number + 0.0).to_string(),
    }
}

/// The number that a text is, if it is written as that number is always written.
pub(crate) fn read(text: &str) -> Option<f64> {
    plain_number(text).or_else(|| {
        // Most texts are told by their first letter, and long numbers are rare.
        let first = text.strip_prefix('-').unwrap_or(text).bytes().next()?;
        let number: f64 = first.is_ascii_digit().then(|| text.parse().ok())??;
        (number.is_finite() && written(number) == text).then_some(number)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn other_ways_of_writing_a_number_are_texts() {
        for text in ["007", "12.50", "1e3", "-0", "+5", "1e999", "inf", "nan", "1 mm", "-", ""] {
            assert_eq!(read(text), None, "{text}");
        }
        assert_eq!(written(-0.0), "0");
    }

    proptest! {
        #[test]
        fn every_number_reads_back(number in prop::num::f64::NORMAL | prop::num::f64::ZERO) {
            prop_assert_eq!(read(&written(number)), Some(number));
        }
    }
}
