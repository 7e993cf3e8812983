//! The one error of the crate: an argument that cannot be right, with its value and what is asked of it.
//!
//! It knows numbers and argument names only; where in a schedule the number stood is for the caller to say.

use std::fmt;

/// The largest magnitude that is taken as a number of this trade, in any unit used here.
///
/// A bridge of 100 km is 1e8 mm long; what lies beyond 1e12 is a wrong unit or noise.
/// The bound also keeps squares and quotients far from overflow, so that a finite input gives a finite result.
pub const LARGEST: f64 = 1e12;

/// The smallest number that counts as greater than zero where zero is impossible.
///
/// A length of 1e-9 mm is no length, and a divisor as small as that only makes noise.
pub const SMALLEST: f64 = 1e-9;

/// How far two places along a tendon or beam may be apart and still be one, m: stations are sums and conversions.
pub(crate) const SAME_PLACE_M: f64 = 1e-9;

/// Names an argument, and its position where it belongs to one item of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Argument {
    /// The list and the position in it, where the argument is a field of a list's item.
    pub item: Option<(&'static str, usize)>,
    /// The name of the argument or field, with its unit.
    pub name: &'static str,
}

impl Argument {
    pub(crate) const fn new(name: &'static str) -> Self {
        Self { item: None, name }
    }

    pub(crate) const fn of(list: &'static str, index: usize, name: &'static str) -> Self {
        Self { item: Some((list, index)), name }
    }
}

impl fmt::Display for Argument {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((list, index)) = self.item {
            write!(f, "{list}[{index}].")?;
        }
        f.write_str(self.name)
    }
}

/// An argument that cannot be right.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Misfit {
    /// The value is NaN or infinite.
    NotFinite {
        /// Which argument.
        argument: Argument,
        /// Its value.
        value: f64,
    },
    /// The value is zero, negative or smaller than [`SMALLEST`], where something greater than zero is asked.
    NotPositive {
        /// Which argument.
        argument: Argument,
        /// Its value.
        value: f64,
    },
    /// The value is negative where zero or more is asked.
    Negative {
        /// Which argument.
        argument: Argument,
        /// Its value.
        value: f64,
    },
    /// The value's magnitude is beyond `most`.
    TooLarge {
        /// Which argument.
        argument: Argument,
        /// Its value.
        value: f64,
        /// The greatest magnitude that is taken.
        most: f64,
    },
    /// The value must be greater than another quantity, and is not.
    NotAbove {
        /// Which argument.
        argument: Argument,
        /// Its value.
        value: f64,
        /// The other quantity's value.
        floor: f64,
        /// The other quantity.
        floor_is: &'static str,
    },
    /// The value must be less than another quantity, and is not.
    NotBelow {
        /// Which argument.
        argument: Argument,
        /// Its value.
        value: f64,
        /// The other quantity's value.
        ceiling: f64,
        /// The other quantity.
        ceiling_is: &'static str,
    },
    /// The value must lie between two others, ends included, and does not.
    NotWithin {
        /// Which argument.
        argument: Argument,
        /// Its value.
        value: f64,
        /// The least value that is taken.
        least: f64,
        /// The greatest value that is taken.
        most: f64,
    },
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { argument, value } => {
                write!(f, "{argument} is {value}: a finite number is asked")
            }
            Self::NotPositive { argument, value } => {
                write!(f, "{argument} is {value}: more than 0 is asked")
            }
            Self::Negative { argument, value } => {
                write!(f, "{argument} is {value}: 0 or more is asked")
            }
            Self::TooLarge { argument, value, most } => {
                write!(f, "{argument} is {value}: no more than {most} is asked")
            }
            Self::NotAbove { argument, value, floor, floor_is } => {
                write!(f, "{argument} is {value}: more than {floor_is} ({floor}) is asked")
            }
            Self::NotBelow { argument, value, ceiling, ceiling_is } => {
                write!(f, "{argument} is {value}: less than {ceiling_is} ({ceiling}) is asked")
            }
            Self::NotWithin { argument, value, least, most } => {
                write!(f, "{argument} is {value}: a value from {least} to {most} is asked")
            }
        }
    }
}

impl std::error::Error for Misfit {}

/// Gives `value` back if it is a number of this trade, of either sign.
pub(crate) fn number(argument: Argument, value: f64) -> Result<f64, Misfit> {
    if !value.is_finite() {
        Err(Misfit::NotFinite { argument, value })
    } else if value.abs() > LARGEST {
        Err(Misfit::TooLarge { argument, value, most: LARGEST })
    } else {
        Ok(value)
    }
}

/// Gives `value` back if it is greater than zero.
pub(crate) fn positive(argument: Argument, value: f64) -> Result<f64, Misfit> {
    if number(argument, value)? < SMALLEST {
        Err(Misfit::NotPositive { argument, value })
    } else {
        Ok(value)
    }
}

/// Gives `value` back if it is zero or greater.
pub(crate) fn not_negative(argument: Argument, value: f64) -> Result<f64, Misfit> {
    if number(argument, value)? < 0.0 {
        Err(Misfit::Negative { argument, value })
    } else {
        Ok(value)
    }
}

/// Gives `value` back if it is greater than `floor`.
pub(crate) fn above(
    argument: Argument,
    value: f64,
    floor: f64,
    floor_is: &'static str,
) -> Result<f64, Misfit> {
    if value > floor {
        Ok(value)
    } else {
        Err(Misfit::NotAbove { argument, value, floor, floor_is })
    }
}

/// Gives `value` back if it lies between two others, ends included.
pub(crate) fn within(argument: Argument, value: f64, least: f64, most: f64) -> Result<f64, Misfit> {
    if (least..=most).contains(&number(argument, value)?) {
        Ok(value)
    } else {
        Err(Misfit::NotWithin { argument, value, least, most })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_misfit_says_which_argument_which_value_and_what_is_asked() {
        let bad = positive(Argument::new("wall_mm"), -2.0).unwrap_err();
        assert_eq!(bad.to_string(), "wall_mm is -2: more than 0 is asked");
        let bad = number(Argument::of("bodies", 2, "to_mm"), f64::NAN).unwrap_err();
        assert_eq!(bad.to_string(), "bodies[2].to_mm is NaN: a finite number is asked");
    }

    #[test]
    fn zero_is_a_length_only_where_zero_is_possible() {
        assert!(not_negative(Argument::new("seam_mm"), 0.0).is_ok());
        assert!(positive(Argument::new("inner_mm"), 0.0).is_err());
        assert!(positive(Argument::new("inner_mm"), 1e-300).is_err());
    }

    #[test]
    fn what_is_beyond_every_bridge_is_refused() {
        for value in [1e13, -1e13, f64::MAX, f64::INFINITY] {
            assert!(number(Argument::new("at_mm"), value).is_err());
        }
    }
}
