//! Decimal marks: what the marks in a number say of the one that its author uses.

use std::borrow::Cow;

use super::text::{grouped, mantissa};

/// The mark between the whole and its decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalMark {
    /// `12.5`, and `1,234.5`.
    Point,
    /// `12,5`, and `1.234,5`.
    Comma,
}

/// What the marks in a number say of its decimal mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marks {
    /// Nothing: there is none, or it is no number.
    None,
    /// They can be read in one way only.
    Tell(DecimalMark),
    /// The one mark, a point, can part thousands as well as decimals.
    PointOrThousands,
    /// The one mark, a comma, can part thousands as well as decimals.
    CommaOrThousands,
}

impl Marks {
    /// Looks at the number that a text begins with.
    ///
    /// ```
    /// use restrand_model::quantity::{DecimalMark, Marks};
    /// assert_eq!(Marks::of("12,5 mm"), Marks::Tell(DecimalMark::Comma));
    /// assert_eq!(Marks::of("0.125"), Marks::Tell(DecimalMark::Point));
    /// assert_eq!(Marks::of("1.234,5"), Marks::Tell(DecimalMark::Comma));
    /// assert_eq!(Marks::of("1,234"), Marks::CommaOrThousands);
    /// assert_eq!(Marks::of("1.234"), Marks::PointOrThousands);
    /// assert_eq!(Marks::of("1234"), Marks::None);
    /// ```
    #[must_use]
    pub fn of(text: &str) -> Self {
        use DecimalMark::{Comma, Point};
        let written = mantissa(text);
        if !written.contains(['.', ',']) {
            return Self::None;
        }
        let digits: String = written.chars().filter(|c| !c.is_whitespace()).collect();
        let commas = digits.matches(',').count();
        let points = digits.matches('.').count();
        let point_is_last = digits.rfind('.') > digits.rfind(',');
        match (commas, points) {
            (0, 1) if grouped(&digits, '.') => Self::PointOrThousands,
            (1, 0) if grouped(&digits, ',') => Self::CommaOrThousands,
            (0, 1) => Self::Tell(Point),
            (1, 0) => Self::Tell(Comma),
            (1.., 1) if point_is_last && grouped(&digits, ',') => Self::Tell(Point),
            (1, 1..) if !point_is_last && grouped(&digits, '.') => Self::Tell(Comma),
            (2.., 0) if grouped(&digits, ',') => Self::Tell(Point),
            (0, 2..) if grouped(&digits, '.') => Self::Tell(Comma),
            _ => Self::None,
        }
    }
}

impl DecimalMark {
    /// A text whose number can be read in two ways, written so that it reads as this mark says.
    ///
    /// ```
    /// use restrand_model::quantity::DecimalMark;
    /// assert_eq!(DecimalMark::Comma.settle("1,234 m"), "1.234 m");
    /// assert_eq!(DecimalMark::Point.settle("1,234 m"), "1234 m");
    /// assert_eq!(DecimalMark::Comma.settle("-1.234"), "-1234");
    /// assert_eq!(DecimalMark::Comma.settle("12.5"), "12.5");
    /// ```
    #[must_use]
    pub fn settle(self, text: &str) -> Cow<'_, str> {
        match (Marks::of(text), self) {
            (Marks::CommaOrThousands, Self::Comma) => Cow::Owned(text.replacen(',', ".", 1)),
            (Marks::CommaOrThousands, Self::Point) => Cow::Owned(text.replacen(',', "", 1)),
            (Marks::PointOrThousands, Self::Comma) => Cow::Owned(text.replacen('.', "", 1)),
            _ => Cow::Borrowed(text),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{of_field, read};
    use proptest::prelude::*;

    #[test]
    fn marks_tell_the_decimal_mark_where_they_can() {
        use DecimalMark::{Comma, Point};
        for (text, marks) in [
            ("1 234,567", Marks::Tell(Comma)),
            ("1.234.567", Marks::Tell(Comma)),
            ("1,234,567", Marks::Tell(Point)),
            ("0,125", Marks::Tell(Comma)),
            ("-12,345", Marks::CommaOrThousands),
            ("1234.567", Marks::Tell(Point)),
            ("4'-6 1/2\"", Marks::None),
            ("about 12,5", Marks::None),
            ("1,2,3", Marks::None),
            ("", Marks::None),
        ] {
            assert_eq!(Marks::of(text), marks, "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_a_mark_settles_reads_as_it_says(whole in 1u32..1000, part in 0u32..1000) {
            let unit = of_field("x_m").1;
            let (decimal, thousands) =
                (f64::from(whole * 1000 + part) / 1000.0, f64::from(whole * 1000 + part));
            for (text, mark, expected) in [
                (format!("{whole},{part:03}"), DecimalMark::Comma, decimal),
                (format!("{whole},{part:03}"), DecimalMark::Point, thousands),
                (format!("{whole}.{part:03}"), DecimalMark::Comma, thousands),
                (format!("{whole}.{part:03}"), DecimalMark::Point, decimal),
            ] {
                prop_assert_eq!(read(&mark.settle(&text), unit, unit), Ok(expected), "{}", text);
            }
        }

        #[test]
        fn no_text_makes_it_panic(text in "[-+0-9.,eE'\"/ \u{a0}½]{0,12}") {
            let _ = Marks::of(&text);
            let _ = DecimalMark::Comma.settle(&text);
        }
    }
}
