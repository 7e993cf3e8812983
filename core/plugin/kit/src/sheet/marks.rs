//! The decimal mark of a column of texts, told by those of its numbers that can be read in one way only.

use std::borrow::Cow;

use restrand_model::quantity::{DecimalMark, Marks};

use super::cell::Cell;

/// The number that a text is, if it is written as that number is always written: the text then says no more
/// than the number does, and need not be kept beside it.
///
/// ```
/// use restrand_kit::sheet::plain_number;
/// assert_eq!(plain_number("-12.5"), Some(-12.5));
/// for text in ["012", "12.50", "1e3", "12 mm", "1234567890123456", "-0", ".5", ""] {
///     assert_eq!(plain_number(text), None, "{text}");
/// }
/// ```
#[must_use]
pub fn plain_number(text: &str) -> Option<f64> {
    /// Digits that a float holds whatever they are.
    const DIGITS: usize = 15;
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    let (whole, decimals) = match unsigned.split_once('.') {
        Some((whole, decimals)) if !decimals.is_empty() && !decimals.ends_with('0') => {
            (whole, decimals)
        }
        Some(_) => return None,
        None => (unsigned, ""),
    };
    let is_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let is_plain = !whole.is_empty()
        && whole.len() + decimals.len() <= DIGITS
        && is_digits(whole)
        && is_digits(decimals)
        && (whole == "0" || !whole.starts_with('0'))
        && text != "-0";
    if is_plain { text.parse().ok() } else { None }
}

/// What the numbers of a column show of their decimal mark.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct SeenMarks {
    point: bool,
    comma: bool,
}

/// What is done with a text that is to be a number.
pub(crate) enum Decision {
    /// It is read as it stands.
    AsItStands,
    /// It is read as this, for its column tells the decimal mark.
    Settled(Cell<'static>),
    /// Nothing tells which of the two it is.
    Open {
        /// What the mark is called.
        mark: &'static str,
        /// The number with the mark before decimals, and with the mark between thousands.
        readings: [String; 2],
    },
}

impl SeenMarks {
    /// Takes note of one number.
    pub(crate) fn see(&mut self, marks: Marks) {
        match marks {
            Marks::Tell(DecimalMark::Point) => self.point = true,
            Marks::Tell(DecimalMark::Comma) => self.comma = true,
            Marks::None | Marks::PointOrThousands | Marks::CommaOrThousands => {}
        }
    }

    /// Whether a number of the column has a decimal comma.
    pub(crate) const fn has_comma(self) -> bool {
        self.comma
    }

    /// What is known of a sheet of which it is told only whether any column has decimal commas.
    pub(crate) const fn of_commas(commas: bool) -> Self {
        Self { point: commas, comma: commas }
    }

    /// What the numbers of this column and of another show.
    pub(crate) const fn and(self, other: Self) -> Self {
        Self { point: self.point || other.point, comma: self.comma || other.comma }
    }

    /// Decides on a text; `others` is what all columns of the sheet show.
    pub(crate) fn decide(self, text: &str, others: Self) -> Decision {
        let marks = Marks::of(text);
        let mark = match marks {
            Marks::None | Marks::Tell(_) => {
                return match plain_number(text) {
                    Some(number) => Decision::Settled(Cell::Number(number)),
                    None => Decision::AsItStands,
                };
            }
            Marks::PointOrThousands | Marks::CommaOrThousands => match (self.point, self.comma) {
                (true, false) => Some(DecimalMark::Point),
                (false, true) => Some(DecimalMark::Comma),
                // A point is the decimal mark unless the sheet shows that its author uses the comma.
                (false, false) if marks == Marks::PointOrThousands && !others.comma => {
                    Some(DecimalMark::Point)
                }
                // So is a comma where all that tell are.
                (false, false) if marks == Marks::CommaOrThousands && others.comma => {
                    (!others.point).then_some(DecimalMark::Comma)
                }
                _ => None,
            },
        };
        if let Some(mark) = mark {
            let settled = mark.settle(text);
            return Decision::Settled(match (plain_number(text), &settled) {
                (Some(number), Cow::Borrowed(_)) => Cell::Number(number),
                _ => Cell::Text(Cow::Owned(settled.into_owned())),
            });
        }
        match two_ways(text) {
            Some((mark, readings)) => Decision::Open { mark, readings },
            None => Decision::AsItStands,
        }
    }
}

/// The two numbers that a text can be in which one mark stands before three digits, with the mark before decimals and
/// between thousands, and what the mark is called.
pub(crate) fn two_ways(text: &str) -> Option<(&'static str, [String; 2])> {
    let (mark, sign) = match Marks::of(text) {
        Marks::PointOrThousands => ("point", '.'),
        Marks::CommaOrThousands => ("comma", ','),
        Marks::None | Marks::Tell(_) => return None,
    };
    Some((mark, [text.trim().replacen(sign, ".", 1), text.trim().replacen(sign, "", 1)]))
}
